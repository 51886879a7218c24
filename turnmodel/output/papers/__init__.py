"""Papers for the workshop: drawings, the sheet of the whole, templates; the only door to ezdxf."""
