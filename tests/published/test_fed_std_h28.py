"""Stripping of threads against published worked examples and hand-worked values.

Sources: FED-STD-H28/2B, length of engagement, as Machinery's Handbook 24 and 28 give it; a textbook's example
of an M10 screw in aluminium; a public table of UNC threads. Values marked "hand-worked" were computed by
those formulas from the tabled limits of size, outside this program. An area or length agrees when it rounds
to the last printed digit.
"""

from __future__ import annotations

import math

import pytest

from turnmodel.analysis.stripping import (
    Loosest,
    full_strength_length,
    loosest,
    shear_areas,
    shear_strength,
    stripping_force,
    tensile_area,
)
from turnmodel.catalog.materials import material
from turnmodel.catalog.threads import thread
from turnmodel.units import inch

HALF_A_TENTH = 0.05
HALF_A_THOUSANDTH = 0.0005

# Hand-worked: thread, length [mm], shear area of the screw and of the hole [mm2], classes 6g and 6H.
METRIC_AREAS = (
    ("M6x1", 6.0, 51.9, 73.1),
    ("M8x0.75", 5.0, 59.1, 79.9),
    ("M10x1", 6.0, 92.1, 123.6),
)

# Stress areas, inch2: a public table of UNC threads, by 0.7854 (D - 0.9743/n)^2.
STRESS_AREAS = (
    ("#4-40 UNC", 0.00604),
    ("#6-32 UNC", 0.00909),
    ("#8-32 UNC", 0.0140),
    ("#10-24 UNC", 0.0175),
    ("1/4-20 UNC", 0.0318),
    ("5/16-18 UNC", 0.0524),
    ("3/8-16 UNC", 0.0775),
    ("1/2-13 UNC", 0.142),
)


@pytest.mark.parametrize(("size", "length", "screw", "hole"), METRIC_AREAS)
def test_shear_areas_of_metric_threads(size: str, length: float, screw: float, hole: float) -> None:
    """Shear areas of 6g in 6H agree with the hand-worked ones to the last digit."""
    size_ = thread(size)

    areas = shear_areas(size_, length, loosest(size_, size_))

    assert areas.screw == pytest.approx(screw, abs=HALF_A_TENTH)
    assert areas.hole == pytest.approx(hole, abs=HALF_A_TENTH)


def test_shear_areas_of_quarter_inch() -> None:
    """1/4-20 at .2408, .2127, .2224 and .2070 in has 0.368 and 0.539 in2 to an inch (hand-worked)."""
    sizes = Loosest(
        screw_major_d=0.2408 * inch,
        screw_pitch_d=0.2127 * inch,
        hole_pitch_d=0.2224 * inch,
        hole_minor_d=0.2070 * inch,
    )

    areas = shear_areas(thread("1/4-20 UNC"), inch, sizes)

    assert areas.screw / inch**2 == pytest.approx(0.368, abs=HALF_A_THOUSANDTH)
    assert areas.hole / inch**2 == pytest.approx(0.539, abs=HALF_A_THOUSANDTH)


def test_length_of_engagement_of_quarter_inch() -> None:
    """1/4-20 of equal metals needs 0.174 in for the screw to break first (hand-worked)."""
    quarter = thread("1/4-20 UNC")

    needed = full_strength_length(quarter, loosest(quarter, quarter), tensile_area(quarter))

    assert needed / inch == pytest.approx(0.174, abs=HALF_A_THOUSANDTH)


@pytest.mark.parametrize(
    ("major_d", "printed"),
    [
        pytest.param(9.968, 21.6, id="as printed: the greatest major diameter taken for the least"),
        pytest.param(9.732, 24.9, id="corrected: the least major diameter of 6g, hand-worked"),
    ],
)
def test_m10_screw_in_aluminium(major_d: float, printed: float) -> None:
    """An M10x1.5-6g of class 10.9, 69 600 N, in aluminium of 130 MPa in shear needs 21.6 mm as printed."""
    sizes = Loosest(screw_major_d=major_d, screw_pitch_d=8.862, hole_pitch_d=9.206, hole_minor_d=8.676)
    force = 1200 * 58.0

    hole = shear_areas(thread("M10x1.5-6g"), 1.0, sizes).hole

    assert force / (130.0 * hole) == pytest.approx(printed, abs=HALF_A_TENTH)


@pytest.mark.parametrize(("size", "area"), STRESS_AREAS)
def test_stress_areas(size: str, area: float) -> None:
    """Stress areas of UNC threads agree with the printed ones to a unit of the third significant figure."""
    found = tensile_area(thread(size)) / inch**2

    digits = 2 - math.floor(math.log10(found))
    assert found == pytest.approx(area, abs=10**-digits)


def test_weaker_hole_takes_more() -> None:
    """A hole of the weaker metal lengthens the engagement by J = (A_s s_s) / (A_n s_n) (FED-STD-H28/2B)."""
    m6 = thread("M6x1")
    sizes = loosest(m6, m6)
    areas = shear_areas(m6, 1.0, sizes)

    equal = full_strength_length(m6, sizes, tensile_area(m6))
    weaker = full_strength_length(m6, sizes, tensile_area(m6), strength_ratio=3.0)

    assert weaker / equal == pytest.approx(3.0 * areas.screw / areas.hole)


def test_forms_without_limits_take_basic_sizes() -> None:
    """BA threads, which have no limits of size here, are judged at their basic sizes."""
    two = thread("2BA")

    sizes = loosest(two, two)

    assert (sizes.screw_major_d, sizes.hole_minor_d) == (two.major_d, two.minor_d)


def test_shear_strength_from_yield_where_no_tensile_is_known() -> None:
    """Naval brass, whose tensile strength no work here gives, is taken at 0.577 of its yield (von Mises)."""
    assert shear_strength(material("C46400")) == pytest.approx(170 * 0.57735, rel=1e-5)


def test_first_thread_to_strip_counts() -> None:
    """Brass on brass strips in the screw, whose area is the smaller."""
    m6 = thread("M6x1")
    areas = shear_areas(m6, 6.0, loosest(m6, m6))

    assert stripping_force(areas, 200.0, 200.0) == 200.0 * areas.screw
