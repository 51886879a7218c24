"""Chamfers and fillets where one curve meets the next."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from turnmodel.errors import BadValue
from turnmodel.geometry.curve import Arc, Curve, Line, Point, nearest_on
from turnmodel.geometry.meeting import meetings
from turnmodel.geometry.tolerance import SAME_MM

__all__ = ["Corner", "chamfered", "curve_length", "filleted", "turn_at"]

Corner = tuple[Curve | None, Curve, Curve | None]
"""What is left of the first curve, the new piece, what is left of the second: a closed chain of curves."""

_STRAIGHT_ON: Final = 1e-9
"""Sine of the angle below which two curves run on without a corner: rounding leaves a thousandth of it."""


def curve_length(curve: Curve) -> float:
    """Measure the length of a curve, [mm].

    Examples
    --------
    >>> curve_length(Line(start=(0, 3), end=(4, 0)))
    5.0
    >>> curve_length(Arc(start=(2, 0), end=(-2, 0), center=(0, 0), turn=1)) / math.pi
    2.0
    """
    if isinstance(curve, Line):
        return math.dist(curve.start, curve.end)
    return abs(curve.sweep) * curve.radius


def turn_at(first: Curve, second: Curve) -> float:
    """Measure by how much the direction of travel turns from one curve to the next, [degrees].

    Positive is to the left: where a region's outline keeps the metal to its left, an edge that stands out.

    Examples
    --------
    >>> turn_at(Line(start=(0, 0), end=(4, 0)), Line(start=(4, 0), end=(4, 3)))
    90.0
    """
    (z0, r0), (z1, r1) = _tangent(first, first.end), _tangent(second, second.start)
    return math.degrees(math.atan2(z0 * r1 - r0 * z1, z0 * z1 + r0 * r1))


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


def _corner(first: Curve, second: Curve, piece: Curve) -> Corner:
    """Shorten two curves to the ends of the piece between them; what is consumed gives its own end to it."""
    if math.dist(first.start, piece.start) < SAME_MM:
        piece, before = replace(piece, start=first.start), None
    else:
        before = replace(first, end=piece.start)
    if math.dist(second.end, piece.end) < SAME_MM:
        return before, replace(piece, end=second.end), None
    return before, piece, replace(second, start=piece.end)


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
        If a leg is not above zero, or longer than the curve it is cut from

    Notes
    -----
    Along an arc the cut reaches by the length of the arc. Of two curves that lean alike the second counts as
    the axial one.

    Examples
    --------
    >>> wall = Line(start=(0, 0), end=(0, 5))
    >>> bar = Line(start=(0, 5), end=(9, 5))
    >>> chamfered(wall, bar, axial=1.0, radial=0.5)[1]
    Line(start=(0.0, 4.5), end=(1.0, 5.0))
    """
    at = first.end
    first_is_axial = abs(_tangent(first, at)[0]) > abs(_tangent(second, at)[0])
    back, ahead = (axial, radial) if first_is_axial else (radial, axial)
    for leg, curve in ((back, first), (ahead, second)):
        if not leg > 0:
            raise BadValue("chamfer: leg", leg, "mm", "is more than 0 mm")
        if leg > curve_length(curve) + SAME_MM:
            rule = f"is longer than the {curve_length(curve):.4g} mm it is cut from"
            raise BadValue("chamfer: leg", leg, "mm", rule)
    start, end = _point_at(first, curve_length(first) - back), _point_at(second, ahead)
    return _corner(first, second, Line(start=start, end=end))


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
        If the radius is not above zero, there is no corner, or the arc cannot touch both curves

    Notes
    -----
    Of several arcs that touch both curves it is the one nearest to the corner.

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
    if not radius > 0:
        raise BadValue("fillet: radius", radius, "mm", "is more than 0 mm")
    if abs(cross) < _STRAIGHT_ON:
        raise BadValue("fillet: radius", radius, "mm", "there is no corner to round here")
    side = 1 if cross > 0 else -1
    # The arc's centre is as far from both curves as its radius, on the inner side of the corner.
    near_first, near_second = _beside(first, side * radius), _beside(second, side * radius)
    centers = meetings(near_first, near_second) if near_first and near_second else []
    if not centers:
        raise BadValue("fillet: radius", radius, "mm", "is too large for the two sides it must touch")
    center = min(centers, key=lambda c: math.dist(c, at))
    start, end = nearest_on(first, center), nearest_on(second, center)
    return _corner(first, second, Arc(start=start, end=end, center=center, turn=side))


def _beside(curve: Curve, by: float) -> Curve | None:
    """Lay a curve at a distance [mm] to the left of another; None where an arc has no room inside for it."""
    if isinstance(curve, Line):
        tz, tr = _tangent(curve, curve.start)
        start, end = ((z - by * tr, r + by * tz) for z, r in (curve.start, curve.end))
        return Line(start=start, end=end)
    (cz, cr), scale = curve.center, 1 - by * curve.turn / curve.radius
    if scale <= 0:
        return None
    start, end = ((cz + scale * (z - cz), cr + scale * (r - cr)) for z, r in (curve.start, curve.end))
    return replace(curve, start=start, end=end)
