"""Union, difference and intersection of regions, exact on lines and arcs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from turnmodel.geometry.curve import Arc, Curve, Line, Point
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.region import Region
from turnmodel.geometry.sweep import slabs
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from turnmodel.geometry.pieces import Piece
    from turnmodel.geometry.sweep import Slab

__all__ = ["combination", "difference", "intersection", "union"]


def union(*regions: Region) -> Region:
    """Join regions: what is in any of them.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> bar = union(ring(0, 10, 8), ring(10, 25, 8))
    >>> [curve.end for curve in bar.loops[0]]
    [(0, 0.0), (25, 0.0), (25, 4.0), (0, 4.0)]
    """
    return combination(regions, lambda inside: inside != 0)


def difference(region: Region, *cutters: Region) -> Region:
    """Cut regions out of a region: what is in the first and in none of the others.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> tube = difference(ring(0, 10, 8), ring(-1, 11, 6))
    >>> [curve.end for curve in tube.loops[0]]
    [(0, 3.0), (10, 3.0), (10, 4.0), (0, 4.0)]
    """
    return combination((region, *cutters), lambda inside: inside == 1)


def intersection(*regions: Region) -> Region:
    """Keep what is in all regions.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> intersection(ring(0, 10, 8), ring(10, 20, 8))
    Region(loops=())
    """
    everything = (1 << len(regions)) - 1
    return combination(regions, lambda inside: inside == everything)


def combination(regions: Sequence[Region], keep: Callable[[int], bool]) -> Region:
    """Combine regions by a rule on which of them a point is in.

    Parameters
    ----------
    regions : sequence of Region
        The first is bit 1, the second bit 2, the third bit 4 and so on
    keep : callable
        Tells from the sum of the bits of the regions that cover a point whether it is kept; false of 0

    Returns
    -------
    Region
        Loops of lines and arcs. Ends of the given curves that survive keep their very floats; loops meet at
        most in points. No loops where nothing is left.

    Notes
    -----
    Faces closer than SAME_MM are one face, the first region's; a loop no wider than that is left out.
    """
    cut = slabs([p for i, region in enumerate(regions) for p in pieces(region.loops, 1 << i)])
    loops = map(_merged, _traced(_edges(cut, keep)))
    return Region(loops=tuple(loop for loop in loops if not _sliver(loop)))


class _Edge(NamedTuple):
    """A run along a piece over one slab, or upright at a station (no curve), with the region on its left."""

    start: Point
    end: Point
    curve: Curve | None
    turn: int = 0


def _edges(cut: list[Slab], keep: Callable[[int], bool]) -> Iterator[_Edge]:
    """Emit the boundary of what is kept: layers where the rule changes, uprights where slabs differ."""
    if not cut:
        return
    before: list[Piece] = []
    starts: list[Point] = []
    for slab in (*cut, None):
        z = slab.z0 if slab else cut[-1].z1
        after = _faces(slab.layers, keep) if slab else []
        snapped = _snapped([p.at(z) for p in before] + [p.at(z) for p in after], before + after)
        left, right = snapped[: len(before)], snapped[len(before) :]
        for i, (p, start, r) in enumerate(zip(before, starts, left, strict=True)):
            if i % 2:
                yield _Edge((z, r), start, p.curve, p.side)
            else:
                yield _Edge(start, (z, r), p.curve, -p.side)
        yield from _uprights(z, left, right)
        before, starts = after, [(z, r) for r in right]


def _faces(layers: list[list[Piece]], keep: Callable[[int], bool]) -> list[Piece]:
    """Pick the layers where keeping begins and ends, alternately, from the axis outwards."""
    faces: list[Piece] = []
    inside, kept = 0, False
    for layer in layers:
        for p in layer:
            inside ^= p.owner
        if keep(inside) != kept:
            kept = not kept
            faces.append(layer[0])
    return faces


def _snapped(heights: list[float], faces: list[Piece]) -> list[float]:
    """Bring heights at one station closer than 2 SAME_MM to one, a given end's rather than a computed one."""
    order = sorted(range(len(heights)), key=heights.__getitem__)
    snapped = list(heights)
    group: list[int] = []
    for i in order:
        if group and heights[i] - heights[group[-1]] <= 2 * SAME_MM:
            group.append(i)
            best = min(group, key=lambda j: (heights[j] not in (faces[j].r0, faces[j].r1), faces[j].owner))
            for j in group:
                snapped[j] = heights[best]
        else:
            group = [i]
    return snapped


