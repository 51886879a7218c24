"""Objects of several turned parts, written down once."""

__version__ = "0.1.0"
