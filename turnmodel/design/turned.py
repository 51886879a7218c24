"""A turned part: from what the script lists to the exact body, its cross cuts and its faces."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from turnmodel.design.features.across import Across, Round
from turnmodel.design.features.base import Chamfer
from turnmodel.design.features.inside import ROOM, Cut, Hole, Inside, Tap, mouth_cut, removed
from turnmodel.design.ledger import Default, Ledger, mm
from turnmodel.design.listed import sound_across, sound_holes, sound_marks, sound_outside, titles
from turnmodel.design.outline import Outline, Place, outline
from turnmodel.errors import BadValue, Fault, Where
from turnmodel.geometry.body import Body, ThreadSpan, body_flipped, body_moved
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.curve import Arc, Curve, Line, Point, mirrored, shifted
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, bounds, flipped, moved
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.features.outside import Outside, Shoulder
    from turnmodel.geometry.across import Tool

__all__ = ["Bored", "CrossCut", "Turned", "TurnedScript", "turned"]

_THINNEST_CUT = 1e-9  # mm2 of a cut outside the bar that counts as breaking through


@dataclass(frozen=True, slots=True, kw_only=True)
class Bored:
    """Where an inside feature came to lie: its floor in the part's frame, the side it was cut from.

    ``cuts`` are what it removed, in depths from its own face.
    """

    title: str
    feature: Inside
    from_back: bool
    cuts: tuple[Cut, ...]
    floor: tuple[Curve, ...]
    thread: ThreadSpan | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossCut:
    """Where an across feature came to lie: what it removes, and the surface radius it starts from [mm]."""

    title: str
    feature: Across
    tools: tuple[Tool, ...]
    surface_r: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """A turned part, built: the exact body, what is cut across it, where its features lie; length in [mm]."""

    body: Body
    outside: tuple[Place, ...]
    inside: tuple[Bored, ...]
    across: tuple[CrossCut, ...]
    length: float
    defaults: tuple[Default, ...]

    @property
    def tools(self) -> tuple[Tool, ...]:
        """Everything that is cut across it."""
        return tuple(tool for cut in self.across for tool in cut.tools)


class TurnedScript(NamedTuple):
    """The part as the script lists it, with the diameter of its bar [mm]."""

    name: str
    outside: tuple[Outside | Shoulder, ...]
    from_front: tuple[Inside, ...]
    from_back: tuple[Inside, ...]
    across: tuple[Across, ...]
    stock_d: float | None


def turned(script: TurnedScript) -> tuple[Turned | None, tuple[Fault, ...]]:
    """Build a turned part; the faults where it cannot be built."""
    ledger = Ledger(part=script.name)
    outside = sound_outside(script.outside, ledger)
    front = sound_holes(script.from_front, "from front", ledger)
    back = sound_holes(script.from_back, "from back", ledger)
    across = sound_across(script.across, ledger)
    if outside and front and back and across:
        sound_marks((*script.outside, *script.from_front, *script.from_back, *script.across), ledger)
    outer = outline(script.outside, ledger) if outside else None
    if outer is None:
        return None, tuple(ledger.faults)
    _hold_to_bar(outer, script.stock_d, ledger)
    crossed = _crossed(outer, script.across, ledger) if across else []
    bored, regions = _bored(outer, script, ledger) if front and back else ([], [])
    plain = _hollowed(outer, regions, ledger)
    if ledger.faults:
        return None, tuple(ledger.faults)
    threads = outer.threads + tuple(b.thread for b in bored if b.thread is not None)
    built = Turned(
        body=Body(plain=plain, threads=threads),
        outside=outer.places,
        inside=tuple(bored),
        across=tuple(crossed),
        length=outer.length,
        defaults=tuple(ledger.defaults),
    )
    return built, ()


def _hold_to_bar(outer: Outline, stock_d: float | None, ledger: Ledger) -> None:
    if stock_d is None:
        return
    for place in outer.places:
        widest = 2 * max((max(c.start[1], c.end[1]) for c in place.curves), default=0.0)
        if widest > stock_d + SAME_MM:
            ledger.fault(
                place.title, f"diameter {widest:g} mm", f"is wider than its bar, {stock_d:g} mm",
                f"turn it to {stock_d:g} mm or less, or take a thicker bar", place.feature.where,
            )  # fmt: skip


def _bored(
    outer: Outline, script: TurnedScript, ledger: Ledger
) -> tuple[list[Bored], list[tuple[str, Region, Where | None]]]:
    """Cut everything inside, front first, and tell what each cut removes."""
    length = outer.length
    walls: list[tuple[Point, ...]] = []  # in stations
    found: list[Bored] = []
    regions: list[tuple[str, Region, Where | None]] = []
    for back, side, features in (
        (False, "from front", script.from_front),
        (True, "from back", script.from_back),
    ):
        for title, feature in zip(titles(features, side), features, strict=True):
            hole = Hole(length=length, walls=tuple(_seen(wall, length, back) for wall in walls))
            try:
                cuts = feature.cuts(hole)
            except BadValue as error:
                ledger.fault(title, error.subject, error.rule, error.mend, feature.where)
                continue
            if feature.mouth is not None:
                opening = max((c.chain[-1].end[1] for c in cuts), default=0.0) or hole.radius(0.0)
                cuts = (*cuts, mouth_cut(feature.mouth, opening))
            for cut in cuts:
                if cut.note:
                    ledger.default(title, cut.note)
                walls.append(_seen(_wall(cut), length, back))
                region = removed(cut)
                regions.append((title, _placed(region, length) if back else region, feature.where))
            thread = None
            if isinstance(feature, Tap):
                hole = Hole(length=length, walls=tuple(_seen(wall, length, back) for wall in walls))
                thread = _tapped(title, feature, hole, ledger)
                if thread is not None and back:
                    whole = body_moved(body_flipped(Body(plain=Region(loops=()), threads=(thread,))), length)
                    thread = whole.threads[0]
            floor = tuple(c for cut in cuts for c in cut.floor)
            if back:
                floor = tuple(shifted(mirrored(c), length) for c in floor)
            found.append(
                Bored(
                    title=title, feature=feature, from_back=back, cuts=tuple(cuts), floor=floor, thread=thread
                )
            )
    return found, regions


def _seen(wall: tuple[Point, ...], length: float, back: bool) -> tuple[Point, ...]:
    return tuple((length - z, r) for z, r in wall) if back else wall


def _wall(cut: Cut) -> tuple[Point, ...]:
    return (cut.chain[0].start, *(curve.end for curve in cut.chain))


def _placed(region: Region, length: float) -> Region:
    return moved(flipped(region), length)


def _tapped(title: str, feature: Tap, hole: Hole, ledger: Ledger) -> ThreadSpan | None:
    """Cut the internal thread into the hole as it now stands, in depths from its face."""
    thread = feature.thread
    crest, minor = thread.major_d / 2, thread.minor_d / 2
    full = feature.full_depth(hole)
    lead = 0.0 if feature.through else feature.lead_length()
    envelope = _envelope(hole, min(full + lead, hole.length))
    while len(envelope) > 1 and envelope[0][1] > crest + SAME_MM:
        a, b = envelope[0], envelope[1]
        if b[1] < crest < a[1] and b[0] > a[0]:
            share = (a[1] - crest) / (a[1] - b[1])
            envelope[0] = (a[0] + share * (b[0] - a[0]), crest)
        else:
            envelope.pop(0)
    end = next((k for k, (_, r) in enumerate(envelope) if r < minor - ROOM), len(envelope))
    envelope = envelope[:end]
    bottom = envelope[-1][0] if envelope else 0.0
    start = envelope[0][0] if envelope else 0.0
    if bottom < full - SAME_MM or bottom - start < thread.pitch:
        ledger.fault(
            title, f"depth {full:g} mm",
            f"the hole is only {bottom:.4g} mm deep where it takes {thread.designation}",
            f"drill it {full + lead + thread.pitch:.1f} mm deep, or tap less", feature.where,
        )  # fmt: skip
        return None
    ceiling = [(start, crest)]
    if full > start:
        ceiling.append((full, crest))
    if bottom > full:
        shallow = crest - (crest - minor) * (bottom - full) / lead
        ceiling.append((bottom, max(shallow, envelope[-1][1])))
    return ThreadSpan(
        thread=thread,
        external=False,
        start=start,
        end=bottom,
        anchor=start,
        floor=tuple(envelope),
        ceiling=tuple(ceiling),
    )


def _envelope(hole: Hole, end: float) -> list[Point]:
    """Wall of the hole from its face to a depth: straight pieces, two points where it steps."""
    marks = {0.0, end}
    pieces = [(a, b) for wall in hole.walls for a, b in itertools.pairwise(wall) if a[0] != b[0]]
    for k, (a, b) in enumerate(pieces):
        marks |= {a[0], b[0]}
        for c, d in pieces[:k]:
            marks |= _crossing(a, b, c, d)
    stations = sorted(z for z in marks if 0.0 <= z <= end)
    points: list[Point] = []
    for z0, z1 in itertools.pairwise(stations):
        if z1 - z0 < SAME_MM:
            continue
        mid = (z0 + z1) / 2
        over = [(_at(a, b, mid), a, b) for a, b in pieces if min(a[0], b[0]) <= mid <= max(a[0], b[0])]
        if not over:
            break
        _, a, b = max(over)
        points += [p for p in ((z0, _at(a, b, z0)), (z1, _at(a, b, z1))) if not points or p != points[-1]]
    return points


def _at(a: Point, b: Point, z: float) -> float:
    return a[1] + (b[1] - a[1]) * (z - a[0]) / (b[0] - a[0])


def _crossing(a: Point, b: Point, c: Point, d: Point) -> set[float]:
    s1, s2 = (b[1] - a[1]) / (b[0] - a[0]), (d[1] - c[1]) / (d[0] - c[0])
    if s1 == s2:
        return set()
    return {a[0] + (_at(c, d, a[0]) - a[1]) / (s1 - s2)}


def _hollowed(outer: Outline, regions: Sequence[tuple[str, Region, Where | None]], ledger: Ledger) -> Region:
    """Take the cuts out of the bar; a cut that comes out of its side is a fault."""
    refused: set[str] = set()
    for title, region, where in regions:
        if title in refused:
            continue
        z0, z1, _, r1 = bounds(region)
        if z0 > -SAME_MM and z1 < outer.length + SAME_MM and r1 < _least_radius(outer, z0, z1) - SAME_MM:
            continue
        for loop in difference(region, outer.region).loops:
            outside = Region(loops=(loop,))
            if area(outside) < _THINNEST_CUT:
                continue
            b0, b1, _, _ = bounds(outside)
            if _domed_mouth(outer, b0, b1):
                continue
            refused.add(title)
            if b0 >= outer.length - SAME_MM or b1 <= SAME_MM:
                over = b1 - max(b0, outer.length) if b0 > 0 else -b0
                ledger.fault(
                    title, f"{z1 - z0:.4g} mm with its point", "comes out of the far end",
                    f"make it {over:.3g} mm shallower, or through=True", where,
                )  # fmt: skip
            else:
                there = 2 * min(_most_radius(outer, b0, b0), _most_radius(outer, b1, b1))
                ledger.fault(
                    title, f"diameter {2 * r1:g} mm",
                    f"breaks through the side from {b0:.4g} to {b1:.4g} mm",
                    f"the outside is only {there:.4g} mm there", where,
                )  # fmt: skip
            break
    if not regions or ledger.faults:
        return outer.region
    return difference(outer.region, *(region for _, region, _ in regions))


def _least_radius(outer: Outline, z0: float, z1: float) -> float:
    """A lower bound of the outside radius between two stations, [mm]."""
    least = math.inf
    for place in outer.places:
        if place.curves and place.start < z1 + SAME_MM and place.end > z0 - SAME_MM:
            for c in place.curves:
                low = min(c.start[1], c.end[1])
                if isinstance(c, Arc) and c.turn > 0:
                    low = min(low, c.center[1] - c.radius)
                least = min(least, low)
            least = min(least, *(_cut_back(place, end) for end in ("front", "back")))
    return least


def _cut_back(place: Place, end: str) -> float:
    """Radius that an edge's chamfer or fillet may leave at an end, [mm]; no less than a safe bound."""
    edge = getattr(place.feature, end, None) or getattr(place.feature, "edges", None)
    radius = place.curves[0].start[1] if end == "front" else place.curves[-1].end[1]
    if edge is None:
        thread = getattr(place.feature, "size", None)
        return radius if thread is None else 0.0
    size = (
        mm(edge.size) * math.tan(math.radians(edge.angle)) if isinstance(edge, Chamfer) else mm(edge.radius)
    )
    return radius - size


