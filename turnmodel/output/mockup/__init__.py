"""Mock-ups printed of plastic: allowances, threads that print, the plate, the feel, the gauge."""
