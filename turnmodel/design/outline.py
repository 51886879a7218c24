"""From the list of outside features to the outline of the bar that they leave."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.catalog import run_outs
from turnmodel.catalog import threads as catalog
from turnmodel.design.features.base import Chamfer, Edge
from turnmodel.design.features.outside import Cylinder, Outside, Shoulder, Start
from turnmodel.design.features.threaded import ExternalThread, Groove, Relief
from turnmodel.design.ledger import check_fields, mm
from turnmodel.errors import BadValue
from turnmodel.geometry.body import ThreadSpan
from turnmodel.geometry.corner import chamfered, curve_length, filleted
from turnmodel.geometry.curve import Curve, Line, Point, reversed_curve
from turnmodel.geometry.region import Region
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.ledger import Ledger

__all__ = ["Outline", "Place", "checked_outside", "outline", "titles"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where one feature came to lie: its curves before any edge was treated, the radii that meet its ends, all [mm]."""

    title: str
    feature: Outside | Shoulder
    start: float
    end: float
    curves: tuple[Curve, ...]
    radius_before: float
    radius_after: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """The outside of a part: a region down to the axis, its threads, and where each feature lies, its length [mm]."""

    region: Region
    threads: tuple[ThreadSpan, ...]
    places: tuple[Place, ...]
    length: float


def titles(features: Sequence[object], side: str) -> list[str]:
    """Name each feature for messages: by its mark where it has one, else by its place in the list."""
    names = []
    for count, feature in enumerate(features, 1):
        word = getattr(feature, "word", type(feature).__name__)
        mark = getattr(feature, "mark", None)
        names.append(f'{word} "{mark}"' if mark else f"{word} ({side} {count})")
    return names


def checked_outside(features: Sequence[object], ledger: Ledger) -> bool:
    """Hold the outside features' own figures to their rules; True where nothing is wrong."""
    sound = True
    for title, feature in zip(titles(features, "outside"), features, strict=True):
        if not isinstance(feature, Outside | Shoulder):
            ledger.fault(title, "outside", "this is no feature of the outside", _belongs(feature))
            sound = False
            continue
        sound &= check_fields(feature, ledger, title)
        if isinstance(feature, Outside):
            for edge in (feature.edges, feature.front, feature.back):
                sound &= edge is None or _sound_edge(edge, feature, title, ledger)
        if isinstance(feature, Cylinder) and feature.knurled is not None:
            raised = feature.knurled.raised
            ledger.default(title, f"the knurl raises the diameter by about {raised:.2f} mm")
    return sound


def _belongs(feature: object) -> str | None:
    home = type(feature).__module__.rpartition(".")[2]
    return {"inside": "list it under from_front or from_back", "across": "list it under across"}.get(home)


def _sound_edge(edge: object, feature: Outside, title: str, ledger: Ledger) -> bool:
    if not isinstance(edge, Edge):
        ledger.fault(
            title, f"edge {edge!r}", "must be a chamfer or a fillet", "write chamfer(0.3)", feature.where
        )
        return False
    return check_fields(edge, ledger, f"{title}, {edge.word}")


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
    treated = _treated(chain, edges, ledger)
    if treated is None:
        return None
    length = runs[-1].end
    if treated[-1].end[1] > 0:
        treated.append(Line(start=treated[-1].end, end=(length, 0.0)))
    treated.append(Line(start=(length, 0.0), end=treated[0].start))
    region = Region(loops=(tuple(reversed_curve(curve) for curve in reversed(treated)),))
    return Outline(region=region, threads=tuple(spans), places=tuple(places), length=length)


def _places(features: Sequence[Outside | Shoulder], ledger: Ledger) -> list[Place] | None:
    """Lay the features one behind the other; None where one of them cannot be traced."""
    real = [k for k, feature in enumerate(features) if isinstance(feature, Outside)]
    if not real:
        ledger.fault(None, "outside", "a turned part needs at least one feature outside")
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
                given = f"{error.what} {error.given:g} {error.unit}".rstrip()
                ledger.fault(title, given, error.rule, error.mend, feature.where)
                sound = False
                continue
            thread = ahead[k] or thread
        before = station
        if curves:
            station, radius = curves[-1].end
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
    return places


_Corner = tuple[Edge, str, Outside]  # the treatment, the feature's title, the feature


def _chain(runs: Sequence[Place], ledger: Ledger) -> tuple[list[Curve], dict[int, _Corner], list[ThreadSpan]]:
    """Join the runs by walls; tell which edge treats the corner behind each curve; cut the threads."""
    chain: list[Curve] = []
    edges: dict[int, _Corner] = {}
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
            spans.append(span)
        if isinstance(feature, Groove) and mm(feature.radius) > 0:
            rounding = _bottom(feature)
            front, back = front or rounding, back or rounding
        begin = place.curves[0].start
        if at[1] != begin[1]:
            chain.append(Line(start=at, end=begin))
        if front is not None and chain:
            edges[len(chain) - 1] = (front, place.title, feature)
        chain.extend(place.curves)
        at = chain[-1].end
        if back is not None:
            edges[len(chain) - 1] = (back, place.title, feature)
    if at[1] > 0:
        chain.append(Line(start=at, end=(at[0], 0.0)))
    return chain, edges, spans


