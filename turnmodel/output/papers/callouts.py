"""The sizes of a turned part that its drawing gives: each that shows on the finished part, once."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from turnmodel.design.features.across import Round
from turnmodel.design.features.dimension import Callout, Kind, callout_at
from turnmodel.geometry.curve import Curve, Line, Point
from turnmodel.output.papers.called import Called
from turnmodel.output.papers.edge_sizes import counted, edge_sizes, edges_joined, traced
from turnmodel.output.papers.shape import in_plane
from turnmodel.output.papers.tracing import ON_MM, is_on, is_part_of, middle_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from turnmodel.design.outline import Place
    from turnmodel.design.turned import Bored, CrossCut, Turned

__all__ = ["DrawnSizes", "drawn_sizes"]

POINT_ANGLE: Final = 118.0
"""Drill points of this angle [degrees] are told in a note."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSizes:
    """Every size of a part: those called out over it, the stations and depths under it, and the notes."""

    labels: tuple[Called, ...]
    stations: tuple[Called, ...]
    notes: tuple[str, ...]


def drawn_sizes(made: Turned) -> DrawnSizes:
    """List the sizes of a part that its drawing gives."""
    outlines = traced(made)
    curves = [c for loop in made.body.plain.loops for c in edges_joined(loop, outlines)]
    outer = [called for place in made.outside for called in _outside(place, made, curves)]
    edges = edge_sizes(curves, outlines)
    inner = [called for hole in made.inside for called in _inside(hole, made.length, curves)]
    cross = [called for cut in made.across for called in _across(cut, made)]
    inner += _rest([*outer, *edges, *inner], curves, made.length)
    points = [c for c in inner if c.callout.kind is Kind.ANGLE and _is_point(c.callout)]
    labels = _once(
        [*outer, *counted(edges), *(c for c in inner if c not in points and not _is_station(c)), *cross]
    )
    stations = _once([*_stations(made, curves), *(c for c in (*inner, *cross) if _is_station(c))])
    notes = [f"drill points {POINT_ANGLE:g}°"] if points else []
    return DrawnSizes(
        labels=tuple(c for c in labels if not _is_station(c)),
        stations=tuple(stations),
        notes=tuple(notes),
    )


def _is_station(called: Called) -> bool:
    return called.callout.kind in (Kind.STATION, Kind.DEPTH)


def _is_point(callout: Callout) -> bool:
    return abs(callout.value - POINT_ANGLE) < ON_MM


def _straight(over: tuple[Point, Point]) -> bool:
    return over[0] != over[1]


def _left(callout: Callout, curves: Iterable[Curve]) -> Callout | None:
    """Keep a callout where its place shows on the finished part: on the longest piece that is left of it."""
    if not _straight(callout.over):
        return callout if any(is_on(c, callout.over[0]) for c in curves) else None
    nominal = Line(start=callout.over[0], end=callout.over[1])
    pieces = [c for c in curves if isinstance(c, Line) and is_part_of(c, nominal)]
    if not pieces:
        return None
    longest = max(pieces, key=lambda c: math.dist(c.start, c.end))
    over = (longest.start, longest.end)
    return replace(callout, over=over if over[0] <= over[1] else over[::-1])


def _outside(place: Place, made: Turned, curves: Sequence[Curve]) -> list[Called]:
    """Call out a feature outside; a corner that is rounded off is measured where it would be sharp."""
    if not place.curves:
        return []
    callouts = place.feature.callouts(place.curves)  # type: ignore[union-attr]
    if _goes_on(place, made):
        callouts = tuple(c for c in callouts if c.kind is not Kind.DIAMETER)
    left = [c for c in curves if any(is_part_of(c, n) for n in place.curves)]
    found = []
    for callout in callouts:
        if (kept := _left(callout, curves)) is not None:
            reach = (callout.over[0][0], _level_to(place, made)) if _straight(callout.over) else None
            found.append(Called(callout=_with_run_out(kept, place, made), reach=reach))
        elif callout.kind in (Kind.RADIUS, Kind.HALF_ANGLE) and left:
            at = middle_of(max(left, key=lambda c: math.dist(c.start, c.end)))
            found.append(Called(callout=replace(callout, over=(at, at))))
        elif callout.kind is Kind.DIAMETER and not _straight(callout.over):
            found.append(Called(callout=callout, virtual=True))
        elif callout.kind is Kind.DIAMETER:  # two roundings left a point of it, or chamfers nothing
            nominal = Line(start=callout.over[0], end=callout.over[1])
            touching = [p for c in curves for p in (c.start, c.end) if is_on(nominal, p)]
            at = touching[0] if touching else middle_of(nominal)
            found.append(Called(callout=replace(callout, over=(at, at)), virtual=not touching))
    return found


