"""Where lines and circles meet."""

from __future__ import annotations

import math

from turnmodel.geometry.curve import Arc, Curve, Line, Point, on_arc
from turnmodel.geometry.tolerance import SAME_MM

__all__ = ["circle_circle", "line_circle", "meetings"]


def line_circle(start: Point, end: Point, center: Point, radius: float) -> list[Point]:
    """List the points where the whole line through two points meets a circle, all in [mm].

    A contact no deeper than SAME_MM is one touch, at the foot of the common normal.

    Examples
    --------
    >>> line_circle((0, 3), (1, 3), (0, 0), 5)
    [(-4.0, 3.0), (4.0, 3.0)]
    >>> line_circle((0, 5), (1, 5), (0, 0), 5)
    [(0.0, 5.0)]
    """
    z0, r0 = start
    dz, dr = end[0] - z0, end[1] - r0
    length = math.hypot(dz, dr)
    dz, dr = dz / length, dr / length
    cz, cr = center[0] - z0, center[1] - r0
    along, off = cz * dz + cr * dr, abs(cz * dr - cr * dz)
    if off > radius + SAME_MM:
        return []
    if off >= radius - SAME_MM:
        return [(z0 + along * dz, r0 + along * dr)]
    half = math.sqrt((radius - off) * (radius + off))
    return [(z0 + t * dz, r0 + t * dr) for t in (along - half, along + half)]


def circle_circle(a: Point, ra: float, b: Point, rb: float) -> list[Point]:
    """List the points where two circles meet, all in [mm]; none where they are one circle.

    A contact no deeper than SAME_MM is one touch, on the line of centres.

    Examples
    --------
    >>> circle_circle((0, 0), 5, (8, 0), 5)
    [(4.0, 3.0), (4.0, -3.0)]
    >>> circle_circle((0, 0), 5, (3, 0), 2)
    [(5.0, 0.0)]
    """
    dz, dr = b[0] - a[0], b[1] - a[1]
    apart = math.hypot(dz, dr)
    if apart <= SAME_MM or apart > ra + rb + SAME_MM or apart < abs(ra - rb) - SAME_MM:
        return []
    dz, dr = dz / apart, dr / apart
    along = (apart + (ra - rb) * (ra + rb) / apart) / 2
    if apart >= ra + rb - SAME_MM or apart <= abs(ra - rb) + SAME_MM:
        along = math.copysign(ra, along)
        return [(a[0] + along * dz, a[1] + along * dr)]
    half = math.sqrt(max(0.0, (ra - along) * (ra + along)))
    foot_z, foot_r = a[0] + along * dz, a[1] + along * dr
    return [(foot_z - half * dr, foot_r + half * dz), (foot_z + half * dr, foot_r - half * dz)]


def meetings(a: Curve, b: Curve) -> list[Point]:
    """List the points where two curves cross or touch, stretches along which they run together left out.

    Examples
    --------
    >>> meetings(Line(start=(0, 0), end=(4, 4)), Line(start=(0, 4), end=(4, 0)))
    [(2.0, 2.0)]
    """
    if isinstance(a, Arc) and isinstance(b, Arc):
        found = circle_circle(a.center, a.radius, b.center, b.radius)
    elif isinstance(a, Arc):
        found = line_circle(b.start, b.end, a.center, a.radius)
    elif isinstance(b, Arc):
        found = line_circle(a.start, a.end, b.center, b.radius)
    else:
        found = _line_line(a, b)
    return [point for point in found if _passes(a, point) and _passes(b, point)]


def _line_line(a: Line, b: Line) -> list[Point]:
    (z0, r0), (z1, r1) = a.start, a.end
    (z2, r2), (z3, r3) = b.start, b.end
    across = (z1 - z0) * (r3 - r2) - (r1 - r0) * (z3 - z2)
    if across == 0:
        return []
    t = ((z2 - z0) * (r3 - r2) - (r2 - r0) * (z3 - z2)) / across
    return [(z0 + t * (z1 - z0), r0 + t * (r1 - r0))]


def _passes(curve: Curve, point: Point) -> bool:
    """Tell whether a point of the whole line or circle lies between the ends, each counted to SAME_MM."""
    if isinstance(curve, Arc):
        within = on_arc(curve, point[0] - curve.center[0], point[1] - curve.center[1])
    else:
        (z0, r0), (z1, r1), (z, r) = curve.start, curve.end, point
        within = (z - z0) * (z - z1) + (r - r0) * (r - r1) <= 0
    return within or math.dist(point, curve.start) <= SAME_MM or math.dist(point, curve.end) <= SAME_MM
