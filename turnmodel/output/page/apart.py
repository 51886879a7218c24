"""How an object is drawn apart on the page: step by step, as it really comes apart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from turnmodel.analysis.order import Apart

__all__ = ["Move", "moves"]

_GAP: Final = 0.05
"""Space between parts drawn apart, in lengths of the object; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One step: parts drawn off the others by a shift in the object's frame, [mm]."""

    parts: tuple[str, ...]
    shift: tuple[float, float, float]


def moves(points: Mapping[str, NDArray[np.float64]], steps: Sequence[Apart]) -> tuple[Move, ...]:
    """Find how far each step of taking apart must go so that nothing hides another at the end.

    Parameters
    ----------
    points : mapping
        Part's name to its vertices where it stands, in the object's frame, [mm]
    steps : sequence of Apart
        Steps of taking it apart, the first first

    Returns
    -------
    tuple of Move
        In the same order; a part's place at the end is the sum of the moves it takes part in

    Notes
    -----
    The last step is laid out first, for every step moves all that hangs on what it draws off.
    """
    every = np.concatenate(list(points.values()))
    gap = _GAP * float(np.ptp(every, axis=0).max())
    shifts = {name: np.zeros(3) for name in points}
    found: list[Move] = []
    for step in reversed(steps):
        way = np.array(step.direction)
        frame = _frame(way)
        ends = {name: _ends((points[name] + shifts[name]) @ frame.T) for name in (*step.parts, *step.rest)}
        distance = gap
        for low, high in (ends[name] for name in step.parts):
            for other_low, other_high in (ends[name] for name in step.rest):
                if (low[1:] < other_high[1:]).all() and (high[1:] > other_low[1:]).all():
                    distance = max(distance, float(other_high[0] - low[0]) + gap)
        for name in step.parts:
            shifts[name] = shifts[name] + distance * way
        x, y, z = (float(value) for value in distance * way)
        found.append(Move(parts=step.parts, shift=(x, y, z)))
    return tuple(reversed(found))


def _frame(way: NDArray[np.float64]) -> NDArray[np.float64]:
    """Complete a direction to three axes, as rows, it being the first."""
    second = np.cross(way, np.eye(3)[np.argmin(np.abs(way))])
    second /= np.linalg.norm(second)
    return np.stack([way, second, np.cross(way, second)])


def _ends(points: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return points.min(axis=0), points.max(axis=0)