def _with_run_out(callout: Callout, place: Place, made: Turned) -> Callout:
    """Add to a thread's name how long it may run out against a shoulder."""
    if callout.kind is not Kind.THREAD:
        return callout
    span = next(t for t in made.body.threads if t.external and abs(t.start - place.start) < ON_MM)
    ends = [b[0] - a[0] for a, b in pairwise(span.floor) if abs(a[1] - b[1]) > ON_MM]
    if not ends:
        return callout
    words = callout.words + ", run-out {1} at most"
    return replace(callout, words=words, also=(*callout.also, max(ends)))


def _rest(told: Sequence[Called], curves: Sequence[Curve], length: float) -> list[Called]:
    """Call out what is left of a hole's cones and floors where the sizes they were cut by do not show."""
    slopes = (Kind.ANGLE, Kind.SINK, Kind.CHAMFER, Kind.HALF_ANGLE)
    found = []
    for curve in (c for c in curves if isinstance(c, Line)):
        (z0, r0), (z1, r1) = curve.start, curve.end
        if abs(r1 - r0) < ON_MM or abs(z1 - z0) < ON_MM:
            continue
        if any(e.callout.kind in slopes and _touches(e.callout, curve) for e in told):
            continue
        angle = math.degrees(math.atan2(abs(r1 - r0), abs(z1 - z0)))
        faces = [p for p in (curve.start, curve.end) if p[0] < ON_MM or abs(p[0] - length) < ON_MM]
        if faces and abs(2 * angle - round(2 * angle)) < ON_MM:
            words = f"⌀{{0}}×{round(2 * angle)}°"
            callout = callout_at(Kind.SINK, 2 * faces[0][1], faces[0], words)
        else:
            callout = callout_at(Kind.HALF_ANGLE, angle, middle_of(curve), "{0}° to the axis")
        found.append(Called(callout=callout, inside=True))
    return found


def _touches(callout: Callout, curve: Curve) -> bool:
    """Whether a size is measured on a piece of the outline."""
    (z0, r0), (z1, r1) = callout.over
    return is_on(curve, ((z0 + z1) / 2, (r0 + r1) / 2))


def _at_station(callout: Callout, length: float) -> Callout:
    """Put a callout by depths from the back face into stations."""
    a, b = ((length - z, r) for z, r in callout.over)
    return replace(callout, over=(b, a))


def _inside(hole: Bored, length: float, curves: Sequence[Curve]) -> list[Called]:
    """Call out a hole: what of it shows."""
    found = []
    for callout in hole.feature.callouts(hole.cuts, length):
        placed = _at_station(callout, length) if hole.from_back else callout
        if hole.thread is not None and (callout.kind is Kind.THREAD or _thread_end(hole, callout)):
            kept: Callout | None = _within(placed, hole)
        else:
            kept = _left(placed, curves)
        if kept is not None:
            found.append(Called(callout=kept, inside=True, from_back=hole.from_back))
    return _tapers_told(found)


def _tapers_told(found: list[Called]) -> list[Called]:
    """Make the half-angle of a taper a size of its own where one of its diameters does not show."""
    ends = [e for e in found if e.callout.kind is Kind.DIAMETER and not _straight(e.callout.over)]
    if len(ends) != 1:
        return found
    return [
        replace(e, callout=replace(e.callout, words="{0}° to the axis", reference=False))
        if e.callout.kind is Kind.HALF_ANGLE
        else e
        for e in found
    ]


def _thread_end(hole: Bored, callout: Callout) -> bool:
    assert hole.thread is not None
    return callout.kind is Kind.DEPTH and abs(callout.over[0][1] - hole.thread.thread.major_d / 2) < ON_MM


def _within(callout: Callout, hole: Bored) -> Callout:
    """Keep a thread's stretch to where it is cut."""
    assert hole.thread is not None
    low, high = hole.thread.start, hole.thread.end
    over = sorted((min(max(z, low), high), r) for z, r in callout.over)
    return replace(callout, over=(over[0], over[1]))


def _across(cut: CrossCut, made: Turned) -> list[Called]:
    """Call out what is cut across, with its angle where there are others to turn it from."""
    part = Round(length=made.length, radius=lambda a, b: _surface(cut, made, (a + b) / 2))
    found = []
    for callout in cut.feature.callouts(part):
        if callout.kind is Kind.STATION and callout.value < ON_MM:
            continue
        if callout.kind is Kind.CROSS and len(made.across) > 1:
            callout = replace(callout, words=f"{callout.words}, at {_angle(cut):g}°")
        found.append(Called(callout=callout))
    return found


