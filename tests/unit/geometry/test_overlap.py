"""Overlap by hand, and where it is."""

from __future__ import annotations

import math

import pytest

from tests.zoo import ZOO, ball, cone, filleted, torus
from turnmodel.geometry.moments import moments
from turnmodel.geometry.overlap import overlap_place, overlap_volume
from turnmodel.geometry.region import Region, moved, polygon, ring


def lens(radius: float, apart: float) -> float:
    """Volume common to two equal balls: two caps of height h = R - d/2, pi h^2 (3R - h) / 3 each."""
    h = radius - apart / 2
    return 2 * math.pi * h**2 * (3 * radius - h) / 3


@pytest.mark.parametrize(
    ("a", "b", "volume"),
    [
        (ball(0, 10), ball(3, 10), lens(5, 3)),
        (ball(0, 10), ball(9.999, 10), lens(5, 9.999)),
        (ball(0, 10), ring(-9, 9, 6), 2 * math.pi * (2 / 3) * (125 - 64) + 0.0),
        (torus((0, 10), 4), ring(-9, 9, 20), 2 * math.pi * (10 * 2 * math.pi - 16 / 3)),
        (ring(0, 10, 8), ring(9, 20, 8, 7.98), math.pi * (16 - 3.99**2)),
        (cone(0, 10, 10), ring(4, 6, 20), math.pi * (27 - 8) / 3 * 8 / 4),
    ],
)
def test_overlaps_by_hand(a: Region, b: Region, volume: float) -> None:
    """Caps, a drilled ball's core, half a torus, a press ring, a slice of a cone."""
    assert math.isclose(overlap_volume(a, b), volume, rel_tol=1e-12)
    assert math.isclose(overlap_volume(b, a), volume, rel_tol=1e-12)


@pytest.mark.parametrize("name", ZOO)
def test_every_region_overlaps_itself_by_its_volume(name: str) -> None:
    """A body laid on itself is common throughout."""
    region = ZOO[name]
    assert math.isclose(overlap_volume(region, region), moments(region).volume, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("a", "b"),
    [
        (ring(0, 10, 8), ring(0, 10, 12, 8)),
        (ring(0, 10, 8), ring(10, 20, 8)),
        (ring(0, 10, 8), ring(0, 10, 12, 8 - 1e-10)),
        (cone(0, 10, 8), polygon([(0, 0), (10, 4), (10, 9), (0, 9)])),
        (ball(0, 10), ring(5, 9, 20)),
        (torus((5, 8), 4), ring(0, 10, 12)),
        (filleted(8, 14, 2), ring(0, 8, 30, 8)),
        (ring(0, 10, 8), ring(30, 40, 8)),
        (ring(0, 10, 8), Region(loops=())),
    ],
)
def test_bodies_that_touch_or_are_apart_have_no_overlap(a: Region, b: Region) -> None:
    """Shared faces, shared diameters, a cone in its seat, tangents and nothing: exactly zero."""
    assert overlap_volume(a, b) == 0
    assert overlap_volume(moved(b, 0.1), moved(a, 0.1)) < 1e-12
    assert overlap_place(a, b) is None


def test_the_place_of_an_overlap() -> None:
    """Stations and radii bound what is common."""
    assert overlap_place(ring(0, 10, 8), ring(9, 20, 12, 7)) == (9, 10, 3.5, 4.0)
