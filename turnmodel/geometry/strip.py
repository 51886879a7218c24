"""A strip of even thickness: a flat outline bent along its length."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations, pairwise
from operator import attrgetter
from typing import TYPE_CHECKING

from turnmodel.errors import BadValue
from turnmodel.geometry.curve import Arc, Curve, Line, nearest_on
from turnmodel.geometry.moments import area
from turnmodel.geometry.pieces import Piece, pieces
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from turnmodel.geometry.region import Region

__all__ = [
    "Bent",
    "Stretch",
    "Strip",
    "check_strip",
    "edge",
    "mid_line",
    "stretches",
    "strip_volume",
    "width_at",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """A stretch of the side view.

    Parameters
    ----------
    length : float
        Length along the middle of the thickness, [mm]
    turn : float
        Angle it turns through: above zero towards the upper side, zero is straight, [degrees]
    """

    length: float
    turn: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A strip in its own frame: x along it from its start, y across, z up from its under side.

    Parameters
    ----------
    thickness : float
        Thickness, [mm]
    half : Region
        The half y >= 0 of the flat outline, with the distance along from 0 for z and y for r; one loop, of
        one width at every distance, [mm]
    holes : tuple of (float, float)
        Distance along and diameter of round holes on the centre line, in straight stretches, [mm]
    side : tuple of Bent
        The side view from the start to the whole length of the outline
    """

    thickness: float
    half: Region
    holes: tuple[tuple[float, float], ...]
    side: tuple[Bent, ...]

    @property
    def length(self) -> float:
        """Length of the flat outline, [mm]."""
        return sum(piece.length for piece in self.side)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of a strip's side view, laid out along it.

    Parameters
    ----------
    start, end : float
        Distances along the middle of the thickness, [mm]
    turn : float
        Angle it turns through, towards the upper side above zero, [rad]
    """

    start: float
    end: float
    turn: float

    @property
    def curvature(self) -> float:
        """Curvature of the middle of the thickness, towards the upper side above zero, in 1/mm."""
        return self.turn / (self.end - self.start)


def stretches(strip: Strip) -> tuple[Stretch, ...]:
    """Lay out the stretches of a strip's side view one after the other.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> bent = (Bent(length=6), Bent(length=2, turn=45), Bent(length=4))
    >>> clip = Strip(thickness=0.5, half=ring(0, 12, 5), holes=(), side=bent)
    >>> [(s.start, s.end) for s in stretches(clip)]
    [(0.0, 6.0), (6.0, 8.0), (8.0, 12.0)]
    """
    laid, at = [], 0.0
    for piece in strip.side:
        laid.append(Stretch(start=at, end=at + piece.length, turn=math.radians(piece.turn)))
        at += piece.length
    return tuple(laid)


def mid_line(strip: Strip, along: float) -> tuple[float, float, float]:
    """Follow the middle of the thickness to a distance along it.

    Parameters
    ----------
    strip : Strip
        The strip
    along : float
        Distance along the middle; beyond an end the last stretch goes on, [mm]

    Returns
    -------
    tuple of float
        x and z there, [mm], and the angle of the direction to the x axis, [rad]

    Examples
    --------
    A quarter turn upwards, 4 mm along the middle:

    >>> from turnmodel.geometry.region import ring
    >>> quarter = Strip(thickness=0.5, half=ring(0, 4, 5), holes=(), side=(Bent(length=4, turn=90),))
    >>> x, z, heading = mid_line(quarter, 4)
    >>> round(x * math.pi / 2, 9), round((z - 0.25) * math.pi / 2, 9), round(math.degrees(heading), 9)
    (4.0, 4.0, 90.0)
    """
    x, z, heading = 0.0, strip.thickness / 2, 0.0
    laid = stretches(strip)
    for stretch in laid:
        here = along <= stretch.end or stretch is laid[-1]
        step = (along if here else stretch.end) - stretch.start
        # The chord of the arc; the same for a straight stretch, which turns through nothing.
        half = stretch.curvature * step / 2
        chord = step * (math.sin(half) / half if half else 1.0)
        x, z = x + chord * math.cos(heading + half), z + chord * math.sin(heading + half)
        heading += 2 * half
        if here:
            break
    return x, z, heading


def edge(strip: Strip, start: float = 0.0, end: float = math.inf) -> tuple[Curve, ...]:
    """Trace the edge y > 0 of the flat outline from one distance along to another.

    Parameters
    ----------
    strip : Strip
        The strip
    start, end : float
        Distances along, [mm]

    Returns
    -------
    tuple of Line or Arc
        Curves that rise with the distance along, from end to end; walls square to it are left out, [mm]

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> edge(Strip(thickness=0.5, half=ring(0, 12, 5), holes=(), side=(Bent(length=12),)), 3, 9)
    (Line(start=(3, 2.5), end=(9, 2.5)),)
    """
    # The region lies below what runs towards its start.
    upper = sorted((p for p in pieces(strip.half.loops) if p.sense < 0), key=attrgetter("z0"))
    ends = [(p, max(p.z0, start), min(p.z1, end)) for p in upper]
    return tuple(_clipped(p, z0, z1) for p, z0, z1 in ends if z1 - z0 > SAME_MM)


def _clipped(piece: Piece, z0: float, z1: float) -> Curve:
    """Make the curve of a piece between two stations, rising in z."""
    a, b = (z0, piece.at(z0)), (z1, piece.at(z1))
    return Arc(start=a, end=b, center=piece.center, turn=-piece.side) if piece.side else Line(start=a, end=b)


def width_at(strip: Strip, along: float) -> float:
    """Measure the width [mm] of the flat outline at a distance along it [mm]; zero beyond its ends.

    Examples
    --------
    >>> from turnmodel.geometry.region import polygon
    >>> half = polygon([(0, 0), (30, 0), (30, 2), (0, 3)])
    >>> width_at(Strip(thickness=0.5, half=half, holes=(), side=(Bent(length=30),)), 15)
    5.0
    """
    over = (p.at(along) for p in pieces(strip.half.loops) if p.z0 - SAME_MM <= along <= p.z1 + SAME_MM)
    return 2 * max(over, default=0.0)


def strip_volume(strip: Strip) -> float:
    r"""Measure the volume of a strip, [mm3].

    .. math:: V = t \left( A - \sum \tfrac{\pi}{4} d^2 \right)

    Notes
    -----
    Exact: bending about the middle of the thickness keeps the volume, since each slice's centroid goes its
    own length (Pappus).

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> bow = Strip(thickness=0.5, half=ring(0, 12, 5), holes=(), side=(Bent(length=12, turn=90),))
    >>> round(strip_volume(bow), 9)
    30.0
    """
    holes = sum(math.pi * d**2 / 4 for _, d in strip.holes)
    return strip.thickness * (2 * area(strip.half) - holes)


def check_strip(strip: Strip) -> None:
    """Prove that a strip can be made, or say where it cannot.

    Parameters
    ----------
    strip : Strip
        The strip

    Raises
    ------
    BadValue
        Where it has no thickness; where the outline does not begin at 0, or has a step or two widths; where
        the side view is not as long as the outline; at a bend with nothing left inside it; at a hole
        that leaves the outline, meets another, or lies in a bend

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> check_strip(Strip(thickness=2, half=ring(0, 3, 5), holes=(), side=(Bent(length=3, turn=180),)))
    Traceback (most recent call last):
    ...
    turnmodel.errors.BadValue: bend at 0 mm: radius inside -0.0450703 mm: is more than 0 mm; bend it wider
    """
    if not strip.thickness > 0:
        raise BadValue("strip: thickness", strip.thickness, "mm", "is more than 0 mm")
    outline = edge(strip)
    _check_edge(outline)
    laid = stretches(strip)
    used, length = (laid[-1].end if laid else 0.0), outline[-1].end[0]
    if not abs(used - length) <= SAME_MM:
        rule = f"is as long as the flat outline, {length:g} mm"
        raise BadValue("strip: length of the side view", used, "mm", rule)
    for bend in (s for s in laid if s.turn):
        inside = 1 / abs(bend.curvature) - strip.thickness / 2
        if not inside > 0:
            subject = f"bend at {bend.start:g} mm: radius inside"
            raise BadValue(subject, inside, "mm", "is more than 0 mm", "bend it wider")
        for at, d in strip.holes:
            if bend.start < at + d / 2 - SAME_MM and at - d / 2 + SAME_MM < bend.end:
                rule = f"lies in the bend from {bend.start:g} to {bend.end:g} mm"
                raise BadValue("strip: hole at", at, "mm", rule, "move it to a straight stretch")
    for at, d in strip.holes:
        wall = min(math.dist(nearest_on(c, (at, 0.0)), (at, 0.0)) for c in outline)
        if not d / 2 < min(wall, at, length - at):
            raise BadValue(f"strip: hole at {at:g} mm: diameter", d, "mm", "leaves the outline")
    for (at, d), (other, e) in combinations(strip.holes, 2):
        if abs(at - other) <= (d + e) / 2:
            raise BadValue("strip: hole at", other, "mm", f"meets the hole at {at:g} mm")


def _check_edge(outline: tuple[Curve, ...]) -> None:
    """Refuse an edge that is not one chain from 0 on."""
    if not outline:
        raise BadValue("strip: pieces of the outline", 0, "-", "an outline has a length")
    begin = outline[0].start[0]
    if abs(begin) > SAME_MM:
        raise BadValue("strip: start of the outline", begin, "mm", "is 0 mm")
    for before, after in pairwise(outline):
        if math.dist(before.end, after.start) > SAME_MM:
            at = after.start[0]
            raise BadValue("strip: outline at", at, "mm", "has one width, and no step", "slope the step")
