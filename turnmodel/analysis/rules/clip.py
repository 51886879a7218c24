"""Clips: what they grip, whether they keep their shape, how they are bent, screwed and seated."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.cantilever import Lifted, lifted
from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.practice import LEAST_BEND
from turnmodel.analysis.roles import axial_body, hole_radius, outside_radius
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.catalog.materials import material
from turnmodel.design.features.across import Saddle
from turnmodel.design.joint import Screw
from turnmodel.design.ledger import mm
from turnmodel.design.part import Part, StripPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.frame import composed, inverse, point_at
from turnmodel.geometry.region import bounds
from turnmodel.geometry.strip import Strip, mid_line, stretches, width_at
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.design.design import Design
    from turnmodel.design.joint import Joint

__all__ = ["RULES"]

_SAMPLES: Final = 64  # places along a strip where it may come nearest

_FRICTION: Final = 0.3
"""Friction of cloth on metal [-]; house choice."""

_GRAVITY: Final = 9.80665  # m/s2, the standard value


@dataclass(frozen=True, slots=True, kw_only=True)
class _Clip:
    """A strip that reaches out over a round part.

    Where it is held and where it comes nearest to the part are distances along it, [mm]; ``gap`` is the room
    there, [mm].
    """

    part: StripPart
    state: str
    under: str
    held: float
    touches: float
    gap: float

    @property
    def length(self) -> float:
        """Free length, [mm]."""
        return abs(self.touches - self.held)


@lru_cache(maxsize=64)
def _clips(design: Design) -> tuple[_Clip, ...]:
    """Find the strips that are held at one end over a part on the object's axis."""
    found: dict[str, _Clip] = {}
    for state, pose in design.poses.items():
        for part in design.parts:
            if isinstance(part, StripPart) and part.name in pose.parts and part.name not in found:
                clip = _clip(design, state, part)
                if clip is not None:
                    found[part.name] = clip
    return tuple(found.values())


