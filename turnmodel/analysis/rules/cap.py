"""Caps: that they clear the tip, stop where they should, hold where they are posted, and let a child breathe.

What is a cap is told by :func:`turnmodel.analysis.roles.caps`.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Final, NamedTuple

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.paths import shapes
from turnmodel.analysis.roles import Cap, Tip, axial_body, caps, hole_radius, own_station, radii, tips
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.analysis.spot import point_spot
from turnmodel.analysis.stack import RARE, Stack, share_outside, stack
from turnmodel.analysis.words import between
from turnmodel.design.features.across import CrossHole
from turnmodel.design.joint import Joint, Press, Screw
from turnmodel.design.part import built
from turnmodel.design.surface import surface
from turnmodel.design.turned import Turned
from turnmodel.geometry.axial import axial_travel
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.curve import box
from turnmodel.geometry.frame import coaxial
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.region import Region, bounds, moved, ring
from turnmodel.geometry.strip import Strip, mid_line, width_at
from turnmodel.geometry.tolerance import CONTACT_MM, CONTACT_MM3
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.design.design import Design
    from turnmodel.geometry.curve import Box, Point

__all__ = ["RULES"]

_GAUGE_MM: Final = 16.0
"""Bore of the ring gauge [mm] that a cap must not go through; ISO 11540:2014, 3.2."""

_PROUD_MM: Final = 5.0
"""Length [mm] of a cap that must stay out of the gauge; ISO 11540:2014, 3.2."""

_EDGE_MM: Final = 0.5
"""What lies so near a stop [mm] is its own broken edge; house choice: wider than edges are broken."""

_OFF_MM: Final = 1e3  # further than any cap is long

_SCOPE: Final = (
    "ISO 11540 is for instruments that children up to 14 are likely to use, "
    "not for those that are meant for adults alone"
)


class _Met(NamedTuple):
    """What a cap would meet next: how far on [mm], which part, and the points of both in the object."""

    distance: float
    part: str
    mine: Point
    theirs: Point


def _clears(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Measure the room ahead of the tip."""
    limit = rule.limit or 0.0
    for cap, tip in _closed(seen.design):
        room = _room(seen.design, tip.state, tip.part, cap.part, tip.looks)
        if room is None:
            continue
        found, deep = room
        share = share_outside(found, limit)
        if share <= RARE and found.nominal >= limit:
            continue
        touches = found.nominal <= CONTACT_MM
        need = limit - found.worst[0]
        yield rule.finding(
            parts=(cap.part, tip.part),
            state=tip.state,
            severity=Severity.FAULT if touches else Severity.CAUTION,
            value=found.nominal,
            station=deep,
            message=f"the tip of {tip.part} has {found.nominal:.2f} mm of room in {cap.part}, "
            f"{between(found.worst)} over every tolerance and maker; {share:.1%} have less than {limit:g} mm",
            mend=f"bore {cap.part} {need:.2f} mm deeper",
        )


def _closed(design: Design) -> Iterator[tuple[Cap, Tip]]:
    """List caps with the tips they cover, state by state, one of those that are alike."""
    told = set()
    for cap in caps(design):
        for tip in tips(design):
            if tip.part == cap.tip and tip.state in cap.closed:
                matrix = design.poses[tip.state].parts[cap.part]
                if (cap.part, matrix) not in told:
                    told.add((cap.part, matrix))
                    yield cap, tip


def _room(design: Design, state: str, inner: str, outer: str, looks: float) -> tuple[Stack, float] | None:
    """Add up the room along the axis that a part has in another, and tell its station on the other.

    The other is first drawn off, so that what now runs into it counts as too little room.
    """
    placed = design.poses[state].parts
    one = axial_body(design.part(inner), placed[inner])
    other = axial_body(design.part(outer), placed[outer])
    if one is None or other is None:
        return None
    met = axial_travel(one.plain, moved(other.plain, looks * _OFF_MM), 1 if looks > 0 else -1)
    if met.moving_at is None or met.fixed_at is None:
        return None
    at = (met.fixed_at[0] - looks * _OFF_MM, met.fixed_at[1])
    found = _between(design, state, (inner, met.moving_at, looks), (outer, at, -looks))
    return None if found is None else (found, own_station(design, state, outer, at[0]))


