"""Put the parts of an object where a state's joints say."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.design.features.across import CrossTap
from turnmodel.design.joint import Joint, Screw, Spring, State
from turnmodel.design.ledger import reason
from turnmodel.design.part import Part, built
from turnmodel.design.surface import cross_surface, surface
from turnmodel.design.turned import Turned
from turnmodel.errors import BadText, Fault, TurnmodelError, UnknownName
from turnmodel.geometry.body import Body, ThreadSpan, body_flipped, body_moved
from turnmodel.geometry.engagement import body_turned, matching, phase_turn
from turnmodel.geometry.frame import IDENTITY, Matrix, coaxial, composed, inverse, opposed, shift, turn
from turnmodel.geometry.region import Region
from turnmodel.geometry.seating import Seat as FaceSeat
from turnmodel.geometry.seating import radial_range, stand_off
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from turnmodel.design.face import Surface

__all__ = ["Pose", "body_at", "cross_thread", "posed", "relative", "told"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """Where every part stands in a state: a placement by part's name, the parts laid aside left out.

    ``springs`` are the spring joints, each with the length [mm] that it is left.
    """

    parts: Mapping[str, Matrix]
    joints: tuple[Joint, ...]
    springs: tuple[tuple[Spring, float], ...] = ()


class _Refused(TurnmodelError):
    """A joint that cannot be made: what was given, the rule, the nearest right thing."""

    def __init__(self, given: str, rule: str, mend: str | None = None) -> None:
        self.given, self.rule, self.mend = given, rule, mend
        super().__init__(given, rule, mend)


def posed(
    name: str, parts: Sequence[Part], standing: Sequence[Joint], state: State
) -> tuple[Pose | None, tuple[Fault, ...]]:
    """Place the parts of a state, the first at its origin; the faults where they cannot be placed."""
    by_name = {part.name: part for part in parts}
    aside = _laid_aside(parts, standing, state)
    joints = [
        j for j in (*standing, *state.joints) if j.moving.part not in aside and j.fixed.part not in aside
    ]
    placed: dict[str, Matrix] = {}
    faults: list[Fault] = []
    present = [part for part in parts if part.name not in aside]
    if present:
        placed[present[0].name] = IDENTITY
    lost: set[str] = set()  # parts that only a refused joint places
    waiting = list(joints)
    while ready := _ready(waiting, placed):
        waiting.remove(ready)
        pair = {ready.moving.part, ready.fixed.part}
        if pair <= placed.keys() and pair & lost:
            continue
        try:
            _place(ready, by_name, placed)
        except TurnmodelError as error:
            faults.append(told(error, ready, None if ready in standing else name))
            lost |= pair - placed.keys()
            placed |= dict.fromkeys(pair - placed.keys(), IDENTITY)
        if pair & lost:
            lost |= pair - {present[0].name}
    faults += _floating(name, [part for part in present if part.name not in placed], waiting, state)
    if faults:
        return None, tuple(faults)
    springs = tuple((j, _fitted(j, by_name, placed)) for j in joints if isinstance(j, Spring))
    return Pose(parts=placed, joints=tuple(joints), springs=springs), ()


def _ready(waiting: Sequence[Joint], placed: Mapping[str, Matrix]) -> Joint | None:
    """Find a joint of which one part stands: firm ones first, a screw after what it screws into."""
    ready = (j for j in waiting if {j.moving.part, j.fixed.part} & placed.keys())

    def late(joint: Joint) -> int:
        if isinstance(joint, Screw) and joint.into is not None and joint.into.name not in placed:
            return 3
        return 0 if not isinstance(joint, Spring) else 1 if joint.length is not None else 2

    return min(ready, key=late, default=None)


def told(error: TurnmodelError, joint: Joint, state: str | None = None) -> Fault:
    """Tell why a joint cannot be made; of a joint that stands in every state, without a state's name."""
    given, (rule, mend) = "", reason(error)
    if isinstance(error, _Refused):
        given, rule, mend = error.given, error.rule, error.mend
    elif isinstance(error, UnknownName | BadText):
        given = error.given if isinstance(error, BadText) else f'face "{error.given}"'
    feature = f"{joint.word} on {joint.fixed.part}" + (f', state "{state}"' if state else "")
    return Fault(
        part=joint.moving.part, feature=feature, given=given, rule=rule, mend=mend, where=joint.where
    )


