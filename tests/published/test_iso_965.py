"""Metric limits of size against printed ones.

Sources: "Metric External Thread Chart, Limiting Dimensions for M Profile" (ASME B1.13M), public reference
page, and "Metric Pitch Diameter Roll Threads", public table, for the external limits of M1.6 to M5, M6x1,
M8x1.25, M8x1, M10x1.5 and M10x0.75; a tap catalogue of 2016-17, p. 799, for basic diameters; a tap
catalogue of 2021, pp. 645 and 656, for internal pitch diameters to M8. The other rows were computed from
ISO 965-1:1998, clause 13, with its adjusted cells, independently of this program. Diameters are printed to
a micrometre.
"""

from __future__ import annotations

import math

import pytest

from turnmodel.catalog.table import rows
from turnmodel.catalog.thread_limits import limits
from turnmodel.catalog.threads import thread

HALF_A_DIGIT = 0.5e-3 + 1e-9  # mm, and rounding
MICROMETRE = 1e-3  # mm

SIZES = {
    # thread: d2, D1, d3, d max, d min, d2 max, d2 min (6g), D1 min, D1 max, D2 min, D2 max (6H)
    "M1.6x0.35": (1.373, 1.221, 1.171, 1.581, 1.496, 1.354, 1.291, 1.221, 1.321, 1.373, 1.458),
    "M2x0.4": (1.740, 1.567, 1.509, 1.981, 1.886, 1.721, 1.654, 1.567, 1.679, 1.740, 1.830),
    "M2.5x0.45": (2.208, 2.013, 1.948, 2.480, 2.380, 2.188, 2.117, 2.013, 2.138, 2.208, 2.303),
    "M3x0.5": (2.675, 2.459, 2.387, 2.980, 2.874, 2.655, 2.580, 2.459, 2.599, 2.675, 2.775),
    "M4x0.7": (3.545, 3.242, 3.141, 3.978, 3.838, 3.523, 3.433, 3.242, 3.422, 3.545, 3.663),
    "M5x0.8": (4.480, 4.134, 4.019, 4.976, 4.826, 4.456, 4.361, 4.134, 4.334, 4.480, 4.605),
    "M5x0.5": (4.675, 4.459, 4.387, 4.980, 4.874, 4.655, 4.580, 4.459, 4.599, 4.675, 4.775),
    "M6x0.75": (5.513, 5.188, 5.080, 5.978, 5.838, 5.491, 5.391, 5.188, 5.378, 5.513, 5.645),
    "M6x1": (5.350, 4.917, 4.773, 5.974, 5.794, 5.324, 5.212, 4.917, 5.153, 5.350, 5.500),
    "M7x1": (6.350, 5.917, 5.773, 6.974, 6.794, 6.324, 6.212, 5.917, 6.153, 6.350, 6.500),
    "M8x0.75": (7.513, 7.188, 7.080, 7.978, 7.838, 7.491, 7.391, 7.188, 7.378, 7.513, 7.645),
    "M8x1": (7.350, 6.917, 6.773, 7.974, 7.794, 7.324, 7.212, 6.917, 7.153, 7.350, 7.500),
    "M8x1.25": (7.188, 6.647, 6.466, 7.972, 7.760, 7.160, 7.042, 6.647, 6.912, 7.188, 7.348),
    "M9x0.75": (8.513, 8.188, 8.080, 8.978, 8.838, 8.491, 8.391, 8.188, 8.378, 8.513, 8.645),
    "M10x0.75": (9.513, 9.188, 9.080, 9.978, 9.838, 9.491, 9.391, 9.188, 9.378, 9.513, 9.645),
    "M10x1": (9.350, 8.917, 8.773, 9.974, 9.794, 9.324, 9.212, 8.917, 9.153, 9.350, 9.500),
    "M10x1.5": (9.026, 8.376, 8.160, 9.968, 9.732, 8.994, 8.862, 8.376, 8.676, 9.026, 9.206),
    "M11x0.75": (10.513, 10.188, 10.080, 10.978, 10.838, 10.491, 10.391, 10.188, 10.378, 10.513, 10.645),
    "M11x1": (10.350, 9.917, 9.773, 10.974, 10.794, 10.324, 10.212, 9.917, 10.153, 10.350, 10.500),
    "M12x1.25": (11.188, 10.647, 10.466, 11.972, 11.760, 11.160, 11.028, 10.647, 10.912, 11.188, 11.368),
    "M12x1.5": (11.026, 10.376, 10.160, 11.968, 11.732, 10.994, 10.854, 10.376, 10.676, 11.026, 11.216),
    "M12x1.75": (10.863, 10.106, 9.853, 11.966, 11.701, 10.829, 10.679, 10.106, 10.441, 10.863, 11.063),
    "M14x1": (13.350, 12.917, 12.773, 13.974, 13.794, 13.324, 13.206, 12.917, 13.153, 13.350, 13.510),
    "M16x1": (15.350, 14.917, 14.773, 15.974, 15.794, 15.324, 15.206, 14.917, 15.153, 15.350, 15.510),
    "M16x2": (14.701, 13.835, 13.546, 15.962, 15.682, 14.663, 14.503, 13.835, 14.210, 14.701, 14.913),
}


