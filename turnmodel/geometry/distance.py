"""Least distance between boundaries and between turned bodies."""

from __future__ import annotations

import math
from dataclasses import dataclass
from operator import itemgetter
from typing import TYPE_CHECKING

from turnmodel.geometry.curve import Arc, Box, Curve, Point, box, nearest_on, on_arc
from turnmodel.geometry.meeting import meetings
from turnmodel.geometry.region import Region, contains
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

__all__ = ["Gap", "least_between", "least_distance"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """The least distance [mm] between two things, and the points of each where it is."""

    distance: float
    a_at: Point
    b_at: Point


def least_distance(a: Region, b: Region) -> Gap:
    """Measure the least distance between two coaxial turned bodies.

    Parameters
    ----------
    a, b : Region
        The bodies in one frame, neither of them empty

    Returns
    -------
    Gap
        Distance [mm], zero where they touch or overlap, one inside the other included

    Raises
    ------
    ValueError
        Where a region is empty

    Notes
    -----
    Exact to rounding: the nearest points of two coaxial bodies lie in one half-plane.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> gap = least_distance(ring(0, 10, 8), ring(2, 20, 12, 9))
    >>> gap.distance, gap.a_at[1], gap.b_at[1]
    (0.5, 4.0, 4.5)
    """
    gap = least_between(
        [c for loop in a.loops for c in loop],
        [c for loop in b.loops for c in loop],
    )
    if gap.distance > 0:
        for inner, outer in ((a, b), (b, a)):
            for loop in inner.loops:
                if contains(outer, loop[0].start):
                    return Gap(distance=0.0, a_at=loop[0].start, b_at=loop[0].start)
    return gap


def least_between(a: Iterable[Curve], b: Iterable[Curve]) -> Gap:
    """Measure the least distance between two sets of lines and arcs.

    Parameters
    ----------
    a, b : iterable of Line or Arc
        Neither of them empty

    Returns
    -------
    Gap
        Distance [mm]; zero where a curve of one meets a curve of the other within SAME_MM

    Raises
    ------
    ValueError
        Where a set is empty

    Examples
    --------
    >>> from turnmodel.geometry.curve import Line
    >>> wall = least_between([Line(start=(0, 3), end=(9, 3))], [Line(start=(0, 5), end=(9, 4))])
    >>> round(wall.distance, 9), wall.b_at
    (1.0, (9, 4))
    """
    ones, others = [(box(c), c) for c in a], [(box(c), c) for c in b]
    if not ones or not others:
        raise ValueError("a distance is between two sets of curves, neither of them empty")
    near_b, near_a = _nearest_first(ones, _around(others)), _nearest_first(others, _around(ones))
    best, where = math.inf, (ones[0][1].start, others[0][1].start)
    for least, (z0, z1, r0, r1), one in near_b:
        if least >= best:
            break
        for least_too, (z2, z3, r2, r3), other in near_a:
            if least_too >= best:
                break
            dz = z2 - z1 if z2 > z1 else z0 - z3 if z0 > z3 else 0.0
            dr = r2 - r1 if r2 > r1 else r0 - r3 if r0 > r3 else 0.0
            if dz >= best or dr >= best or (dz and dr and math.hypot(dz, dr) >= best):
                continue
            for p, q in _near(one, other, meet=not dz and not dr):
                distance = math.dist(p, q)
                if distance < best:
                    best, where = distance, (p, q)
            if best <= SAME_MM:
                return Gap(distance=0.0, a_at=where[0], b_at=where[1])
    return Gap(distance=best, a_at=where[0], b_at=where[1])


def _around(boxed: list[tuple[Box, Curve]]) -> Box:
    """Bound a set of boxes."""
    z0, z1, r0, r1 = zip(*(b for b, _ in boxed), strict=True)
    return Box(min(z0), max(z1), min(r0), max(r1))


def _nearest_first(boxed: list[tuple[Box, Curve]], to: Box) -> list[tuple[float, Box, Curve]]:
    """Order curves by the least that their boxes can be from another box."""
    ranked = [
        (math.hypot(max(to.z0 - b.z1, b.z0 - to.z1, 0.0), max(to.r0 - b.r1, b.r0 - to.r1, 0.0)), b, c)
        for b, c in boxed
    ]
    return sorted(ranked, key=itemgetter(0))


def _near(a: Curve, b: Curve, *, meet: bool) -> Iterator[tuple[Point, Point]]:
    """List pairs of points of two curves, the nearest two among them: ends, and feet of common normals."""
    if meet:
        yield from ((point, point) for point in meetings(a, b))
    for point in (a.start, a.end):
        yield point, nearest_on(b, point)
    for point in (b.start, b.end):
        yield nearest_on(a, point), point
    if isinstance(a, Arc) and isinstance(b, Arc):
        yield from _arc_arc(a, b)
    elif isinstance(a, Arc):
        foot = nearest_on(b, a.center)
        yield nearest_on(a, foot), foot
    elif isinstance(b, Arc):
        foot = nearest_on(a, b.center)
        yield foot, nearest_on(b, foot)


def _arc_arc(a: Arc, b: Arc) -> Iterator[tuple[Point, Point]]:
    """Join two arcs along the line of their centres."""
    dz, dr = b.center[0] - a.center[0], b.center[1] - a.center[1]
    apart = math.hypot(dz, dr)
    if apart == 0:
        return
    on_a, on_b = (
        [
            (arc.center[0] + t * dz, arc.center[1] + t * dr)
            for t in (arc.radius / apart, -arc.radius / apart)
            if on_arc(arc, t * dz, t * dr)
        ]
        for arc in (a, b)
    )
    yield from ((p, q) for p in on_a for q in on_b)
