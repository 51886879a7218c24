"""When to try which part on the one that is being made: as soon as what they share is cut."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.lathe import standing
from turnmodel.analysis.plan.lengths import Lengths
from turnmodel.analysis.plan.steps import Bench, Setting, Step, Verb
from turnmodel.analysis.screwed import screwed
from turnmodel.design.joint import Press, Seat
from turnmodel.design.ledger import mm
from turnmodel.design.part import BoughtPart, built
from turnmodel.design.pose import body_at
from turnmodel.design.turned import Turned
from turnmodel.geometry.boolean import difference, intersection, union
from turnmodel.geometry.frame import coaxial, composed, inverse
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, bounds, moved, ring

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.analysis.plan.steps import Plan
    from turnmodel.analysis.screwed import Screwed
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.bored import Bored
    from turnmodel.design.design import Design
    from turnmodel.design.face import Face
    from turnmodel.design.joint import Joint
    from turnmodel.design.outline import Place
    from turnmodel.design.turned import CrossCut

__all__ = ["Trial", "trials", "tried"]


_FREE: Final = 0.05
"""Area [mm2] of the half-plane that may be in a mate's way: a burr, or an edge not yet broken."""

_WAYS: Final = 12
"""At how many places on its way a mate is looked at."""

_CHUCK: Final = 400.0
"""Diameter and depth [mm] of what nothing goes into: the chuck; more than any part's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What is tried on a part.

    Parameters
    ----------
    after : tuple of str
        Titles of the features that must be cut first
    text : str
        What is tried, and how it should go
    left : float
        How far it stays from its seat, [mm]
    mate : Region or None
        What is tried, where it comes to lie in the part's frame; None where it lies across, [mm]
    enters : bool
        Whether it goes in; what is pressed is only measured
    """

    after: tuple[str, ...]
    text: str
    left: float = 0.0
    mate: Region | None = None
    enters: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pair:
    """Two parts that meet in a state, the features by which they do, and how they should."""

    one: str
    other: str
    titles: dict[str, tuple[str, ...]]
    how: str
    state: str
    left: float = 0.0
    enters: bool = True


def trials(design: Design) -> dict[str, tuple[Trial, ...]]:
    """List what is tried on each part, by its name.

    Parameters
    ----------
    design : Design
        The design

    Returns
    -------
    dict
        Trials by the part that is made later of two; what is bought is there from the start

    Notes
    -----
    Parts are made in the order in which the design lists them.
    """
    order = {part.name: -1 if isinstance(part, BoughtPart) else k for k, part in enumerate(design.parts)}
    found: dict[str, dict[tuple[object, ...], Trial]] = {}
    for pair in _pairs(design):
        one, other = pair.one, pair.other
        late, early = (one, other) if order[one] > order[other] else (other, one)
        if pair.titles.get(late):
            trial = Trial(
                after=pair.titles[late],
                text=f"the {early}: {pair.how}",
                left=pair.left,
                mate=_mate(design, late, early, pair.state),
                enters=pair.enters,
            )
            found.setdefault(late, {}).setdefault((trial.after, trial.text, trial.left), trial)
    return {name: tuple(listed.values()) for name, listed in found.items()}


def _mate(design: Design, late: str, early: str, state: str) -> Region | None:
    """Lay a part where it comes to lie in the frame of another, on whose axis it is."""
    places = design.poses[state].parts
    made = built(design.part(early))
    place = coaxial(composed(inverse(places[late]), places[early]))
    if place is None or not isinstance(made, Turned) or not isinstance(built(design.part(late)), Turned):
        return None
    return body_at(made.body, place).plain


def _pairs(design: Design) -> Iterator[_Pair]:
    """List the pairs of parts that meet, a screw that comes home in any state as it comes home."""
    pairs = screwed(design)
    home = {_threads(pair) for pair in pairs if pair.joint.closed}
    for pair in pairs:
        if not pair.joint.closed and _threads(pair) in home:
            continue
        how = "it screws home by hand, to the shoulder, without shake"
        if not pair.joint.closed:
            how = f"it screws in by hand, without shake, to {pair.joint.turns_open:g} turns from its shoulder"
        male, female = pair.male, pair.female
        yield _Pair(
            one=male.part.name,
            other=female.part.name,
            titles={member.part.name: (member.title,) for member in (male, female)},
            how=how,
            state=pair.shown,
        )
    for state, joint in _joints(design):
        titles = {face.part: _titles(design, face) for face in (joint.moving, joint.fixed)}
        one, other = joint.moving.part, joint.fixed.part
        if isinstance(joint, Press):
            large = mm(joint.allowance)
            how = f"measure both: the inner is {large:.3f} mm the larger, and does not go in by hand"
            yield _Pair(one=one, other=other, titles=titles, how=how, state=state, enters=False)
        elif isinstance(joint, Seat):
            left = max(joint.apart, 0.0)
            how = "it goes in without force" if left else "it comes down on its seat without force"
            yield _Pair(one=one, other=other, titles=titles, how=how, state=state, left=left)


def _threads(pair: Screwed) -> tuple[str, ...]:
    """Name both threads of a screw joint."""
    return tuple(name for member in (pair.male, pair.female) for name in (member.part.name, member.title))