def _bottom(feature: Groove) -> Edge:
    from turnmodel.design.features.base import Fillet

    return Fillet(feature.radius, where=feature.where)


def _cut_thread(
    place: Place,
    feature: ExternalThread,
    asked: tuple[Edge | None, Edge | None],
    grooved: Sequence[bool],
    ledger: Ledger,
) -> tuple[ThreadSpan, Edge | None, Edge | None]:
    """Cut a thread: chamfered where its end is free, run out under the die's lead where it is not."""
    thread = catalog.thread(feature.size)
    crest, root = thread.major_d / 2, thread.root_d / 2
    depth = crest - root
    lead = run_outs.die_lead().high * thread.pitch
    ends = []
    neighbours = (place.radius_before, place.radius_after)
    for edge, neighbour, groove, word in zip(asked, neighbours, grooved, ("front", "back"), strict=True):
        free = neighbour <= root + SAME_MM
        if isinstance(edge, Chamfer) or edge is None:
            legs = None if edge is None else _legs(edge)
        else:
            ledger.fault(
                place.title, f"{word} {edge.word}", "a thread's end takes a chamfer", "write chamfer(...)",
                feature.where,
            )  # fmt: skip
            legs = None
        if free and legs is None and not groove:
            edge = Chamfer(depth, where=feature.where)
            legs = (depth, depth)
            ledger.default(place.title, f"{word} end chamfered 45 degrees to the root, {depth:.2f} mm")
        ends.append((edge if isinstance(edge, Chamfer) else None, legs, free))
    (front, front_legs, front_free), (back, back_legs, back_free) = ends
    z0, z1 = place.start, place.end
    ceiling: list[Point] = []
    ceiling += (
        [(z0, crest)] if front_legs is None else [(z0, crest - front_legs[1]), (z0 + front_legs[0], crest)]
    )
    ceiling += (
        [(z1, crest)] if back_legs is None else [(z1 - back_legs[0], crest), (z1, crest - back_legs[1])]
    )
    floor: list[Point] = []
    floor += [(z0, root)] if front_free else [(z0, crest), (z0 + lead, root)]
    floor += [(z1, root)] if back_free else [(z1 - lead, root), (z1, crest)]
    if any(b[0] < a[0] for line in (ceiling, floor) for a, b in itertools.pairwise(line)):
        ends_need = sum(legs[0] for legs in (front_legs, back_legs) if legs)
        least = max(lead * ((not front_free) + (not back_free)), ends_need)
        ledger.fault(
            place.title, f"length {z1 - z0:g} mm", f"its chamfer and run-out alone take {least:.2f} mm",
            f"make it {least + 2 * thread.pitch:.1f} mm or longer, or put a relief behind it", feature.where,
        )  # fmt: skip
    elif not (front_free and back_free):
        ledger.default(
            place.title, f"runs out over {lead:.2f} mm, the lead of a die; full thread for the rest"
        )
    span = ThreadSpan(
        thread=thread,
        external=True,
        start=z0,
        end=z1,
        anchor=z0,
        floor=tuple(floor),
        ceiling=tuple(ceiling),
    )
    return span, front, back


def _legs(edge: Chamfer) -> tuple[float, float]:
    """Axial and radial reach of a chamfer, [mm]."""
    axial = mm(edge.size)
    return axial, axial * math.tan(math.radians(edge.angle))


def _treated(chain: list[Curve], edges: dict[int, _Corner], ledger: Ledger) -> list[Curve] | None:
    """Cut or round the corners that ask for it; None where one cannot be."""
    result: list[Curve] = []
    ahead: Curve | None = chain[0]
    before = len(ledger.faults)
    for k, curve in enumerate(chain):
        current = ahead if ahead is not None else None
        ahead = chain[k + 1] if k + 1 < len(chain) else None
        if k in edges and ahead is not None:
            edge, title, feature = edges[k]
            try:
                if current is None:
                    raise BadValue("edge", 0.0, "mm", "the edge before it leaves nothing to cut")
                current, piece, ahead = _corner(current, ahead, edge)
            except BadValue as error:
                size = mm(edge.size if isinstance(edge, Chamfer) else edge.radius)
                shorter = min(curve_length(c) for c in (curve, chain[k + 1]))
                ledger.fault(
                    title, f"{edge.word} {size:g} mm", error.rule, f"{shorter:.3g} mm is the most here",
                    feature.where,
                )  # fmt: skip
                continue
            result += [c for c in (current, piece) if c is not None]
        elif current is not None:
            result.append(current)
    return result if len(ledger.faults) == before else None


def _corner(first: Curve, second: Curve, edge: Edge) -> tuple[Curve | None, Curve, Curve | None]:
    if isinstance(edge, Chamfer):
        return chamfered(first, second, *_legs(edge))
    return filleted(first, second, mm(edge.radius))
