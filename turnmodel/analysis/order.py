"""In which order an object goes together: it is taken apart, and the steps told backwards.

What can be taken off while everything else is there can be taken off when less is there, so the first step
that is found is never a wrong one, and the search needs no way back.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING

from turnmodel.analysis.paths import Manner, Way, rounded, way
from turnmodel.design.joint import Joint, Press, Screw
from turnmodel.design.surface import surface
from turnmodel.geometry.frame import composed, inverse, turned_by

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.design import Design
    from turnmodel.design.face import Face
    from turnmodel.design.part import Part
    from turnmodel.geometry.across import Vector

__all__ = ["Apart", "Loose", "Stop", "Stuck", "loose", "taken_apart"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """What keeps parts from being drawn off: one part that meets another, and how."""

    moving: str
    fixed: str
    way: Way
    direction: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """A step of taking apart: parts drawn off the others, in a direction of the object's frame [-]."""

    parts: tuple[str, ...]
    rest: tuple[str, ...]
    direction: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Stuck:
    """Parts of which none comes off the others, and the least of what stops them."""

    parts: tuple[str, ...]
    stop: Stop


@dataclass(frozen=True, slots=True, kw_only=True)
class Loose:
    """Parts that come away by themselves in a direction of the object's frame [-]."""

    parts: tuple[str, ...]
    direction: Vector


@dataclass(frozen=True, slots=True)
class _Stand:
    """A design in one of its states."""

    design: Design
    state: str
    told: dict[tuple[str, str, Vector, Manner], Way] = field(default_factory=dict, compare=False)
    """Ways that were asked for before: each step of taking apart asks for most of them again."""

    @property
    def names(self) -> tuple[str, ...]:
        """Parts that are there, in the order of the design."""
        placed = self.design.poses[self.state].parts
        return tuple(part.name for part in self.design.parts if part.name in placed)

    @property
    def joints(self) -> tuple[Joint, ...]:
        """Joints that are made."""
        return self.design.poses[self.state].joints

    def axis(self, joint: Joint) -> Vector:
        """Direction in which a joint's moving part leaves the fixed one, in the object's frame."""
        out = _normal(self.design.part(joint.fixed.part), joint.fixed)
        x, y, z = turned_by(self.design.poses[self.state].parts[joint.fixed.part], out)
        return (round(x, 9) + 0.0, round(y, 9) + 0.0, round(z, 9) + 0.0)

    def way(self, moving: str, fixed: str, direction: Vector, manner: Manner) -> Way:
        """Draw one part away from another."""
        key = (moving, fixed, direction, manner)
        if key not in self.told:
            placed = self.design.poses[self.state].parts
            back = inverse(placed[fixed])
            x, y, z = turned_by(back, direction)
            self.told[key] = way(
                self.design.part(moving),
                self.design.part(fixed),
                rounded(composed(back, placed[moving])),
                (round(x, 9) + 0.0, round(y, 9) + 0.0, round(z, 9) + 0.0),
                manner,
            )
        return self.told[key]


@lru_cache(maxsize=1024)
def _normal(part: Part, face: Face) -> Vector:
    frame = surface(part, face).frame
    return (frame[0][2], frame[1][2], frame[2][2])


def _links(joint: Joint) -> tuple[tuple[str, str], ...]:
    """Which parts a joint ties."""
    own = ((joint.moving.part, joint.fixed.part),)
    if isinstance(joint, Screw) and joint.into is not None:
        return (*own, (joint.moving.part, joint.into.name))
    return own


def _opposite(direction: Vector) -> Vector:
    x, y, z = direction
    return (0.0 - x, 0.0 - y, 0.0 - z)


def taken_apart(design: Design, state: str) -> tuple[tuple[Apart, ...], tuple[Stuck, ...]]:
    """Take an object apart, joint by joint.

    Parameters
    ----------
    design : Design
        The design
    state : str
        Name of one of its states

    Returns
    -------
    steps : tuple of Apart
        Steps of taking it apart; backwards, an order in which it goes together
    stuck : tuple of Stuck
        Groups of parts of which none comes off

    Notes
    -----
    Parts move straight, one group at a time, along the axes of the joints that hold them.
    """
    stand = _Stand(design, state)
    steps: list[Apart] = []
    stuck: list[Stuck] = []
    waiting = [stand.names]
    while waiting:
        held = waiting.pop()
        if len(held) < 2:
            continue
        splits = _splits(stand, held)
        for off, directions in splits.items():
            rest = tuple(name for name in held if name not in off)
            free = next((d for d in directions if _clear(stand, off, rest, d)), None)
            if free is not None:
                steps.append(Apart(parts=off, rest=rest, direction=free))
                waiting += [off, rest]
                break
        else:
            stuck.append(Stuck(parts=held, stop=_least(stand, held, splits)))
    return tuple(steps), tuple(stuck)


