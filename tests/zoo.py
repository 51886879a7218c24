"""Named regions that tests share, plain to degenerate."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final

from turnmodel.geometry.curve import Arc, Curve, Line, Point, reversed_curve
from turnmodel.geometry.region import Region, polygon, ring

__all__ = ["ZOO", "ball", "cone", "dome", "filleted", "torus"]


def ball(center: float, diameter: float) -> Region:
    """Put a ball on the axis."""
    radius = diameter / 2
    back, front = (center + radius, 0.0), (center - radius, 0.0)
    arc = Arc(start=back, end=front, center=(center, 0.0), turn=1)
    return Region(loops=((arc, Line(start=front, end=back)),))


def dome(flat: float, diameter: float) -> Region:
    """Put half a ball on the axis, from its flat towards +z."""
    radius = diameter / 2
    tip, rim, middle = (flat + radius, 0.0), (flat, radius), (flat, 0.0)
    arc = Arc(start=tip, end=rim, center=middle, turn=1)
    return Region(loops=((arc, Line(start=rim, end=middle), Line(start=middle, end=tip)),))


def cone(tip: float, base: float, diameter: float) -> Region:
    """Put a cone on the axis, its tip at the lesser station."""
    return polygon([(tip, 0.0), (base, 0.0), (base, diameter / 2)])


def torus(center: Point, diameter: float) -> Region:
    """Put a disc of two half circles clear of the axis."""
    radius = diameter / 2
    left, right = (center[0] - radius, center[1]), (center[0] + radius, center[1])
    return Region(
        loops=(
            (
                Arc(start=right, end=left, center=center, turn=1),
                Arc(start=left, end=right, center=center, turn=1),
            ),
        )
    )


def filleted(shank_d: float, head_d: float, fillet: float) -> Region:
    """Put a shank of 10 mm on a head of 5 mm, a fillet tangent to both in the corner."""
    shank, head = shank_d / 2, head_d / 2
    arc = Arc(
        start=(10.0, shank + fillet),
        end=(10.0 - fillet, shank),
        center=(10.0 - fillet, shank + fillet),
        turn=-1,
    )
    points = [(0.0, shank), (0.0, 0.0), (15.0, 0.0), (15.0, head), (10.0, head), arc.start]
    lines = [Line(start=a, end=b) for a, b in pairwise(points)]
    return Region(loops=((*lines, arc, Line(start=arc.end, end=points[0])),))


def _whole_torus_but_a_sliver() -> Region:
    """Close an arc of nearly a full turn by a short chord."""
    half = 0.01
    high = math.sqrt(4 - half * half)
    start, end = (20 - half, 6 + high), (20 + half, 6 + high)
    return Region(
        loops=((Arc(start=start, end=end, center=(20.0, 6.0), turn=1), Line(start=end, end=start)),)
    )


def _clockwise(region: Region) -> tuple[Curve, ...]:
    """Run a region's only loop the other way, as a hole."""
    (loop,) = region.loops
    return tuple(reversed_curve(c) for c in reversed(loop))


ZOO: Final = {
    "bar": ring(0, 20, 10),
    "tube": ring(0, 20, 10, 6),
    "disc": ring(5, 5.5, 18),
    "stepped": polygon([(0, 0), (20, 0), (20, 6), (12, 6), (12, 4.5), (3, 4.5), (1, 2.5), (0, 2.5)]),
    "cup": polygon([(0, 0), (2, 0), (2, 4), (20, 4), (20, 5), (0, 5)]),
    "cone": cone(-4, 8, 9),
    "dome": dome(20, 10),
    "ball": ball(10, 10),
    "torus": torus((10, 5), 4),
    "keyhole": _whole_torus_but_a_sliver(),
    "filleted": filleted(8, 14, 1.5),
    "two bars": Region(loops=(*ring(0, 5, 8).loops, *ring(9, 14, 8).loops)),
    "touching at a point": Region(
        loops=(*polygon([(0, 2), (4, 4), (0, 4)]).loops, *polygon([(4, 4), (8, 4), (8, 6)]).loops)
    ),
    "ring with a hollow": Region(loops=(*ring(0, 12, 12, 4).loops, _clockwise(ring(3, 9, 9, 6)))),
}
"""Each proves by check_region."""
