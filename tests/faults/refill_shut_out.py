"""The drill at hand was 2.35 mm, and the next packet's refills are 2.4 mm thick."""

from __future__ import annotations

from tests.pens import pen
from turnmodel import Design

__all__ = ["FAULTS", "design"]

FAULTS = {"way of a bought part"}


def design() -> Design:
    """A pen drilled to the refill that was at hand."""
    parts, given = pen(bore=2.35)
    return Design("pen", parts=parts, **given)
