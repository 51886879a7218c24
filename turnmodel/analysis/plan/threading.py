"""Steps that cut threads: by die or single point outside, by taps inside."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.dial import thread_passes
from turnmodel.analysis.plan.job import at_hand
from turnmodel.analysis.plan.steps import Step, Tool, Verb
from turnmodel.catalog import run_outs, threads
from turnmodel.catalog.thread_limits import limits
from turnmodel.catalog.toolbox import owned_leads
from turnmodel.errors import TurnmodelError
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.analysis.plan.job import Job
    from turnmodel.analysis.plan.side import Band
    from turnmodel.catalog.materials import Material
    from turnmodel.catalog.threads import Thread
    from turnmodel.design.features.inside import Tap
    from turnmodel.design.features.threaded import ExternalThread

__all__ = ["lubricant", "tap_step", "thread_step", "turned_for_thread"]

_OILS: Final = {
    "brass": "Dry, or a drop of thin oil",
    "bronze": "Thin oil",
    "copper": "Soapy water or thin oil",
    "aluminium": "Paraffin or spirit",
    "steel": "Cutting oil",
    "stainless": "Heavy cutting oil",
    "titanium": "Heavy cutting oil",
    "plastic": "Dry",
}
"""What to cut threads with, by family of materials; common practice."""

_STOUT: Final = 5.0
"""Least diameter [mm] of a thread that is cut with a single point where there is no die; house choice."""

_ORDER: Final = ("taper", "plug", "bottoming")


def lubricant(material: Material) -> str:
    """Tell what to cut a thread with, in a few words."""
    return _OILS.get(material.family, "Dry")


def turned_for_thread(feature: ExternalThread) -> tuple[float, tuple[float, float] | None]:
    """Tell to which diameter the bar is turned for a thread, and its limits.

    Parameters
    ----------
    feature : ExternalThread
        The thread

    Returns
    -------
    diameter : float
        Middle of the limits of the major diameter, else the basic one, [mm]
    limits : tuple of float or None
        Least and greatest major diameter; None where no class is on record, [mm]

    Examples
    --------
    >>> from turnmodel.design.features.threaded import thread
    >>> turned_for_thread(thread("M8x0.75", 5))
    (7.908, (7.838, 7.978))
    """
    size = threads.thread(feature.size)
    try:
        found = limits(size, external=True)
    except TurnmodelError:
        return size.major_d, None
    if found.major_max is None:
        return size.major_d, None
    return round((found.major_min + found.major_max) / 2, 3), (found.major_min, found.major_max)


def thread_step(job: Job, band: Band, *, passes_over: float, relieved: bool) -> Step:
    """Cut an external thread: by a die where it passes what lies in front [mm], else at the lathe."""
    assert band.thread is not None
    size = threads.thread(band.thread.size)
    leads = owned_leads(job.tools.dies, size)
    passing = passes_over <= size.root_d + CONTACT_MM and size.starts == 1
    length = f"{size} from {job.say(band.start)} to {job.say(band.end)} from the face"
    if passing and (leads or size.major_d < _STOUT):
        return _died(job, size, leads, length, band.title, relieved=relieved)
    if not passing and size.starts == 1:
        why = "a die does not pass what lies in front: "
    else:
        why = "" if leads or size.starts > 1 else "no die of it is there: "
    return _single_pointed(job, size, length, band.title, why)


def _died(job: Job, size: Thread, leads: tuple[str, ...], length: str, title: str, *, relieved: bool) -> Step:
    die = Tool(kind="die", size=str(size), owned=bool(leads))
    turn = run_outs.die_lead("reversed").high * size.pitch
    ends = (
        "run it into the relief"
        if relieved
        else f"then turn the die round and go up to the shoulder; {job.say(turn)} stay unfinished"
    )
    return Step(
        verb=Verb.THREAD,
        text=f"{length}: die in a holder on the tailstock, the lathe turned by hand; {ends}. "
        f"{lubricant(job.material)}. Begin with the die sprung open, close it to fit",
        feature=title,
        tools=(die, at_hand("die holder")),
    )


def _single_pointed(job: Job, size: Thread, length: str, title: str, why: str) -> Step:
    depth = (size.major_d - size.root_d) / 2
    cuts = thread_passes(depth, size.major_d, job.tools.lathe)
    starts = f", {size.starts} starts, each {job.say(size.pitch)} further along" if size.starts > 1 else ""
    hand = ", left hand: cut away from the chuck" if size.left else ""
    low = job.tools.lathe.speeds.steps[0]
    return Step(
        verb=Verb.THREAD,
        text=f"{length}: {why}single point, {size.form.angle:g}° tool square to the work, change wheels for "
        "a lead "
        f"of {size.lead:.4g} mm{starts}{hand}. {job.say(depth)} deep, straight in, in {len(cuts)} cuts at "
        f"{low:g} turns or by hand. {lubricant(job.material)}. Try the mate before the last",
        feature=title,
        tools=(at_hand("threading tool", f"{size.form.angle:g}°"),),
        passes=cuts,
    )


def tap_step(job: Job, title: str, feature: Tap, full: float, start: float, *, through: bool) -> Step:
    """Tap a hole.

    Parameters
    ----------
    job : Job
        The job
    title : str
        Title of the feature
    feature : Tap
        The thread
    full : float
        Depth of full thread from the face, [mm]
    start : float
        Depth at which it begins, [mm]
    through : bool
        Whether the tap comes out at the far end

    Returns
    -------
    Step
        Taps in their order, depth of full thread, and where the last one's end is then
    """
    size = feature.thread
    owned = owned_leads(job.tools.taps, size)
    wanted = _ORDER[: _ORDER.index(feature.lead) + 1] if feature.lead in _ORDER else (feature.lead,)
    if through:
        wanted = wanted[:1]
    first = [lead for lead in wanted[:-1] if lead in owned]
    tools = tuple(
        Tool(kind=f"{lead} tap", size=str(size), owned=lead in owned) for lead in (*first, wanted[-1])
    )
    names = ", then ".join(tool.kind.removesuffix(" tap") for tool in tools)
    lead = feature.lead_length()
    end = full + (0.0 if through else lead)
    count = math.ceil((end - start) / size.lead * 4) / 4
    deep = (
        "right through"
        if through
        else f"full thread to {job.say(full)}, when the tap's end is {job.say(end)} from the face"
    )
    return Step(
        verb=Verb.TAP,
        text=f"{size}: {names}, guided by the tailstock, the lathe turned by hand; {deep}, about {count:g} "
        f"turns. {lubricant(job.material)}; back half a turn for every turn",
        feature=title,
        tools=tools,
    )
