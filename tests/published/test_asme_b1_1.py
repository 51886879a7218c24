"""Unified limits of size against printed ones.

Sources: "Unified Screw Threads, Standard Series", public engineering reference, for 0-80, 1-72, 2-56 and
2-64; public table "Internal Thread Dimensions for UNC" for 2B of the coarse sizes, without its misprints;
public table "Major Diameter Tolerances, External Threads" (ASME B1.1). The other rows were computed by ASME
B1.1's formulas, independently of this program. Diameters are printed to four decimals of an inch.
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.thread_limits import limits
from turnmodel.catalog.threads import thread
from turnmodel.units import inch

HALF_A_DIGIT = 0.5e-4 + 1e-9  # in, and rounding

SIZES = {
    # thread: D, E, K, major max, min, pitch max, min (2A), minor min, max, pitch min, max (2B)
    "0-80 UNF": (0.0600, 0.0519, 0.0465, 0.0595, 0.0563, 0.0514, 0.0496, 0.0465, 0.0514, 0.0519, 0.0542),
    "1-72 UNF": (0.0730, 0.0640, 0.0580, 0.0724, 0.0689, 0.0634, 0.0615, 0.0580, 0.0635, 0.0640, 0.0665),
    "2-56 UNC": (0.0860, 0.0744, 0.0667, 0.0854, 0.0813, 0.0738, 0.0717, 0.0667, 0.0737, 0.0744, 0.0772),
    "2-64 UNF": (0.0860, 0.0759, 0.0691, 0.0854, 0.0816, 0.0753, 0.0733, 0.0691, 0.0753, 0.0759, 0.0786),
    "3-48 UNC": (0.0990, 0.0855, 0.0764, 0.0983, 0.0938, 0.0848, 0.0825, 0.0764, 0.0845, 0.0855, 0.0885),
    "4-40 UNC": (0.1120, 0.0958, 0.0849, 0.1112, 0.1061, 0.0950, 0.0925, 0.0849, 0.0939, 0.0958, 0.0991),
    "4-48 UNF": (0.1120, 0.0985, 0.0894, 0.1113, 0.1068, 0.0978, 0.0954, 0.0894, 0.0968, 0.0985, 0.1016),
    "6-32 UNC": (0.1380, 0.1177, 0.1042, 0.1372, 0.1312, 0.1169, 0.1141, 0.1042, 0.1140, 0.1177, 0.1214),
    "6-40 UNF": (0.1380, 0.1218, 0.1109, 0.1372, 0.1321, 0.1210, 0.1184, 0.1109, 0.1186, 0.1218, 0.1252),
    "8-32 UNC": (0.1640, 0.1437, 0.1302, 0.1631, 0.1571, 0.1428, 0.1399, 0.1302, 0.1389, 0.1437, 0.1475),
    "10-24 UNC": (0.1900, 0.1629, 0.1449, 0.1890, 0.1818, 0.1619, 0.1586, 0.1449, 0.1555, 0.1629, 0.1672),
    "10-32 UNF": (0.1900, 0.1697, 0.1562, 0.1891, 0.1831, 0.1688, 0.1658, 0.1562, 0.1641, 0.1697, 0.1736),
    "1/4-20 UNC": (0.2500, 0.2175, 0.1959, 0.2489, 0.2408, 0.2164, 0.2127, 0.1959, 0.2074, 0.2175, 0.2224),
    "1/4-28 UNF": (0.2500, 0.2268, 0.2113, 0.2490, 0.2425, 0.2258, 0.2225, 0.2113, 0.2197, 0.2268, 0.2311),
    "5/16-18 UNC": (0.3125, 0.2764, 0.2524, 0.3113, 0.3026, 0.2752, 0.2712, 0.2524, 0.2651, 0.2764, 0.2817),
    "5/16-32 UNEF": (0.3125, 0.2922, 0.2787, 0.3115, 0.3055, 0.2912, 0.2879, 0.2787, 0.2861, 0.2922, 0.2965),
    "3/8-16 UNC": (0.3750, 0.3344, 0.3073, 0.3737, 0.3643, 0.3331, 0.3287, 0.3073, 0.3214, 0.3344, 0.3401),
    "3/8-24 UNF": (0.3750, 0.3479, 0.3299, 0.3739, 0.3667, 0.3468, 0.3430, 0.3299, 0.3396, 0.3479, 0.3528),
    "7/16-14 UNC": (0.4375, 0.3911, 0.3602, 0.4361, 0.4258, 0.3897, 0.3850, 0.3602, 0.3760, 0.3911, 0.3972),
    "7/16-28 UNEF": (0.4375, 0.4143, 0.3988, 0.4364, 0.4299, 0.4132, 0.4096, 0.3988, 0.4072, 0.4143, 0.4190),
    "1/2-13 UNC": (0.5000, 0.4500, 0.4167, 0.4985, 0.4876, 0.4485, 0.4435, 0.4167, 0.4336, 0.4500, 0.4565),
    "1/2-20 UNF": (0.5000, 0.4675, 0.4459, 0.4987, 0.4906, 0.4662, 0.4619, 0.4459, 0.4574, 0.4675, 0.4731),
    "1/2-28 UNEF": (0.5000, 0.4768, 0.4613, 0.4989, 0.4924, 0.4757, 0.4720, 0.4613, 0.4697, 0.4768, 0.4816),
}


@pytest.mark.parametrize("size", SIZES)
def test_limits_of_2a_and_2b_are_the_printed_ones(size):
    """Basic diameters and all limits of 2A and 2B agree to half a ten-thousandth of an inch."""
    t = thread(size)
    screw, nut = limits(t, external=True), limits(t, external=False)
    found = (
        *(t.major_d, t.pitch_d, t.minor_d),
        *(screw.major_max, screw.major_min, screw.pitch_max, screw.pitch_min),
        *(nut.minor_min, nut.minor_max, nut.pitch_min, nut.pitch_max),
    )
    assert [d / inch for d in found] == pytest.approx(SIZES[size], abs=HALF_A_DIGIT)


def test_allowance_and_tolerance_are_rounded_before_they_are_subtracted():
    """The least pitch diameter of 2-56 2A is .0717; rounding only the result gives .0716."""
    assert limits(thread("2-56"), external=True).pitch_min / inch == pytest.approx(0.0717, abs=1e-9)


def test_greatest_pitch_diameter_of_quarter_twenty_2b_is_on_the_rounding_edge():
    """The tolerance .00485 of 1/4-20 2B rounds up, as tables print: .2224, not .2223."""
    assert limits(thread("1/4-20"), external=False).pitch_max / inch == pytest.approx(0.2224, abs=1e-9)


CREST = {  # threads per inch: major tolerance of 2A and 3A
    80: 0.0032,
    56: 0.0041,
    40: 0.0051,
    32: 0.0060,
    28: 0.0065,
    24: 0.0072,
    20: 0.0081,
    18: 0.0087,
    16: 0.0094,
    14: 0.0103,
}


@pytest.mark.parametrize("tpi", CREST)
@pytest.mark.parametrize("fit", ["2A", "3A"])
def test_major_tolerance_is_the_printed_one(tpi, fit):
    """The tolerance of the major diameter depends on the pitch alone."""
    found = limits(thread(f"0.450-{tpi} UNS"), external=True, fit=fit)
    assert (found.major_max - found.major_min) / inch == pytest.approx(CREST[tpi], abs=1e-9)


# ASME B1.1-2003, table 2, from memory.
QUARTER_TWENTY = {"3A": (0.2500, 0.2419, 0.2175, 0.2147), "3B": (0.1959, 0.2067, 0.2175, 0.2211)}


def test_limits_of_class_3_of_quarter_twenty():
    """1/4-20 UNC at 3A and 3B has no allowance and three quarters of the tolerance."""
    t = thread("1/4-20 UNC")
    screw, nut = limits(t, external=True, fit="3A"), limits(t, external=False, fit="3B")

    found = (screw.major_max, screw.major_min, screw.pitch_max, screw.pitch_min)
    assert [d / inch for d in found] == pytest.approx(QUARTER_TWENTY["3A"], abs=HALF_A_DIGIT)
    found = (nut.minor_min, nut.minor_max, nut.pitch_min, nut.pitch_max)
    assert [d / inch for d in found] == pytest.approx(QUARTER_TWENTY["3B"], abs=HALF_A_DIGIT)


NUMBER_SIZES = {"#0-80": 0.060, "#3-48": 0.099, "#5-40": 0.125, "#10-32": 0.190}  # society's table


@pytest.mark.parametrize("size", NUMBER_SIZES)
def test_number_sizes_step_by_thirteen_thou(size):
    """A number size is .060 in and .013 in for each number."""
    assert thread(size).major_d / inch == pytest.approx(NUMBER_SIZES[size], abs=1e-9)
