"""Fits against printed tables.

Sources: ISO 286 tables (IT6 to IT9, h6, h7 and H7 as printed; f7, g6, k6, p6 and F7 from memory, agreeing
with the formulas); "Machine Drawing", p. 222, worked example 64 H8/f7. Deviations are printed in whole
micrometres.
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.fits import fit, fit_limits, tolerance_grade

MICROMETRE = 1e-3  # mm

GRADES = {
    2: (6, 10, 14, 25),
    5: (8, 12, 18, 30),
    8: (9, 15, 22, 36),
    14: (11, 18, 27, 43),
    25: (13, 21, 33, 52),
}

LIMITS = {
    "H7": {2: (10, 0), 5: (12, 0), 8: (15, 0), 14: (18, 0), 25: (21, 0)},
    "f7": {2: (-6, -16), 5: (-10, -22), 8: (-13, -28), 14: (-16, -34), 25: (-20, -41)},
    "g6": {2: (-2, -8), 5: (-4, -12), 8: (-5, -14), 14: (-6, -17), 25: (-7, -20)},
    "h6": {2: (0, -6), 5: (0, -8), 8: (0, -9), 14: (0, -11), 25: (0, -13)},
    "h7": {2: (0, -10), 5: (0, -12), 8: (0, -15), 14: (0, -18), 25: (0, -21)},
    "k6": {2: (6, 0), 5: (9, 1), 8: (10, 1), 14: (12, 1), 25: (15, 2)},
    "p6": {2: (12, 6), 5: (20, 12), 8: (24, 15), 14: (29, 18), 25: (35, 22)},
    "F7": {2: (16, 6), 5: (22, 10), 8: (28, 13), 14: (34, 16), 25: (41, 20)},
    # ISO 286-2, from memory.
    "K7": {2: (0, -10), 5: (3, -9), 8: (5, -10), 14: (6, -12), 25: (6, -15)},
    "N7": {2: (-4, -14), 5: (-4, -16), 8: (-4, -19), 14: (-5, -23), 25: (-7, -28)},
    "P7": {2: (-6, -16), 5: (-8, -20), 8: (-9, -24), 14: (-11, -29), 25: (-14, -35)},
    "N9": {2: (-4, -29), 5: (0, -30), 8: (0, -36), 14: (0, -43), 25: (0, -52)},
}
CASES = [(name, size) for name, row in LIMITS.items() for size in row]


@pytest.mark.parametrize("size", GRADES)
def test_grades_are_the_printed_ones(size):
    """IT6 to IT9 of each step."""
    found = [tolerance_grade(grade, size) for grade in (6, 7, 8, 9)]
    assert found == pytest.approx([n * MICROMETRE for n in GRADES[size]])


@pytest.mark.parametrize(("name", "size"), CASES)
def test_deviations_are_the_printed_ones(name, size):
    """Upper and lower deviation of each class in each step."""
    upper, lower = LIMITS[name][size]
    found = fit_limits(name, size)
    assert (found.upper, found.lower) == pytest.approx((upper * MICROMETRE, lower * MICROMETRE))


def test_worked_example_64_h8_f7():
    """64 H8/f7 has H8 +46/0, f7 -30/-60 and 0.030 mm of clearance at least."""
    found = fit("H8/f7", 64)

    assert (found.hole.lower, found.hole.upper) == pytest.approx((0, 46 * MICROMETRE))
    assert (found.shaft.lower, found.shaft.upper) == pytest.approx((-60 * MICROMETRE, -30 * MICROMETRE))
    assert found.clearance_min == pytest.approx(0.030)


UNITS = {5: 7, 6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100, 12: 160}
STEPS = {5: (3, 6), 8: (6, 10), 14: (10, 18), 25: (18, 30), 40: (30, 50), 60: (50, 80)}
TABLE_ROUNDING = 0.1  # the standard rounds to whole micrometres: IT6 of 3 to 6 mm most, 8 for 7.3


@pytest.mark.parametrize("size", STEPS)
@pytest.mark.parametrize("grade", UNITS)
def test_grades_follow_the_tolerance_unit(size, grade):
    """IT5 to IT12 are 7 to 160 times i = 0.45 D^(1/3) + 0.001 D micrometres, rounded."""
    low, high = STEPS[size]
    mean = (low * high) ** 0.5
    unit = 0.45 * mean ** (1 / 3) + 0.001 * mean
    expected = UNITS[grade] * unit * MICROMETRE
    assert tolerance_grade(grade, size) == pytest.approx(expected, rel=TABLE_ROUNDING)
