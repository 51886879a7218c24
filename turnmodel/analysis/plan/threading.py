"""Steps that cut threads: by die or single point outside, by taps inside."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.dial import thread_passes
from turnmodel.analysis.plan.job import at_hand
from turnmodel.analysis.plan.steps import Step, Tool, Verb
from turnmodel.analysis.thread_blank import thread_blank
from turnmodel.catalog import run_outs, threads
from turnmodel.catalog.toolbox import owned_leads
from turnmodel.design.features.operation import Operation
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.units import inch

if TYPE_CHECKING:
    from turnmodel.analysis.plan.job import Job
    from turnmodel.analysis.plan.side import Band
    from turnmodel.catalog.materials import Material
    from turnmodel.catalog.threads import Thread
    from turnmodel.design.features.inside import Tap

__all__ = ["lubricant", "tap_step", "thread_step", "untapped"]

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
"""Taps of a set in the order they are run down a hole; common practice."""

_BY_PITCH: Final = ("ISO metric", "BA")
"""Series whose pitch is laid down in millimetres; every other is counted by threads to the inch."""

_TURN_DUST: Final = 1e-6
"""Quarter turns [-] that come of rounding in sums of lengths."""


def lubricant(material: Material) -> str:
    """Tell what to cut a thread with, in a few words."""
    return _OILS.get(material.family, "Dry")


def thread_step(job: Job, band: Band, behind: Band | None, *, passes_over: float) -> Step:
    """Cut an external thread: by a die where it passes what lies in front [mm], else at the lathe."""
    assert band.thread is not None
    size = threads.thread(band.thread.size)
    leads = owned_leads(job.tools.dies, size)
    passing = passes_over <= size.root_d + CONTACT_MM and size.starts == 1
    length = f"{size} from {job.say(band.start)} to {job.say(band.end)} from the face"
    if passing and (leads or size.major_d < _STOUT):
        return _died(job, size, leads, length, band.title, behind)
    if not passing and size.starts == 1:
        why = "a die does not pass what lies in front: "
    else:
        why = "" if leads or size.starts > 1 else "no die of it is there: "
    return _single_pointed(job, size, thread_blank(band.thread).diameter, length, band.title, why)


def _died(
    job: Job, size: Thread, leads: tuple[str, ...], length: str, title: str, behind: Band | None
) -> Step:
    die = Tool(kind="die", size=str(size), owned=bool(leads))
    ends = _end_of_die(job, size, behind)
    return Step(
        verb=Verb.THREAD,
        text=f"{length}: die in a holder on the tailstock, the lathe turned by hand; {ends}. "
        f"{lubricant(job.material)}. Begin with the die sprung open, close it to fit",
        feature=title,
        tools=(die, at_hand("die holder")),
    )


def _end_of_die(job: Job, size: Thread, behind: Band | None) -> str:
    """Tell how a die ends, by what lies behind the thread: a relief, a rod no thicker, or a shoulder."""
    if behind is not None:
        necked = behind.operation in (Operation.GROOVE, Operation.RELIEVE)
        if necked and behind.diameter <= size.root_d + CONTACT_MM:
            return "run it into the relief"
        if not necked and behind.diameter <= size.major_d + CONTACT_MM:
            lead = run_outs.die_lead().high * size.pitch
            return f"stop with its face at the thread's end; the last {job.say(lead)} run out"
    lead = run_outs.die_lead("reversed").high * size.pitch
    return f"then turn the die round and go up to the shoulder; {job.say(lead)} stay unfinished"


def _single_pointed(job: Job, size: Thread, touched: float, length: str, title: str, why: str) -> Step:
    """Cut a thread from where the tool first touches, the diameter that was turned [mm], to its root."""
    depth = (touched - size.root_d) / 2
    cuts = thread_passes(depth, touched, job.tools.lathe)
    low = job.tools.lathe.speeds.steps[0]
    return Step(
        verb=Verb.THREAD,
        text=f"{length}: {why}{_wheels(job, size)}. {job.say(depth)} deep, straight in, in {len(cuts)} cuts "
        f"at {low:g} turns or by hand. {lubricant(job.material)}. Try the mate before the last",
        feature=title,
        tools=(at_hand("threading tool", f"{size.form.angle:g}°"),),
        passes=cuts,
    )


def _wheels(job: Job, size: Thread) -> str:
    """Tell how a single-pointed thread is set up."""
    starts = f", {size.starts} starts, each {job.say(size.pitch)} further along" if size.starts > 1 else ""
    hand = ", left hand: cut away from the chuck" if size.left else ""
    square = f"single point, {size.form.angle:g}° tool square to the work"
    return f"{square}, change wheels for {_lead(job, size)}{starts}{hand}"


def untapped(job: Job, size: Thread) -> bool:
    """Tell whether a thread in a hole is single-pointed: one of several starts, for which no tap is there."""
    return size.starts > 1 and not owned_leads(job.tools.taps, size)


def _lead(job: Job, size: Thread) -> str:
    """Write what change wheels are set up for: threads to the inch where the thread is counted so."""
    lead = f"a lead of {size.lead:.4g} mm"
    if size.series in _BY_PITCH:
        return lead
    beside = f", {lead}" if job.say.unit == "mm" else ""
    return f"{inch / size.lead:.4g} to the inch{beside}"


def tap_step(job: Job, title: str, feature: Tap, start: float, full: float, *, through: bool) -> Step:
    """Tap a hole, or cut its thread with a tool where it is of several starts and no tap is there.

    Parameters
    ----------
    job : Job
        The job
    title : str
        Title of the feature
    feature : Tap
        The thread
    start : float
        Depth at which the thread begins, [mm]
    full : float
        Depth of full thread from the face, [mm]
    through : bool
        Whether the tap comes out at the far end

    Returns
    -------
    Step
        Taps in their order, depth of full thread, and where the last one's end is then
    """
    size = feature.thread
    if untapped(job, size):
        return _single_pointed_inside(job, title, size, full, through=through)
    owned = owned_leads(job.tools.taps, size)
    leads = _through_lead(feature, owned) if through else _leads(feature, owned)
    tools = tuple(Tool(kind=f"{lead} tap", size=str(size), owned=lead in owned) for lead in leads)
    lead = run_outs.tap_lead(leads[-1]).high * size.pitch
    end = full + lead
    count = math.ceil((end - start) / size.lead * 4 - _TURN_DUST) / 4
    deep = (
        f"right through until its lead, {job.say(lead)} long, is out at the far end"
        if through
        else f"full thread to {job.say(full)}, when the tap's end is {job.say(end)} from the face"
    )
    return Step(
        verb=Verb.TAP,
        text=f"{size}: {', then '.join(leads)}, guided by the tailstock, the lathe turned by hand; {deep}, "
        f"about {count:g} turns. {lubricant(job.material)}; back half a turn for every turn",
        feature=title,
        tools=tools,
    )


def _single_pointed_inside(job: Job, title: str, size: Thread, full: float, *, through: bool) -> Step:
    """Cut a thread in a hole from its wall to its crests, from the face to a depth [mm] or right through."""
    deep = "right through" if through else f"full thread to {job.say(full)} from the face"
    return Step(
        verb=Verb.THREAD,
        text=f"{size} in the hole, {deep}: {_wheels(job, size)}. To {job.d(size.major_d)}, "
        f"{job.say((size.major_d - size.minor_d) / 2)} deep, straight in, at "
        f"{job.tools.lathe.speeds.steps[0]:g} turns or by hand. {lubricant(job.material)}. "
        "Try the mate before the last cut",
        feature=title,
        tools=(at_hand("internal threading tool", f"{size.form.angle:g}°"),),
    )


def _leads(feature: Tap, owned: tuple[str, ...]) -> tuple[str, ...]:
    """Name the taps of a hole with a floor: those owned that go before, then the one that is asked for."""
    asked = run_outs.tap_lead(feature.lead).kind
    before = _ORDER[: _ORDER.index(asked)] if asked in _ORDER else ()
    return (*(lead for lead in before if lead in owned), asked)


def _through_lead(feature: Tap, owned: tuple[str, ...]) -> tuple[str]:
    """Name the tap of a hole right through: an owned one, the easiest to start; else the one asked for."""
    asked = run_outs.tap_lead(feature.lead).kind
    longest = sorted(owned, key=lambda lead: -run_outs.tap_lead(lead).high)
    return (next((lead for lead in ("taper", "plug", asked, *longest) if lead in owned), asked),)
