"""Screw joints with both threads laid out along one axis, and how far one goes into the other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.owners import thread_title
from turnmodel.analysis.walls import bore_radius, skins
from turnmodel.catalog.run_outs import tap_lead
from turnmodel.design.features.across import CrossTap
from turnmodel.design.joint import Screw
from turnmodel.design.ledger import mm
from turnmodel.design.part import Part, built
from turnmodel.design.pose import body_at
from turnmodel.design.surface import cross_surface, surface
from turnmodel.design.turned import Turned
from turnmodel.geometry.axial import axial_travel
from turnmodel.geometry.body import Body, ThreadSpan
from turnmodel.geometry.boolean import difference, intersection
from turnmodel.geometry.engagement import Engagement, engaged, matching
from turnmodel.geometry.frame import IDENTITY, Matrix, coaxial, composed, inverse
from turnmodel.geometry.region import Region, bounds, moved, polygon, ring
from turnmodel.geometry.thread_moments import span_region
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.design.design import Design
    from turnmodel.design.turned import CrossCut

__all__ = ["Member", "Screwed", "jams", "room_ahead", "screwed", "stand_off"]

_BLOCK: Final = 4.0
"""Size, in diameters of the thread, of the block that stands for the metal round a cross tap."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One side of a screw joint: its part, its thread's title, and its metal and thread on the joint's axis.

    ``station`` is where the thread begins along its own part, ``hollow_d`` the widest hole under it, both in
    [mm].
    """

    part: Part
    title: str
    plain: Region
    span: ThreadSpan
    station: float
    hollow_d: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Screwed:
    """A screw joint with both threads along one axis, z as in the frame of the part that is held.

    ``state`` is None where the joint stands in every state, ``shown`` is one that it is made in. ``base``
    places the axis in the object. ``into`` is the sense, +1 or -1, in which the screw goes in; ``stop`` the
    station of the screw's face that stops it [mm], None where another part is stopped.
    """

    joint: Screw
    state: str | None
    shown: str
    male: Member
    female: Member
    base: Matrix
    into: float
    stop: float | None
    engagement: Engagement | None


@dataclass(frozen=True, slots=True)
class _Held:
    """A thread of a part, in a frame of its own."""

    title: str
    body: Body
    frame: Matrix
    station: float
    hollow_d: float = 0.0

    @property
    def span(self) -> ThreadSpan:
        return self.body.threads[0]


@lru_cache(maxsize=64)
def screwed(design: Design) -> tuple[Screwed, ...]:
    """List the screw joints of a design, each once, in the first state that it is made in."""
    found: list[Screwed] = []
    seen: set[int] = set()
    for state, pose in design.poses.items():
        for joint in pose.joints:
            if not isinstance(joint, Screw) or id(joint) in seen:
                continue
            seen.add(id(joint))
            standing = any(joint is other for other in design.joints)
            pair = _laid_out(design, joint, state, None if standing else state)
            if pair is not None:
                found.append(pair)
    return tuple(found)


def _laid_out(design: Design, joint: Screw, shown: str, state: str | None) -> Screwed | None:
    """Lay both threads of a joint along the axis of the one that is held."""
    places = design.poses[shown].parts
    moving = design.part(joint.moving.part)
    holder = joint.into or design.part(joint.fixed.part)
    best: tuple[float, _Held, _Held, Body, Matrix] | None = None
    for own in _threads(moving):
        for other in _threads(holder):
            if not (matching(own.span, other.span) or matching(other.span, own.span)):
                continue
            if own.span.thread.major_d != other.span.thread.major_d:
                continue
            base = composed(places[holder.name], other.frame)
            place = coaxial(composed(inverse(base), places[moving.name], own.frame))
            if place is None:
                continue
            at = body_at(own.body, place)
            shared = min(at.threads[0].end, other.span.end) - max(at.threads[0].start, other.span.start)
            if best is None or shared > best[0]:
                best = (shared, own, other, at, base)
    if best is None:
        return None
    _, own, other, at, base = best
    one, two = _member(moving, own, at), _member(holder, other, other.body)
    male, female = (one, two) if one.span.external else (two, one)
    stop, into = _stop(design, joint, shown, male, base)
    if into == 0:
        into = (
            1.0
            if abs(female.span.anchor - female.span.start) < abs(female.span.anchor - female.span.end)
            else -1.0
        )
    return Screwed(
        joint=joint,
        state=state,
        shown=shown,
        male=male,
        female=female,
        base=base,
        into=into,
        stop=stop,
        engagement=engaged(male.span, female.span),
    )


def _member(part: Part, held: _Held, body: Body) -> Member:
    """Put one side of a joint together."""
    return Member(
        part=part,
        title=held.title,
        plain=body.plain,
        span=body.threads[0],
        station=held.station,
        hollow_d=held.hollow_d,
    )


def _stop(design: Design, joint: Screw, shown: str, male: Member, base: Matrix) -> tuple[float | None, float]:
    """Station of the face that stops the screw, and the sense it looks; None and 0 where it has none."""
    for face in (joint.moving, joint.fixed):
        if face.part == male.part.name:
            placed = composed(
                inverse(base), design.poses[shown].parts[male.part.name], surface(male.part, face).frame
            )
            return placed[2][3], math.copysign(1.0, placed[2][2])
    return None, 0.0


@lru_cache(maxsize=256)
def _threads(part: Part) -> tuple[_Held, ...]:
    made = built(part)
    if not isinstance(made, Turned):
        return ()
    surface_ = skins(made)
    own = (
        _Held(
            thread_title(made, span),
            Body(plain=made.body.plain, threads=(span,)),
            IDENTITY,
            span.start,
            2 * max(bore_radius(surface_, z) for z in (span.start, (span.start + span.end) / 2, span.end)),
        )
        for span in made.body.threads
    )
    cross = (
        _Held(cut.title, _cross_body(made, cut), cross_surface(cut).frame, mm(cut.feature.at))
        for cut in made.across
        if isinstance(cut.feature, CrossTap)
    )
    return (*own, *cross)


def _cross_body(made: Turned, cut: CrossCut) -> Body:
    """Stand a block with the tapped hole for the metal round a cross tap, z out of its mouth.

    The thread begins where the hole is in metal all round, and is full to a bottoming tap's lead from the
    floor, or through the wall where the hole has no depth.
    """
    feature = cut.feature
    assert isinstance(feature, CrossTap)
    thread = feature.thread
    crest, minor, surface_r = thread.major_d / 2, feature.diameter / 2, cut.surface_r
    sunk = surface_r - math.sqrt(max(surface_r**2 - crest**2, 0.0))
    block = _BLOCK * thread.major_d
    if feature.depth is None:
        deep = surface_r - bore_radius(skins(made), mm(feature.at))
        if feature.through and deep == surface_r:
            deep = 2 * surface_r
        plain = ring(-deep, -sunk, block, 2 * minor)
        ceiling = [(-deep, crest), (-sunk, crest)]
    else:
        deep = mm(feature.depth)
        full = deep - tap_lead("bottoming").high * thread.pitch
        floor, side = -deep - block, block / 2
        plain = polygon(
            [(floor, 0.0), (-deep, 0.0), (-deep, minor), (-sunk, minor), (-sunk, side), (floor, side)]
        )
        ceiling = [(-deep, minor), *([(-full, crest)] if full > sunk else []), (-sunk, crest)]
    span = ThreadSpan(
        thread=thread,
        external=False,
        start=-deep,
        end=-sunk,
        anchor=0.0,
        floor=((-deep, minor), (-sunk, minor)),
        ceiling=tuple(ceiling),
    )
    return Body(plain=plain, threads=(span,))


def room_ahead(pair: Screwed) -> float | None:
    """Measure how much farther a screw's thread could go in before it jams where the hole's thread ends.

    Parameters
    ----------
    pair : Screwed
        The joint

    Returns
    -------
    float or None
        Room along the axis, below zero where the screw jams before it is home, [mm]; None where the screw is
        stopped by its tip, or by something in front of the hole's thread

    Notes
    -----
    Exact at basic size: the crests of the screw against the roots of the hole, the tap's lead included.
    """
    span, into = pair.male.span, pair.into
    tip = span.end if into > 0 else span.start
    if pair.stop is not None and (pair.stop - tip) * into > -CONTACT_MM:
        return None
    hole = pair.female.span
    mouth = hole.start if into > 0 else hole.end
    back = max((tip - mouth) * into, 0.0)
    screw = _slice(pair.male.plain, span.start, span.end)
    free = axial_travel(
        moved(screw, -into * back), difference(pair.female.plain, span_region(hole)), 1 if into > 0 else -1
    ).distance
    return None if back > CONTACT_MM >= free else free - back


def stand_off(pair: Screwed) -> float:
    """Measure by how much what lies behind a screw's full thread keeps its shoulder off.

    Parameters
    ----------
    pair : Screwed
        The joint

    Returns
    -------
    float
        Distance between the faces when the run-out, or the shank, jams in the hole's mouth; 0 where it does
        not, [mm]

    Notes
    -----
    Exact at basic size: the bottom of the screw's groove, which rises in the run-out, against the crests of
    the hole.
    """
    span, into = pair.male.span, pair.into
    if pair.stop is None:
        return 0.0
    root = min(r for _, r in span.floor)
    knots = [z for z, r in span.floor if r <= root + CONTACT_MM]
    begins = min(knots) if into > 0 else max(knots)
    low, high = sorted((begins, pair.stop))
    if (begins - pair.stop) * into <= CONTACT_MM:
        return 0.0
    zone = _slice(difference(pair.male.plain, span_region(span)), low, high)
    if not zone.loops:
        return 0.0
    z0, z1, _, _ = bounds(pair.female.plain)
    back = (begins - (z0 if into > 0 else z1)) * into
    if back <= 0:
        return 0.0
    free = axial_travel(moved(zone, -into * back), pair.female.plain, 1 if into > 0 else -1).distance
    return max(back - free, 0.0) if back - free > CONTACT_MM else 0.0


def _slice(region: Region, low: float, high: float) -> Region:
    """Keep what lies between two stations."""
    return intersection(region, ring(low, high, 4 * bounds(region).r1))


@lru_cache(maxsize=64)
def jams(design: Design, state: str) -> frozenset[frozenset[str]]:
    """List the pairs of parts whose threads jam in a state before they are screwed home."""

    def jammed(pair: Screwed) -> bool:
        room = room_ahead(pair)
        return stand_off(pair) > CONTACT_MM or (room is not None and room < -CONTACT_MM)

    homed = (p for p in screwed(design) if not p.joint.turns_open and p.state in (None, state))
    return frozenset(frozenset((p.male.part.name, p.female.part.name)) for p in homed if jammed(p))
