"""Travel along the axis by hand."""

from __future__ import annotations

import math

import pytest

from tests.zoo import ball, cone, torus
from turnmodel.geometry.axial import Travel, axial_travel
from turnmodel.geometry.region import Region, flipped, polygon, ring

MOUTH = ring(20, 30, 20, 10)
"""A sleeve with a bore of 10 mm, its mouth at 20 mm."""

SEAT = polygon([(20, 5), (25, 2), (30, 2), (30, 10), (20, 10)])
"""A sleeve with a conical seat from 10 mm at its mouth to 4 mm five deeper."""


@pytest.mark.parametrize(
    ("moving", "fixed", "distance"),
    [
        (ring(0, 10, 12), MOUTH, 10.0),
        (ring(0, 10, 10), MOUTH, math.inf),
        (ring(0, 10, 10 + 1e-7), MOUTH, math.inf),
        (ring(22, 26, 10), MOUTH, math.inf),
        (ring(0, 20, 12), MOUTH, 0.0),
        (ring(0, 25, 12), MOUTH, 0.0),
        (ring(0, 10, 7), SEAT, 12.5),
        (flipped(cone(-10, 0, 10)), SEAT, 19.0),
        (ball(10, 12), MOUTH, 10 - math.sqrt(11)),
        (ball(10, 6), SEAT, 10 + 25 / 3 - 3 * math.hypot(3, 5) / 3),
        (torus((5, 6), 4), torus((15, 8), 4), 10 - math.sqrt(12)),
        (ring(40, 50, 12), MOUTH, math.inf),
        (ring(0, 10, 12), ring(30, 40, 20, 14), math.inf),
    ],
)
def test_travels_by_hand(moving: Region, fixed: Region, distance: float) -> None:
    """Corner on face, ball on mouth, ball on cone, round on round; equal radii slide."""
    assert math.isclose(axial_travel(moving, fixed).distance, distance, abs_tol=1e-12)


def test_a_body_in_contact_is_free_to_go_back() -> None:
    """A face that touches stops the way ahead, not the way back."""
    assert axial_travel(ring(0, 20, 12), MOUTH, -1).distance == math.inf
    assert axial_travel(ring(30, 35, 12), MOUTH).distance == math.inf
    assert axial_travel(ring(30, 35, 12), MOUTH, -1).distance == 0


def test_the_points_that_meet_are_named() -> None:
    """Both stations are as the bodies stand, at one radius."""
    found = axial_travel(ring(0, 10.0, 7), SEAT)
    assert found == Travel(distance=12.5, moving_at=(10.0, 3.5), fixed_at=(22.5, 3.5))
    back = axial_travel(ring(50.0, 60, 12), MOUTH, -1)
    assert back.distance == 20
    assert back.moving_at is not None
    assert back.moving_at[0] == 50
