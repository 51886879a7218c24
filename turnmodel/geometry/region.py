"""A region of the half-plane r >= 0, bounded by loops of lines and arcs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.geometry.curve import Curve, Line, Point, mirrored, shifted

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Region", "flipped", "moved", "polygon", "ring"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """What a turned body fills in the half-plane: outer loops counter-clockwise, holes clockwise.

    Each loop is a closed chain of curves: every piece starts where the one before ends, exactly.
    """

    loops: tuple[tuple[Curve, ...], ...]


def polygon(points: Sequence[Point]) -> Region:
    """Bound a region by straight pieces through the points [mm], in counter-clockwise order."""
    ends = (*points[1:], points[0])
    return Region(loops=(tuple(Line(start=a, end=b) for a, b in zip(points, ends, strict=True)),))


def ring(start: float, end: float, outside_d: float, inside_d: float = 0.0) -> Region:
    """Make a plain tube or bar from one station to another, all in [mm]."""
    ro, ri = outside_d / 2, inside_d / 2
    return polygon([(start, ri), (end, ri), (end, ro), (start, ro)])


def moved(region: Region, dz: float) -> Region:
    """Move a region along the axis by dz [mm]."""
    return Region(loops=tuple(tuple(shifted(c, dz) for c in loop) for loop in region.loops))


def flipped(region: Region) -> Region:
    """Turn a region end for end about station 0."""
    return Region(loops=tuple(tuple(mirrored(c) for c in reversed(loop)) for loop in region.loops))
