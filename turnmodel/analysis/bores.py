"""How the holes of a turned part lie in each other: what each removes, and what of it no other does."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from turnmodel.design.features.inside import Hole
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from turnmodel.design.bored import Bored
    from turnmodel.design.features.inside import Cut
    from turnmodel.design.turned import Turned
    from turnmodel.geometry.curve import Point

__all__ = ["Hollow", "alone", "hollows"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hollow:
    """What one inside feature removes: its walls (station, radius) in the part's frame, [mm]."""

    bored: Bored
    walls: tuple[tuple[Point, ...], ...]

    def radius(self, station: float) -> float:
        """Give the radius it cuts at a station [mm], 0 where it does not reach; both [mm]."""
        return Hole(length=0.0, walls=self.walls).radius(station)


def hollows(made: Turned) -> tuple[Hollow, ...]:
    """List what each inside feature removes, in the order they are cut.

    Parameters
    ----------
    made : Turned
        The part

    Returns
    -------
    tuple of Hollow
        One for each feature, its mouth included; a tap's with its tapping drill where it needs one
    """
    return tuple(
        Hollow(bored=bored, walls=tuple(_wall(cut, made.length, bored.from_back) for cut in bored.cuts))
        for bored in made.inside
    )


def _wall(cut: Cut, length: float, back: bool) -> tuple[Point, ...]:
    """Lay a cut's chain, told in depths, along the stations of a part."""
    points = (cut.chain[0].start, *(curve.end for curve in cut.chain))
    return tuple((length - z, r) for z, r in points) if back else points


def alone(own: Hollow, among: Sequence[Hollow]) -> tuple[tuple[float, float], ...]:
    """Find where a hole leaves the others nothing to cut, whichever of them is cut first.

    Parameters
    ----------
    own : Hollow
        The hole
    among : sequence of Hollow
        It and the others, in the order they are listed; of two that are as wide the first listed counts

    Returns
    -------
    tuple of pairs of float
        First and last station of each stretch where it is the widest, [mm]
    """
    at = among.index(own)
    before, after = among[:at], among[at + 1 :]
    pieces = [piece for hollow in among for wall in hollow.walls for piece in _pieces(wall)]
    marks = sorted({z for piece in pieces for z, _ in piece} | _crossings(own, (*before, *after)))
    found: list[tuple[float, float]] = []
    for z0, z1 in pairwise(marks):
        middle = (z0 + z1) / 2
        radius = own.radius(middle)
        if z1 - z0 < SAME_MM or radius <= 0:
            continue
        wider = any(hollow.radius(middle) > radius - SAME_MM for hollow in before)
        if wider or any(hollow.radius(middle) > radius + SAME_MM for hollow in after):
            continue
        if found and z0 - found[-1][1] < SAME_MM:
            found[-1] = (found[-1][0], z1)
        else:
            found.append((z0, z1))
    return tuple(found)


def _pieces(wall: tuple[Point, ...]) -> list[tuple[Point, Point]]:
    """List the pieces of a wall that are no steps."""
    return [(a, b) for a, b in pairwise(wall) if abs(a[0] - b[0]) > SAME_MM]


def _crossings(own: Hollow, rest: Iterable[Hollow]) -> set[float]:
    """Find the stations where a wall of a hole may cross a wall of another."""
    found = set()
    for a, b in (piece for wall in own.walls for piece in _pieces(wall)):
        for c, d in (piece for hollow in rest for wall in hollow.walls for piece in _pieces(wall)):
            s1, s2 = (b[1] - a[1]) / (b[0] - a[0]), (d[1] - c[1]) / (d[0] - c[0])
            if s1 != s2:
                found.add(a[0] + (c[1] + s2 * (a[0] - c[0]) - a[1]) / (s1 - s2))
    return found
