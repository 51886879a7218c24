"""The metal that is left when every hole is cut: what comes out of it is a fault."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from turnmodel.catalog import threads as catalog
from turnmodel.design.features.base import Chamfer
from turnmodel.design.features.inside import Tap, removed
from turnmodel.design.features.operation import Operation
from turnmodel.design.features.threaded import ExternalThread, Groove
from turnmodel.design.ledger import mm
from turnmodel.design.mends import at_least
from turnmodel.design.outline import least_radius, most_radius
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.curve import Box
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, bounds, flipped, moved, polygon
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.design.bored import Bored
    from turnmodel.design.features.inside import Inside
    from turnmodel.design.ledger import Ledger
    from turnmodel.design.outline import Outline, Place
    from turnmodel.geometry.curve import Point

__all__ = ["LEAST_FLOOR", "LEAST_WALL", "hollowed"]

LEAST_FLOOR: Final = 1.0
"""Metal [mm] that is left behind the floor of a hole; house choice: a drill breaks through a thinner one as
soon as its depth is misread by a dial's turn."""

LEAST_WALL: Final = 0.8
"""Metal [mm] that is left beside a hole; house choice: so much brass stands the chuck and the drill."""

_THINNEST_CUT: Final = 1e-9
"""Area [mm2] of a cut outside the bar that counts as breaking through."""


def hollowed(outer: Outline, holes: Sequence[Bored], ledger: Ledger) -> Region:
    """Take the holes out of the bar; a cut or a thread that comes out of its side is a fault."""
    regions: list[Region] = []
    broken: list[Box] = []
    for hole in holes:
        cuts = [_placed(removed(cut), hole.from_back, outer.length) for cut in hole.cuts]
        broken += _hold_cuts(hole, cuts, outer, ledger)
        regions += cuts
    left = outer.region
    if regions and not ledger.faults:
        left = difference(left, *regions)
        broken += _hold_together(left, ledger)
    for hole in holes:
        _hold_crests(hole, outer, broken, ledger)
    return left


def _hold_together(left: Region, ledger: Ledger) -> list[Box]:
    """Hold what is left to being one piece, and tell where it comes apart."""
    loops = [Region(loops=(loop,)) for loop in left.loops] if len(left.loops) > 1 else []
    pieces = sorted(bounds(loop) for loop in loops if area(loop) > 0)  # the others are hollows in a piece
    for one, _ in pairwise(pieces):
        ledger.fault(
            None, f"no wall at {one.z1:.4g} mm", "the part comes apart there",
            "make the hole narrower, or the outside wider",
        )  # fmt: skip
    return [Box(one.z1 - SAME_MM, other.z0 + SAME_MM, 0.0, one.r1) for one, other in pairwise(pieces)]


def _hold_cuts(hole: Bored, regions: Sequence[Region], outer: Outline, ledger: Ledger) -> list[Box]:
    """Hold what a feature removes to the metal, and tell where it comes out.

    The mouth that a tap sinks for itself is no wider than its crests, which are held by themselves.
    """
    for cut, region in zip(hole.cuts, regions, strict=True):
        drilled = isinstance(hole.feature, Tap) and cut.operation is Operation.DRILL
        if isinstance(hole.feature, Tap) and hole.feature.mouth is None and not drilled:
            continue
        for out in _outside(region, outer):
            b0, b1, _, _ = out
            if _domed_mouth(outer, b0, b1):
                continue
            z0, z1, _, r1 = bounds(region)
            over = -b0 if hole.from_back else b1 - outer.length
            if over > SAME_MM:
                pointed = (cut.operation or hole.feature.operation) is Operation.DRILL
                given = f"{z1 - z0:.4g} mm {'with its point' if pointed else 'deep'}"
                long = f"is deeper than the part, which is {outer.length:.4g} mm long"
                ledger.fault(
                    hole.title, given, "comes out of the far end" if pointed else long,
                    _kept_in(hole.feature, over), hole.feature.where,
                )  # fmt: skip
                return [out]
            through = f"breaks through the side from {b0:.4g} to {b1:.4g} mm"
            only = f"the outside is only {_left(outer, b0, b1):.4g} mm"
            if isinstance(hole.feature, Tap) and drilled:
                given, rule = f"{cut.note}, taken as no hole of its size stands", f"{through}, where {only}"
                mend = _shallower(hole, hole.feature, outer, 2 * r1)
            else:
                given, rule, mend = f"diameter {2 * r1:g} mm", through, f"{only} there"
            ledger.fault(hole.title, given, rule, mend, hole.feature.where)
            return [out]
    return []


