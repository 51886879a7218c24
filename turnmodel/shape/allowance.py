"""The surface of a turned part moved in or out by an allowance, run by run, every station kept.

A run is what a tool passes over without a step: the outside or a hole between two shoulders, or the length
of a thread. Each is moved as a whole, across the axis alone, so that chamfers and shoulders keep their
stations.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.geometry.body import Body
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.curve import Arc, Curve, Line, on_arc
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, bounds, check_region, polygon
from turnmodel.geometry.thread_moments import envelope
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from turnmodel.design.outline import Place
    from turnmodel.design.turned import Bored, Turned
    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.geometry.curve import Point

__all__ = ["Recut", "Run", "deepened", "eased", "footed", "radius_at", "runs"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A stretch of surface without a step: its curves, whether it is a hole's, the thread cut in it."""

    curves: tuple[Curve, ...]
    inside: bool
    thread: ThreadSpan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Recut:
    """What is cut where a thread was: a thread, or None; and the plain outline there, (z, r) rising [mm]."""

    thread: ThreadSpan | None
    outline: tuple[Point, ...]


def runs(body: Body) -> tuple[Run, ...]:
    """List the runs of a body's surface, in the order of its boundary.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> [run.inside for run in runs(Body(plain=ring(0, 10, 8, 6)))]
    [True, False]
    """
    return tuple(
        item for loop in body.plain.loops for item in _stretches(loop, body.threads) if isinstance(item, Run)
    )


def eased(made: Turned, by: Mapping[Run, float], threads: Mapping[ThreadSpan, Recut]) -> Turned:
    """Move the runs of a part's surface, and cut its threads anew.

    Parameters
    ----------
    made : Turned
        The part
    by : mapping
        Run to what is added to its diameter, below 0 to make it smaller; a run left out stays, [mm]
    threads : mapping
        Thread to what is cut in its place; one left out stays

    Returns
    -------
    Turned
        The part, all its stations as they were

    Raises
    ------
    BadValue
        If the surface would cross itself

    Notes
    -----
    A piece that runs to the axis stays where moving it would carry it beyond.
    """
    body = made.body
    plain = Region(
        loops=tuple(
            _joined([c for item in _stretches(loop, body.threads) for c in _moved(item, by, threads)])
            for loop in body.plain.loops
        )
    )
    check_region(plain)
    recut = [threads[span].thread if span in threads else span for span in body.threads]
    return replace(
        made,
        body=Body(plain=plain, threads=tuple(span for span in recut if span)),
        outside=_renewed([_place(place, body, by, threads) for place in made.outside]),
        inside=tuple(_bored(bored, body, by, threads) for bored in made.inside),
    )


