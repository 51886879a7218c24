"""Tolerance stacks: how far a distance along the axis may come out, through every part between its ends."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.analysis.spot import Link, Spot, face_spot, rest_spot
from turnmodel.design.joint import Spring
from turnmodel.design.part import BoughtPart
from turnmodel.geometry.frame import coaxial, composed, inverse
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from turnmodel.design.design import Design
    from turnmodel.design.joint import Joint

    Floats = NDArray[np.float32]

__all__ = ["RARE", "Stack", "drawn", "share_outside", "stack"]

_TRIALS: Final = 100_000
"""Objects that are made by chance; house choice: a share of one in a thousand is then known to a tenth."""

RARE: Final = 1e-3
"""Share of objects that may come out wrong without a word; house choice: one in a thousand."""

_SEED: Final = 11
"""Start of the chance, so that one design always gives one answer; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """A distance [mm] and the dimensions that it rests on."""

    nominal: float
    links: tuple[Link, ...]

    @property
    def worst(self) -> tuple[float, float]:
        """Least and greatest it can be where everything goes wrong at once, [mm]."""
        low = sum(link.share * (-link.minus if link.share > 0 else link.plus) for link in self.links)
        high = sum(link.share * (link.plus if link.share > 0 else -link.minus) for link in self.links)
        return self.nominal + low, self.nominal + high

    @property
    def likely(self) -> tuple[float, float]:
        r"""Least and greatest where errors are independent, [mm].

        .. math:: g \pm \sqrt{\sum (c_i t_i)^2}
        """
        middle = self.nominal + sum(link.share * (link.plus - link.minus) / 2 for link in self.links)
        half = math.sqrt(sum((link.share * (link.plus + link.minus) / 2) ** 2 for link in self.links))
        return middle - half, middle + half


@lru_cache(maxsize=32)
def drawn(found: Stack) -> Floats:
    """Make a distance 100 000 times by chance.

    Parameters
    ----------
    found : Stack
        The distance

    Returns
    -------
    ndarray of shape (100000,)
        The distances, [mm]; the same for the same stack

    Notes
    -----
    Bought sizes are taken as equally likely over their spread; cut ones as normal with a third of the
    tolerance for deviation, what lies beyond the tolerance cut to its edge.
    """
    total = np.full(_TRIALS, found.nominal, dtype=np.float32)
    for count, link in enumerate(found.links):
        half, middle = (link.plus + link.minus) / 2, (link.plus - link.minus) / 2
        total += np.float32(link.share * middle)
        if half:
            total += np.float32(link.share * half) * _errors(count, even=link.even)
    total.setflags(write=False)
    return total


@lru_cache(maxsize=64)
def _errors(count: int, *, even: bool) -> Floats:
    """Errors of one dimension between -1 and 1, independent of those of another count [-]."""
    chance = np.random.default_rng((_SEED, count))
    if even:
        return 2 * chance.random(_TRIALS, dtype=np.float32) - 1
    return np.clip(chance.standard_normal(_TRIALS, dtype=np.float32) / 3, -1, 1)


def share_outside(found: Stack, least: float = -math.inf, most: float = math.inf) -> float:
    """Tell what share of objects comes out beyond two limits.

    Parameters
    ----------
    found : Stack
        The distance
    least, most : float
        The limits, [mm]

    Returns
    -------
    float
        Share by :func:`drawn`, [-]
    """
    low, high = found.worst
    if low >= least and high <= most:
        return 0.0
    values = drawn(found)
    return float(np.mean((values < least) | (values > most)))


def stack(design: Design, state: str, first: Spot, second: Spot) -> Stack | None:
    """Add up what a distance rests on.

    Parameters
    ----------
    design : Design
        The design
    state : str
        Name of one of its states
    first, second : Spot
        Where the distance begins and ends; it counts the way that the first looks

    Returns
    -------
    Stack or None
        None where the parts do not stand on one axis, no joints lead from one to the other, or a place
        looks across
    """
    placed = design.poses[state].parts
    if first.part not in placed or second.part not in placed or not first.looks * second.looks:
        return None
    chain = _chain(design, state, first.part, second.part)
    if chain is None:
        return None
    stands = {}
    for name in {first.part, second.part, *(n for j, a, b in chain for n in (a, b))}:
        seen = coaxial(composed(inverse(placed[first.part]), placed[name]))
        if seen is None:
            return None
        stands[name] = (seen[0], -1.0 if seen[2] else 1.0)
    total: dict[tuple[str, str], Link] = {}

    def add(part: str, links: tuple[Link, ...], sign: float) -> None:
        for link in links:
            share = first.looks * stands[part][1] * sign * link.share
            known = total.get((link.part, link.name))
            total[link.part, link.name] = replace(link, share=share + (known.share if known else 0.0))

    enters = first
    for joint, here, there in chain:
        out, into = _joint_spots(design, state, joint, here, there)
        add(here, out.links, 1.0)
        add(here, enters.links, -1.0)
        enters = into
    add(second.part, second.links, 1.0)
    add(second.part, enters.links, -1.0)
    offset, sense = stands[second.part]
    nominal = first.looks * (offset + sense * second.station - first.station)
    kept = tuple(link for link in total.values() if abs(link.share) > CONTACT_MM)
    return Stack(nominal=nominal, links=kept)


def _chain(design: Design, state: str, start: str, end: str) -> list[tuple[Joint, str, str]] | None:
    """Find the joints that lead from one part to another, fewest first, over springs only where it must."""
    joints = design.poses[state].joints
    firm = tuple(joint for joint in joints if not isinstance(joint, Spring))
    return _way(firm, start, end) or _way(joints, start, end)


def _way(joints: Sequence[Joint], start: str, end: str) -> list[tuple[Joint, str, str]] | None:
    """Find the fewest of some joints that lead from one part to another."""
    ways: dict[str, list[tuple[Joint, str, str]]] = {start: []}
    waiting = [start]
    while waiting:
        here = waiting.pop(0)
        if here == end:
            return ways[here]
        for joint in joints:
            ends = (joint.moving.part, joint.fixed.part)
            if here in ends:
                there = ends[1] if ends[0] == here else ends[0]
                if there not in ways:
                    ways[there] = [*ways[here], (joint, here, there)]
                    waiting.append(there)
    return None


def _joint_spots(design: Design, state: str, joint: Joint, here: str, there: str) -> tuple[Spot, Spot]:
    """Where a joint leaves one part and comes to the other."""
    faces = {joint.moving.part: joint.moving, joint.fixed.part: joint.fixed}
    parts = {name: design.part(name) for name in faces}
    spots = {name: face_spot(parts[name], face) for name, face in faces.items()}
    for name, face in faces.items():
        part = parts[name]
        if isinstance(part, BoughtPart) and part.refill and face.name == "tip":
            other = next(n for n in faces if n != name)
            placed = design.poses[state].parts
            seen = coaxial(composed(inverse(placed[name]), placed[other]))
            if seen is not None:
                spots[name] = rest_spot(part, face, parts[other], faces[other], seen)
    return spots[here], spots[there]
