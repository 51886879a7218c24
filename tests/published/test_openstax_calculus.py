"""Solids and surfaces of revolution: OpenStax, Calculus Volume 2, modules m53642 and m53644 (F54c, F54d).

Lines and circles are exact. Other curves are laid out in chords here, and the tolerance is the bound on what
the chords leave out: a chord over a step h stands off its curve by at most h^2 max|f''| / 8, and its
direction differs by at most h max|f''|.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest

from tests.zoo import ball
from turnmodel.geometry.boolean import difference, intersection
from turnmodel.geometry.moments import moments, surface_area
from turnmodel.geometry.region import polygon, ring

if TYPE_CHECKING:
    from collections.abc import Callable

    from turnmodel.geometry.curve import Point

CLOSED = 1e-12
"""Relative: closed forms against closed forms."""

STEPS = 3000


def chords(f: Callable[[float], Point], start: float, end: float) -> list[Point]:
    """Lay points along a curve at equal steps of its parameter."""
    return [f(start + (end - start) * k / STEPS) for k in range(STEPS + 1)]


def stand_off(span: float, bend: float) -> float:
    """Bound the distance of a chord from its curve, by the greatest second derivative."""
    return (span / STEPS) ** 2 * bend / 8


def test_ball_less_a_cap() -> None:
    """A ball of radius R less a cap of height h is pi/3 (h + R)(h - 2R)^2."""
    for radius, h in ((5.0, 1.0), (5.0, 5.0), (12.5, 0.01), (3.0, 5.9)):
        rest = difference(ball(0, 2 * radius), ring(radius - h, radius + 1, 4 * radius))
        expected = math.pi / 3 * (h + radius) * (h - 2 * radius) ** 2
        assert math.isclose(moments(rest).volume, expected, rel_tol=1e-9)


def test_frustum() -> None:
    """Discs of radius y from 1 to 4 make 21 pi = 65.97."""
    volume = moments(polygon([(1, 0), (4, 0), (4, 4), (1, 1)])).volume
    assert math.isclose(volume, 21 * math.pi, rel_tol=CLOSED)
    assert abs(volume - 65.97) <= 0.005


def test_washers() -> None:
    """Between the root of x and 1/x from 1 to 3: 10 pi / 3 = 10.47."""
    upper = chords(lambda x: (x, math.sqrt(x)), 1, 3)
    lower = chords(lambda x: (x, 1 / x), 1, 3)
    volume = moments(polygon([*lower[1:], *reversed(upper)])).volume
    slack = 2 * math.pi * 2 * (math.sqrt(3) * stand_off(2, 1 / 4) + stand_off(2, 2))
    assert abs(volume - 10 * math.pi / 3) <= slack
    assert abs(volume - 10.47) <= 0.005


@pytest.mark.parametrize(("a", "b"), [(2.0, 5.0), (4.0, 1.5)])
def test_spheroid(a: float, b: float) -> None:
    """The ellipse of half axes a across and b along the axis sweeps 4 pi a^2 b / 3."""
    half = chords(lambda t: (b * math.cos(t), a * math.sin(t)), 0, math.pi)
    # The chords enclose the ellipse shrunk by the cosine of half a step.
    volume = moments(polygon([*half[:-1], (-b, 0.0)])).volume
    assert math.isclose(volume, 4 * math.pi * a**2 * b / 3, rel_tol=1 - math.cos(math.pi / STEPS / 2) ** 3)


def test_surface_under_a_root() -> None:
    """The root of x from 1 to 4 sweeps pi/6 (17 sqrt 17 - 5 sqrt 5) = 30.846."""
    top = chords(lambda x: (x, math.sqrt(x)), 1, 4)
    region = polygon([(1.0, 0.0), (4.0, 0.0), *reversed(top)])
    swept = surface_area(region) - math.pi * (1 + 4)
    expected = math.pi / 6 * (17 * math.sqrt(17) - 5 * math.sqrt(5))
    length = 3.2
    slack = 2 * math.pi * length * stand_off(3, 1 / 4) + expected * (3 / STEPS / 4) ** 2 / 2
    assert abs(swept - expected) <= slack
    assert abs(swept - 30.846) <= 0.0005


def test_spherical_zone() -> None:
    """A zone of height 2 on a sphere of radius 3 is 12 pi = 37.70; its discs are 9 pi and 5 pi."""
    zone = surface_area(intersection(ball(0, 6), ring(0, 2, 20))) - 14 * math.pi
    assert math.isclose(zone, 12 * math.pi, rel_tol=CLOSED)
    assert abs(zone - 37.70) <= 0.005


def test_surface_of_a_paraboloid() -> None:
    """The parabola y = x^2 from 0 to 2, about y, sweeps pi/6 (17 sqrt 17 - 1) = 36.177."""
    side = chords(lambda x: (x * x, x), 0, 2)
    region = polygon([(0.0, 0.0), (4.0, 0.0), *reversed(side[1:])])
    swept = surface_area(region) - 4 * math.pi
    expected = math.pi / 6 * (17 * math.sqrt(17) - 1)
    length = 4.7
    slack = 2 * math.pi * length * stand_off(2, 2) + expected * (2 / STEPS * 2) ** 2 / 2
    assert abs(swept - expected) <= slack
    assert abs(swept - 36.177) <= 0.0005
