"""CAD solids of parts of a design."""

from __future__ import annotations

import math

from turnmodel import Part, bar, bore, cross_tap, cylinder
from turnmodel.shape.exact import part_solid


def test_a_hole_tapped_across_is_the_size_of_its_drill() -> None:
    """A solid's threads are plain: what a cross tap takes from a wall is the cylinder of the tapping drill.

    Where a hole of radius r goes through a wall, its mouth lies up to r^2/2R lower: that is told apart.
    """
    tube = Part.turned(
        "tube",
        material="brass",
        stock=bar("20 mm"),
        outside=[cylinder(18, 20)],
        from_front=[bore(14, through=True)],
        across=[cross_tap("M2", at=8)],
    )
    plain = math.pi / 4 * (18**2 - 14**2) * 20
    taken = plain - part_solid(tube).Volume()

    sunk = 0.8**2 / 2 / 7  # of the mouths, [mm]: the outer sinks less than the inner, of smaller radius
    assert math.pi / 4 * 1.6**2 * 2 <= taken <= math.pi / 4 * 1.6**2 * (2 + sunk)