def _clip(design: Design, state: str, part: StripPart) -> _Clip | None:
    made = built(part)
    assert isinstance(made, Strip)
    held = _held(design, state, part, made)
    if held is None:
        return None
    pose = design.poses[state]
    matrix = pose.parts[part.name]
    middle, reach = held
    far = made.length if made.length - middle > middle else 0.0
    start = middle + math.copysign(reach, far - middle)
    best: tuple[float, float, str] | None = None
    bodies = [
        (other.name, body)
        for other in design.parts
        if other.name in pose.parts and (body := axial_body(other, pose.parts[other.name])) is not None
    ]
    for k in range(_SAMPLES // 4, _SAMPLES + 1):
        along = start + (far - start) * k / _SAMPLES
        x, z, heading = mid_line(made, along)
        offs = (-made.thickness / 2, made.thickness / 2)
        sides = [
            point_at(matrix, (x - off * math.sin(heading), 0.0, z + off * math.cos(heading))) for off in offs
        ]
        at = min(sides, key=lambda p: math.hypot(p[0], p[1]))
        for name, body in bodies:
            outside = outside_radius(body.plain, at[2])
            if outside is not None:
                gap = math.hypot(at[0], at[1]) - outside
                if best is None or gap < best[0]:
                    best = (gap, along, name)
    if best is None or abs(best[1] - start) < made.thickness:
        return None
    gap, along, name = best
    return _Clip(part=part, state=state, under=name, held=start, touches=along, gap=max(0.0, gap))


def _held(design: Design, state: str, part: StripPart, made: Strip) -> tuple[float, float] | None:
    """Where along a strip it is held, and how far what it lies on reaches from there, [mm]."""
    for joint in design.poses[state].joints:
        for mine, other in ((joint.moving, joint.fixed), (joint.fixed, joint.moving)):
            if mine.part == part.name and mine.end == "under":
                along, hole = made.holes[list(part.holes).index(mine.name)]
                base, placed = built(design.part(other.part)), design.poses[state].parts
                reach = hole
                upright = composed(inverse(placed[part.name]), placed[other.part])[2][2]
                if isinstance(base, Turned) and abs(upright) > 0.5:  # it stands under the strip
                    reach = bounds(base.body.plain).r1
                return along, min(reach, max(along, made.length - along))
    return None


@lru_cache(maxsize=64)
def _bent(clip: _Clip, lift: float) -> Lifted:
    made = built(clip.part)
    assert isinstance(made, Strip)
    places = [clip.touches + (clip.held - clip.touches) * k / _SAMPLES for k in range(_SAMPLES + 1)]
    inset = min(1e-6, made.length)
    widths = [max(width_at(made, min(max(a, inset), made.length - inset)), 1e-3) for a in places]
    return lifted(widths, clip.length, made.thickness, material(clip.part.material).modulus, lift)


def _lift(seen: Examined, clip: _Clip) -> float:
    """How far cloth of the thickness that is asked for lifts a clip, [mm]."""
    name = "cloth under a clip"
    cloth = seen.design.limits.get(name, seen.tools.limits.get(name, _CLOTH_MM))
    return cloth - clip.gap


_CLOTH_MM: Final = 1.0


def _cloth(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Tell what a clip grips with, or that it does not."""
    cloth = rule.limit or 0.0
    for clip in _clips(seen.design):
        lift = cloth - clip.gap
        names = (clip.part.name, clip.under)
        if lift <= 0:
            yield rule.finding(
                parts=names,
                state=clip.state,
                value=clip.gap,
                message=f"{clip.part.name} stands {clip.gap:.2f} mm off {clip.under} and does not grip "
                f"cloth {cloth:g} mm thick",
                mend=f"bend it {clip.gap:.2f} mm nearer, or lower what it lies on by so much",
            )
            continue
        found = _bent(clip, lift)
        yield rule.finding(
            parts=names,
            state=clip.state,
            severity=Severity.NOTE,
            value=clip.gap,
            message=f"{clip.part.name}, free over {clip.length:.1f} mm, grips cloth {cloth:g} mm thick with "
            f"{found.force:.2f} N; the stress is {found.stress:.0f} MPa",
        )


def _set(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold the stress of a lifted clip to what its material yields at."""
    limit = rule.limit or 1.0
    for clip in _clips(seen.design):
        lift, entry = _lift(seen, clip), material(clip.part.material)
        if lift <= 0 or entry.yield_low is None:
            continue
        found = _bent(clip, lift)
        share = found.stress / entry.yield_low
        if share <= limit:
            continue
        thin = mm(clip.part.thickness) * limit / share
        longer = clip.length * (math.sqrt(share / limit) - 1)
        yield rule.finding(
            parts=(clip.part.name,),
            state=clip.state,
            severity=Severity.FAULT if share > 1 else Severity.CAUTION,
            value=share,
            message=f"{clip.part.name} lifted by {lift:.2f} mm is stressed to {found.stress:.0f} MPa; "
            f"{entry.name} yields at {entry.yield_low:.0f} MPa" + (" and stays bent" if share > 1 else ""),
            mend=f"make it {thin:.2f} mm thick or less, or {longer:.1f} mm longer",
        )


def _force(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold the grip of a clip to the weight that hangs on it."""
    for clip in _clips(seen.design):
        lift = _lift(seen, clip)
        if lift <= 0:
            continue
        found = _bent(clip, lift)
        weight = max(s.mass for n, s in seen.states.items() if clip.part.name in seen.design.poses[n].parts)
        need = (rule.limit or 1.0) * weight * _GRAVITY / 1000 / (2 * _FRICTION)
        if found.force >= need:
            continue
        thick = mm(clip.part.thickness) * math.cbrt(need / found.force)
        shorter = clip.length * (1 - math.cbrt(found.force / need))
        yield rule.finding(
            parts=(clip.part.name,),
            state=clip.state,
            value=found.force / need * (rule.limit or 1.0),
            message=f"{clip.part.name} grips with {found.force:.2f} N; to hang {weight:.0f} g on "
            f"both faces of the cloth takes {need:.2f} N",
            mend=f"make it {thick:.2f} mm thick, or {shorter:.1f} mm shorter",
        )


def _bends(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold the inside of each bend of spring strip to its thickness."""
    limit = rule.limit or 0.0
    for part in seen.design.parts:
        made = built(part)
        if not isinstance(made, Strip) or material(part.material).family != "spring steel":
            continue
        for count, stretch in enumerate((s for s in stretches(made) if s.turn), 1):
            inside = 1 / abs(stretch.curvature) - made.thickness / 2
            if inside >= limit * made.thickness * (1 - 1e-9):
                continue
            yield rule.finding(
                parts=(part.name,),
                feature=f"bend {count}",
                value=inside / made.thickness,
                message=f"bend {count} of {part.name} has {inside:.2f} mm radius inside, "
                f"{inside / made.thickness:.1f} times the thickness: hard strip cracks there",
                mend=f"bend it to {limit * made.thickness:.2f} mm or more, or soften it first",
            )


def _through(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """See how far a screw across a part reaches into it."""
    limit = rule.limit or 0.0
    told = set()
    for state, pose in seen.design.poses.items():
        for joint in pose.joints:
            if not isinstance(joint, Screw):
                continue
            found = _reach(seen.design, state, joint)
            if found is None or found[:2] in told or found[2] >= limit:
                continue
            told.add(found[:2])
            screw, holder, left, station = found
            yield rule.finding(
                parts=(screw, holder),
                state=state,
                value=left,
                station=station,
                message=f"{screw} ends {-left:.2f} mm inside the hole of {holder}"
                if left < 0
                else f"{screw} ends {left:.2f} mm short of the hole of {holder}",
                mend=f"shorten {screw} by {limit - left:.2f} mm",
            )


def _reach(design: Design, state: str, joint: Screw) -> tuple[str, str, float, float] | None:
    """What metal [mm] is left between the end of a screw across a part and the part's hole, and where."""
    pose = design.poses[state]
    holder = joint.into or design.part(joint.fixed.part)
    screw = design.part(joint.moving.part)
    one, other = built(screw), built(holder)
    if not isinstance(one, Turned) or not isinstance(other, Turned):
        return None
    relative = composed(inverse(pose.parts[holder.name]), pose.parts[screw.name])
    if abs(relative[2][2]) > 0.5:
        return None
    ends = [point_at(relative, (0.0, 0.0, z)) for z in (0.0, one.length)]
    x, y, z = min(ends, key=lambda p: math.hypot(p[0], p[1]))
    hole = hole_radius(other.body.plain, z)
    return None if not hole else (screw.name, holder.name, math.hypot(x, y) - hole, z)


def _saddles(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold each saddle to the round it sits on."""
    limit = rule.limit or 0.0
    told = set()
    for state, pose in seen.design.poses.items():
        for joint in pose.joints:
            found = _seat(seen.design, joint)
            if found is None or (found[0].name, found[1].name) in told:
                continue
            told.add((found[0].name, found[1].name))
            rider, round_, saddle, diameter = found
            if abs(saddle - diameter) <= limit + 1e-9:
                continue
            wrong = "rocks on its middle" if saddle > diameter else "rests on its rim alone"
            yield rule.finding(
                parts=(rider.name, round_.name),
                state=state,
                value=saddle - diameter,
                message=f"the saddle of {rider.name} is {saddle:.2f} mm and {round_.name} is {diameter:.2f} "
                f"mm there: it {wrong}",
                mend=f"cut the saddle to {diameter:.2f} mm",
            )


def _seat(design: Design, joint: Joint) -> tuple[Part, Part, float, float] | None:
    """The part with a saddle in a joint, the part it sits on, and both diameters, [mm]."""
    for mine, other in ((joint.moving, joint.fixed), (joint.fixed, joint.moving)):
        rider, round_ = design.part(mine.part), design.part(other.part)
        one, two = built(rider), built(round_)
        if not isinstance(one, Turned) or not isinstance(two, Turned):
            continue
        saddle = next((c.feature for c in one.across if c.feature.mark == mine.name), None)
        cut = next((c for c in two.across if c.feature.mark == other.name), None)
        if isinstance(saddle, Saddle) and cut is not None:
            return rider, round_, mm(saddle.diameter), 2 * cut.surface_r
    return None


RULES: Final = (
    Rule(
        name="cloth under a clip",
        sentence="A clip grips cloth of the given thickness.",
        severity=Severity.CAUTION,
        limit=_CLOTH_MM,
        unit="mm",
        source=Source(work="house choice", place="a hem of drill or denim, folded", basis=Basis.HOUSE),
        check=_cloth,
    ),
    Rule(
        name="set of a clip",
        sentence="A clip lifted by the cloth stays well below what it yields at, as a share of it.",
        severity=Severity.CAUTION,
        limit=0.75,
        source=Source(
            work="common practice", place="static springs to three quarters of yield", basis=Basis.MEMORY
        ),
        check=_set,
    ),
    Rule(
        name="grip of a clip",
        sentence="A clip holds the object's weight by friction on both faces of the cloth, so many times.",
        severity=Severity.CAUTION,
        limit=1.0,
        source=Source(work="house choice", place="friction of cloth 0.3", basis=Basis.HOUSE),
        check=_force,
    ),
    Rule(
        name="bend of a strip",
        sentence="Hard spring strip is bent to several times its thickness inside.",
        severity=Severity.CAUTION,
        limit=LEAST_BEND,
        source=Source(work="common practice", place="several times the thickness", basis=Basis.MEMORY),
        check=_bends,
    ),
    Rule(
        name="screw through a wall",
        sentence="A screw across a part ends before the hole inside it.",
        severity=Severity.FAULT,
        limit=0.0,
        unit="mm",
        source=Source(work="common practice", place="a screw ends in its wall", basis=Basis.PRACTICE),
        check=_through,
    ),
    Rule(
        name="saddle",
        sentence="A saddle has the diameter of the round it sits on.",
        severity=Severity.CAUTION,
        limit=0.1,
        unit="mm",
        source=Source(work="house choice", place="a gap that no eye sees", basis=Basis.HOUSE),
        check=_saddles,
    ),
)
