"""From the list of outside features to the outline of the bar that they leave."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.catalog import run_outs
from turnmodel.catalog import threads as catalog
from turnmodel.design.edge import Corner, legs, treated
from turnmodel.design.features.base import Chamfer, Edge, Fillet
from turnmodel.design.features.outside import Outside, Shoulder, Start
from turnmodel.design.features.threaded import ExternalThread, Groove, Relief
from turnmodel.design.ledger import MOST_MM, mm
from turnmodel.design.listed import titles
from turnmodel.errors import BadValue
from turnmodel.geometry.body import ThreadSpan, outermost
from turnmodel.geometry.curve import Arc, Curve, Line, Point, reversed_curve
from turnmodel.geometry.region import Region
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.ledger import Ledger

__all__ = ["Outline", "Place", "least_radius", "most_radius", "outline"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a feature came to lie: its curves before edges are treated, the radii before and after, [mm]."""

    title: str
    feature: Outside | Shoulder
    start: float
    end: float
    curves: tuple[Curve, ...]
    radius_before: float
    radius_after: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """The outside of a part: a region down to the axis, its threads, where features lie, its length [mm]."""

    region: Region
    threads: tuple[ThreadSpan, ...]
    places: tuple[Place, ...]
    length: float


def outline(features: Sequence[Outside | Shoulder], ledger: Ledger) -> Outline | None:
    """Trace the outside from the front face to the back.

    Parameters
    ----------
    features : sequence of Outside or Shoulder
        Features whose own figures have been checked
    ledger : Ledger
        Takes what is wrong

    Returns
    -------
    Outline or None
        None where a fault stands in the way; the ledger has it
    """
    places = _places(features, ledger)
    if places is None:
        return None
    runs = [place for place in places if place.curves]
    chain, edges, spans = _chain(runs, ledger)
    finished = treated(chain, edges, ledger)
    if finished is None:
        return None
    length = runs[-1].end
    if finished[-1].end[1] > 0:
        finished.append(Line(start=finished[-1].end, end=(length, 0.0)))
    finished.append(Line(start=(length, 0.0), end=finished[0].start))
    region = Region(loops=(tuple(reversed_curve(curve) for curve in reversed(finished)),))
    return Outline(region=region, threads=tuple(spans), places=tuple(places), length=length)


def _places(features: Sequence[Outside | Shoulder], ledger: Ledger) -> list[Place] | None:
    """Lay the features one behind the other; None where one of them cannot be traced."""
    real = [k for k, feature in enumerate(features) if isinstance(feature, Outside)]
    if not real:
        ledger.fault(None, "nothing outside", "a turned part has a feature there at the least")
        return None
    station = radius = 0.0
    ahead = [catalog.thread(f.size) if isinstance(f, ExternalThread) else None for f in features]
    thread: catalog.Thread | None = next((t for t in ahead if t), None)
    traced: list[tuple[float, float, tuple[Curve, ...]]] = []
    sound = True
    for k, (title, feature) in enumerate(zip(titles(features, "outside"), features, strict=True)):
        curves: tuple[Curve, ...] = ()
        if isinstance(feature, Outside):
            start = Start(
                station=station, radius=radius, first=k == real[0], last=k == real[-1], thread=thread
            )
            try:
                curves = feature.run(start).curves
            except BadValue as error:
                ledger.fault(title, error.subject, error.rule, error.mend, feature.where)
                sound = False
                continue
            thread = ahead[k] or thread
        before = station
        if curves:
            station, radius = curves[-1].end
            if station > MOST_MM:
                longest = f"{MOST_MM:g} mm is the longest there is"
                ledger.fault(title, f"ends at {station:.4g} mm", longest, None, feature.where)
                return None
        traced.append((before, station, curves))
    if not sound:
        return None
    places = []
    for k, (title, feature) in enumerate(zip(titles(features, "outside"), features, strict=True)):
        start_z, end_z, curves = traced[k]
        before = next((c[-1].end[1] for _, _, c in reversed(traced[:k]) if c), 0.0)
        after = next((c[0].start[1] for _, _, c in traced[k + 1 :] if c), 0.0)
        places.append(
            Place(
                title=title,
                feature=feature,
                start=start_z,
                end=end_z,
                curves=curves,
                radius_before=before,
                radius_after=after,
            )
        )
    return places if _whole(places, ledger) else None


