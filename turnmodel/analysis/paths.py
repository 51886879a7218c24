"""How one part is drawn past another: how far it goes, what stops it, and how much wider the way must be."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

import numpy as np

from turnmodel.analysis.points import clear_way, ring_cut
from turnmodel.design.part import Part, built
from turnmodel.design.pose import body_at
from turnmodel.design.turned import Turned
from turnmodel.geometry.axial import Travel, axial_travel
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.engagement import matching
from turnmodel.geometry.frame import Matrix, coaxial
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.pieces import Piece, pieces
from turnmodel.geometry.region import Region, flipped
from turnmodel.geometry.thread_moments import span_region
from turnmodel.geometry.tolerance import CONTACT_MM, CONTACT_MM3

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from turnmodel.geometry.across import Vector
    from turnmodel.geometry.body import Body, ThreadSpan

__all__ = ["Fitting", "Manner", "Way", "fittings", "rounded", "shapes", "shortfall", "way"]

Manner = Literal["drawn", "worked"]
"""Drawn straight off, or worked off as it was put on: threads turned, press fits forced."""

_ALONG: Final = 1 - 1e-9
"""Cosine above which a direction runs along an axis: an angle that moves the end of a part by less than
contact."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """What a part meets when it is drawn away from another.

    ``distance`` is how far it goes [mm], infinite where nothing stops it; ``at`` the station of what stops
    it on the other part [mm]; ``short`` by how much more the diameter of the way would have to be [mm]. Both
    are None where they are not known, ``short`` also where no hole leads that way.
    """

    distance: float
    at: float | None = None
    short: float | None = None

    @property
    def clear(self) -> bool:
        """Whether nothing stops it."""
        return math.isinf(self.distance)


def rounded(matrix: Matrix) -> Matrix:
    """Drop the rounding noise of composed placements, so that one relation is computed once."""
    rows = np.round(np.array(matrix), 9) + 0.0
    a, b, c, d = (tuple(float(v) for v in row) for row in rows)
    return (a, b, c, d)  # type: ignore[return-value]


@lru_cache(maxsize=4096)
def way(moving: Part, fixed: Part, relative: Matrix, direction: Vector, manner: Manner = "drawn") -> Way:
    """Draw a part straight away from another.

    Parameters
    ----------
    moving, fixed : Part
        The two parts
    relative : tuple of 4 rows
        Placement of the moving part in the frame of the fixed one, shifts in [mm]
    direction : tuple of 3 floats
        The way it is drawn, in the frame of the fixed one, a unit vector, [-]
    manner : {"drawn", "worked"}
        Whether threads that match may be turned, and metal that is pressed together may part

    Returns
    -------
    Way
        How far it goes and what stops it

    Notes
    -----
    Exact for turned parts round one axis, unless what is cut across them opens the whole ring where they
    first meet; that, and every way across, is asked of points as :mod:`turnmodel.analysis.points` says.
    """
    one, other = built(moving), built(fixed)
    place = coaxial(relative)
    round_ = isinstance(one, Turned) and isinstance(other, Turned)
    if round_ and place is not None and abs(direction[2]) > _ALONG:
        assert isinstance(one, Turned)
        assert isinstance(other, Turned)
        found, met = _along(body_at(one.body, place), other.body, 1 if direction[2] > 0 else -1, manner)
        if (
            found.clear
            or met is None
            or not (one.across or other.across)
            or _meets(moving, fixed, place, met)
        ):
            return found
    clear = clear_way(
        moving, fixed, np.array(relative), np.array(direction), screwed=manner == "worked" and round_
    )
    return Way(distance=math.inf if clear else 0.0)


def _meets(moving: Part, fixed: Part, place: tuple[float, float, bool], met: Travel) -> bool:
    """Tell whether metal meets metal somewhere round the ring where two parts first meet."""
    if met.moving_at is None or met.fixed_at is None:
        return True
    station, degrees, flip = place
    (z, r), (at, radius) = met.moving_at, met.fixed_at
    mine, theirs = ring_cut(moving, station - z if flip else z - station, r), ring_cut(fixed, at, radius)
    if not (mine.any() or theirs.any()):
        return True
    if mine.any() and (flip or degrees):
        return False  # the rings are not in step; points tell
    return bool((~mine & ~theirs).any())


def _along(moving: Body, fixed: Body, sense: int, manner: Manner) -> tuple[Way, Travel | None]:
    """Slide a body along the axis it shares with another; tell where they meet too."""
    best, met = Way(distance=math.inf), None
    for one, other in shapes(moving, fixed, manner):
        if manner == "worked" and overlap_volume(one, other) > CONTACT_MM3:
            one = difference(one, other)  # what is pressed together now gives way
        if not one.loops:
            continue
        found = axial_travel(one, other, sense)
        if found.distance < best.distance:
            at = None if found.fixed_at is None else found.fixed_at[0]
            best, met = Way(distance=found.distance, at=at, short=shortfall(one, other, sense)), found
    return best, met


def shapes(moving: Body, fixed: Body, manner: Manner) -> list[tuple[Region, Region]]:
    """Give what must pass what when one body is drawn off another.

    Of threads that turn into each other, the root of the screw must pass the crest of the hole, and the
    crest of the screw whatever is not that thread.
    """
    pairs = [
        (a, b)
        for a, b in product(moving.threads, fixed.threads)
        if a.thread.designation == b.thread.designation and (matching(a, b) or matching(b, a))
    ]
    if manner == "drawn" or not pairs:
        return [(moving.plain, fixed.plain)]
    found = []
    for external in (True, False):
        mine = dict.fromkeys(a for a, _ in pairs if a.external is external)
        theirs = dict.fromkeys(b for _, b in pairs if b.external is external)
        found.append((_less(moving.plain, tuple(mine)), _less(fixed.plain, tuple(theirs))))
    return found


@lru_cache(maxsize=256)
def _less(region: Region, threads: tuple[ThreadSpan, ...]) -> Region:
    """Take threads out of a region, which is drawn one way and the other."""
    return difference(region, *map(span_region, threads)) if threads else region


def shortfall(moving: Region, fixed: Region, sense: int) -> float | None:
    r"""Tell by how much more the diameter of a way must be for a body to pass.

    .. math:: s = 2 \max_{z \le z'} (r_\mathrm{moving}(z) - r_\mathrm{fixed}(z'))

    over the outside of a body and the hole ahead of it, or over the outside ahead and the body's hole.

    Parameters
    ----------
    moving, fixed : Region
        The bodies in one frame
    sense : int
        +1 towards greater stations, -1 towards lesser, [-]

    Returns
    -------
    float or None
        Diameter that is wanting, [mm]; None where neither has a hole that leads on

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> pin, plate = ring(0, 10.0, 8), ring(25.0, 30, 20, 6)
    >>> shortfall(pin, plate, 1)
    2.0
    """
    if sense < 0:
        moving, fixed = flipped(moving), flipped(fixed)
    wants = [_want(fittings(moving, fixed, 1)), _want(fittings(fixed, moving, -1))]
    return min((want for want in wants if want is not None), default=None)


def _want(found: Iterable[Fitting]) -> float | None:
    kept = list(found)
    if any(each.hole <= CONTACT_MM for each in kept):
        return None
    return max((0.0, *(each.outside - each.hole for each in kept))) if kept else None


class Fitting(NamedTuple):
    """An outside diameter that a hole must take, the hole's, its station, [mm]; and if either tapers."""

    outside: float
    hole: float
    at: float
    tapers: bool


