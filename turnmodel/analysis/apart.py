"""How far the parts of an object are drawn apart to be seen: step by step, as it really comes apart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from turnmodel.analysis.order import taken_apart
from turnmodel.design.surface import surface
from turnmodel.geometry.frame import composed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from turnmodel.design.design import Design
    from turnmodel.geometry.across import Vector

__all__ = ["Drawn", "Move", "Tie", "drawn_off", "moves", "ties"]

_GAP: Final = 0.03
"""Space between parts drawn apart, in lengths of the object; house choice."""
_RIM: Final = 0.3
"""The same in its widths: the tangent of 17 degrees, so far swung no rim hides the face behind it."""


class Tie(NamedTuple):
    """How a part hangs on one joined before it: on which, the way off it [-], and where they meet [mm]."""

    carrier: str
    way: Vector
    foot: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A step: parts drawn off the rest, what was drawn off before along with what it hung on.

    The direction is of the object's frame, [-].
    """

    off: tuple[str, ...]
    along: tuple[str, ...]
    rest: tuple[str, ...]
    direction: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One step: what is drawn off, all that moves with it, and the shift in the object's frame, [mm]."""

    off: tuple[str, ...]
    parts: tuple[str, ...]
    shift: tuple[float, float, float]


def ties(design: Design, state: str) -> dict[str, Tie]:
    """Tell how each part but the first hangs on those before it, in the order of the joints."""
    placed = design.poses[state].parts
    found: dict[str, Tie] = {}
    standing = {next(iter(placed))}
    waiting = list(design.poses[state].joints)
    while waiting:
        ready = next((j for j in waiting if {j.moving.part, j.fixed.part} & standing), None)
        if ready is None:
            break
        waiting.remove(ready)
        forward = ready.fixed.part in standing
        carrier, other = (ready.fixed, ready.moving) if forward else (ready.moving, ready.fixed)
        if other.part in standing:
            continue
        face = composed(placed[carrier.part], surface(design.part(carrier.part), carrier).frame)
        way, foot = ((face[0][k], face[1][k], face[2][k]) for k in (2, 3))
        found[other.part] = Tie(carrier.part, way, foot)
        standing.add(other.part)
    return found


def drawn_off(design: Design, state: str) -> tuple[Drawn, ...]:
    """List the steps in which an object is drawn apart: as it comes apart; what is stuck, by its joints.

    Parameters
    ----------
    design : Design
        The design
    state : str
        Name of one of its states

    Returns
    -------
    tuple of Drawn
        The first step first
    """
    tied = ties(design, state)
    steps, stuck = taken_apart(design, state)
    plain = [(step.parts, step.rest, step.direction) for step in steps]
    for held in stuck:
        left = held.parts
        for name in [name for name in reversed(tied) if name in held.parts[1:]]:
            left = tuple(other for other in left if other != name)
            plain.append(((name,), left, tied[name].way))
    carrier: dict[str, str] = {}
    found = []
    for off, rest, direction in plain:
        moving = list(off)
        while more := [n for n in carrier if n not in (*moving, *rest) and carrier[n] in moving]:
            moving += more
        found.append(Drawn(off=off, along=tuple(moving[len(off) :]), rest=rest, direction=direction))
        tie = tied.get(off[0])
        on = tie.carrier if tie and tie.carrier in rest else rest[0]
        carrier |= dict.fromkeys(off, on)
    return tuple(found)


def moves(points: Mapping[str, NDArray[np.float64]], steps: Sequence[Drawn]) -> tuple[Move, ...]:
    """Find how far each step must go so that nothing hides another at the end.

    Parameters
    ----------
    points : mapping
        Part's name to its vertices where it stands, in the object's frame, [mm]
    steps : sequence of Drawn
        Steps of drawing it apart, the first first

    Returns
    -------
    tuple of Move
        In the same order; a part's place at the end is the sum of the moves it takes part in

    Notes
    -----
    The last step is laid out first, for every step moves all that hangs on what it draws off.
    """
    every = np.concatenate(list(points.values()))
    *widths, length = np.sort(np.ptp(every, axis=0)).tolist()
    gap = _GAP * length + _RIM * max(widths)
    shifts = {name: np.zeros(3) for name in points}
    found: list[Move] = []
    for step in reversed(steps):
        way = np.array(step.direction)
        frame = _frame(way)
        ends = {name: _ends((points[name] + shifts[name]) @ frame.T) for name in (*step.off, *step.rest)}
        distance = gap
        for low, high in (ends[name] for name in step.off):
            for other_low, other_high in (ends[name] for name in step.rest):
                if (low[1:] < other_high[1:]).all() and (high[1:] > other_low[1:]).all():
                    distance = max(distance, float(other_high[0] - low[0]) + gap)
        parts = (*step.off, *step.along)
        for name in parts:
            shifts[name] = shifts[name] + distance * way
        x, y, z = (float(value) for value in distance * way)
        found.append(Move(off=step.off, parts=parts, shift=(x, y, z)))
    return tuple(reversed(found))


def _frame(way: NDArray[np.float64]) -> NDArray[np.float64]:
    """Complete a direction to three axes, as rows, it being the first."""
    second = np.cross(way, np.eye(3)[np.argmin(np.abs(way))])
    second /= np.linalg.norm(second)
    return np.stack([way, second, np.cross(way, second)])


def _ends(points: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return points.min(axis=0), points.max(axis=0)
