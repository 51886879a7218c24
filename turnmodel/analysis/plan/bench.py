"""Steps away from the turning: what is cut across, edges, and what the finished part weighs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from turnmodel.analysis.plan.cautions import CAUTIONS, material_cautions
from turnmodel.analysis.plan.heat import blued, blueing_heat
from turnmodel.analysis.plan.job import at_hand, drill_tool, size_name
from turnmodel.analysis.plan.side import hole_radius
from turnmodel.analysis.plan.steps import Bench, Step, Tool, Verb
from turnmodel.analysis.plan.threading import lubricant
from turnmodel.analysis.weight import part_weight
from turnmodel.catalog import drills, tapping
from turnmodel.catalog.toolbox import SAME_SIZE, owned_leads
from turnmodel.design.features.across import Across, CrossHole, CrossTap, Flat, Saddle, Slot
from turnmodel.design.features.inside import Drill
from turnmodel.design.ledger import mm
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.analysis.plan.job import Job
    from turnmodel.design.bored import Bored
    from turnmodel.design.turned import CrossCut

__all__ = ["bench_of"]


def bench_of(job: Job) -> tuple[Bench, ...]:
    """Plan what is done to a turned part once it is turned."""
    steps = [step for cut in job.made.across for step in _across(job, cut)]
    burred = _burred(job)
    if burred:
        steps.append(burred)
    crossed = _crossed_threads(job)
    if crossed:
        steps.append(
            Step(verb=Verb.TAP, text=f"run the tap through again: what was cut across burred {crossed}")
        )
    heat = blueing_heat(job.part.finish)
    if heat:
        steps.append(blued(heat))
    return (Bench(title="at the bench", steps=(*steps, _finish(job))),)


def _across(job: Job, cut: CrossCut) -> list[Step]:
    """Cut one feature across."""
    feature = cut.feature
    middle, turn = job.say((cut.start + cut.end) / 2), _round_about(job, feature)
    span = f"from {job.say(cut.start)} to {job.say(cut.end)} of the front face{turn}"
    match feature:
        case CrossTap():
            return _cross_tap(job, cut, feature, middle, turn)
        case CrossHole():
            name = (
                drills.drill(feature.size).name if isinstance(feature.size, str) else size_name(feature.size)
            )
            text = f"{name} across, {middle} from the front face{turn}, {_deep(job, feature)}; in a vee block"
            return [_mark(middle, turn), _cross_drill(job, cut, name, feature.diameter, text)]
        case Flat():
            count = int(feature.count)
            many = "1 flat" if count == 1 else f"{count} flats, every {360 / count:g}°"
            text = f"{many}, {job.say(mm(feature.across))} across, {span}; filed to a stop, or milled"
            return [_cut(cut, Verb.FILE, text, "file")]
        case Slot():
            width, depth = job.say(mm(feature.width)), job.say(mm(feature.depth))
            slot = _end_slot(job, cut, feature, turn) or f"{depth} deep, {span}"
            text = f"slot {width} wide, {slot}; held as it was last turned"
            return [_cut(cut, Verb.SAW, text, "slitting saw")]
        case Saddle():
            seat = job.d(mm(feature.diameter))
            text = (
                f"hollow of {seat} across the back face{turn}: to the paper's line, then on emery round a "
                f"rod of {seat}"
            )
            return [_cut(cut, Verb.FILE, text, "half-round file")]
    return [_cut(cut, Verb.CUT, f"{feature.word} {span}", "file")]


def _end_slot(job: Job, cut: CrossCut, feature: Slot, turn: str) -> str | None:
    """Tell a slot right across an end, as for a screwdriver, by how deep it goes from that end's face."""
    if mm(feature.depth) < 2 * cut.surface_r - CONTACT_MM:
        return None
    if cut.start < CONTACT_MM:
        return f"{job.say(cut.end)} deep, right across the front face{turn}"
    if cut.end > job.length - CONTACT_MM:
        return f"{job.say(job.length - cut.start)} deep, right across the back face{turn}"
    return None


def _cut(cut: CrossCut, verb: Verb, text: str, tool: str) -> Step:
    return Step(verb=verb, text=text, feature=cut.title, tools=(at_hand(tool),))


def _round_about(job: Job, feature: Across) -> str:
    """Tell where a feature stands round the axis, where there is another to tell it from."""
    angle = getattr(feature, "angle", 0.0)
    return f", at {angle:g}°" if len(job.made.across) > 1 else ""


