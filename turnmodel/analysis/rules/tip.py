"""The tip of a refill: how far it stands out, what guides it, what room there is behind."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.makers import diameter_span, row_of
from turnmodel.analysis.roles import Tip, axial_body, own_station, radii, tips
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.analysis.spot import face_spot, point_spot
from turnmodel.analysis.stack import RARE, Stack, drawn, share_outside, stack
from turnmodel.analysis.words import between
from turnmodel.design.joint import Spring
from turnmodel.geometry.axial import axial_travel
from turnmodel.geometry.frame import coaxial
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.region import bounds
from turnmodel.geometry.tolerance import CONTACT_MM, CONTACT_MM3
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.design.design import Design

__all__ = ["RULES", "tip_out"]

_RUNNING: Final = 0.05
"""Room [mm] on the diameter in which a tip slides; house choice."""


def tip_out(design: Design, tip: Tip) -> Stack | None:
    """Add up how far a refill's tip stands out of its nose, [mm]."""
    if tip.nose is None:
        return None
    nose, ink = design.part(tip.nose), design.part(tip.part)
    body = axial_body(nose, design.poses[tip.state].parts[nose.name])
    if body is None:
        return None
    z0, z1, _, _ = bounds(body.plain)
    place = coaxial(design.poses[tip.state].parts[nose.name])
    assert place is not None
    end = z1 if tip.looks > 0 else z0
    front = (end == z0) is not place[2]
    return stack(
        design,
        tip.state,
        face_spot(nose, nose.face("front" if front else "back")),
        face_spot(ink, ink.face("front")),
    )


def _tip_out(seen: Examined, rule: Rule, sign: float) -> Iterator[Finding]:
    """Hold the least a tip stands out (sign 1) or the most (sign -1) to the limit."""
    told = set()
    limit = rule.limit or 0.0
    for tip in tips(seen.design):
        found = tip_out(seen.design, tip)
        if found is None or (tip.part, found) in told:
            continue
        told.add((tip.part, found))
        least, most = (limit, math.inf) if sign > 0 else (-math.inf, limit)
        wrong = not least <= found.nominal <= most
        share = share_outside(found, least, most)
        if not wrong and share <= RARE:
            continue
        worst = found.worst[0] if sign > 0 else found.worst[1]
        need = abs(limit - worst)
        way = "nearer to" if sign > 0 else "further from"
        yield rule.finding(
            parts=(tip.part, tip.nose or tip.part),
            state=tip.state,
            severity=Severity.FAULT if wrong else Severity.CAUTION,
            value=found.nominal if wrong else worst,
            message=f"the tip of {tip.part} stands {found.nominal:.2f} mm out of {tip.nose}, "
            f"{between(found.worst)} over every tolerance and maker; {share:.1%} come out wrong",
            mend=f"bring the seat of {tip.part} {need:.2f} mm {way} the nose"
            + ("" if wrong else ", or fit it to the refill in hand"),
        )


def _tip_short(seen: Examined, rule: Rule) -> Iterator[Finding]:
    return _tip_out(seen, rule, 1.0)


def _tip_long(seen: Examined, rule: Rule) -> Iterator[Finding]:
    return _tip_out(seen, rule, -1.0)


def _tip_note(seen: Examined, rule: Rule) -> Iterator[Finding]:
    told = set()
    for tip in tips(seen.design):
        found = tip_out(seen.design, tip)
        if found is None or (tip.part, found) in told:
            continue
        told.add((tip.part, found))
        values = drawn(found)
        yield rule.finding(
            parts=(tip.part, tip.nose or tip.part),
            state=tip.state,
            value=found.nominal,
            message=f"the tip of {tip.part} stands {found.nominal:.2f} mm out of {tip.nose}: "
            f"{between(found.worst)} at worst, {between((float(values.min()), float(values.max())))} "
            f"in {len(values)} made by chance",
        )


