"""The cap was drilled as deep as the nose is long, and closes on the ball."""

from __future__ import annotations

from tests.pens import pen
from turnmodel import Design

__all__ = ["FAULTS", "design"]

FAULTS = {"cap over the tip", "interference"}


def design() -> Design:
    """A pen whose cap forgets the tip."""
    parts, given = pen(cap_depth=26.5)
    return Design("pen", parts=parts, **given)
