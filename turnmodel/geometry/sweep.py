"""Slabs: the half-plane cut at every station where a boundary begins, ends or crosses another.

Inside a slab boundaries lie one above the other in one order, so that what a region covers there is a few
intervals of r. Union, overlap and the proof of a region all read the same slabs.
"""

from __future__ import annotations

import math
from operator import attrgetter, itemgetter
from typing import TYPE_CHECKING, NamedTuple

from turnmodel.geometry.pieces import crossings
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from turnmodel.geometry.pieces import Piece

__all__ = ["Slab", "slabs"]


class Slab(NamedTuple):
    """A stretch of stations [mm], and the layers of boundary over it from the axis outwards.

    Pieces that coincide over the slab within SAME_MM share a layer, the first owner's first.
    """

    z0: float
    z1: float
    layers: list[list[Piece]]


def slabs(
    pieces: Sequence[Piece],
    *,
    start: float = -math.inf,
    end: float = math.inf,
    within_one: bool = False,
) -> list[Slab]:
    """Cut pieces into slabs, in order of z and without gaps; a slab may have no layers.

    Parameters
    ----------
    pieces : sequence of Piece
        Boundaries of one or several regions, owner by owner
    start, end : float
        Stations outside which nothing is wanted, [mm]
    within_one : bool
        Look also for crossings between pieces of one owner
    """
    ordered = sorted([p for p in pieces if p.z1 > start and p.z0 < end], key=itemgetter(0))
    found = {p.z0 for p in ordered}
    found.update([p.z1 for p in ordered])
    ends = {z: p.owner for p in reversed(pieces) for z in (p.z0, p.z1)}
    for at, p in enumerate(ordered):
        z1, low, high, owner = p.z1, p.low, p.high, p.owner
        for other in range(at + 1, len(ordered)):
            q = ordered[other]
            if q.z0 >= z1:
                break
            if q.low <= high and low <= q.high and (q.owner != owner or within_one):
                found.update(crossings(p, q))
    stations, place = _clustered(found, ends)
    active: list[list[Piece]] = [[] for _ in stations]
    for p in ordered:
        for k in range(place[p.z0], place[p.z1]):
            active[k].append(p)
    return [
        Slab(z0, z1, _layers(here, z0, z1))
        for z0, z1, here in zip(stations, stations[1:], active, strict=False)
        if z1 > start and z0 < end
    ]


def _clustered(found: Iterable[float], ends: dict[float, int]) -> tuple[list[float], dict[float, int]]:
    """Gather stations closer than SAME_MM into one: an end of the first owner rather than a crossing."""
    stations: list[float] = []
    place: dict[float, int] = {}
    last = -math.inf
    for z in sorted(found):
        if z - last > SAME_MM:
            stations.append(z)
        elif ends.get(z, math.inf) < ends.get(stations[-1], math.inf):
            stations[-1] = z
        last = z
        place[z] = len(stations) - 1
    return stations, place


def _layers(here: list[Piece], z0: float, z1: float) -> list[list[Piece]]:
    """Order the pieces over a slab; two stations tell a touch at one of them from running together."""
    first, second = z0 + 0.3 * (z1 - z0), z0 + 0.8 * (z1 - z0)
    heights = sorted([(p.inside(first) + p.inside(second), i) for i, p in enumerate(here)])
    layers: list[list[Piece]] = []
    last = -math.inf
    for height, i in heights:
        if height - last > 2 * SAME_MM:
            layers.append([here[i]])
        else:
            layers[-1].append(here[i])
            layers[-1].sort(key=attrgetter("owner"))
        last = height
    return layers
