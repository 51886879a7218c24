"""Refills and other bought parts: whether they go in by their way."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.makers import largest
from turnmodel.analysis.order import taken_apart
from turnmodel.analysis.paths import fittings
from turnmodel.analysis.roles import axial_body, own_station
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.design.part import BoughtPart
from turnmodel.geometry.frame import coaxial
from turnmodel.geometry.region import flipped, moved
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.design.design import Design

__all__ = ["RULES"]


class _Narrow(NamedTuple):
    """The least clearance of a way, on diameter [mm]: at a part and its station, with the refill so wide."""

    clearance: float
    part: str
    station: float
    hole: float
    widest: float


def _bought(seen: Examined) -> Iterator[tuple[BoughtPart, str]]:
    """List bought parts with the states they are in."""
    for state, pose in seen.design.poses.items():
        for part in seen.design.parts:
            if isinstance(part, BoughtPart) and part.name in pose.parts:
                yield part, state


def _way(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold each bought part, at its largest, against every hole it is drawn through."""
    told = set()
    limit = rule.limit or 0.0
    for part, state in _bought(seen):
        least = _narrowest(seen.design, state, part)
        if least is None or least.clearance >= limit - CONTACT_MM or (part.name, least) in told:
            continue
        told.add((part.name, least))
        room = f"leaves {least.clearance:.2f} mm"
        if least.clearance < -CONTACT_MM:
            room = f"is {-least.clearance:.2f} mm too narrow"
        yield rule.finding(
            parts=(least.part, part.name),
            state=state,
            severity=Severity.FAULT if least.clearance < -CONTACT_MM else Severity.CAUTION,
            value=least.clearance,
            station=least.station,
            message=f"{part.name} may be {least.widest:.2f} mm wide and passes {least.part}, whose hole is "
            f"{least.hole:.2f} mm at {least.station:.2f} mm and {room}",
            mend=f"open the hole of {least.part} there to {least.widest + limit:.2f} mm or more",
        )


def _narrowest(design: Design, state: str, part: BoughtPart) -> _Narrow | None:
    """Find the narrowest hole that a bought part passes as the object is taken apart.

    Where it does not come out at all, that of the better of its two ways.
    """
    pose = design.poses[state]
    place = coaxial(pose.parts[part.name])
    if place is None:
        return None
    passed = []
    for step in taken_apart(design, state)[0]:
        along = step.direction[2]
        if abs(along) > 0.5 and part.name in step.parts:
            passed.append(_least_on_way(design, state, part, place, step.rest, along))
        elif abs(along) > 0.5 and part.name in step.rest:
            passed.append(_least_on_way(design, state, part, place, step.parts, -along))
    if passed:
        return min((each for each in passed if each is not None), default=None)
    both = (_least_on_way(design, state, part, place, tuple(pose.parts), sense) for sense in (1.0, -1.0))
    return max((each for each in both if each is not None), default=None)


def _least_on_way(
    design: Design,
    state: str,
    part: BoughtPart,
    place: tuple[float, float, bool],
    others: tuple[str, ...],
    sense: float,
) -> _Narrow | None:
    """Hold a bought part at its largest to the holes ahead of it; floors that shut the way are left out."""
    region = largest(part)
    region = moved(flipped(region) if place[2] else region, place[0])
    region = region if sense > 0 else flipped(region)
    found = []
    for name in others:
        body = None if name == part.name else axial_body(design.part(name), design.poses[state].parts[name])
        if body is None:
            continue
        around = body.plain if sense > 0 else flipped(body.plain)
        for each in fittings(region, around, 1):
            if each.hole > CONTACT_MM and not each.tapers:  # a cone may rest on its seat
                at = own_station(design, state, name, sense * each.at)
                found.append(_Narrow(each.hole - each.outside, name, at, each.hole, each.outside))
    return min(found, default=None)


_HOUSE: Final = Source(work="house choice", place="room for a refill at its largest", basis=Basis.HOUSE)

RULES: Final = (
    Rule(
        name="way of a bought part",
        sentence="A bought part at its largest passes every hole on the way it goes in by.",
        severity=Severity.CAUTION,
        limit=0.05,
        unit="mm",
        source=_HOUSE,
        check=_way,
    ),
)
