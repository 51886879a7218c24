"""When to try which part on the one that is being made: as soon as what they share is cut."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from turnmodel.analysis.plan.steps import Step, Verb
from turnmodel.analysis.screwed import screwed
from turnmodel.design.joint import Press, Seat
from turnmodel.design.ledger import mm
from turnmodel.design.part import BoughtPart, built
from turnmodel.design.turned import Turned

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.analysis.plan.steps import Bench, Plan, Setting
    from turnmodel.design.bored import Bored
    from turnmodel.design.design import Design
    from turnmodel.design.face import Face
    from turnmodel.design.joint import Joint
    from turnmodel.design.outline import Place
    from turnmodel.design.turned import CrossCut

__all__ = ["Trial", "trials", "tried"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What is tried on a part, and the titles of the features that must be cut first."""

    after: tuple[str, ...]
    text: str


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
    found: dict[str, list[Trial]] = {}
    for one, other, titles, how in _pairs(design):
        late, early = (one, other) if order[one] > order[other] else (other, one)
        if titles.get(late):
            found.setdefault(late, []).append(Trial(after=titles[late], text=f"the {early}: {how}"))
    return {name: tuple(dict.fromkeys(listed)) for name, listed in found.items()}


def _pairs(design: Design) -> Iterator[tuple[str, str, dict[str, tuple[str, ...]], str]]:
    """List the pairs of parts that meet, the features by which they do, and how they should."""
    for pair in screwed(design):
        titles: dict[str, tuple[str, ...]] = {
            member.part.name: (member.title,) for member in (pair.male, pair.female)
        }
        how = "it screws home by hand, to the shoulder, without shake"
        yield pair.male.part.name, pair.female.part.name, titles, how
    for joint in _joints(design):
        one, other = joint.moving.part, joint.fixed.part
        titles = {face.part: _titles(design, face) for face in (joint.moving, joint.fixed)}
        if isinstance(joint, Press):
            large = mm(joint.allowance)
            how = f"measure both: the inner is {large:.3f} mm the larger, and does not go in by hand"
            yield one, other, titles, how
        elif isinstance(joint, Seat):
            yield one, other, titles, "it comes down on its seat without force"


def _joints(design: Design) -> list[Joint]:
    """List every joint, each once."""
    seen: dict[int, Joint] = {}
    for pose in design.poses.values():
        seen.update({id(joint): joint for joint in pose.joints})
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


def tried(plan: Plan, listed: Sequence[Trial]) -> Plan:
    """Put trials into a plan, each after the last step that makes what is tried."""
    for trial in listed:
        plan = _with_trial(plan, trial)
    return plan


def _with_trial(plan: Plan, trial: Trial) -> Plan:
    step = Step(verb=Verb.TRY, text=trial.text)
    groups: tuple[Setting | Bench, ...] = (*plan.settings, *plan.bench)
    for g in range(len(groups) - 1, -1, -1):
        steps = groups[g].steps
        at = max((k for k, s in enumerate(steps) if s.feature in trial.after), default=None)
        if at is None:
            continue
        while at + 1 < len(steps) and steps[at + 1].verb is Verb.TRY:
            at += 1
        changed = (*steps[: at + 1], step, *steps[at + 1 :])
        if g < len(plan.settings):
            settings = list(plan.settings)
            settings[g] = replace(settings[g], steps=changed)
            return replace(plan, settings=tuple(settings))
        bench = list(plan.bench)
        bench[g - len(plan.settings)] = replace(bench[g - len(plan.settings)], steps=changed)
        return replace(plan, bench=tuple(bench))
    return plan
