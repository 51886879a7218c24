"""Screw joints: do they hold, come home, and stop where they should."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.clocking import clocked
from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.rule import Rule
from turnmodel.analysis.screwed import room_ahead, screwed, stand_off
from turnmodel.analysis.stripping import (
    full_strength_length,
    known_limits,
    loosest,
    shear_areas,
    shear_strength,
    stripping_force,
    tensile_area,
)
from turnmodel.catalog import run_outs
from turnmodel.catalog.materials import material
from turnmodel.design.mends import at_least
from turnmodel.design.part import BoughtPart
from turnmodel.geometry.engagement import flank_clearance, full_lengths
from turnmodel.geometry.region import bounds
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.analysis.rule import Examined
    from turnmodel.analysis.screwed import Member, Screwed

__all__ = ["RULES"]

_SEALS: Final = 3.0
"""Turns [-] under which a note says that a joint holds but hardly seals (common practice)."""


def _homed(seen: Examined) -> Iterator[Screwed]:
    """List the screw joints that are screwed home."""
    return (pair for pair in screwed(seen.design) if not pair.joint.turns_open)


def _parts(pair: Screwed) -> tuple[str, str]:
    return pair.male.part.name, pair.female.part.name


def _engaged(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for pair in _homed(seen):
        turns = pair.engagement.turns if pair.engagement else 0.0
        if turns >= max(rule.limit or 0.0, _SEALS):
            continue
        thread = pair.male.span.thread
        enough = turns >= (rule.limit or 0.0) - 1e-9
        wanted = _SEALS if enough else rule.limit or 0.0
        male, female = _parts(pair)
        yield rule.finding(
            parts=(male, female),
            state=pair.state,
            feature=pair.male.title,
            station=pair.male.station,
            value=turns,
            severity=Severity.NOTE if enough else rule.severity,
            message=f"{male} and {female}: {thread} engages {turns:.1f} full turns"
            + (", enough to hold, hardly to seal" if enough else ""),
            mend=_longer(pair, wanted) + (" to seal" if enough else ""),
        )


def _longer(pair: Screwed, turns: float) -> str:
    """Tell how much longer a screw, its hole, or both must be to engage so many turns [-]."""
    full = full_lengths(pair.male.span, pair.female.span)
    if full is None:
        return f"make the hole of {pair.female.title} narrower, or {pair.male.title} wider"
    # Along the way that the screw goes in: where both are full at the earliest, and where each of them ends.
    screw, hole = (sorted(z * pair.into for z in span) for span in (full.male, full.female))
    end = max(screw[0], hole[0]) + turns * pair.male.span.thread.lead
    ways = [
        f"{member.title} of {member.part.name} {at_least(end - last)} mm {more}"
        for member, last, more in ((pair.male, screw[1], "longer"), (pair.female, hole[1], "deeper"))
        if end - last > CONTACT_MM
    ]
    return f"make {' and '.join(ways)}"


def _shear(member: Member) -> float | None:
    """Shear strength of a part's material, None where unknown, [MPa]."""
    return None if isinstance(member.part, BoughtPart) else shear_strength(material(member.part.material))


