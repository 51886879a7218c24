"""A design: the parts, the joints that stand, and the states of an object."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from turnmodel.design.face import Face
from turnmodel.design.joint import Joint, Screw, State
from turnmodel.design.ledger import Default, Ledger, check_fields
from turnmodel.design.part import Part, built, part_faults
from turnmodel.design.pose import Pose, posed
from turnmodel.design.script import script_place
from turnmodel.design.turned import Turned
from turnmodel.errors import DesignFaults, Fault, UnknownName, Where

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

__all__ = ["Design"]


@dataclass(frozen=True, slots=True, init=False, eq=False)
class Design:
    """An object of several parts, checked as it is built.

    Parameters
    ----------
    name : str
        Its name
    parts : sequence of Part
        The parts; the first carries the object's frame, its front face at station 0
    joints : sequence of Joint, optional
        Joints that stand in every state
    states : mapping, optional
        Name to state; left out, one state "whole"
    limits : mapping, optional
        Name of a rule to the limit that holds for this design, in the rule's own unit, [-]
    accept : mapping, optional
        Name of a rule, or "rule: part", to the reason why what it finds is right here

    Raises
    ------
    DesignFaults
        With everything that is wrong, at once
    """

    name: str
    parts: tuple[Part, ...]
    joints: tuple[Joint, ...]
    states: Mapping[str, State]
    poses: Mapping[str, Pose]
    limits: Mapping[str, float]
    accept: Mapping[str, str]
    where: Where | None = field(repr=False)

    def __init__(
        self,
        name: str,
        *,
        parts: Sequence[Part],
        joints: Sequence[Joint] = (),
        states: Mapping[str, State | Sequence[Joint]] | None = None,
        limits: Mapping[str, float] | None = None,
        accept: Mapping[str, str] | None = None,
    ) -> None:
        where = script_place()
        given = {"whole": State()} if not states else dict(states)
        kept = {
            key: value if isinstance(value, State) else State(tuple(value)) for key, value in given.items()
        }
        faults = [*_named_once(name, parts, where), *(fault for part in parts for fault in part_faults(part))]
        every = (*joints, *(joint for state in kept.values() for joint in state.joints))
        faults += _joint_faults(every, parts)
        faults += _own_faults(limits or {}, accept or {}, where)
        poses: dict[str, Pose] = {}
        if not faults:
            for key, state in kept.items():
                pose, wrong = posed(key, parts, joints, state)
                faults += wrong
                if pose is not None:
                    poses[key] = pose
        if faults:
            raise DesignFaults(dict.fromkeys(faults))
        values: dict[str, Any] = {
            "name": name,
            "parts": tuple(parts),
            "joints": tuple(joints),
            "states": MappingProxyType(kept),
            "poses": MappingProxyType(poses),
            "limits": MappingProxyType(dict(limits or {})),
            "accept": MappingProxyType(dict(accept or {})),
            "where": where,
        }
        for key, value in values.items():
            object.__setattr__(self, key, value)

    def part(self, name: str) -> Part:
        """Find a part by its name.

        Raises
        ------
        UnknownName
            If there is none
        """
        for part in self.parts:
            if part.name == name:
                return part
        raise UnknownName("part", name, [part.name for part in self.parts])

    @property
    def defaults(self) -> tuple[Default, ...]:
        """What the script left out and what was taken for it."""
        made = (built(part) for part in self.parts)
        return tuple(default for m in made if isinstance(m, Turned) for default in m.defaults)


def _named_once(name: object, parts: Sequence[Part], where: Where | None) -> list[Fault]:
    faults = []
    if not isinstance(name, str) or not name.strip():
        faults.append(
            Fault(given=f"design's name {name!r}", rule="must be a text that is not empty", where=where)
        )
    if not parts:
        faults.append(Fault(given="parts", rule="a design needs at least one part", where=where))
    for part_name, count in Counter(part.name for part in parts).items():
        if count > 1:
            twice = next(p for p in reversed(parts) if p.name == part_name)
            faults.append(
                Fault(
                    part=part_name,
                    given=f"{count} parts of one name",
                    rule="each part needs a name of its own",
                    where=twice.where,
                )
            )
    return faults


def _own_faults(
    limits: Mapping[str, object], accept: Mapping[str, object], where: Where | None
) -> list[Fault]:
    """Hold limits to numbers and what is accepted to a reason; rules are known by name above this floor."""
    faults = [
        Fault(feature="limits", given=f"{name!r} {limit!r}", rule="must be a finite number", where=where)
        for name, limit in limits.items()
        if isinstance(limit, bool) or not isinstance(limit, int | float) or not math.isfinite(limit)
    ]
    faults += [
        Fault(
            feature="accept",
            given=f"{name!r}",
            rule="a finding is accepted with a reason in words",
            mend=f'write accept={{{name!r}: "why it is right here"}}',
            where=where,
        )
        for name, reason in accept.items()
        if not isinstance(reason, str) or not reason.strip()
    ]
    return faults


def _joint_faults(joints: Sequence[object], parts: Sequence[Part]) -> list[Fault]:
    names = [part.name for part in parts]
    faults = []
    for joint in joints:
        if not isinstance(joint, Joint):
            faults.append(Fault(given=f"joint {joint!r}", rule="must be a joint, such as joint.seat(a, b)"))
            continue
        ledger = Ledger(part=joint.moving.part if isinstance(joint.moving, Face) else "joint")
        check_fields(joint, ledger, joint.word)
        for face in (joint.moving, joint.fixed):
            if not isinstance(face, Face):
                ledger.fault(joint.word, repr(face), "must be a face", 'write part.face("name")', joint.where)
            elif face.part not in names:
                ledger.fault(
                    joint.word, str(face), str(UnknownName("part of the design", face.part, names)),
                    "list the part under parts", joint.where,
                )  # fmt: skip
        if isinstance(joint, Screw) and joint.into is not None and joint.into not in parts:
            ledger.fault(joint.word, f"into {joint.into.name}", "is no part of the design", None, joint.where)
        faults += ledger.faults
    return faults