def _joints(design: Design) -> list[tuple[str, Joint]]:
    """List every joint, each once, with a state that it is made in."""
    seen: dict[int, tuple[str, Joint]] = {}
    for state, pose in design.poses.items():
        seen.update({id(joint): (state, joint) for joint in pose.joints if id(joint) not in seen})
    return list(seen.values())


def _titles(design: Design, face: Face) -> tuple[str, ...]:
    """Find the feature that a face is of; for an end, those that a mate may go into there or round."""
    made = built(design.part(face.part))
    if not isinstance(made, Turned):
        return (face.name,)
    everything: tuple[Place | Bored | CrossCut, ...] = (*made.outside, *made.inside, *made.across)
    for placed in everything:
        if placed.feature.mark == face.name:
            return (_real(made, placed.title),)
    inside = [hole.title for hole in made.inside]
    return tuple(inside or [place.title for place in made.outside if place.curves])


def _real(made: Turned, title: str) -> str:
    """For a bare shoulder, take the length before it that makes it."""
    places = made.outside
    for k, place in enumerate(places):
        if place.title == title and not place.curves:
            wide = [p for p in (places[max(k - 1, 0)], places[min(k + 1, len(places) - 1)]) if p.curves]
            return min(wide, key=lambda p: max(c.start[1] for c in p.curves)).title
    return title


def tried(plan: Plan, listed: Sequence[Trial], tools: Toolbox | None = None) -> Plan:
    """Put trials into a plan.

    Parameters
    ----------
    plan : Plan
        The plan
    listed : sequence of Trial
        The trials
    tools : Toolbox, optional
        The tools of the plan of a turned part

    Returns
    -------
    Plan
        The plan with each trial after the last step that makes what is tried, and after whatever is in the
        mate's way until then: the bar, the chuck; that of a strip part when it has its outline and its bends
    """
    for trial in listed:
        plan = _with_trial(plan, trial, tools)
    return plan


def _with_trial(plan: Plan, trial: Trial, tools: Toolbox | None) -> Plan:
    left = f", to {Lengths(plan.unit)(trial.left)} from its seat" if trial.left else ""
    step = Step(verb=Verb.TRY, text=f"{trial.text}{left}")
    groups: list[Setting | Bench] = [*plan.settings, *plan.bench]
    made = [
        (g, k)
        for g, group in enumerate(groups)
        for k, s in enumerate(group.steps)
        if s.feature in trial.after
    ]
    if not made:
        return plan
    g, at = max(made)
    if tools is not None and trial.mate is not None:
        g, at = _when_free(plan, trial.mate, tools, g, at, enters=trial.enters)
    elif not plan.settings:
        shaped = (Verb.CUT, Verb.FILE, Verb.BEND)
        g, at = max((h, k) for h, b in enumerate(groups) for k, s in enumerate(b.steps) if s.verb in shaped)
    steps = groups[g].steps
    while at >= 0 and at + 1 < len(steps) and steps[at + 1].verb is Verb.TRY:
        at += 1
    groups[g] = replace(groups[g], steps=(*steps[: at + 1], step, *steps[at + 1 :]))
    count = len(plan.settings)
    settings = tuple(group for group in groups[:count] if isinstance(group, Setting))
    bench = tuple(group for group in groups[count:] if isinstance(group, Bench))
    return replace(plan, settings=settings, bench=bench)


def _when_free(plan: Plan, mate: Region, tools: Toolbox, g: int, at: int, *, enters: bool) -> tuple[int, int]:
    """Find the first step from one on after which nothing is in a mate's way; else, before the bench.

    A mate that does not enter waits for no more than the bar to be off where it will lie.
    """
    if g >= len(plan.settings):
        return g, at
    made = built(plan.part)
    assert isinstance(made, Turned)
    metals = standing(plan, tools)
    for n in range(g, len(plan.settings)):
        setting, free = plan.settings[n], False
        for k, step in enumerate(setting.steps):
            free |= step.verb is Verb.PART_OFF
            if n == g and k < at:
                continue
            waste = difference(metals[n][k + 1], made.body.plain)
            if not enters:
                if area(intersection(mate, waste)) <= _FREE:
                    return n, k
                continue
            senses = (-1.0, 1.0) if free else (-1.0,) if setting.out == "front" else (1.0,)
            stops = waste if free else union(waste, _chuck(setting))
            if any(_enters(mate, stops, sense) for sense in senses):
                return n, k
    return len(plan.settings), -1


def _chuck(setting: Setting) -> Region:
    """Draw the chuck as a block that begins where it grips, open for the work; a mandrel's is not."""
    grip = setting.grip
    low, high = (grip.start, grip.start + _CHUCK) if setting.out == "front" else (grip.end - _CHUCK, grip.end)
    return ring(low, high, _CHUCK, 0.0 if grip.by in ("bore", "tapped hole") else grip.diameter)


def _enters(mate: Region, stops: Region, sense: float) -> bool:
    """Whether a mate comes from an end, of the sense +1 or -1, to where it lies, and nothing stops it."""
    ends, block = bounds(mate), bounds(stops)
    way = ends.z1 - block.z0 if sense < 0 else block.z1 - ends.z0
    places = [max(way, 0.0) * k / _WAYS for k in range(_WAYS + 1)]
    return all(area(intersection(moved(mate, sense * place), stops)) <= _FREE for place in places)
