"""What a design lists, held together before it is posed: parts, joints and states that name each other."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Final, NamedTuple, TypeVar

from turnmodel.design.face import Face
from turnmodel.design.joint import Joint, Screw, Spring, State
from turnmodel.design.ledger import Ledger, check_fields, mm, short
from turnmodel.design.names import NAMED, file_name, is_name
from turnmodel.design.part import Part, named_well, part_faults
from turnmodel.design.pose import told
from turnmodel.design.surface import surface
from turnmodel.errors import Fault, TurnmodelError

if TYPE_CHECKING:
    from collections.abc import Sequence

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
    if not is_name(name):
        faults.append(Fault(given=f"design's name {short(name)}", rule=NAMED, where=where))
    kept_parts = _kept(parts, Part, "parts", where, faults)
    kept_joints = _kept(joints, Joint, "joints", where, faults)
    kept_states = _states(states, where, faults)
    if not kept_parts and not faults:
        faults.append(Fault(given="parts", rule="a design needs at least one part", where=where))
    faults += _twice([part for part in kept_parts if named_well(part)])
    faults += _one_file([(part.name, part.where) for part in kept_parts if named_well(part)], "part")
    faults += _one_file([(name, state.where or where) for name, state in kept_states.items()], "state")
    names = Counter(part.name for part in kept_parts if named_well(part))
    sound = {}
    for part in kept_parts:
        wrong = part_faults(part)
        faults += wrong
        if not wrong and named_well(part) and names[part.name] == 1:
            sound[part.name] = part
    every = (*kept_joints, *(joint for state in kept_states.values() for joint in state.joints))
    for joint in every:
        faults += _joint_faults(joint, sound)
    if kept_parts:
        faults += _missing(kept_parts, every, kept_states)
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
        if not is_name(key):
            faults.append(Fault(given=feature, rule=f"its name {NAMED}", where=where))
            continue
        if not isinstance(given, State | Joint | list | tuple):
            faults.append(Fault(feature=feature, given=short(given), rule="must be state(...)", where=where))
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


def _one_file(named: Iterable[tuple[str, Where | None]], kind: str) -> list[Fault]:
    """Tell of names that differ only in what a file's name leaves out."""
    first: dict[str, str] = {}
    return [
        Fault(
            given=f"{kind} {name!r}",
            rule=f"its files would have the names of those of {kind} {first[file_name(name)]!r}",
            mend="let them differ in a letter or a figure",
            where=where,
        )
        for name, where in named
        if first.setdefault(file_name(name), name) != name
    ]


def _joint_faults(joint: Joint, sound: Mapping[str, Part]) -> tuple[Fault, ...]:
    """Hold a joint to its own figures and to faces that its parts have."""
    known = isinstance(joint.moving, Face) and isinstance(joint.moving.part, str)
    ledger = Ledger(part=joint.moving.part if known else "joint")
    check_fields(joint, ledger, joint.word)
    for face in (joint.moving, joint.fixed):
        if not isinstance(face, Face):
            given = f"part {face.name!r}" if isinstance(face, Part) else short(face)
            owner = face.name if isinstance(face, Part) else "part"
            ledger.fault(joint.word, given, "must be a face", f'write {owner}.face("back")', joint.where)
        elif not isinstance(face.name, str):
            ledger.fault(joint.word, f"face {short(face.name)}", "must be a text", None, joint.where)
        elif known and isinstance(joint.fixed, Face) and isinstance(face.part, str) and face.part in sound:
            try:
                surface(sound[face.part], face)
            except TurnmodelError as error:
                ledger.faults.append(told(error, joint))
    if isinstance(joint, Screw) and not isinstance(joint.into, Part | None):
        ledger.fault(joint.word, f"into {short(joint.into)}", "must be a part", None, joint.where)
    if isinstance(joint, Spring) and not ledger.faults and joint.solid is not None and joint.free is not None:
        solid, free = mm(joint.solid), mm(joint.free)
        if solid >= free:
            rule = f"must be less than its length when free, {free:g} mm"
            ledger.fault(joint.word, f"solid {solid:g} mm", rule, "change them round", joint.where)
    return tuple(ledger.faults)


def _missing(parts: Sequence[Part], joints: Iterable[Joint], states: Mapping[str, State]) -> list[Fault]:
    """Tell of each part that is spoken of and is not in the design, once, where that is first done."""
    names = {part.name for part in parts if named_well(part)}
    spoken: dict[str, Fault] = {}
    for joint in joints:
        said = [face.part for face in (joint.moving, joint.fixed) if isinstance(face, Face)]
        said += [joint.into.name] if isinstance(joint, Screw) and isinstance(joint.into, Part) else []
        for name in said:
            if is_name(name) and name not in names:
                spoken.setdefault(name, _absent(name, joint.word, joint.where))
    for key, state in states.items():
        for part in state.aside:
            if not isinstance(part, Part):
                mend = "write it without quotes" if isinstance(part, str) else None
                given, rule = f"aside {short(part)}", "must be a part"
                fault = Fault(feature=f'state "{key}"', given=given, rule=rule, mend=mend, where=state.where)
                spoken.setdefault(str(part), fault)
            elif named_well(part) and part.name not in names:
                spoken.setdefault(part.name, _absent(part.name, f'state "{key}"', state.where))
    return list(spoken.values())


def _absent(name: str, feature: str, where: Where | None) -> Fault:
    rule, mend = "this part is not in the design", "list it under parts"
    return Fault(part=name, feature=feature, given="", rule=rule, mend=mend, where=where)
