"""A region of the half-plane r >= 0, bounded by loops of lines and arcs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from turnmodel.errors import BadValue
from turnmodel.geometry.curve import Arc, Box, Curve, Line, Point, box, mirrored, nearest_on, shifted
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.sweep import slabs
from turnmodel.geometry.tolerance import CONTACT_MM, CORNER_MM, SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.geometry.pieces import Piece
    from turnmodel.geometry.sweep import Slab

__all__ = ["Region", "bounds", "check_region", "contains", "flipped", "moved", "polygon", "ring"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """What a turned body fills in the half-plane: outer loops counter-clockwise, holes clockwise.

    Each loop is a closed chain of curves: every piece starts where the one before ends, exactly.
    """

    loops: tuple[tuple[Curve, ...], ...]


def polygon(points: Sequence[Point]) -> Region:
    """Bound a region by straight pieces through the points [mm], in counter-clockwise order."""
    ends = (*points[1:], points[0])
    return Region(loops=(tuple(Line(start=a, end=b) for a, b in zip(points, ends, strict=True)),))


def ring(start: float, end: float, outside_d: float, inside_d: float = 0.0) -> Region:
    """Make a plain tube or bar from one station to another, all in [mm]."""
    ro, ri = outside_d / 2, inside_d / 2
    return polygon([(start, ri), (end, ri), (end, ro), (start, ro)])


def moved(region: Region, dz: float) -> Region:
    """Move a region along the axis by dz [mm]."""
    return Region(loops=tuple(tuple(shifted(c, dz) for c in loop) for loop in region.loops))


def flipped(region: Region) -> Region:
    """Turn a region end for end about station 0."""
    return Region(loops=tuple(tuple(mirrored(c) for c in reversed(loop)) for loop in region.loops))


def bounds(region: Region) -> Box:
    """Bound a region by stations and radii, the tops of its arcs counted.

    Raises
    ------
    ValueError
        Where the region has no loops

    Examples
    --------
    >>> bounds(ring(2, 10, 8))
    Box(z0=2, z1=10, r0=0.0, r1=4.0)
    """
    boxes = [box(curve) for loop in region.loops for curve in loop]
    if not boxes:
        raise ValueError("an empty region has no bounds")
    return Box(
        min(b.z0 for b in boxes),
        max(b.z1 for b in boxes),
        min(b.r0 for b in boxes),
        max(b.r1 for b in boxes),
    )


def contains(region: Region, point: Point) -> bool:
    """Tell whether a point is in a region, its boundary counted to SAME_MM.

    Examples
    --------
    >>> tube = ring(0, 10, 8, 6)
    >>> contains(tube, (5, 3.5)), contains(tube, (5, 4)), contains(tube, (5, 1))
    (True, True, False)
    """
    z, r = point
    level = [c for loop in region.loops for c in loop if isinstance(c, Arc) or _passes(c, z)]
    under = sum(p.z0 <= z < p.z1 and p.at(z) < r for p in pieces([level]))
    return under % 2 == 1 or any(math.dist(point, nearest_on(c, point)) <= SAME_MM for c in level)


def _passes(line: Line, z: float) -> bool:
    """Tell whether a line passes a station, to SAME_MM."""
    z0, z1 = line.start[0] - z, line.end[0] - z
    return z0 * z1 <= 0 or abs(z0) <= SAME_MM or abs(z1) <= SAME_MM


def check_region(region: Region) -> None:
    """Prove that a region's loops bound a body, or say where they do not.

    Parameters
    ----------
    region : Region
        At least one loop; loops may meet in points

    Raises
    ------
    BadValue
        At the first loop that is open, has a piece of no length, an arc off its circle or a point beyond the
        axis; where boundaries cross or run along each other; where an outer loop runs clockwise; where no
        area is enclosed

    Notes
    -----
    The proof is by winding: over every slab the boundary, passed from the axis outwards, must enter material
    and leave it in turn.

    Examples
    --------
    >>> check_region(ring(0, 10, 8, 6))
    >>> check_region(polygon([(0, 0), (8, 4), (8, 0), (0, 4)]))  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    ...
    turnmodel.errors.BadValue: boundary at station 4 mm, diameter 4 mm: winding -1: it crosses itself ...
    """
    for loop in region.loops:
        for curve, then in zip(loop, (*loop[1:], *loop[:1]), strict=True):
            _check_curve(curve)
            if curve.end != then.start:
                gap = math.dist(curve.end, then.start)
                raise BadValue(
                    f"{_place(curve.end)}: gap", gap, "mm", "a boundary is closed", "join the ends"
                )
    if not pieces(region.loops):
        raise BadValue("region: area", 0.0, "mm2", "a region encloses something")
    _check_uprights(region)
    _check_winding(region)


def _place(point: Point) -> str:
    """Name a place of a boundary as a turner finds it."""
    return f"boundary at station {point[0]:g} mm, diameter {2 * point[1]:g} mm"


def _check_curve(curve: Curve) -> None:
    """Refuse a piece of no length, beyond the axis, or off its circle."""
    length = math.dist(curve.start, curve.end)
    if not SAME_MM < length < math.inf:
        rule = "a piece has two ends apart"
        raise BadValue(
            f"{_place(curve.start)}: chord", length, "mm", rule, "leave it out or halve the circle"
        )
    least = box(curve).r0
    if not least >= -SAME_MM:
        at = f"boundary from station {curve.start[0]:g} to {curve.end[0]:g} mm: diameter"
        raise BadValue(at, 2 * least, "mm", "nothing lies beyond the axis", "the least is 0 mm")
    if isinstance(curve, Arc):
        off = abs(math.dist(curve.end, curve.center) - curve.radius)
        if not off <= CONTACT_MM:
            rule = "both ends of an arc lie on its circle"
            raise BadValue(f"{_place(curve.end)}: off the circle by", off, "mm", rule)


def _check_uprights(region: Region) -> None:
    """Refuse upright lines that run along each other, which no slab shows."""
    upright = sorted(
        (*min(c.start, c.end), max(c.start[1], c.end[1]))
        for loop in region.loops
        for c in loop
        if isinstance(c, Line) and abs(c.end[0] - c.start[0]) <= SAME_MM
    )
    for (z0, _, high), (z1, low, _) in pairwise(upright):
        if z1 - z0 <= SAME_MM and high - low > SAME_MM:
            raise BadValue(
                f"{_place((z1, low))}: length", high - low, "mm", "faces run along each other here"
            )


def _check_winding(region: Region) -> None:
    """Refuse loops that do not enter and leave material in turn from the axis outwards."""
    cut = slabs(pieces(region.loops), within_one=True)
    wrong = [_misplaced(slab) for slab in cut]
    first = next((found for found in wrong if found), None)
    if first is None:
        return
    if all(found and found[0] < 0 for found in wrong):
        rule, mend = "an outer boundary runs counter-clockwise, z to the right and r up", "reverse it"
    else:
        rule, mend = "it crosses itself or runs along itself here", None
    change = next((k for k, (a, b) in enumerate(pairwise(wrong), 1) if (a is None) != (b is None)), 0)
    winding, p = wrong[change] or wrong[change - 1] or first
    raise BadValue(f"{_place((cut[change].z0, p.at(cut[change].z0)))}: winding", winding, "-", rule, mend)


def _misplaced(slab: Slab) -> tuple[int, Piece] | None:
    """Find the first layer of a slab after which the winding is neither 0 nor 1, or in which pieces meet."""
    winding = 0
    for layer in slab.layers:
        winding += sum(p.sense for p in layer)
        if winding not in (0, 1) or (len(layer) > 1 and slab.z1 - slab.z0 > CORNER_MM):
            return winding, layer[0]
    return None
