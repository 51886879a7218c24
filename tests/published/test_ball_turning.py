"""Step tables of rounded ends against the formula for turning a ball by steps.

Source: workshop notes on turning a ball with a square-nosed tool (reference F46): at a depth x from the end
of a ball of radius R the tool stands at r = sqrt(2 R x - x^2), or by angle x = R (1 - cos t), r = R sin t.
Printed for R 5 to three decimals. A round nose of radius p keeps its centre at R + p, by the same notes.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from turnmodel.analysis.plan.round_steps import step_table
from turnmodel.geometry.curve import Arc

PRINTED = 0.5e-3
"""Half a unit of the last printed digit, [mm]."""
ROUNDING = 1e-9
"""A closed form and its inverse differ by rounding alone, [mm]."""

BY_DEPTH = {0.5: 2.179, 1: 3.000, 1.5: 3.571, 2: 4.000, 2.5: 4.330, 3: 4.583, 4: 4.899, 5: 5.000}
"""Depth and radius for R 5, [mm]."""

BY_ANGLE = [
    (0.076, 0.868), (0.302, 1.710), (0.670, 2.500), (1.170, 3.214), (1.786, 3.830),
    (2.500, 4.330), (3.290, 4.699), (4.132, 4.924), (5.000, 5.000),
]  # fmt: skip
"""Depth and radius for R 5 every ten degrees, [mm]."""


def dome(radius: float) -> Arc:
    """A hemisphere at the end that stands out."""
    return Arc(start=(0.0, 0.0), end=(radius, radius), center=(radius, 0.0), turn=-1)


@pytest.mark.parametrize(("depth", "radius"), [*BY_DEPTH.items(), *BY_ANGLE])
def test_a_plunge_stands_on_the_ball_of_the_table(depth, radius):
    """An arc that ends at a printed depth has its last plunge at the printed radius."""
    foot = math.sqrt(2 * 5 * depth - depth**2)
    arc = Arc(start=(0.0, 0.0), end=(depth, foot), center=(5.0, 0.0), turn=-1)
    first = step_table(arc, width=2.0).steps[0]
    assert first.advance == pytest.approx(depth, abs=ROUNDING)
    # the tables print depths by angle to three decimals as well: their radius moves with them
    slope = (5 - depth) / max(foot, ROUNDING)
    assert abs(first.diameter / 2 - radius) <= PRINTED * (1 + slope)


@pytest.mark.parametrize("size", [1.5, 3.0, 5.0, 12.7])
def test_every_plunge_of_a_square_nose_keeps_the_formula(size):
    """At its depth x every plunge is fed in to sqrt(2 R x - x^2), its corner on the ball."""
    for step in step_table(dome(size), width=2.0).steps:
        x = step.advance
        assert step.diameter / 2 == pytest.approx(math.sqrt(max(2 * size * x - x * x, 0)), abs=1e-6)


@pytest.mark.parametrize("size", [1.5, 3.0, 5.0, 12.7])
def test_cusps_are_no_higher_than_told(size):
    """The corner that is left between two plunges stands out of the ball by the height told, or less."""
    table = step_table(dome(size), width=2.0)
    steps = sorted(table.steps, key=lambda s: s.advance)
    heights = [
        math.hypot(before.advance - size, after.diameter / 2) - size for before, after in pairwise(steps)
    ]
    assert max(heights) <= table.cusp + ROUNDING
    assert max(heights) == pytest.approx(table.cusp, rel=1e-6)


@pytest.mark.parametrize(("size", "nose"), [(5.0, 1.0), (12.7, 0.4)])
def test_a_round_nose_keeps_its_centre_a_radius_off_the_ball(size, nose):
    """The centre of the nose is at R + p from the ball's centre at every plunge."""
    for step in step_table(dome(size), nose_r=nose).steps:
        centre = (step.advance - nose, step.diameter / 2 + nose)
        assert math.dist(centre, (size, 0.0)) == pytest.approx(size + nose, abs=1e-9)


@pytest.mark.parametrize(("size", "nose"), [(5.0, 1.0), (12.7, 0.4)])
def test_cusps_of_a_round_nose_are_where_two_noses_cross(size, nose):
    """Two neighbouring noses cross no further than the told height outside the ball."""
    table = step_table(dome(size), nose_r=nose, cusp=0.05)
    centres = [(s.advance - nose, s.diameter / 2 + nose) for s in table.steps]
    centres.sort()
    for a, b in pairwise(centres):
        half = math.dist(a, b) / 2
        middle = math.dist(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), (size, 0.0))
        assert middle - math.sqrt(nose**2 - half**2) - size <= table.cusp + ROUNDING
