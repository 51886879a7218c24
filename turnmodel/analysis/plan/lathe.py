"""A simulated lathe: it follows a plan on the half-plane and tells what goes wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.analysis.plan.gripping import slips
from turnmodel.analysis.plan.job import CLOSE
from turnmodel.analysis.plan.steps import Verb
from turnmodel.analysis.practice import CLEAR, FACING
from turnmodel.catalog.toolbox import owned_leads
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.boolean import difference, intersection
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, ring

if TYPE_CHECKING:
    from turnmodel.analysis.plan.steps import Plan, Setting
    from turnmodel.catalog.toolbox import Toolbox

__all__ = ["Turning", "stages", "standing", "turned_out"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turning:
    """What a plan comes to.

    Parameters
    ----------
    left : Region
        What is left of the bar, in the part's frame, [mm]
    off : float
        Area of what it differs by from the part, [mm2]
    mishaps : tuple of str
        What went wrong: a cut into what must stay, a grip on what is not there, a tool that is not
    """

    left: Region
    off: float
    mishaps: tuple[str, ...]


def turned_out(plan: Plan, tools: Toolbox) -> Turning:
    """Follow the plan of a turned part, step by step.

    Parameters
    ----------
    plan : Plan
        The plan
    tools : Toolbox
        The tools that are there

    Returns
    -------
    Turning
        What is left, and what went wrong
    """
    assert isinstance(plan.part, TurnedPart)
    made = built(plan.part)
    assert isinstance(made, Turned)
    whole = made.body.plain
    metal = _bar(plan, made.length, tools)
    mishaps: list[str] = []
    for setting in plan.settings:
        metal = _worked(plan, setting, metal, whole, tools, mishaps)
    off = area(difference(metal, whole)) + area(difference(whole, metal))
    if off > CLOSE:
        mishaps.append(f"what is left differs from the part by {off:.3g} mm2")
    return Turning(left=metal, off=off, mishaps=tuple(mishaps))


def stages(plan: Plan, tools: Toolbox) -> tuple[tuple[Region, Region], ...]:
    """Show what stands in the lathe when each setting begins, and when it is done but not yet parted off.

    Parameters
    ----------
    plan : Plan
        The plan of a turned part
    tools : Toolbox
        The tools that are there

    Returns
    -------
    tuple of pairs of Region
        Before and after, setting by setting, in the part's frame, [mm]
    """
    found = []
    for setting, metals in zip(plan.settings, standing(plan, tools), strict=True):
        verbs = [step.verb for step in setting.steps]
        done = verbs.index(Verb.PART_OFF) if Verb.PART_OFF in verbs else len(verbs)
        found.append((metals[0], metals[done]))
    return tuple(found)


def standing(plan: Plan, tools: Toolbox) -> tuple[tuple[Region, ...], ...]:
    """Show what stands in the lathe before the first step of each setting and after every step.

    Parameters
    ----------
    plan : Plan
        The plan of a turned part
    tools : Toolbox
        The tools that are there

    Returns
    -------
    tuple of tuples of Region
        Setting by setting, in the part's frame, [mm]
    """
    made = built(plan.part)
    assert isinstance(made, Turned)
    metal, found = _bar(plan, made.length, tools), []
    for setting in plan.settings:
        metals = [metal]
        for step in setting.steps:
            if step.removes.loops:
                metal = difference(metal, step.removes)
            metals.append(metal)
        found.append(tuple(metals))
    return tuple(found)


def _bar(plan: Plan, length: float, tools: Toolbox) -> Region:
    """The bar as it is first held, in the part's frame."""
    (first, *_) = plan.settings
    beyond = FACING + tools.parting_width + CLEAR + plan.blank.held
    low, high = (FACING, beyond) if first.out == "front" else (beyond, FACING)
    return ring(-low, length + high, plan.blank.diameter)


def _worked(
    plan: Plan, setting: Setting, metal: Region, whole: Region, tools: Toolbox, mishaps: list[str]
) -> Region:
    """Follow one setting."""
    title = f"{plan.part.name}, {setting.out} out"
    for step in setting.steps:
        what = f"{title}, {step.verb} {step.feature or ''}".rstrip()
        mishaps += [
            f"{what}: there is no {tool}"
            for tool in step.tools
            if tool.owned and not _there(tool.kind, tool.size, tools)
        ]
        if step.verb is Verb.HOLD and (wrong := slips(setting.grip, metal)):
            mishaps.append(f"{what}: {wrong}")
        if not step.removes.loops:
            continue
        lost = area(intersection(step.removes, whole))
        if lost > CLOSE:
            mishaps.append(f"{what}: cuts {lost:.3g} mm2 of what must stay")
        if area(intersection(step.removes, metal)) <= CLOSE:
            mishaps.append(f"{what}: cuts nothing")
        metal = difference(metal, step.removes)
        if step.verb is Verb.PART_OFF:
            return metal
        if wrong := slips(setting.grip, metal):
            mishaps.append(f"{what}: {wrong}")
    return metal


def _there(kind: str, size: str, tools: Toolbox) -> bool:
    """Whether a tool is in the shop; what every lathe has is."""
    match kind.split():
        case ["drill"]:
            return any(drill.name == size for drill in tools.drills)
        case [lead, "tap"]:
            return any(
                lead in owned_leads(tools.taps, tap.thread) for tap in tools.taps if str(tap.thread) == size
            )
        case ["die"]:
            return any(str(die.thread) == size for die in tools.dies)
        case ["reamer"]:
            return any(abs(float(size.removesuffix(" mm")) - reamer) < 1e-3 for reamer in tools.reamers)
    return True