def _between(
    design: Design, state: str, first: tuple[str, Point, float], second: tuple[str, Point, float]
) -> Stack | None:
    """Add up the distance of two points of the object's frame."""
    spots = []
    for name, (z, r), looks in (first, second):
        place = coaxial(design.poses[state].parts[name])
        sense = -1.0 if place is not None and place[2] else 1.0
        spots.append(point_spot(design.part(name), own_station(design, state, name, z), r, looks * sense))
    return stack(design, state, *spots)


def _stop(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Push a cap on past the faces that stop it, to see what it would meet next."""
    limit = rule.limit or 0.0
    told = set()
    for cap in caps(seen.design):
        for state in (*cap.closed, *cap.posted):
            joint = next(iter(_joints(seen.design, state, cap)), None)
            met = None if joint is None else _next_met(seen.design, state, cap, joint)
            if joint is None or met is None or (cap.part, met) in told:
                continue
            told.add((cap.part, met))
            looks = 1.0 if met.theirs[0] >= met.mine[0] else -1.0
            found = _between(seen.design, state, (cap.part, met.mine, looks), (met.part, met.theirs, -looks))
            share = share_outside(found, 0.0) if found else float(met.distance <= CONTACT_MM)
            if met.distance > limit and share <= RARE:
                continue
            least = min(found.worst[0], met.distance) if found else met.distance
            stop = joint.fixed if joint.moving.part == cap.part else joint.moving
            yield rule.finding(
                parts=(cap.part, met.part),
                state=state,
                value=met.distance,
                station=own_station(seen.design, state, cap.part, met.mine[0]),
                message=f"{cap.part} is to stop on {stop}, and {met.distance:.2f} mm on it meets {met.part}; "
                f"over the tolerances {share:.1%} stop there instead",
                mend=f"give {max(limit, met.distance) - least:.2f} mm more room there",
            )


def _joints(design: Design, state: str, cap: Cap) -> list[Joint]:
    """List what joins a cap to parts on its own axis that it does not carry."""
    pose, carried = design.poses[state], _carried(design, state, cap)
    return [
        joint
        for joint in pose.joints
        if cap.part in _ends(joint)
        and not carried & set(_ends(joint))
        and all(coaxial(pose.parts[name]) for name in _ends(joint))
    ]


def _carried(design: Design, state: str, cap: Cap) -> set[str]:
    """Name what only a cap holds to the refill in a state: its clip, its finial, their screws."""
    pose = design.poses[state]
    held, waiting = {cap.tip}, [cap.tip]
    while waiting:
        here = waiting.pop()
        for joint in pose.joints:
            if here in _ends(joint):
                more = set(_ends(joint)) - held - {cap.part}
                held |= more
                waiting += more
    return pose.parts.keys() - held - {cap.part}


def _ends(joint: Joint) -> tuple[str, str]:
    return joint.moving.part, joint.fixed.part


def _next_met(design: Design, state: str, cap: Cap, joint: Joint) -> _Met | None:
    """Find what a cap meets first but for the faces of its joint and threads that turn."""
    placed = design.poses[state].parts
    body = axial_body(design.part(cap.part), placed[cap.part])
    own, other = (joint.moving, joint.fixed) if joint.moving.part == cap.part else (joint.fixed, joint.moving)
    seat = surface(design.part(other.part), other)
    place = coaxial(placed[other.part])
    if body is None or place is None or not seat.curves:
        return None
    outward = seat.frame[2][2] * (-1.0 if place[2] else 1.0)
    sense = -1 if outward > 0 else 1
    boxes = [box(c) for c in surface(design.part(own.part), own).curves]
    theirs = [box(c) for c in seat.curves]
    carried = _carried(design, state, cap)
    inner = min(b.r0 for b in (*boxes, *theirs)) - _EDGE_MM
    outer = max(b.r1 for b in (*boxes, *theirs)) + _EDGE_MM
    found: list[_Met] = []
    for part in design.parts:
        if part.name in (cap.part, *carried) or part.name not in placed:
            continue
        stands = axial_body(part, placed[part.name])
        if stands is None:
            continue
        for one, fixed in shapes(body, stands, "worked"):
            if part.name == other.part:
                fixed = difference(fixed, _slab(fixed, theirs, place, (inner, outer), outward))
            if not fixed.loops or overlap_volume(one, fixed) > CONTACT_MM3:
                continue
            met = axial_travel(one, fixed, sense)
            if met.moving_at and met.fixed_at:
                found.append(_Met(met.distance, part.name, met.moving_at, met.fixed_at))
    return min(found, default=None)


def _slab(
    fixed: Region, faces: list[Box], place: tuple[float, float, bool], span: tuple[float, float], out: float
) -> Region:
    """Take in the metal under a face, so that nothing stops there."""
    ends = [end for b in faces for end in (b.z0, b.z1)]
    top = max(ends) if (out > 0) is not place[2] else min(ends)
    station = place[0] - top if place[2] else place[0] + top
    z0, z1, _, _ = bounds(fixed)
    start, end = (z0 - 1, station) if out > 0 else (station, z1 + 1)
    return ring(start, max(end, start + CONTACT_MM), 2 * span[1], 2 * max(span[0], 0.0))


def _posted(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """See what holds a cap where it is posted."""
    limit = rule.limit or 0.0
    for cap in caps(seen.design):
        for state in cap.posted:
            joints = _joints(seen.design, state, cap)
            carriers = [next(n for n in _ends(j) if n != cap.part) for j in joints]
            if not carriers or any(isinstance(j, Screw | Press) for j in joints):
                continue
            loose = _slack(seen.design, state, cap.part, carriers[0])
            if loose is None or loose <= limit + CONTACT_MM:
                continue
            yield rule.finding(
                parts=(cap.part, carriers[0]),
                state=state,
                value=loose,
                message=f"posted, {cap.part} has {loose:.2f} mm play over {carriers[0]} and nothing holds it",
                mend=f"take {loose - limit:.2f} mm off the diameter of its hole, or give both a thread",
            )


def _slack(design: Design, state: str, outer: str, inner: str) -> float | None:
    """Tell the least clearance on the diameter of one part over another, [mm]."""
    placed = design.poses[state].parts
    over, under = axial_body(design.part(outer), placed[outer]), axial_body(design.part(inner), placed[inner])
    if over is None or under is None:
        return None
    marks = sorted(
        {p[0] for b in (over, under) for loop in b.plain.loops for c in loop for p in (c.start, c.end)}
    )
    found = []
    for z0, z1 in pairwise(marks):
        station = (z0 + z1) / 2
        hole = hole_radius(over.plain, station)
        filled = _widest_under(under.plain, station, hole)
        if hole and filled and z1 - z0 > CONTACT_MM:
            found.append(2 * (hole - filled))
    return min(found, default=None)


def _widest_under(region: Region, station: float, hole: float | None) -> float | None:
    inside = [
        r for pair in radii(region, station) for r in pair if hole is not None and r <= hole + CONTACT_MM
    ]
    return max(inside, default=None)


def _safety(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold a cap to the gauge, and one that goes into it to the passage for air."""
    limit = rule.limit or 0.0
    children = seen.design.users == "children"
    for cap in caps(seen.design):
        air = _passage(seen.design, cap.part)
        if not _enters(seen.design, cap) or air >= limit:
            continue
        hole = math.sqrt(4 * limit / math.pi)
        said = f"{cap.part} goes into a {_GAUGE_MM:g} mm ring and lets air through {air:.2f} mm2 of hole"
        yield rule.finding(
            parts=(cap.part,),
            severity=Severity.CAUTION if children else Severity.NOTE,
            value=air,
            message=f"{said}; {_SCOPE}",
            mend=f"drill {hole:.2f} mm or more through its end, or make {_PROUD_MM:g} mm of it wider"
            if children
            else 'where children are likely to use it, write users="children"',
        )


def _enters(design: Design, cap: Cap) -> bool:
    """Whether all but less than 5 mm of a cap, with what is fixed on it, goes into the gauge either way."""
    pose = design.poses[cap.closed[0]]
    body = axial_body(design.part(cap.part), pose.parts[cap.part])
    if body is None:
        return False
    z0, z1, _, r = bounds(body.plain)
    wide = [z for z, d in _widths(design, cap, r) if d > _GAUGE_MM]
    if 2 * r > _GAUGE_MM:
        wide += [
            p[0] for loop in body.plain.loops for c in loop for p in (c.start, c.end) if 2 * p[1] > _GAUGE_MM
        ]
    if not wide:
        return True
    return min(z1 - min(wide), max(wide) - z0) < _PROUD_MM


def _widths(design: Design, cap: Cap, radius: float) -> Iterator[tuple[float, float]]:
    """Stations and widths [mm] over a cap and the strips fixed on it, as a ring would have to be."""
    pose = design.poses[cap.closed[0]]
    for part in design.parts:
        made = built(part)
        if isinstance(made, Strip) and part.name in pose.parts:
            (a, _, c, x), (d, _, f, y), (g, _, i, z), _ = pose.parts[part.name]
            for k in range(33):
                along = made.length * k / 32
                u, w, _ = mid_line(made, along)
                out = math.hypot(a * u + c * w + x, d * u + f * w + y) + made.thickness / 2
                wide = width_at(made, along) / 2
                yield g * u + i * w + z, radius + math.hypot(out, wide)


def _passage(design: Design, name: str) -> float:
    """Area of what is open through a cap, [mm2]: along its axis, and of holes across that nothing fills."""
    made = built(design.part(name))
    assert isinstance(made, Turned)
    holes = [hole_radius(made.body.plain, z) for z in (1e-6, made.length - 1e-6)]
    axial = math.pi * min(r or 0.0 for r in holes) ** 2
    across = sum(
        math.pi * cut.feature.diameter**2 / 4 * (2 if cut.feature.through else 1)
        for cut in made.across
        if isinstance(cut.feature, CrossHole) and cut.feature.depth is None
    )
    return axial + across


_ROOM: Final = Source(
    work="house choice", place="a tip that is never touched keeps its ink", basis=Basis.HOUSE
)

RULES: Final = (
    Rule(
        name="cap over the tip",
        sentence="A closed cap leaves room before the tip, whatever the tolerances.",
        severity=Severity.CAUTION,
        limit=0.2,
        unit="mm",
        source=_ROOM,
        check=_clears,
    ),
    Rule(
        name="stop of a cap",
        sentence="A cap stops on the faces that are meant to stop it, and meets nothing else before.",
        severity=Severity.CAUTION,
        limit=0.1,
        unit="mm",
        source=Source(work="common practice", place="one stop at a time", basis=Basis.PRACTICE),
        check=_stop,
    ),
    Rule(
        name="posted cap",
        sentence="A posted cap is screwed, pressed or slides on with little play.",
        severity=Severity.CAUTION,
        limit=0.05,
        unit="mm",
        source=Source(work="house choice", place="a cap that does not rattle", basis=Basis.HOUSE),
        check=_posted,
    ),
    Rule(
        name="cap for children",
        sentence="A cap that a child could swallow lets air through.",
        severity=Severity.CAUTION,
        limit=3.4,
        unit="mm2",
        source=Source(work="ISO 11540:2014", place="3.2, 3.3 and its note: one hole of about 3.4 mm2"),
        check=_safety,
    ),
)