def _whole(places: Sequence[Place], ledger: Ledger) -> bool:
    """Hold the traced features to what only their neighbours tell; True where nothing is wrong."""
    before = len(ledger.faults)
    runs = [place for place in places if place.curves]
    for k, place in enumerate(runs):
        feature = place.feature
        ends_thin = k < len(runs) - 1 and place.curves[-1].end[1] <= SAME_MM
        starts_thin = place.radius_before > SAME_MM and place.curves[0].start[1] <= SAME_MM
        needle = all(c.start[1] + c.end[1] <= SAME_MM for c in place.curves)
        if needle or ends_thin or starts_thin:
            ledger.fault(
                place.title, "diameter 0 mm", "only an end comes to a point", "give it a diameter",
                feature.where,
            )  # fmt: skip
        if not isinstance(feature, Groove | Relief):
            continue
        bottom, beside = place.curves[0].start[1], max(place.radius_before, place.radius_after)
        if bottom >= beside - SAME_MM:
            ledger.fault(
                place.title, f"diameter {2 * bottom:g} mm", f"cuts nothing beside {2 * beside:g} mm",
                f"make it less than {2 * beside:g} mm", feature.where,
            )  # fmt: skip
        beside_it = [runs[n].feature for n in (k - 1, k + 1) if 0 <= n < len(runs)]
        if isinstance(feature, Relief) and not any(isinstance(f, ExternalThread) for f in beside_it):
            ledger.fault(
                place.title, "", "a relief stands beside a thread", "move it there, or use groove",
                feature.where,
            )  # fmt: skip
    return len(ledger.faults) == before


def _chain(runs: Sequence[Place], ledger: Ledger) -> tuple[list[Curve], dict[int, Corner], list[ThreadSpan]]:
    """Join the runs by walls; tell which edge treats the corner behind each curve; cut the threads."""
    chain: list[Curve] = []
    edges: dict[int, Corner] = {}
    spans: list[ThreadSpan] = []
    at: Point = (0.0, 0.0)
    for k, place in enumerate(runs):
        feature = place.feature
        assert isinstance(feature, Outside)
        front, back = feature.front or feature.edges, feature.back or feature.edges
        if isinstance(feature, ExternalThread):
            grooved = [
                0 <= n < len(runs) and isinstance(runs[n].feature, Groove | Relief) for n in (k - 1, k + 1)
            ]
            span, front, back = _cut_thread(place, feature, (front, back), grooved, ledger)
            if span is not None:
                spans.append(span)
        if isinstance(feature, Groove) and mm(feature.radius) > 0:
            rounding = Fillet(feature.radius, where=feature.where)
            front, back = front or rounding, back or rounding
        begin = place.curves[0].start
        if at[1] != begin[1]:
            chain.append(Line(start=at, end=begin))
        if front is not None and chain:
            if (other := edges.get(len(chain) - 1)) is not None:
                ledger.fault(
                    place.title, f"{front.word} at its front", f"the same corner is treated by {other[1]}",
                    "keep one of them", feature.where,
                )  # fmt: skip
            edges[len(chain) - 1] = (front, place.title, feature)
        chain.extend(place.curves)
        at = chain[-1].end
        if back is not None:
            edges[len(chain) - 1] = (back, place.title, feature)
    if at[1] > 0:
        chain.append(Line(start=at, end=(at[0], 0.0)))
    return chain, edges, spans


