"""Steps that cut the inside: centring, drilling in sizes, boring, reaming, sinking, tapping."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.cautions import CAUTIONS
from turnmodel.analysis.plan.dial import passes
from turnmodel.analysis.plan.job import FACING, SCRAP, at_hand, drill_tool, size_name, slide
from turnmodel.analysis.plan.side import as_seen, hole_radius
from turnmodel.analysis.plan.steps import Step, Tool, Verb
from turnmodel.analysis.plan.threading import tap_step
from turnmodel.catalog import drills
from turnmodel.catalog.toolbox import owned_reamer
from turnmodel.design.features.hole import removed
from turnmodel.design.features.inside import Bore, Recess, Tap, TaperBore
from turnmodel.design.features.operation import Operation
from turnmodel.design.ledger import mm
from turnmodel.geometry.boolean import difference, intersection, union
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, bounds, polygon, ring
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM

if TYPE_CHECKING:
    from turnmodel.analysis.plan.job import Job
    from turnmodel.analysis.plan.steps import End
    from turnmodel.catalog.drills import Drill as Twist
    from turnmodel.design.features.inside import Cut
    from turnmodel.design.turned import Bored

__all__ = ["Holes", "hole_steps"]

_PECK: Final = 3.0
"""Diameters drilled before a drill is first drawn back, and one diameter from then on; common practice."""

_LARGE: Final = 6.0
"""Diameter [mm] above which a drill follows a smaller one; house choice for a small lathe."""

_TO_BORE: Final = 0.5
"""Left on the diameter [mm] at least for the boring tool; house choice."""

_TO_REAM: Final = (0.05, 0.35)
"""Least and most that is left on the diameter [mm] for a reamer; common practice."""

_SLENDER_BAR: Final = 6.0
"""Diameter [mm] of a bore under which a boring bar is too slender to bore it well; house choice."""

_EDGE: Final = 0.05
"""Depth [mm] at which a face is looked at for a hole: under any chamfer's corner."""


@dataclass(slots=True, kw_only=True)
class Holes:
    """Steps of the inside: those before the outside is turned, and those after; what metal is left, [mm]."""

    metal: Region
    drilling: list[Step] = field(default_factory=list)
    boring: list[Step] = field(default_factory=list)
    tapping: list[Step] = field(default_factory=list)

    def cut(self, group: list[Step], step: Step) -> None:
        """Add a step, and take off what it removes."""
        self.metal = difference(self.metal, step.removes)
        group.append(step)

    def bites(self, region: Region) -> bool:
        """Whether anything of a region is still there."""
        return bool(region.loops) and area(intersection(self.metal, region)) > SCRAP


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
    todo = own + [bored for bored in other if first and _through(bored)]
    for drilling in (True, False):
        for bored in todo:
            _cut_hole(job, out, bored, found, drilling=drilling)
    for bored in [*own, *other]:
        if isinstance(bored.feature, Tap) and (not first if _through(bored) else bored in own):
            _tap(job, out, bored, bored.feature, found)
    if found.drilling and hole_radius(metal, _EDGE) == 0.0:
        found.drilling.insert(0, _centre(found.drilling[0]))
    return found


def _through(bored: Bored) -> bool:
    return bool(getattr(bored.feature, "through", False))


def _centre(then: Step) -> Step:
    return Step(
        verb=Verb.CENTRE,
        text="with a centre drill, its cone no wider than the hole",
        feature=then.feature,
        tools=(at_hand("centre drill"),),
        turns=then.turns,
    )


def _cut_hole(job: Job, out: End, bored: Bored, found: Holes, *, drilling: bool) -> None:
    """Drill what of a feature is drilled; else cut the rest of it, each cut by its own operation."""
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
            case Operation.DRILL:
                _drill(job, bored, cut, region, found)
            case Operation.BORE:
                _bore(job, bored, region, found)
            case Operation.COUNTERSINK:
                _sink(job, bored, cut, region, found)
            case Operation.BORE_TAPER:
                _bore_taper(job, bored, region, found)
            case Operation.RECESS:
                _recess(job, bored, region, found)


def _tap(job: Job, out: End, bored: Bored, feature: Tap, found: Holes) -> None:
    """Tap a hole; right through only when nothing is behind it any more."""
    if bored.thread is None:
        return
    through = _through(bored)
    full = job.length if through or feature.depth is None else mm(feature.depth)
    start = bored.thread.start if out == "front" else job.length - bored.thread.end
    found.tapping.append(tap_step(job, bored.title, feature, full, max(start, 0.0), through=through))


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
    _open_up(job, bored.title, diameter, depth, tip if not through else math.inf, found)
    found.cut(
        found.drilling, _drilled(job, bored.title, name, diameter, depth, point, region, found, through)
    )