def _surface(cut: CrossCut, made: Turned, z: float) -> float:
    """Radius [mm] at which a feature across opens at a station [mm]: on a flat, where one is cut there."""
    height = cut.surface_r
    for tool in (tool for other in made.across if other is not cut for tool in other.tools):
        for bit in in_plane(tool, _angle(cut)):
            z0, low, z1, high = bit.area.bounds
            if z0 < z < z1 and 0 < low < height < high:
                height = low
    return height


def _angle(cut: CrossCut) -> float:
    """Where a feature stands round the axis, [degrees]."""
    return float(getattr(cut.feature, "angle", 0.0)) % 360


def _runs_on(place: Place, after: Place) -> bool:
    """Whether a length goes on at the same diameter as the one before, with nothing to tell them apart."""
    words = [
        {(c.kind, c.words, round(c.value, 6)) for c in p.feature.callouts(p.curves)}  # type: ignore[union-attr]
        for p in (place, after)
    ]
    pieces = [*place.curves, *after.curves]
    level = all(isinstance(c, Line) and abs(c.start[1] - c.end[1]) < ON_MM for c in pieces)
    return level and words[0] == words[1]


def _goes_on(place: Place, made: Turned) -> bool:
    """Whether a length is told with one before it at the same diameter, over knurls between them."""
    runs = [p for p in made.outside if p.curves]
    for before in reversed(runs[: runs.index(place)]):
        if _runs_on(before, place):
            return True
        pieces = [*before.curves, *place.curves]
        if any(abs(p[1] - place.curves[0].start[1]) > ON_MM for c in pieces for p in (c.start, c.end)):
            return False
    return False


def _level_to(place: Place, made: Turned) -> float:
    """Station where the diameter of a length ends, those counted in that go on at it."""
    for after in (p for p in made.outside if p.curves and p.start > place.start):
        if not _runs_on(place, after):
            break
        place = after
    return place.end


def _stations(made: Turned, curves: Sequence[Curve]) -> list[Called]:
    """Count off where every length outside ends, from the front face."""
    found = []
    runs = [p for p in made.outside if p.curves]
    for place, after in zip(runs, [*runs[1:], None], strict=True):
        if after is not None and _runs_on(place, after):
            continue
        z, corner = place.end, place.curves[-1].end
        ends = [p for c in curves for p in (c.start, c.end) if abs(p[0] - z) < ON_MM and p[1] > ON_MM]
        if not ends:  # edges on both its sides left nothing of the shoulder but a slope
            step = sorted((corner[1], place.radius_after))
            ends = [max(c.start, c.end, key=lambda p: p[1]) for c in curves if _slopes_over(c, z, step)]
            z = ends[0][0] if ends else z
        outer = [p for p in ends if p[1] <= max(corner[1], place.radius_after) + ON_MM]
        at = max(outer or ends, key=lambda p: p[1]) if ends else corner
        callout = callout_at(Kind.STATION, z, at)
        found.append(Called(callout=callout, virtual=not ends and abs(z - made.length) > ON_MM))
    return found


def _slopes_over(curve: Curve, z: float, step: Sequence[float]) -> bool:
    """Whether a straight slope between the radii of a step runs right over its station [mm]."""
    stations, radii = (sorted(ends) for ends in zip(curve.start, curve.end, strict=True))
    low, high = step[0] - ON_MM, step[1] + ON_MM
    return isinstance(curve, Line) and stations[0] < z < stations[1] and low < radii[0] < radii[1] < high


def _once(called: Sequence[Called]) -> list[Called]:
    """Leave out what another callout tells already: a diameter that runs on, a station named twice."""
    sized = (Kind.DIAMETER, Kind.THREAD)
    flats = [(c.callout.value, c.reach) for c in called if c.reach is not None and c.callout.kind in sized]
    found: list[Called] = []
    for entry in called:
        callout = entry.callout
        z, r = callout.over[0]
        again = (callout.kind, callout.over, round(callout.value, 6))
        if any(again == (e.callout.kind, e.callout.over, round(e.callout.value, 6)) for e in found):
            continue
        if callout.kind is Kind.DIAMETER and not _straight(callout.over):
            beside = any(
                abs(value - callout.value) < ON_MM and min(abs(end - z) for end in reach) < ON_MM
                for value, reach in flats
            )
            same = any(
                e.callout.kind is Kind.DIAMETER
                and abs(e.callout.over[0][0] - z) + abs(e.callout.over[0][1] - r) < ON_MM
                for e in found
            )
            if beside or same:
                continue
        if _is_station(entry) and any(
            _is_station(e)
            and (e.from_back, e.inside) == (entry.from_back, entry.inside)
            and abs(e.callout.value - callout.value) < ON_MM
            for e in found
        ):
            continue
        found.append(entry)
    return found
