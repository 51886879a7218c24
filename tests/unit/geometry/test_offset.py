"""Growing and shrinking by hand."""

from __future__ import annotations

import math

import pytest

from tests.zoo import ball, torus
from turnmodel.errors import BadValue
from turnmodel.geometry.moments import moments
from turnmodel.geometry.offset import grown, shrunk
from turnmodel.geometry.region import Region, bounds, polygon, ring


def test_a_ball_grows_and_shrinks_to_a_ball() -> None:
    """Round stays round."""
    assert math.isclose(moments(grown(ball(3, 10), 2)).volume, moments(ball(3, 14)).volume, rel_tol=1e-12)
    assert math.isclose(moments(shrunk(ball(3, 10), 2)).volume, moments(ball(3, 6)).volume, rel_tol=1e-12)
    assert bounds(grown(torus((0, 10), 4), 1)) == (-3, 3, 7, 13)


def test_a_bar_grows_by_steiners_formula() -> None:
    """V(t) = V + S t + M t^2 + 4/3 pi t^3, M = pi (L + pi R) for a cylinder (Steiner 1840, from memory)."""
    length, r, t = 10.0, 4.0, 1.5
    volume, surface = math.pi * r**2 * length, 2 * math.pi * r * (r + length)
    steiner = volume + surface * t + math.pi * (length + math.pi * r) * t**2 + 4 / 3 * math.pi * t**3
    assert math.isclose(moments(grown(ring(0, length, 2 * r), t)).volume, steiner, rel_tol=1e-12)


def test_corners_shrink_sharp_and_grow_round() -> None:
    """A bar shrinks to a bar; a bore narrower than twice the distance fills."""
    assert bounds(shrunk(ring(0, 10, 8), 1)) == (1, 9, 0, 3)
    assert len(shrunk(ring(0, 10, 8), 1).loops[0]) == 4
    assert bounds(grown(ring(0, 10, 8, 2), 1)).r0 == 0


def test_walls_thinner_than_the_distance_vanish() -> None:
    """Nothing is farther from both faces than half the wall."""
    cup = polygon([(0, 0), (5, 0), (5, 4), (20, 4), (20, 5), (0, 5)])
    assert bounds(shrunk(cup, 0.6)).z1 < 5
    assert shrunk(ring(0, 10, 8, 7), 0.25) == Region(loops=())


def test_no_distance_changes_nothing() -> None:
    """By nothing is as given; by less than nothing is refused."""
    bar = ring(0, 10, 8)
    assert grown(bar, 0) == bar
    assert moments(shrunk(bar, 0)).volume == moments(bar).volume
    with pytest.raises(BadValue, match=r"offset -1 mm: a distance is not negative"):
        grown(bar, -1)
