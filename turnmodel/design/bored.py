"""What is cut into a part from its faces: the holes and their threads."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from turnmodel.design.features.inside import ROOM, Cut, Hole, Inside, Tap, mouth_cut
from turnmodel.design.features.operation import Operation
from turnmodel.design.listed import titles
from turnmodel.design.mends import at_least
from turnmodel.errors import BadValue
from turnmodel.geometry.body import Body, ThreadSpan, body_flipped, body_moved, height_at, outermost
from turnmodel.geometry.curve import Curve, Point, mirrored, shifted
from turnmodel.geometry.region import Region
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.catalog import threads as catalog
    from turnmodel.design.ledger import Ledger

__all__ = ["Bored", "bored"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bored:
    """Where an inside feature came to lie: its floor in the part's frame, the side it was cut from.

    ``cuts`` are what it removed, in depths from its own face; ``before`` is the hole that stood until then.
    """

    title: str
    feature: Inside
    from_back: bool
    cuts: tuple[Cut, ...]
    before: Hole
    floor: tuple[Curve, ...]
    thread: ThreadSpan | None


def bored(
    length: float, from_front: Sequence[Inside], from_back: Sequence[Inside], ledger: Ledger
) -> list[Bored]:
    """Cut everything inside into a bar of a length [mm], front first."""
    walls: list[tuple[Point, ...]] = []  # in stations
    found: list[Bored] = []
    for back, side, features in ((False, "from front", from_front), (True, "from back", from_back)):
        for title, feature in zip(titles(features, side), features, strict=True):
            before = Hole(length=length, walls=tuple(_seen(wall, length, back) for wall in walls))
            try:
                cuts = feature.cuts(before)
            except BadValue as error:
                ledger.fault(title, error.subject, error.rule, error.mend, feature.where)
                continue
            if feature.mouth is not None:
                opening = max((c.chain[-1].end[1] for c in cuts), default=0.0) or before.radius(0.0)
                cuts = (*cuts, mouth_cut(feature.mouth, opening))
            walls += [_seen(_wall(cut), length, back) for cut in cuts]
            floor = tuple(c for cut in cuts for c in cut.floor)
            if back:
                floor = tuple(shifted(mirrored(c), length) for c in floor)
            thread = None
            if isinstance(feature, Tap):
                hole = Hole(length=length, walls=tuple(_seen(wall, length, back) for wall in walls))
                thread = _tapped(title, feature, hole, ledger)
            found.append(
                Bored(
                    title=title,
                    feature=feature,
                    from_back=back,
                    cuts=tuple(cuts),
                    before=before,
                    floor=floor,
                    thread=thread,
                )
            )
    sunk = [_sunk(hole, length, walls) for hole in found]
    settled = [_settled(hole, length, walls, ledger) for hole in sunk]
    _hold_apart(settled, ledger)
    for made in settled:
        _tell_taken(made, length, ledger)
    return settled


def _sunk(hole: Bored, length: float, walls: list[tuple[Point, ...]]) -> Bored:
    """Leave out the mouth that a tap would sink where another hole opens as wide at its face."""
    if not isinstance(hole.feature, Tap) or hole.feature.mouth is not None:
        return hole
    for cut in (cut for cut in hole.cuts if cut.operation is Operation.COUNTERSINK):
        wall = _seen(_wall(cut), length, hole.from_back)
        others = Hole(length=length, walls=tuple(other for other in walls if other != wall))
        face = length if hole.from_back else 0.0
        if others.radius(face) > cut.chain[-1].end[1] - SAME_MM:
            walls.remove(wall)
            hole = replace(hole, cuts=tuple(other for other in hole.cuts if other is not cut))
    return hole


def _tell_taken(hole: Bored, length: float, ledger: Ledger) -> None:
    """Tell what a feature took for itself, and where a tap found no mouth to sink."""
    for cut in hole.cuts:
        if cut.note:
            ledger.default(hole.title, cut.note)
    feature, thread = hole.feature, hole.thread
    if not isinstance(feature, Tap) or thread is None:
        return
    start, first = (
        (length - thread.end, thread.floor[-1]) if hole.from_back else (thread.start, thread.floor[0])
    )
    if start > SAME_MM and first[1] < thread.thread.major_d / 2 - SAME_MM:
        ledger.default(
            hole.title,
            f"no mouth is sunk: its thread begins {start:.4g} mm deep on a sharp edge, to be broken by hand",
        )


def _hold_apart(holes: Sequence[Bored], ledger: Ledger) -> None:
    """Hold threads to lengths of their own: a tap that runs into another's thread cuts its crests away."""
    for (first, one), (second, two) in combinations([(h, h.thread) for h in holes if h.thread], 2):
        low, high = max(one.start, two.start), min(one.end, two.end)
        if high - low < SAME_MM:
            continue
        left = min(t.end - t.start for t in (one, two)) - (high - low)
        mend = f"tap one of them {at_least(high - low)} mm shallower"
        ledger.fault(
            second.title, f"thread {two.thread.designation} from {two.start:.4g} to {two.end:.4g} mm",
            f"runs into the thread of {first.title} from {low:.4g} to {high:.4g} mm",
            mend if left > two.thread.pitch else "leave one of them out", second.feature.where,
        )  # fmt: skip


def _settled(bored: Bored, length: float, walls: Sequence[tuple[Point, ...]], ledger: Ledger) -> Bored:
    """Leave a thread where what is cut after it leaves its wall, and put it into the part's frame."""
    if bored.thread is None:
        return bored
    thread = bored.thread
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
