"""Bodies of several solids: Hibbeler, Engineering Mechanics: Statics, 14th edition, problem 9-81 (F54f).

The cylinder's radius of 80 mm is from memory; tube and dome are computed from the formula shown.
"""

from __future__ import annotations

import math

from tests.zoo import dome
from turnmodel.geometry.frame import shift
from turnmodel.geometry.moments import combined, moment_shifted, moments, scaled
from turnmodel.geometry.region import flipped, ring
from turnmodel.geometry.spatial import amount, in_space, placed, together

STEEL, ALUMINIUM, BRASS = 7.80e-3, 2.70e-3, 8.49e-3
"""Densities [g/mm3]."""


def test_hemisphere_and_cylinder() -> None:
    """66.91 kg at 100 mm from the pole and 10.857 kg at 260 mm balance at 122.3 mm."""
    steel = scaled(moment_shifted(moments(flipped(dome(0, 320))), 160), STEEL)
    aluminium = scaled(moments(ring(160, 360, 160)), ALUMINIUM)
    assert abs(steel.volume / 1000 - 66.91) <= 0.005
    assert math.isclose(steel.station, 100, rel_tol=1e-12)
    assert abs(aluminium.volume / 1000 - 10.857) <= 0.0005
    assert math.isclose(aluminium.station, 260, rel_tol=1e-12)
    assert abs(combined(steel, aluminium).station - 122.3) <= 0.05


def test_brass_tube() -> None:
    """A tube of 10 by 6 by 80 mm: pi/4 (D^2 - d^2) L = 4021.24 mm3, 34.140 g, balanced at 40 mm."""
    tube = moments(ring(0, 80, 10, 6))
    assert math.isclose(tube.volume, 1280 * math.pi, rel_tol=1e-12)
    assert abs(tube.volume - 4021.24) <= 0.005
    assert abs(tube.volume * BRASS - 34.140) <= 0.0005
    assert math.isclose(tube.station, 40, rel_tol=1e-12)


def test_dome() -> None:
    """Half a ball of radius 5: 2/3 pi R^3 = 261.799 mm3, balanced 3R/8 = 1.875 mm from the flat (F54h)."""
    half = moments(dome(0, 10))
    assert math.isclose(half.volume, 250 * math.pi / 3, rel_tol=1e-12)
    assert abs(half.volume - 261.799) <= 0.0005
    assert math.isclose(half.station, 1.875, rel_tol=1e-12)


def test_two_metals_end_to_end() -> None:
    """The hemisphere and the cylinder of problem 9-81 as two bodies in space balance at 122.3 mm as well."""
    steel = amount(in_space(moment_shifted(moments(flipped(dome(0, 320))), 160)), STEEL)
    aluminium = amount(in_space(moments(ring(0, 200, 160))), ALUMINIUM)
    whole = together(steel, placed(aluminium, shift(160)))
    assert abs(whole.center[2] - 122.3) <= 0.05
    assert abs(whole.volume / 1000 - (66.91 + 10.857)) <= 0.0055
