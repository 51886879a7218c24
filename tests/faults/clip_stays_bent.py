"""The clip was cut from the brass that lay about, and a folded hem bends it for good."""

from __future__ import annotations

from tests.clips import clipped
from turnmodel import Design

__all__ = ["FAULTS", "design"]

FAULTS = {"set of a clip"}


def design() -> Design:
    """A cap with a clip of the wrong stuff."""
    parts, joints = clipped(material="CW614N")
    return Design("clipped cap", parts=parts, joints=joints, limits={"cloth under a clip": 2.5})