def _cut_thread(
    place: Place,
    feature: ExternalThread,
    asked: tuple[Edge | None, Edge | None],
    grooved: Sequence[bool],
    ledger: Ledger,
) -> tuple[ThreadSpan | None, Edge | None, Edge | None]:
    """Cut a thread: chamfered where its end is free, run out under the die's lead where it is not."""
    thread = catalog.thread(feature.size)
    crest, root = place.curves[0].start[1], thread.root_d / 2
    depth = crest - root
    lead = run_outs.die_lead().high * thread.pitch
    ends = []
    neighbours = (place.radius_before, place.radius_after)
    for edge, neighbour, groove, word in zip(asked, neighbours, grooved, ("front", "back"), strict=True):
        free = neighbour <= root + SAME_MM
        if isinstance(edge, Chamfer) or edge is None:
            cut = None if edge is None else legs(edge)
        else:
            ledger.fault(
                place.title, f"{word} {edge.word}", "a thread's end takes a chamfer", "write chamfer(...)",
                feature.where,
            )  # fmt: skip
            cut = None
        if free and cut is None and not groove:
            edge = Chamfer(depth, where=feature.where)
            cut = (depth, depth)
            ledger.default(place.title, f"{word} end chamfered 45 degrees to the root, {depth:.2f} mm")
        ends.append((edge if isinstance(edge, Chamfer) else None, cut, free))
    (front, front_cut, front_free), (back, back_cut, back_free) = ends
    z0, z1 = place.start, place.end
    ceiling: list[Point] = []
    ceiling += (
        [(z0, crest)] if front_cut is None else [(z0, crest - front_cut[1]), (z0 + front_cut[0], crest)]
    )
    ceiling += [(z1, crest)] if back_cut is None else [(z1 - back_cut[0], crest), (z1, crest - back_cut[1])]
    floor: list[Point] = []
    floor += [(z0, root)] if front_free else [(z0, crest), (z0 + lead, root)]
    floor += [(z1, root)] if back_free else [(z1 - lead, root), (z1, crest)]
    if any(b[0] < a[0] for line in (ceiling, floor) for a, b in itertools.pairwise(line)):
        ends_need = sum(cut[0] for cut in (front_cut, back_cut) if cut)
        least = max(lead * ((not front_free) + (not back_free)), ends_need)
        ledger.fault(
            place.title, f"length {z1 - z0:g} mm", f"its chamfer and run-out alone take {least:.2f} mm",
            f"make it {least + 2 * thread.pitch:.1f} mm or longer, or put a relief behind it", feature.where,
        )  # fmt: skip
        return None, None, None
    if not (front_free and back_free):
        ledger.default(
            place.title, f"runs out over {lead:.2f} mm, the lead of a die; full thread for the rest"
        )
    span = ThreadSpan(
        thread=thread,
        external=True,
        start=z0,
        end=z1,
        anchor=z0,
        floor=outermost(floor, ceiling, min),
        ceiling=tuple(ceiling),
    )
    return span, front, back


def most_radius(outer: Outline, z0: float, z1: float) -> float:
    """Greatest outside radius between two stations, [mm]."""
    most = 0.0
    for place in outer.places:
        for c in place.curves:
            if c.end[0] < z0 or c.start[0] > z1:  # nearly all of a long part
                continue
            low, high = max(z0, c.start[0]), min(z1, c.end[0])
            most = max(most, _radius_at(c, low), _radius_at(c, high))
            if isinstance(c, Arc) and c.turn < 0 and low < c.center[0] < high:
                most = max(most, c.center[1] + c.radius)
    return most


def least_radius(outer: Outline, z0: float, z1: float) -> float:
    """Least outside radius between two stations, as edges leave it untreated, [mm]."""
    least = math.inf
    for place in outer.places:
        for c in place.curves:
            if c.start[0] < z1 + SAME_MM and c.end[0] > z0 - SAME_MM:
                low, high = (min(max(z, c.start[0]), c.end[0]) for z in (z0, z1))
                least = min(least, _radius_at(c, low), _radius_at(c, high))
                if isinstance(c, Arc) and c.turn > 0 and low < c.center[0] < high:
                    least = min(least, c.center[1] - c.radius)
    return least


def _radius_at(curve: Curve, z: float) -> float:
    if isinstance(curve, Line):
        (z0, r0), (z1, r1) = curve.start, curve.end
        return r0 + (r1 - r0) * (z - z0) / (z1 - z0)
    away = math.sqrt(max(curve.radius**2 - (z - curve.center[0]) ** 2, 0.0))
    return curve.center[1] - curve.turn * away
