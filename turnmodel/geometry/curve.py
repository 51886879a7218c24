"""Lines and arcs in the half-plane: a point is (station z, radius r), both in mm.

This floor alone speaks of radii, as a coordinate; every public name above it speaks of diameters.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Arc", "Curve", "Line", "Point", "mirrored", "reversed_curve", "shifted"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A straight piece from start to end."""

    start: Point
    end: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A piece of a circle from start to end round its centre.

    ``turn`` is +1 where it runs counter-clockwise seen with z to the right and r up, else -1. An arc is
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
        """Angle swept from start to end, signed by ``turn``, [rad]."""
        a0 = math.atan2(self.start[1] - self.center[1], self.start[0] - self.center[0])
        a1 = math.atan2(self.end[1] - self.center[1], self.end[0] - self.center[0])
        angle = (a1 - a0) * self.turn % (2 * math.pi)
        return self.turn * angle


Curve = Line | Arc


def reversed_curve(curve: Curve) -> Curve:
    """Run the same piece the other way."""
    if isinstance(curve, Line):
        return Line(start=curve.end, end=curve.start)
    return Arc(start=curve.end, end=curve.start, center=curve.center, turn=-curve.turn)


def shifted(curve: Curve, dz: float) -> Curve:
    """Move a piece along the axis by dz [mm]."""
    move = lambda p: (p[0] + dz, p[1])  # noqa: E731
    if isinstance(curve, Line):
        return Line(start=move(curve.start), end=move(curve.end))
    return Arc(start=move(curve.start), end=move(curve.end), center=move(curve.center), turn=curve.turn)


def mirrored(curve: Curve) -> Curve:
    """Turn a piece end for end, z to -z, keeping its sense round a loop (start and end change places)."""
    flip = lambda p: (-p[0], p[1])  # noqa: E731
    if isinstance(curve, Line):
        return Line(start=flip(curve.end), end=flip(curve.start))
    return Arc(start=flip(curve.end), end=flip(curve.start), center=flip(curve.center), turn=curve.turn)
