"""Steps that cut the inside: centring, drilling in sizes, boring, reaming, sinking, tapping."""

from __future__ import annotations

import math
from enum import Enum
from typing import TYPE_CHECKING

from turnmodel.analysis.plan.boring import EDGE, bore_hole, bore_taper, least_hole
from turnmodel.analysis.plan.drilling import (
    Holes,
    Reach,
    drilled,
    open_up,
    pointed,
    reach,
)
from turnmodel.analysis.plan.job import at_hand, size_name
from turnmodel.analysis.plan.side import as_seen, hole_radius
from turnmodel.analysis.plan.steps import Step, Verb
from turnmodel.analysis.plan.threading import tap_step, untapped
from turnmodel.analysis.practice import FACING
from turnmodel.catalog import drills
from turnmodel.catalog.toolbox import SAME_SIZE
from turnmodel.design.features.hole import removed
from turnmodel.design.features.inside import Drill, Recess, Tap
from turnmodel.design.features.operation import Operation
from turnmodel.design.ledger import mm
from turnmodel.geometry.boolean import difference, intersection, union
from turnmodel.geometry.region import Region, bounds, ring
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM

if TYPE_CHECKING:
    from turnmodel.analysis.plan.job import Job
    from turnmodel.analysis.plan.steps import End
    from turnmodel.design.features.inside import Cut
    from turnmodel.design.turned import Bored

__all__ = ["hole_steps"]


def hole_steps(job: Job, out: End, metal: Region, *, first: bool) -> Holes:
    """Plan what is cut inside from one end.

    Parameters
    ----------
    job : Job
        The job
    out : {"front", "back"}
        The end that stands out
    metal : Region
        What stands when the holes are begun, in the frame of the setting, [mm]
    first : bool
        Whether the part is still on its bar; holes right through are drilled then, and tapped through later

    Returns
    -------
    Holes
        The steps
    """
    own = [bored for bored in job.made.inside if bored.from_back is (out == "back")]
    other = [bored for bored in job.made.inside if bored.from_back is not (out == "back")]
    found = Holes(metal=metal)
    due = own + [bored for bored in other if _through(bored)]
    shares = {bored.title: _share(job, out, bored, metal, own, first=first) for bored in due}
    for drilling in (True, False):
        for bored in due:
            _cut_hole(job, out, bored, found, drilling=drilling, share=shares[bored.title])
    for bored in [*own, *other]:
        if isinstance(bored.feature, Tap) and (not first if _through(bored) else bored in own):
            _tap(job, out, bored, bored.feature, found)
    if found.drilling and hole_radius(metal, EDGE) == 0.0:
        found.drilling.insert(0, _centre(found.drilling[0]))
    return found


class _Share(Enum):
    """How much of a hole is drilled in a setting."""

    NONE = 0
    HALF = 1
    WHOLE = 2


def _share(job: Job, out: End, bored: Bored, metal: Region, own: list[Bored], *, first: bool) -> _Share:
    """Tell how much of a hole is drilled from this end; one right through may be left to the other.

    It is drilled right through at once where the drill that there is reaches, else from the end that the
    script says, else from both.
    """
    here = bored.from_back is (out == "back")
    if not (first and isinstance(bored.feature, Drill) and bored.feature.through):
        return _Share.WHOLE
    diameter = bored.feature.diameter
    name, point = _drill_name(bored, diameter), bored.feature.point
    core = ring(0.0, job.length + FACING + job.kerf, diameter)
    for earlier in own:
        if earlier is bored:
            break
        for cut in earlier.cuts:
            if (cut.operation or earlier.feature.operation) is Operation.DRILL:
                metal = difference(metal, removed(cut))
    left = intersection(metal, core)
    if not left.loops:
        return _Share.WHOLE
    box = bounds(left)
    near = reach(job, name, diameter, point, (box.z0, box.z1))
    far = reach(job, name, diameter, point, (0.0, job.length - box.z0))
    if near is Reach.CLEAR or (near is Reach.PECKED and (here or far is Reach.NONE)):
        return _Share.WHOLE
    tapped = any(isinstance(each.feature, Tap) and not any(map(_is_drilled, each.cuts)) for each in own)
    if not here and far is not Reach.NONE and not tapped:
        return _Share.NONE
    half = reach(job, name, diameter, point, (0.0, job.length / 2 + diameter))
    return _Share.WHOLE if half is Reach.NONE else _Share.HALF


def _through(bored: Bored) -> bool:
    return bool(getattr(bored.feature, "through", False))


def _is_drilled(cut: Cut) -> bool:
    return cut.operation is Operation.DRILL


def _centre(then: Step) -> Step:
    return Step(
        verb=Verb.CENTRE,
        text="with a centre drill, its cone no wider than the hole",
        feature=then.feature,
        tools=(at_hand("centre drill"),),
        turns=then.turns,
    )


def _cut_hole(job: Job, out: End, bored: Bored, found: Holes, *, drilling: bool, share: _Share) -> None:
    """Drill what of a feature is drilled; else cut the rest of it, each cut by its own operation."""
    if share is _Share.NONE:
        return
    feature = bored.feature
    mirrored = bored.from_back is not (out == "back")
    for cut in bored.cuts:
        operation = cut.operation or feature.operation
        if (operation is Operation.DRILL) is not drilling or (
            mirrored and operation is Operation.COUNTERSINK
        ):
            continue  # a mouth is sunk from its own side
        region = removed(cut)
        if mirrored:
            region = as_seen(region, job.length, "back")
        region = _opened(job, region, _through(bored))
        if not found.bites(region):
            continue
        match operation:
            case Operation.DRILL if share is _Share.HALF:
                _drill_half(job, bored, cut, found)
            case Operation.DRILL:
                _drill(job, bored, cut, region, found)
            case Operation.BORE:
                bore_hole(job, bored, region, found)
            case Operation.COUNTERSINK:
                _sink(job, bored, cut, region, found)
            case Operation.BORE_TAPER:
                bore_taper(job, bored, region, found)
            case Operation.RECESS:
                _recess(job, bored, region, found)


