"""Lines and arcs in the half-plane: a point is (station z, radius r), both in mm.

This floor alone speaks of radii, as a coordinate; every public name above it speaks of diameters.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

__all__ = [
    "Arc",
    "Box",
    "Curve",
    "Line",
    "Point",
    "box",
    "mirrored",
    "nearest_on",
    "on_arc",
    "reversed_curve",
    "shifted",
]

Point = tuple[float, float]


class Box(NamedTuple):
    """The least stretch of stations and radii round something, [mm]."""

    z0: float
    z1: float
    r0: float
    r1: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A straight piece from start to end."""

    start: Point
    end: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A piece of a circle from start to end round its centre.

    ``turn`` [-] is +1 where it runs counter-clockwise seen with z to the right and r up, else -1. An arc is
    never a whole circle.
    """

    start: Point
    end: Point
    center: Point
    turn: int

    @property
    def radius(self) -> float:
        """Radius of the circle, [mm]."""
        return math.dist(self.start, self.center)

    @property
    def sweep(self) -> float:
        """Angle swept from start to end, signed by ``turn``, [rad].

        Notes
        -----
        By the chord where that is short, which keeps the digits of flat arcs.
        """
        (az, ar), (bz, br), (cz, cr) = self.start, self.end, self.center
        cross = (az - cz) * (br - cr) - (ar - cr) * (bz - cz)
        dot = (az - cz) * (bz - cz) + (ar - cr) * (br - cr)
        chord, radius = math.dist(self.start, self.end), self.radius
        least = 2 * math.asin(chord / radius / 2) if chord < radius else math.atan2(abs(cross), dot)
        return self.turn * (least if cross * self.turn >= 0 else 2 * math.pi - least)


Curve = Line | Arc


def reversed_curve(curve: Curve) -> Curve:
    """Run the same piece the other way."""
    if isinstance(curve, Line):
        return Line(start=curve.end, end=curve.start)
    return Arc(start=curve.end, end=curve.start, center=curve.center, turn=-curve.turn)


def shifted(curve: Curve, dz: float) -> Curve:
    """Move a piece along the axis by dz [mm]."""

    def move(point: Point) -> Point:
        return (point[0] + dz, point[1])

    if isinstance(curve, Line):
        return Line(start=move(curve.start), end=move(curve.end))
    return Arc(start=move(curve.start), end=move(curve.end), center=move(curve.center), turn=curve.turn)


def mirrored(curve: Curve) -> Curve:
    """Turn a piece end for end, z to -z, keeping its sense round a loop (start and end change places)."""

    def flip(point: Point) -> Point:
        return (-point[0], point[1])

    if isinstance(curve, Line):
        return Line(start=flip(curve.end), end=flip(curve.start))
    return Arc(start=flip(curve.end), end=flip(curve.start), center=flip(curve.center), turn=curve.turn)


def on_arc(arc: Arc, dz: float, dr: float) -> bool:
    """Tell whether the direction (dz, dr) [mm] from an arc's centre meets the arc, ends counted."""
    (az, ar), (bz, br), (cz, cr) = arc.start, arc.end, arc.center
    az, ar, bz, br = az - cz, ar - cr, bz - cz, br - cr
    past_start = (az * dr - ar * dz) * arc.turn >= 0
    before_end = (dz * br - dr * bz) * arc.turn >= 0
    if (az * br - ar * bz) * arc.turn >= 0:
        return past_start and before_end
    return past_start or before_end


def nearest_on(curve: Curve, point: Point) -> Point:
    """Find the point of a curve nearest to a point.

    Examples
    --------
    >>> nearest_on(Line(start=(0, 2), end=(8, 2)), (3, 5))
    (3.0, 2.0)
    >>> nearest_on(Arc(start=(5, 0), end=(0, 5), center=(0, 0), turn=1), (6, 8))
    (3.0, 4.0)
    """
    z, r = point
    if isinstance(curve, Line):
        (z0, r0), (z1, r1) = curve.start, curve.end
        dz, dr = z1 - z0, r1 - r0
        along = ((z - z0) * dz + (r - r0) * dr) / (dz * dz + dr * dr)
        if along <= 0:
            return curve.start
        if along >= 1:
            return curve.end
        return (z0 + along * dz, r0 + along * dr)
    dz, dr = z - curve.center[0], r - curve.center[1]
    length = math.hypot(dz, dr)
    if length > 0 and on_arc(curve, dz, dr):
        scale = curve.radius / length
        return (curve.center[0] + scale * dz, curve.center[1] + scale * dr)
    return min(curve.start, curve.end, key=lambda end: math.dist(end, point))


def box(curve: Curve) -> Box:
    """Bound a curve, the tops and sides of an arc counted.

    Examples
    --------
    >>> box(Arc(start=(3, 4), end=(-3, 4), center=(0, 0), turn=1))
    Box(z0=-3, z1=3, r0=4, r1=5.0)
    """
    (z0, r0), (z1, r1) = curve.start, curve.end
    z0, z1 = (z0, z1) if z0 < z1 else (z1, z0)
    r0, r1 = (r0, r1) if r0 < r1 else (r1, r0)
    if isinstance(curve, Line):
        return Box(z0, z1, r0, r1)
    (cz, cr), radius = curve.center, curve.radius
    return Box(
        min(z0, cz - radius) if on_arc(curve, -1, 0) else z0,
        max(z1, cz + radius) if on_arc(curve, 1, 0) else z1,
        min(r0, cr - radius) if on_arc(curve, 0, -1) else r0,
        max(r1, cr + radius) if on_arc(curve, 0, 1) else r1,
    )
