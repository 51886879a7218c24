"""Which piece of an outline lies on which: how a drawing finds what is left of a feature."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from turnmodel.geometry.curve import Curve, Line, Point, nearest_on

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["ON_MM", "is_on", "is_part_of", "middle_of", "straightened"]

ON_MM: Final = 1e-6
"""How near a point lies to a curve that it is on: far over rounding, far under any size."""


def middle_of(curve: Curve) -> Point:
    """Find the point half-way along a curve."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    if isinstance(curve, Line):
        return (z0 + z1) / 2, (r0 + r1) / 2
    z, r = curve.center
    angle = math.atan2(r0 - r, z0 - z) + curve.sweep / 2
    return z + curve.radius * math.cos(angle), r + curve.radius * math.sin(angle)


def is_on(curve: Curve, point: Point) -> bool:
    """Tell whether a point is on a curve."""
    return math.dist(nearest_on(curve, point), point) < ON_MM


def is_part_of(curve: Curve, nominal: Curve) -> bool:
    """Whether a curve is a piece of another."""
    return all(is_on(nominal, p) for p in (curve.start, middle_of(curve), curve.end))


def straightened(loop: Sequence[Curve]) -> list[Curve]:
    """Join straight pieces of an outline that run on in line.

    Examples
    --------
    >>> from itertools import pairwise
    >>> steps = [(0, 0), (9, 0), (9, 4), (5, 4), (0, 4), (0, 0)]
    >>> len(straightened([Line(start=a, end=b) for a, b in pairwise(steps)]))
    4
    """
    found: list[Curve] = []
    for curve in loop:
        if found and _in_line(found[-1], curve):
            found[-1] = Line(start=found[-1].start, end=curve.end)
        else:
            found.append(curve)
    if len(found) > 1 and _in_line(found[-1], found[0]):
        found[0] = Line(start=found.pop().start, end=found[0].end)
    return found


def _in_line(first: Curve, then: Curve) -> bool:
    """Whether a straight piece goes on where another ends."""
    if not (isinstance(first, Line) and isinstance(then, Line)):
        return False
    (az, ar), (bz, br), (cz, cr) = first.start, first.end, then.end
    along, across = (
        (bz - az) * (cz - bz) + (br - ar) * (cr - br),
        (bz - az) * (cr - br) - (br - ar) * (cz - bz),
    )
    return along > 0 and abs(across) < ON_MM * math.dist(first.start, then.end)