def radius_at(curve: Curve, z: float) -> float:
    """Radius of a curve that is a function of the station, at a station within it, both [mm]."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    if isinstance(curve, Line):
        return r0 if z1 == z0 else r0 + (r1 - r0) * (z - z0) / (z1 - z0)
    dz = z - curve.center[0]
    rise = math.sqrt(max(0.0, (curve.radius - dz) * (curve.radius + dz)))
    return curve.center[1] + (rise if on_arc(curve, dz, rise) else -rise)


def deepened(made: Turned, bored: Bored, by: float, wall: float) -> Turned:
    """Make a blind hole deeper, its wall kept, and its floor's shape.

    Parameters
    ----------
    made : Turned
        The part
    bored : Bored
        A hole of it
    by : float
        How much deeper, [mm]
    wall : float
        What must be left behind its floor, [mm]

    Returns
    -------
    Turned
        The part, as it was where the hole has no floor of its own or too little would be left behind
    """
    way = -1.0 if bored.from_back else 1.0
    body = made.body
    if by <= 0 or not bored.floor or not all(isinstance(curve, Line) for curve in bored.floor):
        return made
    behind = [_swept(curve, way * (by + wall)) for curve in bored.floor]
    if any(_area(difference(region, body.plain)) > _LEAST_AREA for region in behind):
        return made
    plain = difference(body.plain, *(_swept(curve, way * by) for curve in bored.floor))
    floor = tuple(
        Line(start=(c.start[0] + way * by, c.start[1]), end=(c.end[0] + way * by, c.end[1]))
        for c in bored.floor
    )
    deeper = replace(bored, floor=floor)
    return replace(
        made,
        body=replace(body, plain=plain),
        inside=tuple(deeper if other is bored else other for other in made.inside),
    )


def footed(made: Turned, by: float, *, back: bool) -> Turned:
    """Chamfer the sharp corners of an end that stands on the plate, where the first layers spread.

    Parameters
    ----------
    made : Turned
        The part
    by : float
        Size of the chamfers, [mm]
    back : bool
        Whether it stands on its back

    Returns
    -------
    Turned
        The part; corners that are chamfered or threaded already stay as they are
    """
    plain = made.body.plain
    ends = bounds(plain)
    station, way = (ends.z1, -1.0) if back else (ends.z0, 1.0)
    curves = [curve for loop in plain.loops for curve in loop]
    flats = [c for c in curves if max(abs(p[0] - station) for p in (c.start, c.end)) < CONTACT_MM]
    cutters = []
    for flat in flats if by > 0 else ():
        low, high = sorted((flat.start[1], flat.end[1]))
        for r, inward in ((low, by), (high, -by)):
            if (
                r <= SAME_MM
                or high - low <= 2 * by
                or not _sharp(curves, (station, r), by, made.body.threads)
            ):
                continue
            corners = [(station, r), (station, r + inward), (station + way * by, r)]
            cutters.append(polygon(corners if way * inward < 0 else corners[::-1]))
    if not cutters:
        return made
    return replace(made, body=replace(made.body, plain=difference(plain, *cutters)))


_LEAST_AREA: Final = 1e-6
"""An area [mm2] of less is rounding: a film of a nanometre over a millimetre."""


def _area(region: Region) -> float:
    return area(region) if region.loops else 0.0


def _swept(floor: Curve, by: float) -> Region:
    """Bound what a floor sweeps as it moves along the axis."""
    (z0, r0), (z1, r1) = sorted((floor.start, floor.end), key=lambda point: point[1])
    corners = [(z0, r0), (z0 + by, r0), (z1 + by, r1), (z1, r1)]
    return polygon(corners if by > 0 else corners[::-1])


def _sharp(curves: Iterable[Curve], corner: Point, by: float, threads: Iterable[ThreadSpan]) -> bool:
    """Tell whether the surface leaves a corner of an end along the axis, plain as far as a chamfer takes."""
    if any(min(abs(span.start - corner[0]), abs(span.end - corner[0])) < CONTACT_MM for span in threads):
        return False
    for curve in curves:
        if corner not in (curve.start, curve.end):
            continue
        other = curve.end if curve.start == corner else curve.start
        if isinstance(curve, Line) and abs(other[0] - corner[0]) >= by:
            return abs(other[1] - corner[1]) <= abs(other[0] - corner[0]) / 2
    return False


# How a boundary is parted into runs, and each of them moved.


def _way(curve: Curve) -> int:
    """Tell the sense in which a curve runs along the axis, 0 for an upright line."""
    dz = curve.end[0] - curve.start[0]
    return 0 if abs(dz) <= SAME_MM else 1 if dz > 0 else -1


def _stretches(loop: Sequence[Curve], threads: Sequence[ThreadSpan]) -> list[Run | Line]:
    """Part a loop into runs and what lies on the axis; steps are left out.

    With the metal on the left, rising stations are a hole's and falling ones the outside's.
    """
    curves = [part for curve in loop for part in _parted(curve, threads)]
    tags = [None if _bare(curve) else (_way(curve) > 0, _thread_of(curve, threads)) for curve in curves]
    first = next((k for k, tag in enumerate(tags) if tag is None or tag != tags[k - 1]), 0)
    found: list[Run | Line] = []
    before = None
    for curve, tag in zip([*curves[first:], *curves[:first]], [*tags[first:], *tags[:first]], strict=True):
        last = found[-1] if found else None
        if tag is None:
            if _way(curve) and isinstance(curve, Line):
                found.append(curve)
        elif tag == before and isinstance(last, Run):
            found[-1] = replace(last, curves=(*last.curves, curve))
        else:
            found.append(Run(curves=(curve,), inside=tag[0], thread=tag[1]))
        before = tag
    return found


def _bare(curve: Curve) -> bool:
    """Tell whether a curve belongs to no run: a step, or a line on the axis."""
    return _way(curve) == 0 or (isinstance(curve, Line) and max(curve.start[1], curve.end[1]) <= SAME_MM)


def _parted(curve: Curve, threads: Iterable[ThreadSpan]) -> list[Curve]:
    """Part a line where a thread begins or ends."""
    if _bare(curve) or isinstance(curve, Arc):
        return [curve]
    low, high = sorted((curve.start[0], curve.end[0]))
    marks = {
        z for span in threads for z in (span.start, span.end) if low + CONTACT_MM < z < high - CONTACT_MM
    }
    inner = [(z, radius_at(curve, z)) for z in sorted(marks, reverse=_way(curve) < 0)]
    return [Line(start=a, end=b) for a, b in pairwise([curve.start, *inner, curve.end])]


def _thread_of(curve: Curve, threads: Iterable[ThreadSpan]) -> ThreadSpan | None:
    """Find the thread whose plain outline a curve is a piece of."""
    z = (curve.start[0] + curve.end[0]) / 2
    for span in threads:
        if span.external == (_way(curve) < 0) and span.start < z < span.end:
            outline = span.ceiling if span.external else span.floor
            if abs(float(envelope(outline, np.array([z]))[0]) - radius_at(curve, z)) < CONTACT_MM:
                return span
    return None


def _moved(
    item: Run | Line, by: Mapping[Run, float], threads: Mapping[ThreadSpan, Recut]
) -> tuple[Curve, ...]:
    """Give the curves of a run where they come to lie."""
    if isinstance(item, Line):
        return (item,)
    if item.thread in threads:
        assert item.thread is not None
        points = threads[item.thread].outline
        pairs = pairwise(points if item.inside else points[::-1])
        return tuple(Line(start=a, end=b) for a, b in pairs if math.dist(a, b) > SAME_MM)
    return tuple(_shifted(curve, by.get(item, 0.0) / 2) for curve in item.curves)


def _shifted(curve: Curve, dr: float) -> Curve:
    """Move a curve off the axis, unless an end of it would come to lie beyond."""
    if dr == 0 or min(curve.start[1], curve.end[1]) + dr < 0:
        return curve

    def move(point: Point) -> Point:
        return (point[0], point[1] + dr)

    if isinstance(curve, Line):
        return Line(start=move(curve.start), end=move(curve.end))
    return Arc(start=move(curve.start), end=move(curve.end), center=move(curve.center), turn=curve.turn)


def _joined(chain: Sequence[Curve]) -> tuple[Curve, ...]:
    """Close a loop by steps; ends that rounding alone holds apart are made one."""
    loop: list[Curve] = []
    for curve in chain:
        if loop and 0 < math.dist(loop[-1].end, curve.start) <= SAME_MM:
            curve = replace(curve, start=loop[-1].end)
        if loop and loop[-1].end != curve.start:
            loop.append(Line(start=loop[-1].end, end=curve.start))
        loop.append(curve)
    if 0 < math.dist(loop[-1].end, loop[0].start) <= SAME_MM:
        loop[-1] = replace(loop[-1], end=loop[0].start)
    elif loop[-1].end != loop[0].start:
        loop.append(Line(start=loop[-1].end, end=loop[0].start))
    return tuple(loop)


# What joints know of a part by its features moves with it.


def _gain(point: Point, body: Body, by: Mapping[Run, float], *, inside: bool) -> float:
    """Tell by how much the run that a point lies on is moved, on radius."""
    z, r = point
    for run in runs(body):
        for curve in run.curves if run.inside == inside else ():
            low, high = sorted((curve.start[0], curve.end[0]))
            if low - CONTACT_MM <= z <= high + CONTACT_MM:
                at = radius_at(curve, min(max(z, low), high))
                if abs(at - r) < CONTACT_MM:
                    return by.get(run, 0.0) / 2
    return 0.0


def _middle(curve: Curve) -> Point:
    z = (curve.start[0] + curve.end[0]) / 2
    return (z, radius_at(curve, z))


def _place(place: Place, body: Body, by: Mapping[Run, float], threads: Mapping[ThreadSpan, Recut]) -> Place:
    """Move a feature outside with its run; one that is threaded anew has its new crest."""
    for span, recut in threads.items():
        if span.external and place.curves and (place.start, place.end) == (span.start, span.end):
            crest = max(r for _, r in recut.outline)
            return replace(place, curves=(Line(start=(span.start, crest), end=(span.end, crest)),))
    curves = (_shifted(curve, _gain(_middle(curve), body, by, inside=False)) for curve in place.curves)
    return replace(place, curves=tuple(curves))


def _renewed(places: Sequence[Place]) -> tuple[Place, ...]:
    """Tell each feature anew what stands before and behind it."""
    found = []
    for k, place in enumerate(places):
        before = next((p.curves[-1].end[1] for p in reversed(places[:k]) if p.curves), 0.0)
        after = next((p.curves[0].start[1] for p in places[k + 1 :] if p.curves), 0.0)
        found.append(replace(place, radius_before=before, radius_after=after))
    return tuple(found)


def _bored(bored: Bored, body: Body, by: Mapping[Run, float], threads: Mapping[ThreadSpan, Recut]) -> Bored:
    """Move the floor of a hole with its run, a flat one with the wall that it meets."""
    thread = bored.thread
    if thread in threads:
        assert thread is not None
        thread = threads[thread].thread
    return replace(
        bored, floor=tuple(c for curve in bored.floor for c in _floored(curve, body, by)), thread=thread
    )


def _floored(curve: Curve, body: Body, by: Mapping[Run, float]) -> tuple[Curve, ...]:
    if _way(curve):
        tip, rim = sorted((curve.start, curve.end), key=lambda point: point[1])
        moved = _shifted(curve, _gain(rim, body, by, inside=True))
        at = min((moved.start, moved.end), key=lambda point: point[1])
        # A point that moved off the axis has become a small flat.
        return (Line(start=tip, end=at), moved) if tip[1] == 0 < at[1] else (moved,)

    def out(point: Point) -> Point:
        return (point[0], point[1] + _gain(point, body, by, inside=True)) if point[1] > 0 else point

    return (replace(curve, start=out(curve.start), end=out(curve.end)),)