def _domed_mouth(outer: Outline, z0: float, z1: float) -> bool:
    """Whether a bit of a cut lies over a rounded or pointed end, where a hole simply opens."""
    runs = [place for place in outer.places if place.curves]
    first, last = runs[0], runs[-1]
    front = z0 <= SAME_MM and z1 <= first.end + SAME_MM and first.curves[0].start[1] == 0
    back = z1 >= outer.length - SAME_MM and z0 >= last.start - SAME_MM and last.curves[-1].end[1] == 0
    return front or back


def _crossed(outer: Outline, features: Sequence[Across], ledger: Ledger) -> list[CrossCut]:
    part = Round(length=outer.length, radius=lambda z0, z1: _most_radius(outer, z0, z1))
    cuts = []
    for title, feature in zip(titles(features, "across"), features, strict=True):
        try:
            start, end = feature.span(part)
            if start < -SAME_MM or end > outer.length + SAME_MM:
                over = max(-start, end - outer.length)
                fits = end - start <= outer.length
                mend = f"move it {over:.4g} mm" if fits else f"shorten it to {outer.length:.4g} mm"
                ledger.fault(
                    title, f"from {start:.4g} to {end:.4g} mm",
                    f"lies past the end of the part, {outer.length:.4g} mm long",
mend, feature.where,
                )  # fmt: skip
                continue
            tools = feature.tools(part)
        except BadValue as error:
            ledger.fault(title, error.subject, error.rule, error.mend, feature.where)
            continue
        middle = (start + end) / 2
        cuts.append(
            CrossCut(title=title, feature=feature, tools=tools, surface_r=part.radius(middle, middle))
        )
    return cuts


def _most_radius(outer: Outline, z0: float, z1: float) -> float:
    """Greatest outside radius between two stations, [mm]."""
    most = 0.0
    for place in outer.places:
        for c in place.curves:
            low, high = max(z0, c.start[0]), min(z1, c.end[0])
            if low <= high:
                most = max(most, _radius_at(c, low), _radius_at(c, high))
                if isinstance(c, Arc) and c.turn < 0 and low < c.center[0] < high:
                    most = max(most, c.center[1] + c.radius)
    return most


def _radius_at(curve: Curve, z: float) -> float:
    if isinstance(curve, Line):
        return _at(curve.start, curve.end, z)
    away = math.sqrt(max(curve.radius**2 - (z - curve.center[0]) ** 2, 0.0))
    return curve.center[1] - curve.turn * away
