"""What is cut into a part from its faces: the holes, their threads, and the metal that is left."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from typing import TYPE_CHECKING, Final, NamedTuple

from turnmodel.catalog import threads as catalog
from turnmodel.design.features.base import Chamfer
from turnmodel.design.features.inside import ROOM, Cut, Hole, Inside, Tap, mouth_cut, removed
from turnmodel.design.features.threaded import ExternalThread
from turnmodel.design.ledger import mm
from turnmodel.design.listed import titles
from turnmodel.design.outline import Outline, Place, least_radius, most_radius
from turnmodel.errors import BadValue
from turnmodel.geometry.body import Body, ThreadSpan, body_flipped, body_moved, height_at, outermost
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.curve import Curve, Point, mirrored, shifted
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, bounds, flipped, moved
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.ledger import Ledger

__all__ = ["LEAST_FLOOR", "Bored", "Removed", "bored", "hollowed"]

LEAST_FLOOR: Final = 1.0
"""Metal [mm] that is left behind the floor of a hole; house choice: a drill breaks through a thinner one as
soon as its depth is misread by a dial's turn."""

_THINNEST_CUT = 1e-9  # mm2 of a cut outside the bar that counts as breaking through


class Removed(NamedTuple):
    """What one cut removes, and its feature with its title."""

    title: str
    region: Region
    feature: Inside


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


def bored(
    outer: Outline, from_front: Sequence[Inside], from_back: Sequence[Inside], ledger: Ledger
) -> tuple[list[Bored], list[Removed]]:
    """Cut everything inside, front first, and tell what each cut removes."""
    length = outer.length
    walls: list[tuple[Point, ...]] = []  # in stations
    found: list[Bored] = []
    regions: list[Removed] = []
    for back, side, features in ((False, "from front", from_front), (True, "from back", from_back)):
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
                regions.append(Removed(title, _placed(region, length) if back else region, feature))
            floor = tuple(c for cut in cuts for c in cut.floor)
            if back:
                floor = tuple(shifted(mirrored(c), length) for c in floor)
            thread = None
            if isinstance(feature, Tap):
                hole = Hole(length=length, walls=tuple(_seen(wall, length, back) for wall in walls))
                thread = _tapped(title, feature, hole, ledger)
            found.append(
                Bored(
                    title=title, feature=feature, from_back=back, cuts=tuple(cuts), floor=floor, thread=thread
                )
            )
    settled = [_settled(hole, outer, walls, ledger) for hole in found]
    _hold_apart(settled, ledger)
    return settled, regions


def _hold_apart(holes: Sequence[Bored], ledger: Ledger) -> None:
    """Hold threads to lengths of their own: a tap that runs into another's thread cuts its crests away."""
    for (first, one), (second, two) in combinations([(h, h.thread) for h in holes if h.thread], 2):
        low, high = max(one.start, two.start), min(one.end, two.end)
        if high - low < SAME_MM:
            continue
        left = min(t.end - t.start for t in (one, two)) - (high - low)
        mend = f"tap one of them {_up(high - low):g} mm shallower"
        ledger.fault(
            second.title, f"thread {two.thread.designation} from {two.start:.4g} to {two.end:.4g} mm",
            f"runs into the thread of {first.title} from {low:.4g} to {high:.4g} mm",
            mend if left > two.thread.pitch else "leave one of them out", second.feature.where,
        )  # fmt: skip