@pytest.mark.parametrize("size", SIZES)
def test_limits_of_6g_and_6h_are_the_printed_ones(size):
    """Basic diameters and all limits of 6g and 6H agree to half a micrometre."""
    t = thread(size)
    screw, nut = limits(t, external=True), limits(t, external=False)

    assert (
        *(t.pitch_d, t.minor_d, t.root_d),
        *(screw.major_max, screw.major_min, screw.pitch_max, screw.pitch_min),
        *(nut.minor_min, nut.minor_max, nut.pitch_min, nut.pitch_max),
    ) == pytest.approx(SIZES[size], abs=HALF_A_DIGIT)


# Cells where plain rounding of the formula is wrong.

FLANK_OF_THE_SCREW = {"M3x0.5": 75}
FLANK_OF_THE_NUT = {"M10x1.5": 180, "M12x1.25": 180, "M12x1.5": 190}
CREST_OF_THE_NUT = {"M3x0.5": 140, "M6x1": 236}


def test_deviation_g_at_three_quarters_pitch_is_the_tabled_cell():
    """The deviation g of pitch 0.75 is 22 micrometres; the formula gives 23.25, plain rounding of it 23."""
    t = thread("M10x0.75")
    assert t.major_d - limits(t, external=True).major_max == pytest.approx(22 * MICROMETRE)


@pytest.mark.parametrize("size", FLANK_OF_THE_SCREW)
def test_flank_tolerance_of_the_screw_is_the_tabled_cell(size):
    """The tolerance of the screw's pitch diameter is the adjusted cell."""
    found = limits(thread(size), external=True)
    assert found.pitch_max - found.pitch_min == pytest.approx(FLANK_OF_THE_SCREW[size] * MICROMETRE)


@pytest.mark.parametrize("size", FLANK_OF_THE_NUT)
def test_flank_tolerance_of_the_nut_is_the_tabled_cell(size):
    """The tolerance of the nut's pitch diameter is the adjusted cell."""
    found = limits(thread(size), external=False)
    assert found.pitch_max - found.pitch_min == pytest.approx(FLANK_OF_THE_NUT[size] * MICROMETRE)


@pytest.mark.parametrize("size", CREST_OF_THE_NUT)
def test_crest_tolerance_of_the_nut_is_the_tabled_cell(size):
    """The tolerance of the nut's minor diameter is the adjusted cell."""
    found = limits(thread(size), external=False)
    assert found.minor_max - found.minor_min == pytest.approx(CREST_OF_THE_NUT[size] * MICROMETRE)


