"""Least distances by hand."""

from __future__ import annotations

import math

import pytest

from tests.zoo import ZOO, ball, dome, filleted, torus
from turnmodel.geometry.curve import Arc, Line
from turnmodel.geometry.distance import least_between, least_distance
from turnmodel.geometry.region import Region, polygon, ring

ROUNDING_MM = 1e-13


@pytest.mark.parametrize(
    ("a", "b", "distance"),
    [
        (ball(0, 10), ball(12, 6), 4.0),
        (torus((0, 10), 4), torus((3, 14), 2), 2.0),
        (torus((0, 10), 4), torus((0.5, 10), 1), 0.0),
        (torus((0, 10), 4), ring(5, 8, 30), 3.0),
        (torus((0, 10), 4), ring(-5, 5, 12), 2.0),
        (dome(0, 10), polygon([(10, 0), (20, 0), (20, 10), (0, 10)]), 10 / math.sqrt(2) - 5),
        (ring(0, 10, 8), ring(13, 20, 20, 16), 5.0),
        (filleted(8, 14, 2), torus((8, 6), 2), 1.0),
    ],
)
def test_distances_by_hand(a: Region, b: Region, distance: float) -> None:
    """Circles by their centres, corners by Pythagoras, lines by their normals."""
    gap = least_distance(a, b)
    assert math.isclose(gap.distance, distance, abs_tol=ROUNDING_MM)
    assert math.isclose(math.dist(gap.a_at, gap.b_at), distance, abs_tol=ROUNDING_MM)


@pytest.mark.parametrize("name", ZOO)
def test_a_body_inside_another_has_no_distance_to_it(name: str) -> None:
    """Wholly inside is overlap, though the boundaries are apart; a hollow is outside."""
    around = ring(-10, 40, 60)
    assert least_distance(ZOO[name], around).distance == 0
    assert least_distance(around, ZOO[name]).distance == 0
    assert least_distance(torus((6, 3.75), 0.5), ZOO["ring with a hollow"]).distance == 0.5


def test_touching_is_no_distance() -> None:
    """Faces, corners and tangents that touch are at zero."""
    assert least_distance(ring(0, 10, 8), ring(10, 20, 4)).distance == 0
    assert least_distance(ring(0, 10, 8), ring(10, 20, 12, 8)).distance == 0
    assert least_distance(ball(0, 10), ring(5, 8, 3)).distance == 0
    assert least_distance(torus((0, 8), 4), ring(-9, 9, 12)).distance == 0


def test_curves_that_cross_or_nest() -> None:
    """Open curves cross at a point; concentric arcs are the difference of their radii apart."""
    cross = least_between(
        [Line(start=(0, 0), end=(4, 4))], [Arc(start=(4, 0), end=(0, 4), center=(0, 0), turn=1)]
    )
    assert cross.distance == 0
    assert math.isclose(cross.a_at[0], math.sqrt(8), rel_tol=1e-12)
    nested = least_between(
        [Arc(start=(5, 0), end=(0, 5), center=(0, 0), turn=1)],
        [Arc(start=(3, 0), end=(0, 3), center=(0, 0), turn=1)],
    )
    assert math.isclose(nested.distance, 2, rel_tol=1e-12)


def test_a_distance_to_nothing_is_refused() -> None:
    """There is no distance to an empty set."""
    with pytest.raises(ValueError, match="between two sets of curves, neither of them empty"):
        least_distance(ring(0, 10, 8), Region(loops=()))