def _deep(job: Job, feature: CrossHole | CrossTap) -> str:
    if feature.through:
        return "through both walls"
    return "through the near wall" if feature.depth is None else f"{job.say(mm(feature.depth))} deep"


def _mark(middle: str, turn: str) -> Step:
    return Step(
        verb=Verb.MARK,
        text=f"its centre, {middle} from the front face{turn}: paper wrap, centre punch",
    )


def _cross_drill(job: Job, cut: CrossCut, name: str, diameter: float, text: str) -> Step:
    return Step(
        verb=Verb.DRILL,
        text=text,
        feature=cut.title,
        tools=(drill_tool(job.tools, name, diameter, 0.0),),
        turns=job.turns(diameter, "drill"),
        cautions=(CAUTIONS["cross drill"],),
    )


def _cross_tap(job: Job, cut: CrossCut, feature: CrossTap, middle: str, turn: str) -> list[Step]:
    """Drill and tap across: to the bottom with the shortest tap where it has a floor."""
    size, pilot = feature.thread, tapping.tap_drill(feature.thread).drill
    where = f"{middle} from the front face{turn}, {_deep(job, feature)}"
    text = f"{pilot.name} across for {size}, {where}; in a vee block"
    owned = owned_leads(job.tools.taps, size)
    wanted = ("taper", "plug") if feature.depth is None else ("taper", "plug", "bottoming")
    used = [lead for lead in wanted if lead in owned] or [wanted[-1]]
    tools = tuple(Tool(kind=f"{lead} tap", size=str(size), owned=lead in owned) for lead in used)
    return [
        _mark(middle, turn),
        _cross_drill(job, cut, pilot.name, pilot.diameter, text),
        Step(
            verb=Verb.TAP,
            text=f"{size}: {', then '.join(used)}, started square by the drill chuck, turned by hand. "
            f"{lubricant(job.material)}",
            feature=cut.title,
            tools=tools,
        ),
    ]


def _crossed_threads(job: Job) -> str:
    """Name the tapped holes whose thread something across runs into."""
    return " and ".join(
        bored.title
        for bored in job.made.inside
        if bored.thread is not None
        and any(cut.start < bored.thread.end and cut.end > bored.thread.start for cut in job.made.across)
    )


def _burred(job: Job) -> Step | None:
    """Clear the burrs that holes across leave inside the holes that they break into."""
    walls = sorted({round(wall, 6) for cut in job.made.across if (wall := _broken_into(job, cut))})
    if not walls:
        return None
    drilled = {2 * _wide(bored) for bored in job.made.inside if isinstance(bored.feature, Drill)}
    turned = all(any(abs(one - wall) < SAME_SIZE for one in drilled) for wall in walls)
    listed = " and ".join(job.d(wall) for wall in walls)
    how = "its drill turned through by hand, or a scraper" if turned else "a scraper"
    return Step(
        verb=Verb.DEBURR,
        text=f"inside, where what was cut across breaks into {listed}: {how}, until nothing catches",
        tools=(at_hand("scraper"),),
    )


def _broken_into(job: Job, cut: CrossCut) -> float:
    """Diameter of the hole that a hole across breaks into where that is not tapped, else 0, [mm]."""
    feature = cut.feature
    if not isinstance(feature, CrossHole | CrossTap):
        return 0.0
    middle = (cut.start + cut.end) / 2
    wall = hole_radius(job.made.body.plain, middle)
    deep = math.inf if feature.depth is None else mm(feature.depth)
    if math.isinf(wall) or cut.surface_r - deep >= wall - CONTACT_MM:
        return 0.0
    threads = (bored.thread for bored in job.made.inside if bored.thread is not None)
    return 0.0 if any(thread.start < middle < thread.end for thread in threads) else 2 * wall


def _wide(bored: Bored) -> float:
    """Greatest radius of a hole, [mm]."""
    return max((r for cut in bored.cuts for c in cut.chain for _, r in (c.start, c.end)), default=0.0)


def _finish(job: Job) -> Step:
    """Break what is sharp, polish, wash, weigh."""
    grams = part_weight(job.part).mass
    how = f"; {job.part.finish}" if job.part.finish else ""
    return Step(
        verb=Verb.FINISH,
        text=f"every edge broken{how}. Wash it; it should weigh {grams:.2f} g",
        cautions=(CAUTIONS["cloth"], *material_cautions(job.material, finished=True)),
    )
