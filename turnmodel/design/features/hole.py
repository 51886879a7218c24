"""What a feature inside stands in, what it removes, and what all of them have."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, ClassVar

from turnmodel.design.features.base import Chamfer, Feature
from turnmodel.design.features.dimension import Callout, Kind, callout_at, wall_callouts
from turnmodel.design.features.operation import Operation
from turnmodel.design.ledger import mm
from turnmodel.geometry.curve import Curve, Line, Point, reversed_curve
from turnmodel.geometry.region import Region

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Cut", "Hole", "Inside", "mouth_cut", "removed", "sink", "walled"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """What stands when a feature is cut: the part's length [mm], and what the cuts before it removed."""

    length: float
    walls: tuple[tuple[Point, ...], ...]

    def radius(self, depth: float) -> float:
        """Radius of the hole so far at a depth, [mm]."""
        return max((_height(wall, depth) for wall in self.walls), default=0.0)

    def takes(self, least: float, most: float, depth: float) -> bool:
        """Whether a straight stretch of it, begun above a depth, lies between two radii, all [mm]."""
        for wall in self.walls:
            for (z0, r0), (z1, r1) in pairwise(wall):
                straight = z0 != z1 and r0 == r1 and min(z0, z1) < depth
                if straight and least <= r0 < most and self.radius((z0 + z1) / 2) == r0:
                    return True
        return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """What a feature removes, in depths from its own face.

    ``chain`` runs from the axis at the deep end along the wall to the face: lines and arcs, the radius a
    function of the depth. ``floor`` is the part of it that a seat can rest on. ``operation`` is how it is
    cut where that is not the feature's own.
    """

    chain: tuple[Curve, ...]
    floor: tuple[Curve, ...] = ()
    note: str | None = None
    operation: Operation | None = None


def _height(wall: Sequence[Point], depth: float) -> float:
    """Radius of a wall of straight pieces at a depth, the larger where it steps; 0 outside it."""
    best = 0.0
    for (z0, r0), (z1, r1) in pairwise(wall):
        if min(z0, z1) <= depth <= max(z0, z1):
            best = max(best, r0, r1) if z0 == z1 else max(best, r0 + (r1 - r0) * (depth - z0) / (z1 - z0))
    return best


def walled(points: Sequence[Point]) -> tuple[Curve, ...]:
    """Join points [mm] by straight pieces, leaving out those of no length."""
    pairs = pairwise(points)
    return tuple(Line(start=a, end=b) for a, b in pairs if a != b)


@dataclass(frozen=True, slots=True)
class Inside(Feature):
    """A feature cut from a face.

    Parameters
    ----------
    mouth : Chamfer, optional
        Chamfer where it meets the face
    """

    operation: ClassVar[Operation]

    mouth: Chamfer | None = field(default=None, kw_only=True)

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Tell what it removes from the part as it stands."""
        raise NotImplementedError

    def callouts(self, cuts: tuple[Cut, ...], length: float) -> tuple[Callout, ...]:
        """Tell the sizes that a drawing gives of it, from what it removed of a part of a length [mm]."""
        own = cuts if self.mouth is None else cuts[:-1]
        found = [size for cut in own for size in self._sizes(cut)]
        if self.mouth is not None:
            found.append(_mouth_callout(self.mouth, cuts[-1]))
        return tuple(found)

    def _sizes(self, cut: Cut) -> tuple[Callout, ...]:
        """Tell the sizes of one thing that it removed; a hole that goes through has no depth."""
        through = getattr(self, "through", False)
        return tuple(c for c in wall_callouts(cut.chain) if not (through and c.kind is Kind.DEPTH))


def sink(cut: Cut, included: float) -> Callout:
    """Call out a cone of an included angle [degrees] that opens at the face."""
    at = cut.chain[-1].end
    return callout_at(Kind.SINK, 2 * at[1], at, f"⌀{{0}}×{included:g}°")


def _mouth_callout(edge: Chamfer, cut: Cut) -> Callout:
    """Call out the chamfer where a hole meets its face, half-way down it."""
    axial, wide = mm(edge.size), cut.chain[-1].end[1]
    at = (axial / 2, wide - axial / 2 * math.tan(math.radians(edge.angle)))
    return callout_at(Kind.CHAMFER, axial, at, f"{{0}}×{edge.angle:g}°")


def mouth_cut(edge: Chamfer, radius: float) -> Cut:
    """Remove the chamfer where a hole of a radius [mm] meets its face."""
    axial = mm(edge.size)
    slope = math.tan(math.radians(edge.angle))
    wide = radius + axial * slope
    chain = walled([(wide / slope, 0.0), (0.0, wide)])
    return Cut(chain=chain, operation=Operation.COUNTERSINK)


def removed(cut: Cut) -> Region:
    """Close a cut's chain along the face and the axis."""
    first, last = cut.chain[0].start, cut.chain[-1].end
    closing = walled([last, (last[0], 0.0), first])
    loop = (*cut.chain, *closing)
    if _runs_clockwise(loop):
        loop = tuple(reversed_curve(curve) for curve in reversed(loop))
    return Region(loops=(loop,))


def _runs_clockwise(loop: Sequence[Curve]) -> bool:
    return sum(c.start[0] * c.end[1] - c.end[0] * c.start[1] for c in loop) < 0