def _hold_crests(hole: Bored, outer: Outline, broken: Sequence[Box], ledger: Ledger) -> None:
    """Hold the crests of a thread to the metal, at the faces that they open in and along the side.

    Where a cut has come out already, they are not told besides.
    """
    thread, feature = hole.thread, hole.feature
    if thread is None or not isinstance(feature, Tap):
        return
    size = f"{thread.thread.major_d:g} mm"
    mouth, bottom = (thread.end, thread.start) if hole.from_back else (thread.start, thread.end)
    opened = (0.0, outer.length, mouth, *([bottom] if feature.through else []))
    for b0, b1, _, _ in _outside(_under(thread.ceiling), outer):
        if any(b0 < other.z1 and other.z0 < b1 for other in broken):
            continue
        if any(abs(at - b) < SAME_MM for at in opened for b in (b0, b1)):
            ledger.fault(
                hole.title, f"diameter {size}", "opens in an end that is rounded or narrower than it",
                f"leave a flat of {size} there, or bore it wider down to one", feature.where,
            )  # fmt: skip
        else:
            ledger.fault(
                hole.title, f"thread {thread.thread.designation}, {size} over its crests",
                f"breaks through the side from {b0:.4g} to {b1:.4g} mm, where the outside is only "
                f"{_left(outer, b0, b1):.4g} mm",
                _shallower(hole, feature, outer, thread.thread.major_d), feature.where,
            )  # fmt: skip
        return


def _placed(region: Region, from_back: bool, length: float) -> Region:
    """Lay what is given in depths from a face into the part's frame."""
    return moved(flipped(region), length) if from_back else region


def _under(ceiling: Sequence[Point]) -> Region:
    """Bound what lies between the axis and the crests of a tapped hole."""
    return polygon([(ceiling[0][0], 0.0), (ceiling[-1][0], 0.0), *reversed(ceiling)])


def _outside(region: Region, outer: Outline) -> Iterator[Box]:
    """Bound each bit of a region that lies outside the bar."""
    z0, z1, _, r1 = bounds(region)
    if z0 > -SAME_MM and z1 < outer.length + SAME_MM and r1 < _safe_radius(outer, z0, z1) - SAME_MM:
        return
    for loop in difference(region, outer.region).loops:
        outside = Region(loops=(loop,))
        if area(outside) >= _THINNEST_CUT:
            yield bounds(outside)


def _left(outer: Outline, z0: float, z1: float) -> float:
    """Least diameter of the outside at the ends and the middle of a stretch, [mm]."""
    return 2 * min(most_radius(outer, z, z) for z in (z0, (z0 + z1) / 2, z1))


def _kept_in(feature: Inside, over: float) -> str:
    """Tell how a cut that comes so far [mm] out of the far end leaves a floor, or goes through."""
    short = at_least(over + LEAST_FLOOR)
    depth = getattr(feature, "depth", None)
    ways = [f"make it {short} mm shallower"] if depth is None or mm(depth) > float(short) else []
    ways += ["through=True"] if hasattr(feature, "through") else []
    return ", or ".join(ways) or f"make the part {short} mm longer"


def _shallower(hole: Bored, feature: Tap, outer: Outline, diameter: float) -> str:
    """Tell how a tapped hole stays within the side: a depth that leaves metal before it, or a wider outside.

    A tap is never so shallow that it leaves less than a turn of thread.
    """
    wider = f"leave the outside {at_least(diameter + 2 * LEAST_WALL)} mm or more there"
    if feature.depth is None:
        return f"{wider}, or take a smaller thread"
    depth = mm(feature.depth)
    low, high = 0, math.floor((depth - feature.thread.pitch) * 100)
    if high <= 0 or not _stays(hole, feature, depth - high / 100, outer):
        return f"{wider}, or take a smaller thread"
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if _stays(hole, feature, depth - middle / 100, outer) else (middle, high)
    left = depth - high / 100 - LEAST_FLOOR
    return f"tap it {left:.2f} mm deep, or {wider}" if left >= feature.thread.pitch else wider


def _stays(hole: Bored, feature: Tap, depth: float, outer: Outline) -> bool:
    """Whether all that a tap cuts at a depth [mm] of full thread stays inside the bar."""
    thread, lead, length = feature.thread, feature.lead_length(), outer.length
    crest, fall = thread.major_d / 2, (thread.major_d - thread.minor_d) / 2 / lead
    end = depth + lead
    if hole.thread is not None:
        end = min(end, length - hole.thread.start if hole.from_back else hole.thread.end)
    ceiling = [(0.0, crest), (depth, crest), (end, crest - fall * (end - depth))]
    cuts = replace(feature, depth=depth).cuts(hole.before)
    regions = [*(removed(cut) for cut in cuts), _under(ceiling)]
    return not any(any(_outside(_placed(r, hole.from_back, length), outer)) for r in regions)


def _safe_radius(outer: Outline, z0: float, z1: float) -> float:
    """A lower bound of the outside radius between two stations, [mm]."""
    near = [p for p in outer.places if p.curves and p.start < z1 + SAME_MM and p.end > z0 - SAME_MM]
    cut_back = [_cut_back(place, end) for place in near for end in ("front", "back")]
    return min(least_radius(outer, z0, z1), *cut_back)


def _cut_back(place: Place, end: str) -> float:
    """Radius that a chamfer or fillet may leave at an end, infinite where there is none, [mm]."""
    feature = place.feature
    edge = getattr(feature, end, None) or getattr(feature, "edges", None)
    if edge is None and isinstance(feature, Groove):
        return place.curves[0].start[1] - mm(feature.radius)
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