def _settled(bored: Bored, outer: Outline, walls: Sequence[tuple[Point, ...]], ledger: Ledger) -> Bored:
    """Leave a thread where what is cut after it leaves its wall, and put it into the part's frame."""
    if bored.thread is None:
        return bored
    length, thread = outer.length, bored.thread
    hole = Hole(length=length, walls=tuple(_seen(wall, length, bored.from_back) for wall in walls))
    wall = _to_step(_threaded(_envelope(hole, thread.end), thread.thread), _full_depth(thread))
    start, end = (wall[0][0], wall[-1][0]) if wall else (0.0, 0.0)
    if end - start < thread.thread.pitch:
        ledger.fault(
            bored.title, f"thread {thread.thread.designation}", "what is cut after it takes its wall away",
            f"cut that no wider than {thread.thread.minor_d:.4g} mm where the thread is", bored.feature.where,
        )  # fmt: skip
        return replace(bored, thread=None)
    if not _alike(wall, thread.floor):
        within = [p for p in thread.ceiling if start < p[0] < end]
        ends = [(z, height_at(thread.ceiling, z)) for z in (start, end)]
        ceiling = outermost([ends[0], *within, ends[1]], wall, max)
        thread = replace(thread, start=start, end=end, floor=tuple(wall), ceiling=ceiling)
    if bored.from_back:
        whole = body_moved(body_flipped(Body(plain=Region(loops=()), threads=(thread,))), length)
        thread = whole.threads[0]
    assert isinstance(bored.feature, Tap)
    _hold_mouth(bored.title, bored.feature, thread, outer, ledger)
    return replace(bored, thread=thread)


def _full_depth(thread: ThreadSpan) -> float:
    """Depth to which a thread is full: behind it the ceiling falls with the lead of the tap, [mm]."""
    crest = thread.thread.major_d / 2
    return max(z for z, r in thread.ceiling if abs(r - crest) < SAME_MM)


def _to_step(wall: list[Point], full: float) -> list[Point]:
    """End a wall where it steps behind a depth [mm]: what the lead of a tap leaves there is no thread."""
    steps = (
        k
        for k, (p, q) in enumerate(pairwise(wall), start=1)
        if q[0] - p[0] < SAME_MM and abs(q[1] - p[1]) > SAME_MM and q[0] > full - SAME_MM
    )
    return wall[: next(steps, len(wall))]