def _play(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Measure the room behind a refill, the way that writing pushes it."""
    told = set()
    for tip in tips(seen.design):
        found = _room_behind(seen.design, tip)
        if found is None or (tip.part, found) in told:
            continue
        told.add((tip.part, found))
        room, behind = found
        limit, (low, high) = rule.limit or 0.0, room.worst
        share = share_outside(room, 0.0)
        spread = f"{room.nominal:.2f} mm of room, {between((low, high))} over every tolerance and maker"
        if room.nominal > limit:
            effect, value = "the tip goes back when it is pressed", room.nominal
            less = room.nominal - limit / 2
            mend = f"bring {behind} {less:.2f} mm nearer to {tip.part}, or put a spring between"
        elif share > RARE:
            effect, value = f"{share:.1%} would be squeezed and keep {behind} off its seat", low
            mend = f"leave {-low:.2f} mm more and put a spring between, or fit {behind} to the refill in hand"
        else:
            continue
        yield rule.finding(
            parts=(behind, tip.part),
            state=tip.state,
            value=value,
            limit=limit if value > limit else 0.0,
            message=f"between {tip.part} and {behind} there is {spread}: {effect}",
            mend=mend,
        )


@lru_cache(maxsize=64)
def _room_behind(design: Design, tip: Tip) -> tuple[Stack, str] | None:
    """Find what first stops a refill that is pushed in at its tip, and add up the room before it."""
    pose = design.poses[tip.state]
    sprung = any(isinstance(j, Spring) and tip.part in (j.moving.part, j.fixed.part) for j in pose.joints)
    ink = design.part(tip.part)
    body = axial_body(ink, pose.parts[ink.name])
    if sprung or body is None:
        return None
    best: tuple[float, str, tuple[float, float], tuple[float, float]] | None = None
    for part in design.parts:
        other = None
        if part is not ink and part.name in pose.parts:
            other = axial_body(part, pose.parts[part.name])
        if other is None:
            continue
        if overlap_volume(body.plain, other.plain) > CONTACT_MM3:
            return None
        met = axial_travel(body.plain, other.plain, -1 if tip.looks > 0 else 1)
        if met.moving_at and met.fixed_at and (best is None or met.distance < best[0]):
            best = (met.distance, part.name, met.moving_at, met.fixed_at)
    if best is None:
        return None
    _, name, mine, theirs = best
    spots = [
        point_spot(
            design.part(owner),
            own_station(design, tip.state, owner, at[0]),
            at[1],
            looks * (-1.0 if _flipped(design, tip.state, owner) else 1.0),
        )
        for owner, at, looks in ((ink.name, mine, -tip.looks), (name, theirs, tip.looks))
    ]
    found = stack(design, tip.state, *spots)
    return None if found is None else (found, name)


def _flipped(design: Design, state: str, name: str) -> bool:
    place = coaxial(design.poses[state].parts[name])
    return place is not None and place[2]


def _tip_hole(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold the tip's straight length to the hole it comes through."""
    told = set()
    for tip in tips(seen.design):
        hole = _guide(seen.design, tip)
        if hole is None or (tip.part, hole) in told:
            continue
        told.add((tip.part, hole))
        diameter, low, high, station = hole
        limit = rule.limit or 0.0
        size = f"the tip of {tip.part} may be {low:.2f} to {high:.2f} mm wide"
        names = (tip.nose or tip.part, tip.part)
        if diameter < high - CONTACT_MM:
            yield rule.finding(
                parts=names,
                state=tip.state,
                severity=Severity.FAULT,
                value=diameter - high,
                limit=0.0,
                station=station,
                message=f"{size} and binds in its hole, {diameter:.2f} mm",
                mend=f"open the hole to {high + _RUNNING:.2f} mm or more",
            )
        elif diameter - low > limit + CONTACT_MM:
            most = max(low + limit, high + _RUNNING)
            yield rule.finding(
                parts=names,
                state=tip.state,
                value=diameter - low,
                station=station,
                message=f"{size} and moves by {diameter - low:.2f} mm in its hole, {diameter:.2f} mm",
                mend=f"make the hole {most:.2f} mm or less",
            )


def _guide(design: Design, tip: Tip) -> tuple[float, float, float, float] | None:
    """Find the narrowest hole round the straight of a tip: diameter, the tip's least and most, station, [mm].

    A tip that rests in its hole by its cone is guided by the cone, and has none.
    """
    part = design.part(tip.part)
    entry = row_of(part)
    pose = design.poses[tip.state]
    if entry is None or tip.nose is None:
        return None
    body = axial_body(design.part(tip.nose), pose.parts[tip.nose])
    if body is None:
        return None
    at, found = 0.0, []
    for step in entry.envelope:
        span = diameter_span(entry, at, step.start_d)
        if step.start_d == step.end_d and at < entry.station("tip shoulder") - CONTACT_MM:
            low, high = (span.low, span.high) if span else (step.start_d, step.start_d)
            for k in range(1, 16):
                station = tip.station - tip.looks * (at + step.length * k / 16)
                around = radii(body.plain, station)
                if around:
                    own = own_station(design, tip.state, tip.nose, station)
                    found.append((2 * around[0][0], low, high, own))
        at += step.length
    return min(found, default=None)


def _house(reason: str) -> Source:
    return Source(work="house choice", place=reason, basis=Basis.HOUSE)


RULES: Final = (
    Rule(
        name="tip too short",
        sentence="The tip stands out of the nose by enough to write at a slant, whatever the tolerances.",
        severity=Severity.CAUTION,
        limit=0.5,
        unit="mm",
        source=_house("a ball reaches the paper at a slant"),
        check=_tip_short,
    ),
    Rule(
        name="tip too long",
        sentence="The tip does not stand out of the nose so far that nothing steadies it.",
        severity=Severity.CAUTION,
        limit=5.0,
        unit="mm",
        source=_house("a tip is steadied near its ball"),
        check=_tip_long,
    ),
    Rule(
        name="tip",
        sentence="How far the tip stands out is told with its spread.",
        severity=Severity.NOTE,
        unit="mm",
        source=Source(work="ISO 2768-1:1989", place="class m, with the makers' spread of refills"),
        check=_tip_note,
    ),
    Rule(
        name="room behind a refill",
        sentence="A refill neither slides back when it writes nor is squeezed when the pen is closed.",
        severity=Severity.CAUTION,
        limit=1.0,
        unit="mm",
        source=_house("a felt or a spring takes up a millimetre"),
        check=_play,
    ),
    Rule(
        name="hole round the tip",
        sentence="The hole round the tip guides it and does not bind.",
        severity=Severity.CAUTION,
        limit=0.3,
        unit="mm",
        source=_house("a tip that moves less is not felt"),
        check=_tip_hole,
    ),
)