def _drill_name(bored: Bored, diameter: float) -> str:
    """Name the drill of a cut: as the script does, else as the table does."""
    size = getattr(bored.feature, "size", None)
    if bored.feature.operation is Operation.DRILL and isinstance(size, str):
        return drills.drill(size).name
    near = drills.nearest_drills(diameter)[0]
    return near.name if near is not None and abs(near.diameter - diameter) < 1e-4 else size_name(diameter)


def _drilled(
    job: Job,
    title: str,
    name: str,
    diameter: float,
    depth: float,
    point: float,
    region: Region,
    found: Holes,
    through: bool,
    pilot: str = "",
) -> Step:
    """Write down one drill: how deep at full diameter, where its tip is then, when to draw it back."""
    cut = bounds(intersection(found.metal, region))
    length = cut.z1 - cut.z0
    tip = depth + (0.0 if point >= 180 else diameter / 2 / math.tan(math.radians(point / 2)))
    tool = drill_tool(job.tools, name, diameter, length)
    if through:
        end = min(cut.z1, job.length + FACING + job.kerf)
        on_bar = end > job.length + CONTACT_MM
        on = f"{job.say.rough(end)} at full diameter, past where it is parted off"
        deep = on if on_bar else "right through"
    else:
        deep = f"{job.say(depth)} at full diameter, its tip {job.say(tip)} from the face"
    peck = ""
    if length > _PECK * diameter * (1 + 1e-9):
        peck = f". Draw it back after {job.say.rough(_PECK * diameter)}, then every {job.say.rough(diameter)}"
    return Step(
        verb=Verb.DRILL,
        text=f"{tool.size}{pilot}: {deep}{_flutes(job, tool, diameter, length)}{peck}",
        removes=region,
        feature=title,
        tools=(tool,),
        turns=job.turns(diameter, "drill"),
        cautions=(CAUTIONS["swarf"],) if peck else (),
    )


def _flutes(job: Job, tool: Tool, diameter: float, length: float) -> str:
    """Tell where a drill's flutes end before its cut does."""
    same = [d.flute for d in job.tools.drills if abs(d.diameter - diameter) < 1e-4]
    if not tool.owned or not same or max(same) >= length:
        return ""
    flutes, often = job.say.rough(max(same)), job.say.rough(diameter / 2)
    return f" (its flutes are {flutes} long: clear it every {often} from there)"


def _open_up(job: Job, title: str, diameter: float, depth: float, tip: float, found: Holes) -> None:
    """Drill smaller holes in front of a large drill where it would have to cut from the solid."""
    if diameter <= _LARGE or hole_radius(found.metal, min(depth, job.length) / 2) > 0:
        return
    shares = (0.5,) if diameter <= 1.5 * _LARGE else (0.35, 0.7)
    for share in shares:
        drill = _owned_near(job, share * diameter, depth)
        if drill is None:
            continue
        point = drill.point_length
        deep = depth if math.isinf(tip) else min(depth, tip - point - 0.1)
        if deep <= 1.0:
            continue
        past = FACING + job.kerf if math.isinf(tip) else 0.0
        region = _pointed(drill.diameter, deep + past, 0.0 if math.isinf(tip) else point)
        if found.bites(region):
            step = _drilled(
                job, title, drill.name, drill.diameter, deep, 118.0, region, found,
                through=math.isinf(tip), pilot=" first",
            )  # fmt: skip
            found.cut(found.drilling, step)


def _owned_near(job: Job, diameter: float, depth: float) -> Twist | None:
    """Find the owned drill nearest to a diameter whose flutes reach a depth, both [mm]."""
    reaching = [d for d in job.tools.drills if d.flute >= depth + d.point_length]
    alike = [d for d in reaching if d.kind.startswith("metric") is (job.say.unit == "mm")]
    near = min(alike or reaching, key=lambda d: abs(d.diameter - diameter), default=None)
    return near if near is not None and abs(near.diameter - diameter) < diameter / 3 else None


def _owned_under(job: Job, diameter: float, depth: float) -> Twist | None:
    """Find the largest owned drill up to a diameter whose flutes reach a depth, both [mm]."""
    reaching = [d for d in job.tools.drills if d.flute >= depth and d.diameter <= diameter]
    return max(reaching, key=lambda d: d.diameter, default=None)


