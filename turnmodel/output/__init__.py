"""What is shown and written of a design; no room here knows another."""