def _floating(name: str, parts: Sequence[Part], joints: Sequence[Joint], state: State) -> list[Fault]:
    """Tell of the parts that nothing holds, one fault for all that hang together."""
    faults = []
    rest = [part.name for part in parts]
    while rest:
        group = {rest[0]}
        while (
            grown := {
                n
                for j in joints
                for n in (j.moving.part, j.fixed.part)
                if {j.moving.part, j.fixed.part} & group
            }
            - group
        ):
            group |= grown
        others = [n for n in rest if n in group][1:]
        carried = f", nor {', '.join(others)} that it carries" if others else ""
        faults.append(
            Fault(
                part=rest[0],
                given=f'state "{name}"',
                rule=f"no joint holds it to the rest{carried}",
                mend="add a joint, or lay it aside with state(aside=...)",
                where=state.where or next(p.where for p in parts if p.name == rest[0]),
            )
        )
        rest = [n for n in rest if n not in group]
    return faults


def _laid_aside(parts: Sequence[Part], standing: Sequence[Joint], state: State) -> set[str]:
    """Names of the parts laid aside, and of those that only they hold."""
    aside = {part.name for part in state.aside}
    if not aside:
        return aside
    links = [(j.moving.part, j.fixed.part) for j in (*standing, *state.joints)]
    reached = {next((p.name for p in parts if p.name not in aside), "")}
    grown = True
    while grown:
        grown = False
        for a, b in links:
            if a in aside or b in aside or (a in reached) == (b in reached):
                continue
            reached |= {a, b}
            grown = True
    tied = set(aside)
    grown = True
    while grown:
        grown = False
        for a, b in links:
            if (a in tied) != (b in tied) and not {a, b} & reached:
                tied |= {a, b}
                grown = True
    return tied


def _place(joint: Joint, by_name: Mapping[str, Part], placed: dict[str, Matrix]) -> None:
    """Place the part of a joint that does not stand yet, or hold one that does to it."""
    moving, fixed = by_name[joint.moving.part], by_name[joint.fixed.part]
    if moving is fixed:
        raise _Refused("", "a part is not joined to itself")
    if {moving.name, fixed.name} <= placed.keys() and isinstance(joint, Spring):
        _fitted(joint, by_name, placed)
        return
    if isinstance(joint, Spring) and joint.length is None:
        lost = moving if fixed.name in placed else fixed
        rule = f"say how long the spring stands, nothing else places {lost.name}"
        raise _Refused("length", rule, "write length=..., in mm")
    towards = relative(joint, moving, fixed, joint.apart)
    if fixed.name in placed and moving.name not in placed:
        target = composed(placed[fixed.name], towards)
        placed[moving.name] = _in_step(joint, moving, by_name, placed, target)
    elif moving.name in placed and fixed.name not in placed:
        back = inverse(towards)
        if isinstance(joint, Screw):
            held = _in_step(joint, moving, by_name, {fixed.name: IDENTITY}, towards)
            back = inverse(held)
        placed[fixed.name] = composed(placed[moving.name], back)
    else:
        _held(composed(placed[fixed.name], towards), placed[moving.name])


def relative(joint: Joint, moving: Part, fixed: Part, apart: float) -> Matrix:
    """Placement of the moving part in the frame of the fixed one, its faces opposed and so far apart [mm]."""
    a, b = surface(moving, joint.moving), surface(fixed, joint.fixed)
    apart += _stand_off(joint, a, b)
    if isinstance(joint, Screw) and joint.turns_open:
        apart += joint.turns_open * _threads(joint, moving, fixed)[0][0].thread.lead
    return composed(b.frame, turn(joint.turn), opposed(), shift(-apart), inverse(a.frame))


def _stand_off(joint: Joint, a: Surface, b: Surface) -> float:
    if not (a.curves and b.curves):
        return 0.0
    one, other = _seat(a), _seat(b)
    found = stand_off(one, other)
    if found is None:
        (a0, a1), (b0, b1) = radial_range(one), radial_range(other)
        raise _Refused(
            f"{joint.moving} from {2 * a0:.4g} to {2 * a1:.4g} mm diameter",
            f"passes {joint.fixed}, from {2 * b0:.4g} to {2 * b1:.4g} mm, without touching",
            "make one of them reach the other",
        )
    return found


def _seat(face: Surface) -> FaceSeat:
    return FaceSeat(curves=face.curves, station=face.frame[2][3], outward=face.frame[2][2])


def _fitted(spring: Spring, by_name: Mapping[str, Part], placed: Mapping[str, Matrix]) -> float:
    """Length [mm] that the parts that stand leave a spring; only along its axis are they free of it."""
    moving, fixed = by_name[spring.moving.part], by_name[spring.fixed.part]
    stands = placed[moving.name]
    closed = composed(placed[fixed.name], relative(spring, moving, fixed, 0.0))
    out = [row[2] for row in composed(placed[fixed.name], surface(fixed, spring.fixed).frame)[:3]]
    long = sum((s[3] - c[3]) * o for s, c, o in zip(stands, closed, out, strict=False))
    _held(composed(placed[fixed.name], relative(spring, moving, fixed, long)), stands)
    return long


