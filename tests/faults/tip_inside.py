"""The larger hole in the nose was stopped early, and the tip does not come out."""

from __future__ import annotations

from tests.pens import pen
from turnmodel import Design

__all__ = ["FAULTS", "design"]

FAULTS = {"tip too short"}


def design() -> Design:
    """A pen whose seat is too far back, round a short refill."""
    parts, given = pen(seat=4.0, refill="D 64.5 mm")
    return Design("pen", parts=parts, **given)
