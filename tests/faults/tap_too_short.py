"""The cap is tapped 6 mm for a thread that goes 7.6 mm in, and jams before it is home."""

from __future__ import annotations

from tests.pens import pen
from turnmodel import Design

__all__ = ["FAULTS", "design"]

FAULTS = {"bottoming"}


def design() -> Design:
    """A pen whose cap was tapped as deep as the thread is long."""
    parts, given = pen(cap_tap=6.0)
    return Design("pen", parts=parts, **given)
