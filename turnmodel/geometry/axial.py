"""How far a body slides along its axis before it meets another."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.geometry.boolean import intersection
from turnmodel.geometry.curve import Arc, Line
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.region import flipped
from turnmodel.geometry.tolerance import CONTACT_MM, CONTACT_MM3

if TYPE_CHECKING:
    from turnmodel.geometry.curve import Curve, Point
    from turnmodel.geometry.pieces import Piece
    from turnmodel.geometry.region import Region

__all__ = ["Travel", "axial_travel"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Travel:
    """How far a body slides [mm], and the points, as the bodies stand, that then meet; None where none do."""

    distance: float
    moving_at: Point | None
    fixed_at: Point | None


def axial_travel(moving: Region, fixed: Region, direction: int = 1) -> Travel:
    r"""Measure how far a body slides along the axis before it first meets another.

    .. math:: t = \min_r \, (z_\mathrm{fixed}(r) - z_\mathrm{moving}(r))

    Parameters
    ----------
    moving, fixed : Region
        The bodies in one frame
    direction : int
        +1 towards greater stations, -1 towards lesser, [-]

    Returns
    -------
    Travel
        Distance [mm]: zero where the bodies overlap or are in contact ahead, infinite where one passes by

    Notes
    -----
    Exact to rounding. Faces that slide along each other at equal radii, to CONTACT_MM, do not stop a body;
    an overlap up to CONTACT_MM3 is contact.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> pin, plate = ring(0, 10.0, 8), ring(25.0, 30, 20, 6)
    >>> axial_travel(pin, plate).distance
    15.0
    >>> axial_travel(pin, plate, -1).distance
    inf
    """
    if direction < 0:
        mirrored = axial_travel(flipped(moving), flipped(fixed))
        return Travel(
            distance=mirrored.distance,
            moving_at=mirrored.moving_at and (-mirrored.moving_at[0], mirrored.moving_at[1]),
            fixed_at=mirrored.fixed_at and (-mirrored.fixed_at[0], mirrored.fixed_at[1]),
        )
    if overlap_volume(moving, fixed) > CONTACT_MM3:
        at = intersection(moving, fixed).loops[0][0].start
        return Travel(distance=0.0, moving_at=at, fixed_at=at)
    best = Travel(distance=math.inf, moving_at=None, fixed_at=None)
    ahead = _faces(fixed, -1)
    for front in _faces(moving, 1):
        for back in ahead:
            low, high = max(front.z0, back.z0), min(front.z1, back.z1)
            middle = (low + high) / 2
            if high - low <= CONTACT_MM or back.inside(middle) - front.inside(middle) < -CONTACT_MM:
                continue
            for r in (low, high, *_level(front, back)):
                if low <= r <= high:
                    z_moving, z_fixed = front.at(r), back.at(r)
                    if z_fixed - z_moving < best.distance:
                        distance = max(0.0, z_fixed - z_moving)
                        best = Travel(distance=distance, moving_at=(z_moving, r), fixed_at=(z_fixed, r))
    return best


def _faces(region: Region, sense: int) -> list[Piece]:
    """Cut the faces that look to +z (sense +1) or -z into pieces over r: z and r change places in them."""
    swapped = [[_swapped(curve) for curve in loop] for loop in region.loops]
    return [p for p in pieces(swapped) if p.sense == sense]


def _swapped(curve: Curve) -> Curve:
    """Let z and r change places."""
    start, end = curve.start[::-1], curve.end[::-1]
    if isinstance(curve, Line):
        return Line(start=start, end=end)
    return Arc(start=start, end=end, center=curve.center[::-1], turn=-curve.turn)


def _level(p: Piece, q: Piece) -> list[float]:
    """List the radii at which two faces run parallel, where their distance along the axis may be least."""
    if p.side and q.side:
        bend_p, bend_q = p.side / p.radius, q.side / q.radius
        if bend_p == bend_q:
            return []
        return [(bend_p * p.center[0] - bend_q * q.center[0]) / (bend_p - bend_q)]
    arc, line = (p, q) if p.side else (q, p)
    if not arc.side:
        return []
    rise, run = line.r1 - line.r0, line.z1 - line.z0
    return [arc.center[0] - arc.side * arc.radius * rise / math.hypot(rise, run)]
