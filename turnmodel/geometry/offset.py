"""Regions grown and shrunk by a distance, with round corners."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from turnmodel.errors import BadValue
from turnmodel.geometry.boolean import combination, difference
from turnmodel.geometry.curve import Arc, Line
from turnmodel.geometry.region import Region, bounds, polygon
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from turnmodel.geometry.curve import Curve, Point

__all__ = ["grown", "shrunk"]


def grown(region: Region, by: float) -> Region:
    """Grow a region to all that is within a distance of it.

    Parameters
    ----------
    region : Region
        Loops of lines and arcs
    by : float
        Distance, not negative, [mm]

    Returns
    -------
    Region
        With arcs round what were sharp outer corners; nothing beyond the axis

    Raises
    ------
    BadValue
        Where the distance is negative

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> bounds(grown(ring(0, 10, 8), 0.5))
    Box(z0=-0.5, z1=10.5, r0=0.0, r1=4.5)
    """
    tubes = _tubes(region, by)
    if not tubes:
        return region
    z0, z1, _, r1 = bounds(region)
    room = 2 * by
    half_plane = polygon([(z0 - room, 0.0), (z1 + room, 0.0), (z1 + room, r1 + room), (z0 - room, r1 + room)])
    return combination((half_plane, region, *tubes), lambda inside: inside & 1 == 1 and inside > 1)


def shrunk(region: Region, by: float) -> Region:
    """Shrink a region to all that is farther than a distance from its boundary; the axis is no boundary.

    Parameters
    ----------
    region : Region
        Loops of lines and arcs
    by : float
        Distance, not negative, [mm]

    Returns
    -------
    Region
        With arcs round what were sharp inner corners; no loops where nothing is left

    Raises
    ------
    BadValue
        Where the distance is negative

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> bounds(shrunk(ring(0, 10, 8), 0.5))
    Box(z0=0.5, z1=9.5, r0=0.0, r1=3.5)
    >>> shrunk(ring(0, 10, 8, 7), 0.25)
    Region(loops=())
    """
    return difference(region, *_tubes(region, by))


def _tubes(region: Region, by: float) -> list[Region]:
    """Lay bands on both sides of every boundary but the axis, and discs round its corners."""
    if not by >= 0:
        raise BadValue("offset", by, "mm", "a distance is not negative", "grow or shrink by the distance")
    if by <= SAME_MM:
        return []
    curves = [c for loop in region.loops for c in loop if max(c.start[1], c.end[1]) > 0 or isinstance(c, Arc)]
    corners = dict.fromkeys(point for c in curves for point in (c.start, c.end))
    return [*(_band(c, by) for c in curves), *(_disc(point, by) for point in corners)]


def _disc(center: Point, radius: float) -> Region:
    left, right = (center[0] - radius, center[1]), (center[0] + radius, center[1])
    upper = Arc(start=right, end=left, center=center, turn=1)
    lower = Arc(start=left, end=right, center=center, turn=1)
    return Region(loops=((upper, lower),))


def _band(curve: Curve, by: float) -> Region:
    """Bound what is within a distance of a curve, square to it."""
    if isinstance(curve, Line):
        (z0, r0), (z1, r1) = curve.start, curve.end
        scale = by / math.dist(curve.start, curve.end)
        nz, nr = (r0 - r1) * scale, (z1 - z0) * scale
        return polygon([(z0 - nz, r0 - nr), (z1 - nz, r1 - nr), (z1 + nz, r1 + nr), (z0 + nz, r0 + nr)])
    start, end = (curve.start, curve.end) if curve.turn > 0 else (curve.end, curve.start)
    center, radius = curve.center, curve.radius

    def at(point: Point, to: float) -> Point:
        scale = to / radius
        return (
            center[0] + (point[0] - center[0]) * scale,
            center[1] + (point[1] - center[1]) * scale,
        )

    outer = Arc(start=at(start, radius + by), end=at(end, radius + by), center=center, turn=1)
    if radius - by <= SAME_MM:
        sides = (Line(start=outer.end, end=center), Line(start=center, end=outer.start))
        return Region(loops=((outer, *sides),))
    inner = Arc(start=at(end, radius - by), end=at(start, radius - by), center=center, turn=-1)
    down, up = Line(start=outer.end, end=inner.start), Line(start=inner.end, end=outer.start)
    return Region(loops=((outer, down, inner, up),))
