"""The hole in the plug ends a millimetre before the end of the refill, and the plug stands off."""

from __future__ import annotations

from tests.pens import pen
from turnmodel import Design

__all__ = ["FAULTS", "design"]

FAULTS = {"interference"}


def design() -> Design:
    """A pen whose plug was drilled to the wrong line."""
    parts, given = pen(behind=27.4)
    return Design("pen", parts=parts, **given)
