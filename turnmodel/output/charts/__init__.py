"""Charts of figures, and flat pictures that carry figures: the only door to matplotlib."""
