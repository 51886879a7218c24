"""Boundaries cut into pieces that are single-valued over z: the ground that sweeping stands on."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from turnmodel.geometry.curve import Arc, Curve, Line, Point
from turnmodel.geometry.meeting import circle_circle, line_circle
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

__all__ = ["Piece", "crossings", "pieces"]


class Piece(NamedTuple):
    """A stretch of a line or circle over which r is a function of z, rising in z.

    ``low`` and ``high`` bound r, [mm]; ``side`` is +1 on the upper half of a circle, -1 on the lower, 0 on a
    line; ``sense`` is +1 where the boundary runs towards +z, so that the region lies above, else -1;
    ``owner`` is the bit of the region it bounds.
    """

    z0: float
    r0: float
    z1: float
    r1: float
    low: float
    high: float
    side: int
    sense: int
    owner: int
    curve: Curve
    center: Point = (0.0, 0.0)
    radius: float = 0.0

    def at(self, z: float) -> float:
        """Tell the r [mm] at station z [mm]; the ends' own r at the ends and beyond."""
        if z <= self.z0 + SAME_MM:
            return self.r0
        if z >= self.z1 - SAME_MM:
            return self.r1
        return self.inside(z)

    def inside(self, z: float) -> float:
        """Tell the r [mm] at a station z [mm] strictly between the ends."""
        if self.side:
            dz = z - self.center[0]
            return self.center[1] + self.side * math.sqrt(max(0.0, (self.radius - dz) * (self.radius + dz)))
        if self.r0 == self.r1:
            return self.r0
        return self.r0 + (self.r1 - self.r0) * ((z - self.z0) / (self.z1 - self.z0))


def pieces(loops: Iterable[Iterable[Curve]], owner: int = 1) -> list[Piece]:
    """Cut loops into pieces of an owner [-]; upright lines have no stretch in z and vanish."""
    found: list[Piece] = []
    for loop in loops:
        for curve in loop:
            if isinstance(curve, Line):
                (z0, r0), (z1, r1) = curve.start, curve.end
                low, high = (r0, r1) if r0 < r1 else (r1, r0)
                if z1 - z0 > SAME_MM:
                    found.append(Piece(z0, r0, z1, r1, low, high, 0, 1, owner, curve))
                elif z0 - z1 > SAME_MM:
                    found.append(Piece(z1, r1, z0, r0, low, high, 0, -1, owner, curve))
            else:
                found.extend(_halves(curve, owner))
    return found


def _halves(arc: Arc, owner: int) -> Iterator[Piece]:
    """Cut an arc where it stands upright, at the ends of its circle in z."""
    zc, rc = arc.center
    radius = arc.radius
    side, last = _half(arc.start, arc, arc.turn), _half(arc.end, arc, -arc.turn)
    z, r = arc.start
    for _ in range(3):
        sense = -arc.turn * side
        done = side == last and (arc.end[0] - z) * sense >= -SAME_MM
        to_z, to_r = arc.end if done else (zc + sense * radius, rc)
        if abs(to_z - z) > SAME_MM:
            z0, r0, z1, r1 = (z, r, to_z, to_r) if sense > 0 else (to_z, to_r, z, r)
            low, high = (r0, r1) if r0 < r1 else (r1, r0)
            if z0 < zc < z1:
                low, high = (low, rc + radius) if side > 0 else (rc - radius, high)
            yield Piece(z0, r0, z1, r1, low, high, side, sense, owner, arc, arc.center, radius)
        if done:
            return
        z, r, side = to_z, to_r, -side


def _half(point: Point, arc: Arc, turn: int) -> int:
    """Tell on which half of its circle an arc leaves an end, upper +1 or lower -1."""
    rise = point[1] - arc.center[1]
    if abs(rise) > SAME_MM:
        return 1 if rise > 0 else -1
    return turn if point[0] > arc.center[0] else -turn


def crossings(p: Piece, q: Piece) -> list[float]:
    """List the stations [mm] where two pieces cross or touch inside their common stretch.

    A contact no deeper than SAME_MM is one touch, at the foot of the common normal.
    """
    if not p.side and not q.side:
        return _line_line(p, q)
    low, high = max(p.z0, q.z0), min(p.z1, q.z1)
    if p.side and q.side:
        found = circle_circle(p.center, p.radius, q.center, q.radius)
    elif p.side:
        found = line_circle((q.z0, q.r0), (q.z1, q.r1), p.center, p.radius)
    else:
        found = line_circle((p.z0, p.r0), (p.z1, p.r1), q.center, q.radius)
    return [z for z, r in found if low < z < high and _on_half(r, p) and _on_half(r, q)]


def _on_half(r: float, p: Piece) -> bool:
    """Tell whether a point of the whole circle is on the piece's half; a needless station does no harm."""
    return (r - p.center[1]) * p.side >= -CONTACT_MM


def _line_line(p: Piece, q: Piece) -> list[float]:
    if p.r0 == p.r1 and q.r0 == q.r1:
        return []
    low, high = max(p.z0, q.z0), min(p.z1, q.z1)
    before, after = p.at(low) - q.at(low), p.at(high) - q.at(high)
    if (before < 0) == (after < 0):
        return []
    return [low + (high - low) * (before / (before - after))]
