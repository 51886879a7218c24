"""Parts written in a line, for tests of the design floor."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnmodel import Part
from turnmodel.design.part import built
from turnmodel.design.turned import Turned

if TYPE_CHECKING:
    from turnmodel.design.part import TurnedPart
    from turnmodel.geometry.region import Region

__all__ = ["corners", "made", "turned"]


def turned(*outside: Any, name: str = "part", stock: str = "40 mm", **rest: Any) -> TurnedPart:
    """Write a brass part by its outside."""
    return Part.turned(name, material="CW614N", stock=stock, outside=list(outside), **rest)


def made(*outside: Any, **rest: Any) -> Turned:
    """Build such a part."""
    found = built(turned(*outside, **rest))
    assert isinstance(found, Turned)
    return found


def corners(region: Region) -> set[tuple[float, float]]:
    """List the corners of a region, to a millionth of a millimetre."""
    return {(round(c.start[0], 6) + 0.0, round(c.start[1], 6) + 0.0) for loop in region.loops for c in loop}