def fittings(outside: Region, hole: Region, side: int) -> Iterator[Fitting]:
    """List what of an outside must fit what of a hole that lies ahead of it, or comes from behind.

    Parameters
    ----------
    outside, hole : Region
        Two bodies in one frame, the first to pass through the second
    side : int
        +1 where the outside moves towards greater stations, -1 where the hole does, [-]

    Yields
    ------
    Fitting
        Of each two pieces the pairs among which their difference is greatest: for straight pieces that is at
        their ends, or where both are at one station
    """
    ahead = [p for p in pieces(hole.loops) if p.sense == 1]
    for p in (p for p in pieces(outside.loops) if p.sense == -1):
        for q in ahead:
            first, then = (p, q) if side > 0 else (q, p)
            if first.z0 >= then.z1 - CONTACT_MM:
                continue
            low, high = max(p.z0, q.z0), min(p.z1, q.z1)
            pairs = [*product(_stations(p), _stations(q)), *((z, z) for z in (low, high) if low < high)]
            for z, at in pairs:
                if (at - z) * side >= 0:
                    yield Fitting(2 * p.at(z), 2 * q.at(at), at, p.r0 != p.r1 or q.r0 != q.r1)


def _stations(p: Piece) -> list[float]:
    return [p.z0, p.z1, *([p.center[0]] if p.side and p.z0 < p.center[0] < p.z1 else [])]
