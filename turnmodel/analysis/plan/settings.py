"""The settings of a turned part at the lathe: from its bar, and turned round."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.cautions import CAUTIONS, material_cautions
from turnmodel.analysis.plan.gripping import RANKS, Held, hold_bar, hold_step, regrip
from turnmodel.analysis.plan.inside import hole_steps
from turnmodel.analysis.plan.job import SCRAP, at_hand
from turnmodel.analysis.plan.outside import Phases, outside_steps, split, turned_to
from turnmodel.analysis.plan.side import as_seen, hole_radius
from turnmodel.analysis.plan.speeds import halved
from turnmodel.analysis.plan.steps import Setting, Step, Verb
from turnmodel.analysis.practice import FACING
from turnmodel.design.features.operation import Operation
from turnmodel.geometry.body import Body, body_flipped, body_moved
from turnmodel.geometry.boolean import difference, intersection
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, ring
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.analysis.plan.cautions import Caution
    from turnmodel.analysis.plan.drilling import Holes
    from turnmodel.analysis.plan.job import Job
    from turnmodel.analysis.plan.side import Band, Corner, Side
    from turnmodel.analysis.plan.steps import End, Grip
    from turnmodel.geometry.body import ThreadSpan

__all__ = ["best_settings"]

_SLENDER: Final = 3.0
"""Diameters that work stands out of the chuck without support; lathe safety notes."""

_SUPPORTED: Final = (Verb.TURN, Verb.NECK, Verb.KNURL, Verb.TAPER)
"""What is done while the centre is up."""

_STEADY: Final = (Verb.DRILL, Verb.REAM, Verb.COUNTERSINK, Verb.PART_OFF)
"""What steadies the end itself, or is done close to the chuck."""

_THICK: Final = 16.0
"""Diameter [mm] above which a bar is sawn off rather than parted on a small lathe; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """One way round of making a part, and what speaks against it, the gravest first."""

    settings: tuple[Setting, ...]
    against: tuple[float, ...]


def best_settings(job: Job) -> tuple[Setting, ...]:
    """Plan a part from either end first, and take the way that holds it better and is less work.

    Parameters
    ----------
    job : Job
        The job

    Returns
    -------
    tuple of Setting
        From the bar, and turned round
    """
    ways = [_way(job, job.front, job.back), _way(job, job.back, job.front)]
    return min(ways, key=lambda way: way.against).settings


def _way(job: Job, near: Side, far: Side) -> _Way:
    """Plan a part with one end first."""
    count = split(near)
    bands, rest = near.bands[:count], far.bands[: len(far.bands) - count]
    edge = bands[-1].end
    now = [corner for corner in near.corners if corner.end < edge - CONTACT_MM]
    later = [c for c in far.corners if c.start < job.length - edge + CONTACT_MM]
    one, metal = _from_bar(job, near, bands, now)
    whole = as_seen(job.made.body.plain, job.length, near.out)
    held = regrip(near, bands, metal, whole, _tapped(job, near.out))
    two = _turned_round(job, far, rest, later, held, as_seen(metal, job.length, "back"))
    everything = (*one.steps, *two.steps)
    falls = sum(b.falls and b.operation in (Operation.TAPER, Operation.ROUND) for b in (*bands, *rest))
    necked = (Operation.GROOVE, Operation.RELIEVE)
    deep = {b.title for b in (*bands, *rest) if b.operation not in necked}
    necks = sum(s.verb is Verb.NECK and s.feature in deep for s in everything)
    single = sum(s.verb is Verb.THREAD and bool(s.passes) for s in everything)
    entered = sum(s.verb is Verb.COUNTERSINK and not s.removes.loops for s in everything)
    last = float(near.out == "back")
    relieved = float(held.grip.over > 0)
    against = (float(held.rank), single, falls + necks, relieved, entered, float(len(two.steps)), last)
    return _Way(settings=(one, two), against=against)