def _tap(job: Job, out: End, bored: Bored, feature: Tap, found: Holes) -> None:
    """Tap a hole; right through only when nothing is behind it any more."""
    if bored.thread is None:
        return
    through = _through(bored)
    start, end = bored.thread.start, bored.thread.end
    if out == "back":
        start, end = job.length - end, job.length - start
    full = end if through or feature.depth is None else mm(feature.depth)
    pointed_in = untapped(job, feature.thread)
    if not pointed_in and hole_radius(found.metal, EDGE) <= least_hole(found.metal, start, end) + EDGE:
        found.tapping.append(_entered(job, bored.title, feature))
    found.tapping.append(tap_step(job, bored.title, feature, max(start, 0.0), full, through=through))


def _entered(job: Job, title: str, feature: Tap) -> Step:
    """Break the mouth that a tap enters by where it is not sunk: no more than the edge."""
    wide = feature.thread.major_d
    return Step(
        verb=Verb.COUNTERSINK,
        text=f"the mouth that the tap enters by, lightly, under {job.d(wide)}: 90° countersink",
        feature=title,
        tools=(at_hand("countersink", "90°"),),
        turns=job.turns(wide, "countersink"),
    )


def _opened(job: Job, region: Region, through: bool) -> Region:
    """Carry what goes right through on into the stock that is parted off."""
    box = bounds(region)
    if not through and box.z1 < job.length - SAME_MM:
        return region
    r = max(
        (
            r
            for loop in region.loops
            for c in loop
            for z, r in (c.start, c.end)
            if z > job.length - CONTACT_MM
        ),
        default=0.0,
    )
    if r < CONTACT_MM:
        return region
    past = job.length + FACING + job.kerf
    return union(region, ring(job.length, past, 2 * r))


# drilling


def _drill(job: Job, bored: Bored, cut: Cut, region: Region, found: Holes) -> None:
    """Drill a hole, after smaller ones where it is large."""
    wall = cut.chain[-1]
    diameter = 2 * wall.end[1]
    tip = max(p[0] for c in cut.chain for p in (c.start, c.end))
    depth = max(wall.start[0], wall.end[0])
    through = _through(bored) or tip >= job.length - SAME_MM
    name = _drill_name(bored, diameter)
    point = getattr(bored.feature, "point", 118.0) if bored.feature.operation is Operation.DRILL else 118.0
    open_up(job, bored.title, diameter, depth, tip if not through else math.inf, found)
    found.cut(found.drilling, drilled(job, bored.title, name, diameter, depth, point, region, found, through))


def _drill_half(job: Job, bored: Bored, cut: Cut, found: Holes) -> None:
    """Drill half of a hole that is drilled from both ends."""
    diameter = 2 * cut.chain[-1].end[1]
    point = getattr(bored.feature, "point", 118.0)
    depth, length = job.length / 2, drills.point_length(diameter, point)
    region = pointed(diameter, depth, length)
    if not found.bites(region):
        return
    open_up(job, bored.title, diameter, depth, depth + length, found)
    name = _drill_name(bored, diameter)
    found.cut(found.drilling, drilled(job, bored.title, name, diameter, depth, point, region, found, False))


def _drill_name(bored: Bored, diameter: float) -> str:
    """Name the drill of a cut: as the script does, else as the table does."""
    size = getattr(bored.feature, "size", None)
    if bored.feature.operation is Operation.DRILL and isinstance(size, str):
        return drills.drill(size).name
    near = drills.nearest_drills(diameter)[0]
    return (
        near.name if near is not None and abs(near.diameter - diameter) < SAME_SIZE else size_name(diameter)
    )


# mouths and grooves


def _sink(job: Job, bored: Bored, cut: Cut, region: Region, found: Holes) -> None:
    """Sink a mouth: with a countersink of its angle, else with the top slide."""
    (z0, r0), (z1, r1) = cut.chain[0].start, cut.chain[0].end
    half = math.degrees(math.atan2(abs(r1 - r0), abs(z1 - z0)))
    wide = 2 * max(r0, r1)
    usual = min((60.0, 82.0, 90.0, 120.0), key=lambda angle: abs(angle - 2 * half))
    if abs(usual - 2 * half) < 0.5:
        tool, how = at_hand("countersink", f"{usual:g}°"), f"{usual:g}° countersink"
    else:
        tool, how = at_hand("boring bar", "small"), f"boring tool, top slide {half:.1f}° from the bed"
    found.cut(
        found.boring,
        Step(verb=Verb.COUNTERSINK, text=f"to {job.d(wide)} at the face: {how}", removes=region,
             feature=bored.title, tools=(tool,), turns=job.turns(wide, "countersink")),
    )  # fmt: skip


def _recess(job: Job, bored: Bored, region: Region, found: Holes) -> None:
    """Turn a groove into the wall of a hole."""
    assert isinstance(bored.feature, Recess)
    depth, width, wide = mm(bored.feature.depth), mm(bored.feature.width), mm(bored.feature.diameter)
    found.cut(
        found.boring,
        Step(
            verb=Verb.RECESS,
            text=f"{job.d(wide)}, {job.say(width)} wide, its far side {job.say(depth)} from the face",
            removes=region,
            feature=bored.title,
            tools=(at_hand("inside grooving tool", f"up to {job.say(width)} wide"),),
            turns=job.turns(wide, "form"),
        ),
    )
