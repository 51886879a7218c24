"""Flat springs.

Oberg et al., Machinery's Handbook, 27th edition, flat springs as quoted in retail notes: for an even strip
d = 4 F L^3 / (E b t^3) and s = 6 F L / (b t^2), for one that narrows to a point under the load d = 6 F L^3 /
(E b t^3) and s = E t d / L^2. The figures are worked by hand from these formulas.
"""

from __future__ import annotations

import pytest

from turnmodel.analysis.cantilever import lifted

STEEL = 205.0
"""Young's modulus of spring steel [GPa]; from memory."""

EVEN = [  # L, b, t, d [mm]; F [N], s [MPa]
    (35.0, 6.0, 0.5, 1.0, 0.897, 125.5),
    (40.0, 5.0, 0.6, 1.5, 1.297, 173.0),
    (30.0, 4.0, 0.4, 1.0, 0.486, 136.7),
]


@pytest.mark.parametrize(("length", "width", "thickness", "lift", "force", "stress"), EVEN)
def test_an_even_strip(length, width, thickness, lift, force, stress):
    """Force and stress of an even strip to the last figure worked."""
    found = lifted([width, width], length, thickness, STEEL, lift)

    assert found.force == pytest.approx(force, abs=0.5e-3)
    assert found.stress == pytest.approx(stress, abs=0.05)


def test_a_strip_pressed_by_a_force():
    """38.1 by 6.35 by 0.508 mm under 5 N goes 6.48 mm and is stressed to 697.5 MPa."""
    found = lifted([6.35, 6.35, 6.35], 38.1, 0.508, STEEL, 6.48)

    assert found.force == pytest.approx(5.0, rel=1e-3)
    assert found.stress == pytest.approx(697.5, rel=1e-3)


def test_a_strip_that_narrows_to_a_point():
    """A triangle of the first size is stressed to 83.7 MPa by two thirds of the force."""
    point = 1e-6  # mm, where the triangle is cut off
    found = lifted([point, 6.0], 35.0, 0.5, STEEL, 1.0)

    assert found.stress == pytest.approx(83.7, abs=0.05)
    assert found.force == pytest.approx(0.897 * 2 / 3, abs=1e-3)