def _tapped(job: Job, out: End) -> list[ThreadSpan]:
    """List the threads tapped from an end, in the frame of its setting."""
    spans = [
        bored.thread
        for bored in job.made.inside
        if bored.thread is not None
        and bored.from_back is (out == "back")
        and not getattr(bored.feature, "through", False)
    ]
    if out == "front":
        return spans
    whole = body_moved(body_flipped(Body(plain=Region(loops=()), threads=tuple(spans))), job.length)
    return list(whole.threads)


# the bar


def _from_bar(job: Job, near: Side, bands: tuple[Band, ...], corners: list[Corner]) -> tuple[Setting, Region]:
    """Plan the first setting; what is left of the bar after it, in its frame."""
    grip = hold_bar(job)
    metal = difference(ring(-FACING, grip.end, job.stock_d), ring(-FACING, 0.0, job.stock_d))
    holes = hole_steps(job, near.out, metal, first=True)
    past = job.length - bands[-1].end + FACING + job.kerf
    bar = job.stock_d
    phases = outside_steps(job, near, bands, corners, standing_d=bar, touched_d=bar, past=past)
    slender = job.standing_out / job.stock_d > _SLENDER
    steps, left = _settled([*_ordered(job, metal, holes, phases, slender), _part_off(job, grip)], metal)
    steps = [*_begin(job, near.out), _face(job, first=True), *steps]
    if slender:
        steps = _slowed(job, steps)
    return _in_part(job, near.out, grip, steps), left


def _settled(steps: list[Step], metal: Region) -> tuple[list[Step], Region]:
    """Leave out what cuts nothing where it came to stand; tell what is left then."""
    kept = []
    for step in steps:
        if step.removes.loops:
            if area(intersection(metal, step.removes)) < SCRAP:
                continue
            metal = difference(metal, step.removes)
        kept.append(step)
    return kept, metal


def _begin(job: Job, out: End) -> list[Step]:
    """Saw the bar where it must be, and hold it."""
    far = job.standing_out
    cautions: list[Caution] = [CAUTIONS["key"]]
    if far / job.stock_d > _SLENDER:
        cautions.append(CAUTIONS["slender"])
    steps = []
    if job.sawn:
        whole = far + job.held
        steps.append(
            Step(
                verb=Verb.SAW,
                text=f"{job.say.rough(whole)} off the {job.part.stock.size} bar; {job.say.rough(job.held)} "
                "of it are to hold by",
                tools=(at_hand("saw"),),
            )
        )
        where = "in the three-jaw"
    else:
        where = "through the spindle, in a collet or the three-jaw"
        cautions.append(CAUTIONS["bar"])
    text = f"{job.part.stock.size} bar {where}, {job.say.rough(far)} standing out; this end is the {out}"
    return [*steps, Step(verb=Verb.HOLD, text=text, cautions=tuple(cautions))]


def _face(job: Job, *, first: bool) -> Step:
    if first:
        text = f"clean, about {job.say.rough(FACING)}; this face is station 0 of everything below"
    else:
        text = f"to length, {job.say(job.length)} over all; from here this face is station 0"
    return Step(
        verb=Verb.FACE,
        text=text,
        removes=ring(-FACING, 0.0, job.stock_d),
        tools=(at_hand("turning tool"),),
        turns=job.turns(job.stock_d),
        cautions=material_cautions(job.material) if first else (),
    )


def _part_off(job: Job, grip: Grip) -> Step:
    """Part the piece off; what is beyond is bar again."""
    cut = job.length + FACING
    thick = job.stock_d > _THICK
    how = (
        "or saw it there, in the lathe but stopped" if thick else "the tool square and sharp, without a pause"
    )
    return Step(
        verb=Verb.PART_OFF,
        text=f"at {job.say(cut)} from the face, which leaves {job.say.rough(FACING)} to face off: {how}",
        removes=ring(cut, grip.end, job.stock_d),
        tools=(at_hand("parting tool"),),
        turns=job.turns(job.stock_d, "form"),
        cautions=(CAUTIONS["part off"],),
    )


# turned round


