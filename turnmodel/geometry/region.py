"""A region of the half-plane r >= 0, bounded by loops of lines and arcs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.geometry.curve import Box, Curve, Line, Point, box, mirrored, nearest_on, shifted
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Region", "bounds", "contains", "flipped", "moved", "polygon", "ring"]


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


def bounds(region: Region) -> Box:
    """Bound a region by stations and radii, the tops of its arcs counted.

    Raises
    ------
    ValueError
        Where the region has no loops

    Examples
    --------
    >>> bounds(ring(2, 10, 8))
    Box(z0=2, z1=10, r0=0.0, r1=4.0)
    """
    boxes = [box(curve) for loop in region.loops for curve in loop]
    if not boxes:
        raise ValueError("an empty region has no bounds")
    return Box(
        min(b.z0 for b in boxes),
        max(b.z1 for b in boxes),
        min(b.r0 for b in boxes),
        max(b.r1 for b in boxes),
    )


def contains(region: Region, point: Point) -> bool:
    """Tell whether a point is in a region, its boundary counted to SAME_MM.

    Examples
    --------
    >>> tube = ring(0, 10, 8, 6)
    >>> contains(tube, (5, 3.5)), contains(tube, (5, 4)), contains(tube, (5, 1))
    (True, True, False)
    """
    z, r = point
    level: list[Curve] = []
    for loop in region.loops:
        for curve in loop:
            reach = box(curve)
            if reach.z0 - SAME_MM <= z <= reach.z1 + SAME_MM:
                level.append(curve)
    under = sum(p.z0 <= z < p.z1 and p.at(z) < r for p in pieces([level]))
    return under % 2 == 1 or any(math.dist(point, nearest_on(c, point)) <= SAME_MM for c in level)