def _pointed(diameter: float, depth: float, point: float) -> Region:
    r = diameter / 2
    if point < SAME_MM:
        return ring(0.0, depth, diameter)
    return polygon([(0.0, 0.0), (depth + point, 0.0), (depth, r), (0.0, r)])


# boring


def _bore(job: Job, bored: Bored, region: Region, found: Holes) -> None:
    """Ream or bore a hole, drilled first where none stands."""
    assert isinstance(bored.feature, Bore)
    diameter = mm(bored.feature.diameter)
    box = bounds(region)
    depth, through = min(box.z1, job.length), _through(bored)
    ahead = through or hole_radius(found.metal, box.z1 + 0.5 * diameter) > 0
    ream = owned_reamer(job.tools, diameter) and ahead
    left = _TO_REAM[0] if ream else _TO_BORE
    stands = 2 * _least_hole(found.metal, box.z0, depth)
    if stands < diameter - max(_TO_REAM[1] if ream else 3.0, left) or stands == 0:
        _drill_to_bore(job, bored.title, diameter - left, depth, through, found)
        stands = 2 * _least_hole(found.metal, box.z0, depth)
    corner = bored.feature.corner
    nose = f"; R{job.say(mm(corner.radius))} left in the corner by its nose" if corner else ""
    deep = "right through" if through else f"{job.say(depth)} deep, the floor flat"
    if ream and stands > 0:
        how = f"from {job.d(stands)}, slow, with oil, turned only forwards"
        text = f"{job.d(diameter)}, {deep.partition(',')[0]}: {how}"
        tool = Tool(kind="reamer", size=size_name(diameter))
        found.cut(
            found.boring,
            Step(verb=Verb.REAM, text=text, removes=region, feature=bored.title, tools=(tool,),
                 turns=job.turns(diameter, "ream")),
        )  # fmt: skip
        return
    slender = ", or a D-bit: a bar is slender here" if diameter < _SLENDER_BAR else ""
    found.cut(
        found.boring,
        Step(
            verb=Verb.BORE,
            text=f"{job.d(diameter)}, {deep}, from {job.d(stands)}{nose}{slender}",
            removes=region,
            feature=bored.title,
            tools=(at_hand("boring bar", f"under {job.say(max(stands, 0.7 * diameter))}"),),
            turns=job.turns(diameter, "bore"),
            passes=passes(stands, diameter, job.material, job.tools.lathe) if stands > 0 else (),
        ),
    )


def _least_hole(metal: Region, start: float, end: float) -> float:
    """Least radius of the hole over a length, [mm]; 0 where part of it is solid."""
    radii = [hole_radius(metal, start + (end - start) * k / 16) for k in range(1, 16)]
    return min((r for r in radii if not math.isinf(r)), default=0.0)


def _drill_to_bore(job: Job, title: str, most: float, depth: float, through: bool, found: Holes) -> None:
    """Drill the hole that a boring tool or a reamer begins in."""
    drill = _owned_under(job, most, depth)
    if drill is None:
        return
    floor = math.inf if through else depth - 0.1
    deep = depth if through else depth - 0.1 - drill.point_length
    if deep <= 0.2:
        return
    _open_up(job, title, drill.diameter, deep, math.inf if through else floor, found)
    past = FACING + job.kerf if through else 0.0
    region = _pointed(drill.diameter, deep + past, 0.0 if through else drill.point_length)
    if found.bites(region):
        step = _drilled(job, title, drill.name, drill.diameter, deep, 118.0, region, found, through, " first")
        found.cut(found.drilling, step)


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


def _bore_taper(job: Job, bored: Bored, region: Region, found: Holes) -> None:
    """Bore a tapered hole with the top slide, drilled first."""
    assert isinstance(bored.feature, TaperBore)
    mouth, floor, depth = mm(bored.feature.mouth_d), mm(bored.feature.floor_d), mm(bored.feature.depth)
    narrow = min(mouth, floor)
    if narrow > 0 and 2 * _least_hole(found.metal, 0.0, depth) < 0.6 * narrow:
        _drill_to_bore(job, bored.title, narrow - _TO_BORE, depth, False, found)
    half = math.degrees(math.atan2(abs(mouth - floor) / 2, depth))
    found.cut(
        found.boring,
        Step(
            verb=Verb.BORE,
            text=f"taper from {job.d(mouth)} at the face to {job.d(floor)} at {job.say(depth)}. "
            f"{slide(half)}",
            removes=region,
            feature=bored.title,
            tools=(at_hand("boring bar", f"under {job.say(0.7 * narrow)}"),),
            turns=job.turns(max(mouth, floor), "bore"),
        ),
    )


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