def _stripping(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for pair in _homed(seen):
        screw, hole = _shear(pair.male), _shear(pair.female)
        if pair.engagement is None or screw is None or hole is None:
            continue
        male, female = _parts(pair)
        size, length, pull = pair.male.span.thread, pair.engagement.length, rule.limit or 0.0
        sizes = loosest(size, pair.female.span.thread)
        drilled = 2 * min(r for _, r in pair.female.span.floor)
        sizes = replace(sizes, hole_minor_d=max(sizes.hole_minor_d, drilled))
        force = stripping_force(shear_areas(size, length, sizes), screw, hole)
        section = max(tensile_area(size) - math.pi / 4 * pair.male.hollow_d**2, 0.0)
        full = full_strength_length(size, sizes, section, screw / hole)
        strips = f"{length:.2f} mm of {size}, {length / size.major_d:.2f} diameters, strip at {force:.0f} N"
        weak = force < pull
        yield rule.finding(
            parts=(male, female),
            state=pair.state,
            feature=pair.male.title,
            station=pair.male.station,
            value=force,
            severity=rule.severity if weak else Severity.NOTE,
            message=f"{male} and {female}: {strips}"
            + (f", under a pull of {pull:g} N" if weak else f"; from {full:.2f} mm the screw breaks first"),
            mend=f"engage {at_least(length * pull / force)} mm or more" if weak and force else None,
        )


def _bottoming(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for pair in _homed(seen):
        room = room_ahead(pair)
        limit = rule.limit or 0.0
        if room is None or room >= limit - CONTACT_MM:
            continue
        male, female = _parts(pair)
        jams = room < -CONTACT_MM
        lacking = at_least(limit - room)
        yield rule.finding(
            parts=(male, female),
            state=pair.state,
            feature=pair.male.title,
            station=pair.male.station,
            value=room,
            severity=rule.severity if jams else Severity.CAUTION,
            message=f"{male} and {female}: {pair.male.span.thread} "
            + (f"jams {-room:.2f} mm before it is home, at" if jams else f"ends {room:.2f} mm before")
            + f" the end of the full thread of {pair.female.title}",
            mend=f"make {pair.female.title} {lacking} mm deeper, or {pair.male.title} {lacking} mm shorter",
        )


def _seating(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for pair in _homed(seen):
        off = stand_off(pair)
        if off <= CONTACT_MM:
            continue
        male, female = _parts(pair)
        size = pair.male.span.thread
        relief = run_outs.relief(size, short=True)
        deep = at_least(off + _mouth(pair))
        yield rule.finding(
            parts=(male, female),
            state=pair.state,
            feature=pair.male.title,
            station=pair.male.station,
            value=off,
            message=f"{male} and {female}: the run-out of {size} jams in the mouth {off:.2f} mm from home",
            mend=f"counterbore {female} {at_least(size.major_d + 0.1)} mm, {deep} mm deep, or turn a relief "
            f"behind the thread, {relief.width:g} mm wide and {relief.diameter:g} mm in diameter",
        )


def _mouth(pair: Screwed) -> float:
    """How deep the hole's crests begin behind its mouth, [mm]."""
    hole = pair.female.span
    z0, z1, _, _ = bounds(pair.female.plain)
    minor = min(r for _, r in hole.floor)
    crests = [z for z, r in hole.floor if r <= minor + CONTACT_MM]
    return min(crests) - z0 if pair.into > 0 else z1 - max(crests)


def _fit(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for pair in screwed(seen.design):
        screw, hole = pair.male.span.thread, pair.female.span.thread
        outer, inner = known_limits(screw, external=True), known_limits(hole, external=False)
        if outer is None or inner is None:
            continue
        least = flank_clearance(screw, outer.pitch_max, inner.pitch_min)
        most = flank_clearance(screw, outer.pitch_min, inner.pitch_max)
        binds = least.pitch_d < (rule.limit or 0.0) - CONTACT_MM
        male, female = _parts(pair)
        yield rule.finding(
            parts=(male, female),
            state=pair.state,
            feature=pair.male.title,
            station=pair.male.station,
            value=least.pitch_d,
            severity=rule.severity if binds else Severity.NOTE,
            message=f"{male} and {female}: {screw} {outer.fit} in {inner.fit} leaves {least.pitch_d:.3f} to "
            f"{most.pitch_d:.3f} mm of pitch diameter, {least.axial:.3f} to {most.axial:.3f} mm of end play",
            source=outer.source,
        )


def _classes(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for pair in screwed(seen.design):
        screw, hole = pair.male.span.thread, pair.female.span.thread
        outer, inner = known_limits(screw, external=True), known_limits(hole, external=False)
        if outer is None or inner is None:
            continue
        apart = abs(_grade(outer.fit) - _grade(inner.fit))
        if apart <= (rule.limit or 0.0):
            continue
        male, female = _parts(pair)
        yield rule.finding(
            parts=(male, female),
            state=pair.state,
            feature=pair.male.title,
            station=pair.male.station,
            value=float(apart),
            message=f"{male} and {female}: {screw} is {outer.fit} on the screw and {inner.fit} in the hole, "
            f"{apart} grades apart",
            mend="write the classes alike, as 6g with 6H or 2A with 2B",
        )


def _grade(fit: str) -> int:
    """Grade of the pitch diameter in a class: the first figure."""
    return int(fit[0])


def _clocking(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for pair in _homed(seen):
        found = clocked(seen.design, pair)
        if found is None:
            continue
        lead, pitch = pair.male.span.thread.lead, pair.male.span.thread.pitch
        in_line = abs(found.angle) <= (rule.limit or 0.0)
        yield rule.finding(
            parts=(pair.joint.moving.part, pair.joint.fixed.part),
            state=pair.shown,
            value=found.angle,
            message=f"{found.moving} stops {found.angle:+.1f} degrees from {found.fixed}; "
            f"{lead / 36:.3f} mm on the stop turns it 10 degrees",
            mend=None
            if in_line
            else f"take {found.off:.3f} mm off the stop, or put {pitch - found.off:.3f} mm under it",
        )


def _practice(place: str) -> Source:
    return Source(work="common practice", place=place, basis=Basis.PRACTICE)


RULES: Final = (
    Rule(
        name="engaged turns",
        sentence="A screw joint engages a full turn or more.",
        severity=Severity.FAULT,
        limit=1.0,
        source=_practice("a cap holds on one full turn; to seal takes more, three or so"),
        check=_engaged,
    ),
    Rule(
        name="stripping",
        sentence="No thread strips under the pull of a hand.",
        severity=Severity.FAULT,
        limit=100.0,
        unit="N",
        source=Source(
            work="FED-STD-H28/2B",
            place="shear areas at the loosest sizes; 100 N is a house choice",
            basis=Basis.COMPUTED,
        ),
        check=_stripping,
    ),
    Rule(
        name="bottoming",
        sentence="A screw comes home before its thread meets the end of the hole's.",
        severity=Severity.FAULT,
        limit=0.3,
        unit="mm",
        source=Source(
            work="house choice",
            place="two depths of +-0.2 mm each, ISO 2768-1 m, differ by less than 0.3 mm mostly",
            basis=Basis.HOUSE,
        ),
        check=_bottoming,
    ),
    Rule(
        name="seating",
        sentence="A shoulder comes home: nothing behind the full thread jams in the mouth of the hole.",
        severity=Severity.FAULT,
        limit=0.0,
        unit="mm",
        source=Source(work="DIN 76-1", place="run-outs and undercuts", basis=Basis.MEMORY),
        check=_seating,
    ),
    Rule(
        name="thread fit",
        sentence="The classes of a screw and its hole leave room on the pitch diameter.",
        severity=Severity.CAUTION,
        limit=0.0,
        unit="mm",
        source=Source(work="ISO 965-1:1998", place="limits of the pitch diameter", basis=Basis.MEMORY),
        check=_fit,
    ),
    Rule(
        name="thread classes",
        sentence="A screw and its hole are of like grade.",
        severity=Severity.CAUTION,
        limit=1.0,
        source=_practice("fine goes with fine, medium with medium, coarse with coarse"),
        check=_classes,
    ),
    Rule(
        name="clocking",
        sentence="Where both sides of a screw joint carry something off the axis, they stop in line.",
        severity=Severity.NOTE,
        limit=5.0,
        unit="degrees",
        source=Source(work="house choice", place="an eye sees 5 degrees", basis=Basis.HOUSE),
        check=_clocking,
    ),
)