def _uprights(z: float, left: list[float], right: list[float]) -> Iterator[_Edge]:
    """Emit the upright faces at a station: rising where more is kept on the left, else falling.

    Counting, not toggling, keeps the boundary closed where a crossing beside the station leaves the heights
    of two steep curves in the wrong order.
    """
    more = 0
    last = 0.0
    for r in sorted({*left, *right}):
        for _ in range(abs(more)):
            yield _Edge((z, last), (z, r), None) if more > 0 else _Edge((z, r), (z, last), None)
        for sign, heights in ((1, left), (-1, right)):
            more += sign * (heights[::2].count(r) - heights[1::2].count(r))
        last = r


def _traced(edges: Iterator[_Edge]) -> Iterator[list[_Edge]]:
    """Follow edges head to tail into loops that pass no point twice."""
    leaving: dict[Point, list[_Edge]] = {}
    for edge in edges:
        leaving.setdefault(edge.start, []).append(edge)
    for first in list(leaving):
        path: list[_Edge] = []
        place: dict[Point, int] = {}
        at = first
        while path or leaving[at]:
            if at in place:
                loop = path[place[at] :]
                del path[place[at] :]
                for edge in loop:
                    del place[edge.start]
                yield loop
            else:
                place[at] = len(path)
                path.append(leaving[at].pop())
                at = path[-1].end


def _merged(loop: list[_Edge]) -> tuple[Curve, ...]:
    """Join edges that carry one line or circle on, and give them as lines and arcs."""
    runs: list[_Edge] = []
    for edge in loop:
        if runs and _carries_on(runs[-1], edge):
            runs[-1] = runs[-1]._replace(end=edge.end)
        else:
            runs.append(edge)
    if len(runs) > 2 and _carries_on(runs[-1], runs[0]):
        runs[0] = runs.pop()._replace(end=runs[0].end)
    return tuple(
        Arc(start=run.start, end=run.end, center=run.curve.center, turn=run.turn)
        if isinstance(run.curve, Arc)
        else Line(start=run.start, end=run.end)
        for run in runs
    )


def _carries_on(first: _Edge, then: _Edge) -> bool:
    """Tell whether an edge goes on along the line or circle of the one before; never round to its start."""
    if first.turn != then.turn or first.start == then.end:
        return False
    if first.curve is then.curve:
        return True
    if isinstance(first.curve, Arc) and isinstance(then.curve, Arc):
        same_center = math.dist(first.curve.center, then.curve.center) <= SAME_MM
        return same_center and abs(first.curve.radius - then.curve.radius) <= SAME_MM
    (z0, r0), (z1, r1), (z2, r2) = first.start, first.end, then.end
    ahead = (z1 - z0) * (z2 - z1) + (r1 - r0) * (r2 - r1)
    off = (z1 - z0) * (r2 - r0) - (r1 - r0) * (z2 - z0)
    return ahead > 0 and abs(off) <= SAME_MM * math.hypot(z2 - z0, r2 - r0)


def _sliver(loop: tuple[Curve, ...]) -> bool:
    """Tell whether a loop is nowhere wider than SAME_MM, by its area over its length."""
    twice, length = 0.0, 0.0
    for c in loop:
        twice += c.start[0] * c.end[1] - c.start[1] * c.end[0]
        if isinstance(c, Arc):
            radius, sweep = c.radius, c.sweep
            twice += radius * radius * (sweep - math.sin(sweep))
            length += radius * abs(sweep)
        else:
            length += math.dist(c.start, c.end)
    return abs(twice) <= SAME_MM * length
