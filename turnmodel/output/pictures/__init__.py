"""Pictures of the object: whole, cut open, drawn apart."""
