"""Steps that cut curves: by a table of plunges where that is worth while, else by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.cautions import CAUTIONS
from turnmodel.analysis.plan.job import CLOSE, at_hand
from turnmodel.analysis.plan.round_steps import step_table
from turnmodel.analysis.plan.steps import NOTHING, Step, Verb
from turnmodel.geometry.boolean import intersection, union
from turnmodel.geometry.curve import Arc, box
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, ring
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.analysis.plan.job import Job
    from turnmodel.analysis.plan.round_steps import StepTable
    from turnmodel.analysis.plan.side import Side
    from turnmodel.geometry.curve import Point

__all__ = ["BY_HAND", "by_hand", "plunges", "rounds"]

BY_HAND: Final = 1.5
"""Radius [mm] up to which a curve is cut with a file or a form tool; house choice."""

_NOSE: Final = 1.0
"""Radius [mm] of the round-nosed tool for hollows, or half the hollow's where that is less; house choice."""


def rounds(job: Job, side: Side, title: str, arc: Arc, region: Region) -> list[Step]:
    """Cut a curve by steps, from each narrow end to where it is widest.

    Parameters
    ----------
    job : Job
        The job
    side : Side
        The part from the end that stands out, which no plunge may touch
    title : str
        Title of the feature
    arc : Arc
        The curve, in the frame of the setting
    region : Region
        What it removes, [mm]

    Returns
    -------
    list of Step
        One for each half of a curve that rises and falls, but for a hollow that a round nose cuts in one
    """
    arc = _rising(arc)
    hollow = "hollow " if arc.turn > 0 else ""
    if arc.radius <= BY_HAND + CONTACT_MM:
        return [by_hand(job, title, f"{hollow}{_written(job, arc)}", region, 2 * box(arc).r1)]
    if hollow:
        nose = max(0.1, min(_NOSE, round(arc.radius / 2, 1)))
        table = step_table(arc, nose_r=nose)
        if not _gouges(table, side.outline):
            tool = at_hand("round-nosed tool", f"R{nose:g}")
            return [
                _step(job, title, (arc, table), tool.kind, f"the left side of its nose, R{nose:g}", region)
            ]
    halves = _halves(arc)
    steps = []
    for half in halves:
        table, tool_kind, read = step_table(half, width=job.kerf), "parting tool", "its left corner"
        if _gouges(table, side.outline):
            table, tool_kind, read = step_table(half), "pointed tool", "its point"
        elif half.end[1] < half.start[1]:
            read += f", the width of {job.say(job.kerf)} added"
        removes = region if half is halves[-1] else NOTHING
        steps.append(_step(job, title, (half, table), tool_kind, read, removes))
    return steps


def by_hand(job: Job, title: str | None, what: str, region: Region, wide: float) -> Step:
    """Round by eye what is too small to be worth a table, on a diameter [mm]."""
    return Step(
        verb=Verb.ROUND,
        text=f"{what} from the face, with a form tool or a file, to a radius gauge",
        removes=region,
        feature=title,
        tools=(at_hand("file"),),
        turns=job.turns(wide),
        cautions=(CAUTIONS["file"],),
    )


def _step(job: Job, title: str, cut: tuple[Arc, StepTable], tool: str, read: str, removes: Region) -> Step:
    """Write down a curve and its table."""
    arc, table = cut
    hollow = "hollow " if arc.turn > 0 else ""
    return Step(
        verb=Verb.ROUND,
        text=f"{hollow}{_written(job, arc)} from the face: plunge a {tool} by the table, read at {read}. "
        f"File off the steps, {job.say(table.cusp)} high, to a radius gauge",
        removes=removes,
        feature=title,
        tools=(at_hand(tool), at_hand("file")),
        turns=job.turns(2 * box(arc).r1, "form"),
        table=table,
        cautions=(CAUTIONS["file"],),
    )


def plunges(table: StepTable, beyond_d: float) -> list[Region]:
    """Draw each plunge of a table: the tool from its edge out to a diameter [mm], in the setting's frame.

    A point is drawn as nothing: it stands on the curve.
    """
    found = []
    for step in table.steps:
        if table.nose_r:
            middle, r = step.advance - table.nose_r, step.diameter / 2 + table.nose_r
            shank = ring(middle - table.nose_r, step.advance, max(beyond_d, 2 * r + 1), 2 * max(r, 0.0))
            found.append(union(_disc((middle, r), table.nose_r), shank) if r > table.nose_r else shank)
        elif table.width:
            found.append(ring(step.advance - table.width, step.advance, beyond_d, step.diameter))
    return found


def _gouges(table: StepTable, keep: Region) -> bool:
    """Whether a plunge of the table cuts what must stay."""
    beyond = table.widest_d + 2.0
    return any(area(intersection(cut, keep)) > CLOSE for cut in plunges(table, beyond))


def _disc(center: Point, radius: float) -> Region:
    left, right = (center[0] - radius, center[1]), (center[0] + radius, center[1])
    upper = Arc(start=right, end=left, center=center, turn=1)
    lower = Arc(start=left, end=right, center=center, turn=1)
    return Region(loops=((upper, lower),))


def _written(job: Job, arc: Arc) -> str:
    """Write where a curve runs."""
    (u0, r0), (u1, r1) = arc.start, arc.end
    return f"R{job.say(arc.radius)}, {job.d(2 * r0)} at {job.say(u0)} to {job.d(2 * r1)} at {job.say(u1)}"


def _rising(arc: Arc) -> Arc:
    """Run an arc of an outline towards the chuck."""
    if arc.end[0] > arc.start[0]:
        return arc
    return Arc(start=arc.end, end=arc.start, center=arc.center, turn=-arc.turn)


def _halves(arc: Arc) -> list[Arc]:
    """Divide an arc where it is widest or narrowest."""
    (uc, rc), rises = arc.center, arc.turn
    top: Point = (uc, rc - rises * arc.radius)
    if not arc.start[0] + CONTACT_MM < uc < arc.end[0] - CONTACT_MM:
        return [arc]
    return [
        Arc(start=arc.start, end=top, center=arc.center, turn=arc.turn),
        Arc(start=top, end=arc.end, center=arc.center, turn=arc.turn),
    ]
