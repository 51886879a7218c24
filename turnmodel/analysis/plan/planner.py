"""The cut sheet of a part, and of every part of a design."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.bench import bench_of
from turnmodel.analysis.plan.job import Job
from turnmodel.analysis.plan.lathe import turned_out
from turnmodel.analysis.plan.lengths import Lengths, Unit
from turnmodel.analysis.plan.settings import best_settings
from turnmodel.analysis.plan.side import side
from turnmodel.analysis.plan.steps import Blank, Plan
from turnmodel.analysis.plan.strips import strip_plan
from turnmodel.analysis.plan.trying import Trial, trials, tried
from turnmodel.analysis.practice import FACING
from turnmodel.catalog.materials import material
from turnmodel.design.part import StripPart, TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.errors import WitnessError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design

__all__ = ["SAW_KERF", "cut_plan", "cut_plans"]

SAW_KERF: Final = 1.5
"""Width [mm] of a hacksaw's cut and its wander; house choice."""


def cut_plan(
    part: TurnedPart | StripPart, tools: Toolbox, unit: Unit = "mm", trials: Iterable[Trial] = ()
) -> Plan:
    """Plan how a part is made.

    Parameters
    ----------
    part : TurnedPart or StripPart
        The part
    tools : Toolbox
        The tools it is made with
    unit : {"mm", "in"}
        Unit of the texts
    trials : iterable of Trial
        What is tried on it, after which feature

    Returns
    -------
    Plan
        The ordered steps; that of a turned part has been followed on the simulated lathe and gives the part

    Raises
    ------
    WitnessError
        If what the plan leaves is not the part: our own fault
    """
    if isinstance(part, StripPart):
        return strip_plan(part, tools, unit, tuple(trials))
    made = built(part)
    assert isinstance(made, Turned)
    job = Job(
        part=part,
        made=made,
        front=side(part, made, "front"),
        back=side(part, made, "back"),
        material=material(part.material),
        tools=tools,
        say=Lengths(unit),
    )
    settings = best_settings(job)
    plan = Plan(part=part, blank=_blank(job), settings=settings, bench=bench_of(job), unit=unit)
    found = turned_out(plan, tools)
    if found.mishaps:
        raise WitnessError(
            f"{part.name}, cut sheet: {'; '.join(found.mishaps)}", "mm2", {"off": found.off}, 1e-6
        )
    return tried(plan, tuple(trials), tools)


def cut_plans(design: Design, tools: Toolbox, unit: Unit | None = None) -> dict[str, Plan]:
    """Plan every part of a design that is made.

    Parameters
    ----------
    design : Design
        The design
    tools : Toolbox
        The tools
    unit : {"mm", "in"}, optional
        Unit of the texts; left out, inches for a part whose bar is named in inches

    Returns
    -------
    dict of str to Plan
        Plans by the parts' names, in the order of the design
    """
    found = trials(design)
    return {
        part.name: cut_plan(part, tools, unit or _unit(part), found.get(part.name, ()))
        for part in design.parts
        if isinstance(part, TurnedPart | StripPart)
    }


def _unit(part: TurnedPart | StripPart) -> Unit:
    """Take the unit that the bar is named in."""
    return "in" if isinstance(part, TurnedPart) and not part.stock.size.strip().endswith("mm") else "mm"


def _blank(job: Job) -> Blank:
    """Tell what a part uses up of its bar."""
    piece = job.length + 2 * FACING + job.kerf
    takes = job.standing_out + job.held + SAW_KERF if job.sawn else piece
    return Blank(
        stock=job.part.stock.size,
        diameter=job.stock_d,
        takes=takes,
        held=job.held,
        sawn=job.sawn,
    )
