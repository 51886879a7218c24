"""A screw from the drawer, 6 mm long, comes out inside the cap and scratches the barrel."""

from __future__ import annotations

from tests.clips import clipped
from turnmodel import Design

__all__ = ["FAULTS", "design"]

FAULTS = {"screw through a wall"}


def design() -> Design:
    """A cap whose clip is held by too long a screw."""
    parts, joints = clipped(deep=39.0, screw=4.8)
    return Design("clipped cap", parts=parts, joints=joints)
