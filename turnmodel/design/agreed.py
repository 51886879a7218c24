"""What a design lists, held together before it is posed: parts, joints and states that name each other."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Final, NamedTuple, TypeVar

from turnmodel.design.face import Face
from turnmodel.design.joint import Joint, Screw, State
from turnmodel.design.ledger import Ledger, check_fields, short
from turnmodel.design.part import Part, part_faults
from turnmodel.design.pose import told
from turnmodel.design.surface import surface
from turnmodel.errors import Fault, TurnmodelError, UnknownName

if TYPE_CHECKING:
    from turnmodel.errors import Where

__all__ = ["Listed", "agreed"]

T = TypeVar("T")


class Listed(NamedTuple):
    """What a design lists, as far as it is of the right kind."""

    parts: tuple[Part, ...]
    joints: tuple[Joint, ...]
    states: dict[str, State]


def agreed(
    name: object, parts: object, joints: object, states: object, where: Where | None
) -> tuple[list[Fault], Listed]:
    """Hold everything that a design lists to its own rules and to the rest of it."""
    faults: list[Fault] = []
    if not isinstance(name, str) or not name.strip():
        faults.append(
            Fault(given=f"design's name {short(name)}", rule="must be a text that is not empty", where=where)
        )
    kept_parts = _kept(parts, Part, "parts", where, faults)
    kept_joints = _kept(joints, Joint, "joints", where, faults)
    kept_states = _states(states, where, faults)
    if not kept_parts and not faults:
        faults.append(Fault(given="parts", rule="a design needs at least one part", where=where))
    faults += _twice(kept_parts)
    sound = set()
    for part in kept_parts:
        wrong = part_faults(part)
        faults += wrong
        if not wrong:
            sound.add(part.name)
    for joint in (*kept_joints, *(joint for state in kept_states.values() for joint in state.joints)):
        faults += _joint_faults(joint, kept_parts, sound)
    for key, state in kept_states.items():
        faults += _aside_faults(key, state, kept_parts)
    return faults, Listed(kept_parts, kept_joints, kept_states)


def _kept(
    listed: object, kind: type[T], feature: str | None, where: Where | None, faults: list[Fault]
) -> tuple[T, ...]:
    """Keep what is of a kind, and tell of what is not."""
    things = listed if isinstance(listed, Iterable) and not isinstance(listed, str) else (listed,)
    kept = []
    for thing in things:
        if isinstance(thing, kind):
            kept.append(thing)
        else:
            faults.append(Fault(feature=feature, given=short(thing), rule=_KINDS[kind], where=where))
    return tuple(kept)


_KINDS: Final[Mapping[type, str]] = {
    Part: 'must be a part, such as Part.turned("cap", ...)',
    Joint: 'must be a joint, such as joint.seat(cap.face("back"), body.face("cap stop"))',
}


def _states(states: object, where: Where | None, faults: list[Fault]) -> dict[str, State]:
    if not isinstance(states, Mapping):
        rule, mend = "must be names and states", 'write states={"closed": state(...)}'
        faults.append(Fault(given=f"states {short(states)}", rule=rule, mend=mend, where=where))
        return {}
    kept = {}
    for key, given in states.items():
        feature = f"state {short(key)}"
        if not isinstance(key, str) or not key.strip():
            faults.append(Fault(given=feature, rule="must have a text for its name", where=where))
            continue
        state = given if isinstance(given, State) else State((), where=where)
        joints = state.joints if isinstance(given, State) else given
        joints = _kept(joints, Joint, feature, state.where, faults)
        kept[key] = State(joints, state.aside, where=state.where)
    return kept


def _twice(parts: Iterable[Part]) -> list[Fault]:
    last = {part.name: part for part in parts}
    return [
        Fault(
            part=name,
            given=f"{count} parts of one name",
            rule="each part needs a name of its own",
            where=last[name].where,
        )
        for name, count in Counter(part.name for part in parts).items()
        if count > 1
    ]


def _joint_faults(joint: Joint, parts: tuple[Part, ...], sound: set[str]) -> tuple[Fault, ...]:
    """Hold a joint to its own figures, to parts that are there and to faces that they have."""
    by_name = {part.name: part for part in parts}
    ledger = Ledger(part=joint.moving.part if isinstance(joint.moving, Face) else "joint")
    check_fields(joint, ledger, joint.word)
    for face in (joint.moving, joint.fixed):
        if not isinstance(face, Face):
            given = f"part {face.name!r}" if isinstance(face, Part) else short(face)
            owner = face.name if isinstance(face, Part) else "part"
            ledger.fault(joint.word, given, "must be a face", f'write {owner}.face("back")', joint.where)
        elif face.part not in by_name:
            unknown = UnknownName("part of the design", face.part, by_name)
            mend = f"list it under parts; {unknown.hint}" if unknown.hint else "list it under parts"
            ledger.fault(joint.word, str(face), f"there is no such {unknown.kind}", mend, joint.where)
        elif face.part in sound:
            try:
                surface(by_name[face.part], face)
            except TurnmodelError as error:
                ledger.faults.append(told(error, joint))
    if isinstance(joint, Screw) and joint.into is not None and joint.into not in parts:
        given = f"into {joint.into.name}" if isinstance(joint.into, Part) else f"into {short(joint.into)}"
        ledger.fault(joint.word, given, "must be a part of the design", None, joint.where)
    return tuple(ledger.faults)


def _aside_faults(name: str, state: State, parts: tuple[Part, ...]) -> list[Fault]:
    return [
        Fault(
            feature=f'state "{name}"',
            given=f"aside {part.name if isinstance(part, Part) else short(part)}",
            rule="must be a part of the design",
            mend="write it without quotes" if isinstance(part, str) else None,
            where=state.where,
        )
        for part in state.aside
        if part not in parts
    ]
