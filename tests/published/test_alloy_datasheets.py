"""Densities and moduli against datasheets in other units.

Sources: datasheets of copper alloys (lb/in3, ksi); Hibbeler, property tables. 1 lb/in3 is 27.680 g/cm3 and
1 ksi is 6.895 MPa.
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.materials import material

PER_CUBIC_INCH = 27.680  # g/cm3
HALF_A_DIGIT = 0.5e-3 * PER_CUBIC_INCH  # g/cm3
KSI = 6.895e-3  # GPa

POUNDS = {
    "C36000": 0.307,
    "CW614N": 0.306,
    "C46400": 0.304,  # from memory
    "C54400": 0.320,
    "C14500": 0.323,
    "6061-T6": 0.098,
}
MODULI = {"CW614N": 14_000, "C54400": 15_000, "C14500": 17_000}
HALF_A_GIGAPASCAL = 0.5  # GPa


@pytest.mark.parametrize("name", POUNDS)
def test_density_is_the_datasheet_one(name):
    """Density in pounds to the cubic inch, to half a printed digit."""
    assert material(name).density == pytest.approx(POUNDS[name] * PER_CUBIC_INCH, abs=HALF_A_DIGIT)


@pytest.mark.parametrize("name", MODULI)
def test_modulus_is_the_datasheet_one(name):
    """Young's modulus in ksi."""
    assert material(name).modulus == pytest.approx(MODULI[name] * KSI, abs=HALF_A_GIGAPASCAL)
