"""A design: the parts, the joints that stand, and the states of an object."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from turnmodel.design.agreed import agreed
from turnmodel.design.gap import Gap, kept_gaps
from turnmodel.design.joint import Joint, State
from turnmodel.design.part import Part, TurnedPart, built
from turnmodel.design.pose import Pose, posed
from turnmodel.design.script import script_place
from turnmodel.design.turned import Turned
from turnmodel.errors import DesignFaults, Fault, UnknownName, Where, nearest

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from turnmodel.design.ledger import Default

__all__ = ["Design"]

_USERS: Final = ("adults", "children")


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
    gaps : mapping, optional
        Name to a gap, whose spread over all tolerances is told
    users : {"adults", "children"}, optional
        Who is likely to use the object

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
    gaps: Mapping[str, Gap]
    users: str
    where: Where | None = field(repr=False)

    @property
    def every_joint(self) -> tuple[Joint, ...]:
        """The joints that stand in every state, and those of each state."""
        return (*self.joints, *(joint for state in self.states.values() for joint in state.joints))

    def __init__(
        self,
        name: str,
        *,
        parts: Sequence[Part],
        joints: Sequence[Joint] = (),
        states: Mapping[str, State | Sequence[Joint]] | None = None,
        limits: Mapping[str, float] | None = None,
        accept: Mapping[str, str] | None = None,
        gaps: Mapping[str, Gap] | None = None,
        users: str = "adults",
    ) -> None:
        where = script_place()
        given = states or {"whole": State()}
        faults, (kept_parts, kept_joints, kept) = agreed(name, parts, joints, given, where)
        faults += _own_faults(limits or {}, accept or {}, where)
        kept_users = _users(users, where, faults)
        held = {} if faults else kept_gaps(gaps or {}, kept_parts, where, faults)
        poses: dict[str, Pose] = {}
        if not faults:
            for key, state in kept.items():
                pose, wrong = posed(key, kept_parts, kept_joints, state)
                faults += wrong
                if pose is not None:
                    poses[key] = pose
        if faults:
            raise DesignFaults(dict.fromkeys(faults))
        values: dict[str, Any] = {
            "name": name,
            "parts": kept_parts,
            "joints": kept_joints,
            "states": MappingProxyType(kept),
            "poses": MappingProxyType(poses),
            "limits": MappingProxyType(dict(limits or {})),
            "accept": MappingProxyType(dict(accept or {})),
            "gaps": MappingProxyType(held),
            "users": kept_users,
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
    def turned(self) -> tuple[tuple[TurnedPart, Turned], ...]:
        """The turned parts, as they are written and as they are built."""
        pairs = ((part, built(part)) for part in self.parts)
        return tuple((p, made) for p, made in pairs if isinstance(p, TurnedPart) and isinstance(made, Turned))

    @property
    def defaults(self) -> tuple[Default, ...]:
        """What the script left out and what was taken for it."""
        made = (built(part) for part in self.parts)
        return tuple(default for m in made if isinstance(m, Turned) for default in m.defaults)


def _users(users: object, where: Where | None, faults: list[Fault]) -> str:
    """Hold who uses the object to the two kinds there are."""
    if users in _USERS:
        return str(users)
    hint = nearest(str(users), _USERS) or _USERS[0]
    rule = f"must be {' or '.join(map(repr, _USERS))}"
    faults.append(
        Fault(feature="users", given=repr(users), rule=rule, mend=f"did you mean {hint!r}?", where=where)
    )
    return _USERS[0]


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
