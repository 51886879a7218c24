"""Springs: the length that the other joints leave them, and the force with which they hold a refill."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final, NamedTuple

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.analysis.spot import face_spot
from turnmodel.analysis.stack import RARE, Stack, share_outside, stack
from turnmodel.analysis.words import between
from turnmodel.design.ledger import mm
from turnmodel.design.part import BoughtPart
from turnmodel.design.surface import surface
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.design.design import Design
    from turnmodel.design.joint import Spring

__all__ = ["RULES"]


class _Fitted(NamedTuple):
    """A spring as it is fitted: its length [mm] and what that rests on, the state where it is of one only."""

    spring: Spring
    left: Stack
    state: str | None

    @property
    def name(self) -> str:
        """The words for it."""
        return f"the spring between {self.spring.moving.part} and {self.spring.fixed.part}"

    @property
    def parts(self) -> tuple[str, str]:
        """What it presses apart."""
        return self.spring.moving.part, self.spring.fixed.part

    @property
    def ends(self) -> tuple[float, float]:
        """Lengths between which it presses: with its coils together, and free [mm]."""
        solid, free = self.spring.solid, self.spring.free
        return 0.0 if solid is None else mm(solid), math.inf if free is None else mm(free)

    def force(self, length: float) -> float | None:
        """Force at a length [mm], in N; None where the spring is not told of."""
        if self.spring.rate is None or self.spring.free is None:
            return None
        return self.spring.rate * max(self.ends[1] - length, 0.0)


def _springs(design: Design) -> Iterator[_Fitted]:
    """List the springs of every state, one of those that are left alike."""
    told = set()
    for state, pose in design.poses.items():
        for spring, length in pose.springs:
            key = (str(spring.moving), str(spring.fixed), round(length, 6))
            if key not in told:
                told.add(key)
                ends = (face_spot(design.part(face.part), face) for face in (spring.moving, spring.fixed))
                found = stack(design, state, *ends)
                left = Stack(nominal=length, links=()) if found is None else replace(found, nominal=length)
                yield _Fitted(spring, left, None if spring in design.joints else state)


def _length(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold the length that is left to the spring's own, and tell it."""
    limit = rule.limit or 0.0
    for found in _springs(seen.design):
        length, (solid, free) = found.left.nominal, found.ends
        severity, said, mend = Severity.FAULT, _told(found), None
        if length <= CONTACT_MM:
            said = f"{found.name} is left no room: its faces are {length:.2f} mm apart"
            mend = f"give it {-length:.2f} mm and its own length more"
        elif length > free - limit + CONTACT_MM:
            said = (
                f"{found.name} is left {length:.2f} mm and is {free:.2f} mm long when free: it does not press"
            )
            mend = f"leave it more than {length - free + limit:.2f} mm less, or take a longer one"
        elif length < solid - CONTACT_MM:
            said = f"{found.name} is left {length:.2f} mm, and its coils touch at {solid:.2f} mm"
            mend = f"leave it {solid - length:.2f} mm more, or take a shorter one"
        elif (share := share_outside(found.left, solid, free - limit)) > RARE:
            severity = Severity.CAUTION
            said += f"; {share:.1%} are left more than it is long when free, or less than its coils take"
            mend = f"take one that presses from {between(found.left.worst)}"
        else:
            severity = Severity.NOTE
            if found.force(length) is None:
                mend = "give the joint free= and rate= to be told its force"
        yield rule.finding(
            parts=found.parts, state=found.state, severity=severity, value=length, message=said, mend=mend
        )


def _told(found: _Fitted) -> str:
    """Tell a spring's length and force, each with what every tolerance makes of it."""
    length, (low, high) = found.left.nominal, found.left.worst
    said = f"{found.name} is {length:.2f} mm long as fitted"
    if high - low > CONTACT_MM:
        said += f", {between((low, high))} over every tolerance and maker"
    if found.spring.length is not None and abs(mm(found.spring.length) - length) > _SAME:
        said += f", where {mm(found.spring.length):.2f} mm are wanted"
    force, least, most = (found.force(at) for at in (length, high, low))
    if force is not None:
        said += f"; it presses with {force:.2f} N"
        if least is not None and most is not None and most - least > _SAME:
            said += f", {least:.2f} to {most:.2f} N"
    return said


_SAME: Final = 0.005
"""Lengths [mm] and forces [N] that are told as one; house choice: half of the last digit that is told."""


def _force(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold the force behind a refill to that of writing."""
    limit = rule.limit or 0.0
    for found in _springs(seen.design):
        ink, length, free = _refill(seen.design, found.spring), found.left.nominal, found.ends[1]
        force = found.force(length)
        if ink is None or force is None or not force or found.spring.rate is None:
            continue
        most = free - limit / found.spring.rate
        share = share_outside(found.left, most=most)
        if length <= most + CONTACT_MM and share <= RARE:
            continue
        low, high = found.left.worst
        effect = f"{share:.1%} with less than {limit:g} N" if length <= most else "the hand presses harder"
        mends = [f"leave it {high - most:.2f} mm less"] if low - (high - most) > found.ends[0] else []
        if free > high:
            mends.insert(0, f"take one of {math.ceil(100 * limit / (free - high)) / 100:.2f} N/mm or more")
        yield rule.finding(
            parts=(ink, *(name for name in found.parts if name != ink)),
            state=found.state,
            value=force,
            message=f"{found.name} presses with {force:.2f} N, {effect}, and the tip goes back",
            mend=", or ".join(mends) or "take a longer one",
        )


def _refill(design: Design, spring: Spring) -> str | None:
    """Name the refill that a spring pushes towards its tip."""
    for face in (spring.moving, spring.fixed):
        part = design.part(face.part)
        if isinstance(part, BoughtPart) and part.refill and surface(part, face).frame[2][2] > 0:
            return part.name
    return None


RULES: Final = (
    Rule(
        name="spring",
        sentence="A spring is shorter as fitted than when free, and longer than with its coils together.",
        severity=Severity.FAULT,
        limit=0.0,
        unit="mm",
        source=Source(
            work="common practice", place="a spring presses between free and solid", basis=Basis.PRACTICE
        ),
        check=_length,
    ),
    Rule(
        name="force behind a refill",
        sentence="A spring behind a refill presses harder than the hand that writes.",
        severity=Severity.CAUTION,
        limit=1.0,
        unit="N",
        source=Source(
            work="house choice",
            place="the hand presses with some 0.5 to 2 N along the pen, from memory",
            basis=Basis.HOUSE,
        ),
        check=_force,
    ),
)