def _alike(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """Whether two walls are one but for rounding."""
    return len(one) == len(other) and all(math.dist(p, q) < SAME_MM for p, q in zip(one, other, strict=True))


def _threaded(wall: list[Point], thread: catalog.Thread) -> list[Point]:
    """Take the length of a wall that holds a thread: from where it is no wider than the crests.

    It ends where the hole is too small for it, or in a recess that is wider than its crests.
    """
    crest, minor = thread.major_d / 2, thread.minor_d / 2
    left = list(wall)
    while len(left) > 1 and left[0][1] > crest - SAME_MM:
        a, b = left[0], left[1]
        if b[1] < crest - SAME_MM and b[0] - a[0] > SAME_MM:  # it narrows to the thread along a slope
            share = max(a[1] - crest, 0.0) / (a[1] - b[1])
            left[0] = (a[0] + share * (b[0] - a[0]), min(a[1], crest))
            break
        left.pop(0)
    ends = (k for k, (_, r) in enumerate(left) if r < minor - ROOM or r > crest + SAME_MM)
    return left[: next(ends, len(left))]


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
    envelope = _threaded(_envelope(hole, min(full + lead, hole.length)), thread)
    bottom = envelope[-1][0] if envelope else 0.0
    start = envelope[0][0] if envelope else 0.0
    if bottom < full - SAME_MM or bottom - start < thread.pitch:
        ledger.fault(
            title, f"depth {full:g} mm",
            f"the hole takes {thread.designation} only to {bottom:.4g} mm",
            f"drill it {full + lead + thread.pitch:.1f} mm deep, or tap {bottom:.4g} mm deep", feature.where,
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


def _hold_mouth(title: str, feature: Tap, thread: ThreadSpan, outer: Outline, ledger: Ledger) -> None:
    """Hold a thread to ending inside the metal: on a rounded end it would come out of the side."""
    crest = thread.thread.major_d / 2
    if min(_left_at(outer, z) for z in (thread.start, thread.end)) < crest:
        ledger.fault(
            title, f"diameter {2 * crest:g} mm", "opens in an end that is rounded or narrower than it",
            f"leave a flat of {2 * crest:g} mm there, or bore it wider down to one", feature.where,
        )  # fmt: skip


def _left_at(outer: Outline, z: float) -> float:
    """Outside radius at a station as edges leave it, [mm]."""
    corners = (p for loop in outer.region.loops for c in loop for p in (c.start, c.end))
    edged = max((r for at, r in corners if abs(at - z) < SAME_MM), default=math.inf)
    return min(most_radius(outer, z, z), edged)


def _envelope(hole: Hole, end: float) -> list[Point]:
    """Wall of the hole from its face to a depth: straight pieces, two points where it steps."""
    marks = {0.0, end}
    pieces = [(a, b) for wall in hole.walls for a, b in pairwise(wall) if a[0] != b[0]]
    for k, (a, b) in enumerate(pieces):
        marks |= {a[0], b[0]}
        for c, d in pieces[:k]:
            marks |= _crossing(a, b, c, d)
    stations = [0.0]
    for z in sorted(marks):
        if z <= end and z - stations[-1] > SAME_MM:
            stations.append(z)
    points: list[Point] = []
    for z0, z1 in pairwise(stations):
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


def hollowed(outer: Outline, regions: Sequence[Removed], ledger: Ledger) -> Region:
    """Take the cuts out of the bar; a cut that comes out of its side is a fault."""
    refused: set[str] = set()
    for title, region, feature in regions:
        if title in refused:
            continue
        z0, z1, _, r1 = bounds(region)
        if z0 > -SAME_MM and z1 < outer.length + SAME_MM and r1 < _safe_radius(outer, z0, z1) - SAME_MM:
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
                    _kept_in(feature, over), feature.where,
                )  # fmt: skip
            else:
                there = 2 * min(most_radius(outer, z, z) for z in (b0, (b0 + b1) / 2, b1))
                ledger.fault(
                    title, f"diameter {2 * r1:g} mm",
                    f"breaks through the side from {b0:.4g} to {b1:.4g} mm",
                    f"the outside is only {there:.4g} mm there", feature.where,
                )  # fmt: skip
            break
    if not regions or ledger.faults:
        return outer.region
    left = difference(outer.region, *(region for _, region, _ in regions))
    if len(left.loops) == 1:
        return left
    pieces = sorted(bounds(Region(loops=(loop,)))[:2] for loop in left.loops if _runs_round_metal(loop))
    for (_, apart), _ in pairwise(pieces):
        ledger.fault(
            None, f"no wall at {apart:.4g} mm", "the part comes apart there",
            "make the hole narrower, or the outside wider",
        )  # fmt: skip
    return left


def _up(length: float) -> float:
    """Round a length up to hundredths, [mm]."""
    return math.ceil(length * 100 - 1e-6) / 100


def _kept_in(feature: Inside, over: float) -> str:
    """Tell how a cut that comes so far [mm] out of the far end leaves a floor, or goes through."""
    short = _up(over + LEAST_FLOOR)
    depth = getattr(feature, "depth", None)
    ways = [f"make it {short:g} mm shallower"] if depth is None or mm(depth) > short else []
    ways += ["through=True"] if hasattr(feature, "through") else []
    return ", or ".join(ways) or f"make the part {short:g} mm longer"


def _runs_round_metal(loop: tuple[Curve, ...]) -> bool:
    """Whether a loop is the outside of a piece, not of a hollow in one."""
    return area(Region(loops=(loop,))) > 0


def _safe_radius(outer: Outline, z0: float, z1: float) -> float:
    """A lower bound of the outside radius between two stations, [mm]."""
    near = [p for p in outer.places if p.curves and p.start < z1 + SAME_MM and p.end > z0 - SAME_MM]
    cut_back = [_cut_back(place, end) for place in near for end in ("front", "back")]
    return min(least_radius(outer, z0, z1), *cut_back)


def _cut_back(place: Place, end: str) -> float:
    """Radius that a chamfer or fillet may leave at an end, infinite where there is none, [mm]."""
    feature = place.feature
    edge = getattr(feature, end, None) or getattr(feature, "edges", None)
    if edge is None:
        # A thread is chamfered to its root where nothing else is asked.
        return catalog.thread(feature.size).root_d / 2 if isinstance(feature, ExternalThread) else math.inf
    radius = place.curves[0].start[1] if end == "front" else place.curves[-1].end[1]
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