def _held(wanted: Matrix, stands: Matrix) -> None:
    """Hold a part that two joints place to both; parts round the axis may stand turned."""
    if math.dist([row[2] for row in wanted[:3]], [row[2] for row in stands[:3]]) > CONTACT_MM:
        raise _Refused(
            "",
            "other joints hold it facing another way",
            "drop one of the joints, or name other faces",
        )  # fmt: skip
    off = math.dist([row[3] for row in wanted[:3]], [row[3] for row in stands[:3]])
    if off > CONTACT_MM:
        raise _Refused(
            "", f"other joints leave its faces {off:.4g} mm from where this one puts them",
            "drop one of the joints, or make their lengths agree",
        )  # fmt: skip


def _threads(joint: Screw, moving: Part, fixed: Part) -> list[tuple[ThreadSpan, ThreadSpan]]:
    """Find the pairs of threads that a screw joint can mean: (moving part's, other part's)."""
    holder = joint.into or fixed
    pairs = [
        (a, b)
        for a in _spans(moving)
        for b in _spans(holder)
        if (matching(a, b) or matching(b, a)) and a.thread.designation == b.thread.designation
    ]
    if not pairs:
        listed = [
            ", ".join(f"{s.thread.designation} {'outside' if s.external else 'inside'}" for s in _spans(p))
            or "none"
            for p in (moving, holder)
        ]
        raise _Refused(
            "", f"no threads match: {moving.name} has {listed[0]}; {holder.name} has {listed[1]}",
            "give both the same designation, one outside and one inside",
        )  # fmt: skip
    return pairs


def _spans(part: Part) -> tuple[ThreadSpan, ...]:
    made = built(part)
    if not isinstance(made, Turned):
        return ()
    cross = (cross_thread(cut.feature) for cut in made.across if isinstance(cut.feature, CrossTap))
    return (*made.body.threads, *cross)


def cross_thread(feature: CrossTap) -> ThreadSpan:
    """Thread of a cross tap, in the frame of its mouth: z out of the surface."""
    size = feature.thread
    crest, minor = size.major_d / 2, feature.diameter / 2
    deep = 4 * size.major_d
    return ThreadSpan(
        thread=size,
        external=False,
        start=-deep,
        end=0.0,
        anchor=0.0,
        floor=((-deep, minor), (0.0, minor)),
        ceiling=((-deep, crest), (0.0, crest)),
    )


def _in_step(
    joint: Joint, moving: Part, by_name: Mapping[str, Part], placed: Mapping[str, Matrix], target: Matrix
) -> Matrix:
    """Turn a screwed part about its axis until its helix is in step with the other."""
    if not isinstance(joint, Screw):
        return target
    holder = joint.into or by_name[joint.fixed.part]
    pairs = _threads(joint, moving, by_name[joint.fixed.part])
    if holder.name not in placed:
        raise _Refused("", f"{holder.name} is not placed yet", "join it before")
    found = []
    for own, other in pairs:
        base = composed(placed[holder.name], _span_frame(holder, other))
        seen = coaxial(composed(inverse(base), target))
        if seen is not None:
            at = body_at(Body(plain=Region(loops=()), threads=(own,)), seen).threads[0]
            found.append((min(at.end, other.end) - max(at.start, other.start), base, at, other))
    if not found:
        raise _Refused("", f"the threads of {moving.name} and {holder.name} do not share an axis")
    # a part with the same thread at both ends: the one that is engaged, or comes nearest to it
    _, base, at, other = max(found, key=lambda pair: pair[0])
    step = phase_turn(at, other) if at.external else -phase_turn(other, at)
    return composed(base, turn(step), inverse(base), target)


def _span_frame(part: Part, span: ThreadSpan) -> Matrix:
    """Frame in which a span's axis is z: the part's own, or that of a cross tap's mouth."""
    made = built(part)
    assert isinstance(made, Turned)
    for cut in made.across:
        if isinstance(cut.feature, CrossTap) and cross_thread(cut.feature) == span:
            return cross_surface(cut).frame
    return IDENTITY


def body_at(body: Body, place: tuple[float, float, bool]) -> Body:
    """Place a body along the axis: turned end for end where asked, then turned [degrees], then moved [mm]."""
    station, degrees, flip = place
    if flip:
        body = body_flipped(body)
    if degrees and body.threads:
        body = body_turned(body, degrees)
    return body_moved(body, station) if station else body
