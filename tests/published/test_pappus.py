"""The theorems of Pappus: worked examples of statics and calculus texts.

Examples 1 and 2: a statics text's cone about y, in feet (reference F54a). Torus: OpenStax, Calculus Volume 2,
module m53649, theorem of Pappus for volume (F54b).
"""

from __future__ import annotations

import math

from tests.zoo import torus
from turnmodel.geometry.moments import area, moments, surface_area
from turnmodel.geometry.region import polygon

CONE = polygon([(0, 0), (10, 0), (10, 3)])
"""The triangle of 3 by 10 under the line through the origin, y along the axis."""

CLOSED = 1e-12
"""Relative: closed forms against closed forms."""


def test_surface_of_a_cone() -> None:
    """Example 1: the line sweeps 98.3975 (one side); its disc is 9 pi more."""
    swept = surface_area(CONE) - 9 * math.pi
    assert math.isclose(swept, math.pi * 3 * math.sqrt(109), rel_tol=CLOSED)
    # The text multiplies by the length as it prints it, 10.4403.
    assert abs(swept - 98.3975) <= 2 * math.pi * 1.5 * 0.00005 + 0.00005


def test_volume_of_a_cone() -> None:
    """Example 2: the triangle of area 15, its centroid 1 from the axis, sweeps 94.2, which is 30 pi."""
    assert math.isclose(area(CONE), 15, rel_tol=CLOSED)
    assert abs(moments(CONE).volume - 94.2) <= 0.05
    assert math.isclose(moments(CONE).volume, 30 * math.pi, rel_tol=CLOSED)


def test_volume_of_a_torus() -> None:
    """A disc of radius 1 centred 3 from the axis sweeps 6 pi^2 = 59.22."""
    volume = moments(torus((0, 3), 2)).volume
    assert math.isclose(volume, 6 * math.pi**2, rel_tol=CLOSED)
    assert abs(volume - 59.22) <= 0.005