def _splits(stand: _Stand, held: tuple[str, ...]) -> dict[tuple[str, ...], dict[Vector, None]]:
    """List what could come off: each side of a joint, and each part alone, with the directions to try."""
    joints = [j for j in stand.joints if j.moving.part in held and j.fixed.part in held]
    seen: dict[tuple[str, ...], dict[Vector, None]] = {}
    for joint in joints:
        side = _reached(joint.moving.part, [j for j in joints if j is not joint], held)
        out = stand.axis(joint)
        if joint.fixed.part in side:
            continue
        if held[0] in side:
            side, out = tuple(n for n in held if n not in side), _opposite(out)
        seen.setdefault(side, {}).update({out: None, _opposite(out): None})
    first = _reached(held[0], joints, held)
    if len(first) < len(held):  # what joined them is off already
        axes = [axis for j in stand.joints for axis in (stand.axis(j), _opposite(stand.axis(j)))]
        seen[tuple(n for n in held if n not in first)] = dict.fromkeys(axes)
    for name in held[1:]:
        for joint in joints:
            if name in (joint.moving.part, joint.fixed.part):
                out = stand.axis(joint)
                if name == joint.fixed.part:
                    out = _opposite(out)
                seen.setdefault((name,), {}).update({out: None, _opposite(out): None})
    return seen


def _reached(start: str, joints: Sequence[Joint], held: tuple[str, ...]) -> tuple[str, ...]:
    """List what hangs on a part by joints."""
    found, grown = {start}, True
    while grown:
        grown = False
        for a, b in (link for joint in joints for link in _links(joint)):
            if (a in found) != (b in found) and a in held and b in held:
                found |= {a, b}
                grown = True
    return tuple(name for name in held if name in found)


def _clear(stand: _Stand, off: tuple[str, ...], rest: tuple[str, ...], direction: Vector) -> bool:
    """Whether parts come off the others in a direction."""
    return all(stand.way(a, b, direction, "worked").clear for a, b in product(off, rest))


def _least(stand: _Stand, held: tuple[str, ...], splits: dict[tuple[str, ...], dict[Vector, None]]) -> Stop:
    """Of all ways that are shut, find the one that wants least: by the worst that stands in it."""

    def stop(off: tuple[str, ...], direction: Vector) -> Stop:
        met = [
            Stop(moving=a, fixed=b, way=stand.way(a, b, direction, "worked"), direction=direction)
            for a, b in product(off, (name for name in held if name not in off))
        ]
        return max((s for s in met if not s.way.clear), key=_wanting)

    return min((stop(off, d) for off, directions in splits.items() for d in directions), key=_wanting)


def _wanting(stop: Stop) -> tuple[bool, float]:
    return stop.way.short is None, stop.way.short or 0.0


def loose(design: Design, state: str) -> tuple[Loose, ...]:
    """List the parts that nothing holds along the axes of their joints.

    Parameters
    ----------
    design : Design
        The design
    state : str
        Name of one of its states

    Returns
    -------
    tuple of Loose
        Groups of parts that come away together, each once

    Notes
    -----
    Screws and press fits hold what they join. Everything else is held only by what stands in its way; what
    it would push along comes with it.
    """
    stand = _Stand(design, state)
    if not stand.names:
        return ()
    groups = _locked(stand)
    base = next(g for g in groups if stand.names[0] in g)
    found: dict[frozenset[str], Loose] = {}
    for group in groups:
        if group is base:
            continue
        axes = {
            stand.axis(j): None for j in stand.joints if (j.moving.part in group) != (j.fixed.part in group)
        }
        for direction in (d for axis in axes for d in (axis, _opposite(axis))):
            taken = _pushed(stand, group, groups, base, direction)
            if taken is not None:
                parts = tuple(name for name in stand.names if name in taken)
                found.setdefault(taken, Loose(parts=parts, direction=direction))
                break
    return tuple(found.values())


def _locked(stand: _Stand) -> list[frozenset[str]]:
    """Group the parts that screws and press fits make one."""
    tight = [joint for joint in stand.joints if isinstance(joint, Screw | Press)]
    left, groups = list(stand.names), []
    while left:
        group = _reached(left[0], tight, stand.names)
        groups.append(frozenset(group))
        left = [name for name in left if name not in group]
    return groups


def _pushed(
    stand: _Stand,
    group: frozenset[str],
    groups: list[frozenset[str]],
    base: frozenset[str],
    direction: Vector,
) -> frozenset[str] | None:
    """List what comes away with a group that is drawn in a direction; None where it comes to the base."""
    taken = {group}
    fresh = [group]
    while fresh:
        moving = fresh.pop()
        for other in groups:
            if other in taken:
                continue
            ways = (stand.way(a, b, direction, "drawn") for a in moving for b in other)
            if any(not found.clear for found in ways):
                if other is base:
                    return None
                taken.add(other)
                fresh.append(other)
    return frozenset(name for part in taken for name in part)
