"""Chamfers and fillets where one curve meets the next."""

from __future__ import annotations

import math
from dataclasses import replace

from turnmodel.errors import BadValue
from turnmodel.geometry.curve import Arc, Curve, Line, Point
from turnmodel.geometry.tolerance import SAME_MM

__all__ = ["Corner", "chamfered", "curve_length", "filleted"]

Corner = tuple[Curve | None, Curve, Curve | None]
"""What is left of the first curve, the new piece, what is left of the second."""

_STRAIGHT_ON = 1e-9  # sine of the angle below which two curves run on without a corner


def curve_length(curve: Curve) -> float:
    """Length of a piece, [mm]."""
    if isinstance(curve, Line):
        return math.dist(curve.start, curve.end)
    return abs(curve.sweep) * curve.radius


def _tangent(curve: Curve, at: Point) -> Point:
    """Unit direction of travel at a point of the curve."""
    if isinstance(curve, Line):
        size = math.dist(curve.start, curve.end)
        return ((curve.end[0] - curve.start[0]) / size, (curve.end[1] - curve.start[1]) / size)
    z, r = at[0] - curve.center[0], at[1] - curve.center[1]
    return (-r * curve.turn / curve.radius, z * curve.turn / curve.radius)


def _point_at(curve: Curve, distance: float) -> Point:
    """Point a distance [mm] from the start along the curve."""
    if isinstance(curve, Line):
        share = distance / curve_length(curve)
        z0, r0 = curve.start
        return (z0 + share * (curve.end[0] - z0), r0 + share * (curve.end[1] - r0))
    turned = curve.turn * distance / curve.radius
    z, r = curve.start[0] - curve.center[0], curve.start[1] - curve.center[1]
    return (
        curve.center[0] + z * math.cos(turned) - r * math.sin(turned),
        curve.center[1] + z * math.sin(turned) + r * math.cos(turned),
    )


def _ending_at(curve: Curve, point: Point) -> Curve | None:
    return None if math.dist(curve.start, point) < SAME_MM else replace(curve, end=point)


def _starting_at(curve: Curve, point: Point) -> Curve | None:
    return None if math.dist(curve.end, point) < SAME_MM else replace(curve, start=point)


def chamfered(first: Curve, second: Curve, axial: float, radial: float) -> Corner:
    """Cut a corner off straight.

    Parameters
    ----------
    first, second : Curve
        The second starts where the first ends
    axial, radial : float
        How far the cut reaches along the curve that lies more along the axis, and along the other, [mm]

    Returns
    -------
    Corner
        The two shortened curves (None where nothing is left) and the chamfer between them

    Raises
    ------
    BadValue
        If the cut is longer than the curve it is taken from

    Examples
    --------
    >>> wall = Line(start=(0, 0), end=(0, 5))
    >>> bar = Line(start=(0, 5), end=(9, 5))
    >>> chamfered(wall, bar, 0.5, 0.5)[1]
    Line(start=(0.0, 4.5), end=(0.5, 5.0))
    """
    at = first.end
    t1, t2 = _tangent(first, at), _tangent(second, at)
    first_is_axial = abs(t1[0]) > abs(t2[0])
    back, ahead = (axial, radial) if first_is_axial else (radial, axial)
    for reach, curve in ((back, first), (ahead, second)):
        if reach > curve_length(curve) + SAME_MM:
            raise BadValue(
                "chamfer", reach, "mm", f"is longer than the {curve_length(curve):.4g} mm it is cut from"
            )
    start = _point_at(first, max(curve_length(first) - back, 0.0))
    end = _point_at(second, min(ahead, curve_length(second)))
    return _ending_at(first, start), Line(start=start, end=end), _starting_at(second, end)


