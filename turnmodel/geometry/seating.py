"""How far apart two faces round one axis stand when they first touch."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.geometry.curve import Arc, Curve, Line, box
from turnmodel.geometry.pieces import Piece, pieces
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.geometry.curve import Point

__all__ = ["Seat", "radial_range", "stand_off"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A face round the axis.

    Parameters
    ----------
    curves : tuple of Line or Arc
        Its trace in the half-plane, [mm]
    station : float
        Where its height counts from, [mm]
    outward : float
        Sense in which it looks along the axis, +1 or -1, [-]
    """

    curves: tuple[Curve, ...]
    station: float
    outward: float


def radial_range(seat: Seat) -> tuple[float, float]:
    """Bound the radii of a face, the tops of its arcs counted, [mm].

    Examples
    --------
    >>> bead = Arc(start=(0, 3), end=(0, 5), center=(0, 4), turn=-1)
    >>> radial_range(Seat(curves=(bead, Line(start=(0, 5), end=(0, 6))), station=0.0, outward=-1.0))
    (3, 6)
    """
    boxes = [box(curve) for curve in seat.curves]
    return min(b.r0 for b in boxes), max(b.r1 for b in boxes)


def stand_off(a: Seat, b: Seat) -> float | None:
    r"""Tell how far apart the stations of two opposed faces are when the faces first touch.

    .. math:: o = \max_r \left( h_a(r) + h_b(r) \right)

    with the heights of both faces over their stations, each counted outwards.

    Parameters
    ----------
    a, b : Seat
        Two faces of which each looks at the other

    Returns
    -------
    float or None
        Distance between the two stations along the axis, below zero where one enters the other, [mm]; None
        where the faces share no radius

    Notes
    -----
    Exact to rounding for lines and arcs: the sum is greatest at an end of a common stretch of radius, or
    where both slopes cancel. Stretches no wider than CONTACT_MM pass each other.

    Examples
    --------
    A flat shoulder from 2 to 6 mm diameter on the mouth of a 90 degree cone of 4 mm:

    >>> flat = Seat(curves=(Line(start=(0, 1), end=(0, 3)),), station=0.0, outward=-1.0)
    >>> cone = Seat(curves=(Line(start=(9, 2), end=(7, 0)),), station=9.0, outward=1.0)
    >>> stand_off(flat, cone)
    0.0
    """
    others = _heights(b)
    touching = (_highest(one, other) for one in _heights(a) for other in others)
    return max((height for height in touching if height is not None), default=None)


def _heights(seat: Seat) -> list[Piece]:
    """Cut a face into pieces whose height is a function of the radius, which stands for z in them."""

    def raised(point: Point) -> Point:
        return (point[1], seat.outward * (point[0] - seat.station))

    def turned(curve: Curve) -> Curve:
        start, end = raised(curve.start), raised(curve.end)
        if isinstance(curve, Line):
            return Line(start=start, end=end)
        # To swap the coordinates reverses the sense of turn; to reverse one of them reverses it again.
        turn = -curve.turn if seat.outward > 0 else curve.turn
        return Arc(start=start, end=end, center=raised(curve.center), turn=turn)

    return pieces([[turned(curve) for curve in seat.curves]])


def _highest(one: Piece, other: Piece) -> float | None:
    """Find the greatest sum of two heights over a common stretch of radius."""
    low, high = max(one.z0, other.z0), min(one.z1, other.z1)
    if high - low <= CONTACT_MM:
        return None
    radii = [low, high, *(r for r in _level(one, other) if low < r < high)]
    return max(one.at(r) + other.at(r) for r in radii)


def _level(p: Piece, q: Piece) -> list[float]:
    """Find the radius at which the slopes of two heights cancel, if there is one."""
    if p.side and q.side:
        # The slope of an arc depends on its offset from the centre over its radius alone.
        bend_p, bend_q = p.side / p.radius, q.side / q.radius
        both = bend_p + bend_q
        return [(bend_p * p.center[0] + bend_q * q.center[0]) / both] if both else []
    arc, line = (p, q) if p.side else (q, p)
    if not arc.side:
        return []
    rise, run = line.r1 - line.r0, line.z1 - line.z0
    return [arc.center[0] + arc.side * arc.radius * rise / math.hypot(rise, run)]