NUT_FLANK_6H = {  # tap catalogue of 2021, pp. 645 and 656
    "M1.6": 85,
    "M2": 90,
    "M2.5": 95,
    "M3": 100,
    "M3.5": 112,
    "M4": 118,
    "M4.5x0.75": 118,
    "M5": 125,
    "M6": 150,
    "M8": 160,
}
NUT_TOP_6G = {"M1.6": 104, "M3": 120, "M3.5": 133, "M4": 140, "M5": 149, "M6": 176, "M8": 188}  # the same


@pytest.mark.parametrize("size", NUT_FLANK_6H)
def test_nut_flank_of_6h_is_the_catalogue_one(size):
    """The tolerance of the nut's pitch diameter at 6H is what tap makers print."""
    t = thread(size)
    assert limits(t, external=False).pitch_max - t.pitch_d == pytest.approx(NUT_FLANK_6H[size] * MICROMETRE)


@pytest.mark.parametrize("size", NUT_TOP_6G)
def test_nut_top_of_6g_is_the_catalogue_one(size):
    """Deviation G and tolerance together are what tap makers print."""
    t = thread(size)
    top = limits(t, external=False, fit="6G").pitch_max - t.pitch_d
    assert top == pytest.approx(NUT_TOP_6G[size] * MICROMETRE)


ROOTS = {  # flat maximum d1, rounded minimum d3; M5 is 3.868 or 3.869 by source
    "M3": (2.438, 2.272),
    "M4": (3.220, 3.002),
    "M6": (4.891, 4.596),
    "M8x1": (6.891, 6.596),
    "M10x0.75": (9.166, 8.929),
}
ONE_DIGIT = 1e-3  # mm: the charts round basic sizes and limits one after the other


@pytest.mark.parametrize("size", ROOTS)
def test_minor_limits_of_the_screw_are_the_printed_ones(size):
    """The GO limit of the minor diameter and the deepest rounded root agree to one printed digit."""
    found = limits(thread(size), external=True)
    assert (found.minor_max, found.minor_min) == pytest.approx(ROOTS[size], abs=ONE_DIGIT)


FINE_SCREWS = {"M3": 2.607, "M6": 5.253, "M10x0.75": 9.428}


@pytest.mark.parametrize("size", FINE_SCREWS)
def test_least_pitch_diameter_of_4g6g_is_the_printed_one(size):
    """The least pitch diameter at 4g6g agrees to half a digit."""
    found = limits(thread(f"{size}-4g6g"), external=True)
    assert found.pitch_min == pytest.approx(FINE_SCREWS[size], abs=HALF_A_DIGIT)


LARGEST_ADJUSTMENT = 0.07  # R40 steps are 6 %; the standard moves a cell by one step and rounds


def test_tabled_tolerances_follow_the_formulas_of_clause_13():
    """Every flank cell is its formula rounded to a preferred number, but for cells adjusted by one step."""
    shares = {"Td2_3": 0.5, "Td2_4": 0.63, "Td2_5": 0.8, "Td2_6": 1, "Td2_7": 1.25, "Td2_8": 1.6, "Td2_9": 2}
    shares |= {"TD2_4": 0.85, "TD2_5": 1.06, "TD2_6": 1.32, "TD2_7": 1.7, "TD2_8": 2.12}
    for row in rows("iso965_pitch_diameter"):
        mean = math.sqrt(float(row["over"]) * float(row["up_to"]))
        six = 90 * float(row["pitch"]) ** 0.4 * mean**0.1
        for cell, share in shares.items():
            if row[cell]:
                assert float(row[cell]) == pytest.approx(share * six, rel=LARGEST_ADJUSTMENT), (row, cell)


def test_a_published_stripping_example_takes_the_wrong_limit():
    """A textbook takes 9.968 for the least major diameter of M10-6g; that is the greatest one."""
    found = limits(thread("M10"), external=True)
    assert (found.major_max, found.major_min) == pytest.approx((9.968, 9.732), abs=HALF_A_DIGIT)