def filleted(first: Curve, second: Curve, radius: float) -> Corner:
    """Round a corner with an arc tangent to both curves.

    Parameters
    ----------
    first, second : Curve
        The second starts where the first ends
    radius : float
        Radius of the arc, [mm]

    Returns
    -------
    Corner
        The two shortened curves (None where nothing is left) and the arc between them

    Raises
    ------
    BadValue
        If there is no corner, or the arc does not touch both curves

    Examples
    --------
    >>> wall = Line(start=(0, 0), end=(0, 5))
    >>> bar = Line(start=(0, 5), end=(9, 5))
    >>> filleted(wall, bar, 1.0)[1]
    Arc(start=(0.0, 4.0), end=(1.0, 5.0), center=(1.0, 4.0), turn=-1)
    """
    at = first.end
    t1, t2 = _tangent(first, at), _tangent(second, at)
    cross = t1[0] * t2[1] - t1[1] * t2[0]
    if abs(cross) < _STRAIGHT_ON:
        raise BadValue("fillet", radius, "mm", "there is no corner to round here")
    side = 1 if cross > 0 else -1
    best: Corner | None = None
    reach = math.inf
    for center in _meetings(_offset(first, side * radius), _offset(second, side * radius)):
        start, end = _foot(first, center), _foot(second, center)
        if _on(first, start) and _on(second, end) and math.dist(center, at) < reach:
            reach = math.dist(center, at)
            arc = Arc(start=start, end=end, center=center, turn=side)
            best = (_ending_at(first, start), arc, _starting_at(second, end))
    if best is None:
        raise BadValue("fillet", radius, "mm", "is too large for the two sides it must touch")
    return best


_Path = tuple[str, Point, Point, float]  # a line by point and direction, or a circle by centre and radius


def _offset(curve: Curve, by: float) -> _Path:
    """The path at a distance to the left of a curve."""
    if isinstance(curve, Line):
        tz, tr = _tangent(curve, curve.start)
        return ("line", (curve.start[0] - by * tr, curve.start[1] + by * tz), (tz, tr), 0.0)
    return ("circle", curve.center, (0.0, 0.0), curve.radius - by * curve.turn)


def _meetings(a: _Path, b: _Path) -> list[Point]:
    if a[0] == "circle" and b[0] == "line":
        a, b = b, a
    if a[0] == "line" and b[0] == "line":
        (_, p, u, _), (_, q, v, _) = a, b
        share = ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / (u[0] * v[1] - u[1] * v[0])
        return [(p[0] + share * u[0], p[1] + share * u[1])]
    if a[0] == "line":
        (_, p, u, _), (_, c, _, size) = a, b
        along = (c[0] - p[0]) * u[0] + (c[1] - p[1]) * u[1]
        away = size**2 - ((p[0] + along * u[0] - c[0]) ** 2 + (p[1] + along * u[1] - c[1]) ** 2)
        if size < 0 or away < 0:
            return []
        half = math.sqrt(away)
        return [(p[0] + (along + s * half) * u[0], p[1] + (along + s * half) * u[1]) for s in (-1, 1)]
    (_, p, _, r1), (_, q, _, r2) = a, b
    apart = math.dist(p, q)
    if min(r1, r2) < 0 or apart < SAME_MM:
        return []
    along = (apart**2 + r1**2 - r2**2) / (2 * apart)
    away = r1**2 - along**2
    if away < 0:
        return []
    half = math.sqrt(away)
    uz, ur = (q[0] - p[0]) / apart, (q[1] - p[1]) / apart
    return [(p[0] + along * uz - s * half * ur, p[1] + along * ur + s * half * uz) for s in (-1, 1)]


def _foot(curve: Curve, center: Point) -> Point:
    """Point of the curve's whole line or circle nearest to a centre."""
    if isinstance(curve, Line):
        tz, tr = _tangent(curve, curve.start)
        along = (center[0] - curve.start[0]) * tz + (center[1] - curve.start[1]) * tr
        return (curve.start[0] + along * tz, curve.start[1] + along * tr)
    share = curve.radius / (math.dist(center, curve.center) or math.inf)
    return (
        curve.center[0] + share * (center[0] - curve.center[0]),
        curve.center[1] + share * (center[1] - curve.center[1]),
    )


def _on(curve: Curve, point: Point) -> bool:
    """Whether a point of the curve's whole line or circle lies on the piece itself."""
    if min(math.dist(point, curve.start), math.dist(point, curve.end)) < SAME_MM:
        return True
    if isinstance(curve, Line):
        tz, tr = _tangent(curve, curve.start)
        along = (point[0] - curve.start[0]) * tz + (point[1] - curve.start[1]) * tr
        return 0 < along < curve_length(curve)
    return abs(Arc(start=curve.start, end=point, center=curve.center, turn=curve.turn).sweep) < abs(curve.sweep)