def _turned_round(
    job: Job, far: Side, bands: tuple[Band, ...], corners: list[Corner], held: Held, metal: Region
) -> Setting:
    """Plan the second setting; the metal in its frame."""
    grip = replace(held.grip, start=job.length - held.grip.end, end=job.length - held.grip.start)
    first_frame = as_seen(metal, job.length, "back")
    hold = hold_step(job, held.grip, far.out, first_frame)
    faced = difference(metal, ring(-FACING, 0.0, job.stock_d))
    holes = hole_steps(job, far.out, faced, first=False)
    phases = Phases()
    if bands or corners:
        widest, touched = _widest(far), _left_standing(job, far)
        phases = outside_steps(job, far, bands, corners, standing_d=widest, touched_d=touched)
    slender = held.rank < len(RANKS) - 1 and grip.start / max(grip.diameter, 1.0) > _SLENDER
    if slender:
        hold = replace(hold, cautions=(*hold.cautions, CAUTIONS["slender"]))
    cuts, _ = _settled(_ordered(job, faced, holes, phases, slender), faced)
    steps = [hold, _face(job, first=False), *cuts]
    if slender:
        steps = _slowed(job, steps)
    return _in_part(job, far.out, grip, steps)


def _widest(side: Side) -> float:
    return max(band.diameter for band in side.bands)


def _left_standing(job: Job, side: Side) -> float:
    """Tell to which diameter the first setting turned the bar over the whole length, [mm]."""
    widest = _widest(side)
    if job.stock_d - widest < CONTACT_MM:
        return job.stock_d
    return max(turned_to(band) for band in side.bands if band.diameter > widest - CONTACT_MM)


# both


def _ordered(job: Job, metal: Region, holes: Holes, phases: Phases, slender: bool) -> list[Step]:
    """Put the steps of a setting in order; a knurl is rolled while the metal under it is whole."""
    after = [*phases.shaping, *holes.boring, *phases.corners, *phases.threads, *holes.tapping]
    if not any(step.verb is Verb.KNURL for step in phases.turning):
        support = _support(job, metal, holes.drilling) if slender and phases.turning else []
        return [*holes.drilling, *support, *phases.turning, *after]
    centred = [step for step in holes.drilling if step.verb is Verb.CENTRE and slender]
    drilled = [step for step in holes.drilling if step not in centred]
    support = _support(job, metal, centred) if slender else []
    return [*centred, *support, *phases.turning, *drilled, *after]


def _support(job: Job, metal: Region, drilled: list[Step]) -> list[Step]:
    """Bring up the centre where there is a hole for it: as it is drilled, before anything is bored."""
    for step in drilled:
        metal = difference(metal, step.removes)
    mouth = hole_radius(metal, 0.05)
    centred = any(step.verb is Verb.CENTRE for step in drilled)
    if math.isinf(mouth) or (mouth < CONTACT_MM and not centred):
        return []
    where = f"{job.d(2 * mouth)} hole" if mouth > CONTACT_MM else "centre drill's cone"
    text = f"its free end with a revolving centre in the {where} while the outside is turned"
    return [Step(verb=Verb.SUPPORT, text=text, tools=(at_hand("revolving centre"),))]


def _slowed(job: Job, steps: list[Step]) -> list[Step]:
    """Halve the speeds of work that stands out far, wherever nothing supports its end."""
    found, supported = [], False
    for step in steps:
        supported = step.verb is Verb.SUPPORT or (supported and step.verb in _SUPPORTED)
        if step.turns is not None and not supported and step.verb not in _STEADY:
            step = replace(step, turns=halved(step.turns, job.tools.lathe.speeds))
        found.append(step)
    return found


def _in_part(job: Job, out: End, grip: Grip, steps: list[Step]) -> Setting:
    """Turn what was planned in the frame of the setting into that of the part."""
    placed = tuple(
        replace(step, removes=as_seen(step.removes, job.length, out)) if step.removes.loops else step
        for step in steps
    )
    if out == "back":
        grip = replace(grip, start=job.length - grip.end, end=job.length - grip.start)
    return Setting(out=out, grip=grip, steps=placed)
