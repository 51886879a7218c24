"""Tap drills against published charts.

Sources: drill and tap chart, 75 and 50 %; tap drill chart, metric coarse; Institut fuer Berufliche
Entwicklung, "Thread Cutting by Dies and Taps", App. 1 (without its misprint at M9x1); a model-engineering
society's thread table. The percentages of the first chart were computed from both conventions,
independently of this program, and are printed to a tenth.
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.drills import drill
from turnmodel.catalog.tapping import percent_of_thread, tap_drill
from turnmodel.catalog.thread_limits import limits
from turnmodel.catalog.threads import thread
from turnmodel.units import inch

HALF_A_PERCENT_DIGIT = 0.05 + 1e-9  # %
HALF_A_TENTH_THOU = 0.5e-4 + 1e-9  # in

INCH = {
    # thread: drill, its diameter [in], percent by 3H/4 and by 5H/8, and the 50 % drill
    "0-80": ("3/64", 0.0469, 80.7, 96.8, "#55", 0.0520),
    "2-56": ("#50", 0.0700, 69.0, 82.8, "#49", 0.0730),
    "4-40": ("#43", 0.0890, 70.8, 85.0, "#41", 0.0960),
    "6-32": ("#36", 0.1065, 77.6, 93.1, "#32", 0.1160),
    "8-32": ("#29", 0.1360, 69.0, 82.8, "#27", 0.1440),
    "10-32": ("#21", 0.1590, 76.4, 91.6, "#18", 0.1695),
    "1/4-20": ("#7", 0.2010, 75.4, 90.5, "7/32", 0.2188),
    "1/4-28": ("#3", 0.2130, 79.8, 95.7, "#1", 0.2280),
    "5/16-18": ("F", 0.2570, 76.9, 92.3, "J", 0.2770),
    "3/8-16": ("5/16", 0.3125, 77.0, 92.4, "Q", 0.3320),
    "3/8-24": ("Q", 0.3320, 79.4, 95.3, "S", 0.3480),
    "7/16-20": ("25/64", 0.3906, 72.2, 86.6, "13/32", 0.4062),
    "1/2-13": ("27/64", 0.4219, 78.2, 93.8, "29/64", 0.4531),
}


@pytest.mark.parametrize("size", INCH)
def test_inch_tap_drill_is_the_charted_one(size):
    """The drill, its diameter and its percentages by both conventions are the chart's."""
    name, diameter, by_3h4, by_5h8, _, _ = INCH[size]
    found = tap_drill(thread(size))

    assert found.drill == drill(name)
    assert found.drill.diameter / inch == pytest.approx(diameter, abs=HALF_A_TENTH_THOU)
    left = [percent_of_thread(found.thread, diameter * inch, convention) for convention in ("3H/4", "5H/8")]
    assert left == pytest.approx((by_3h4, by_5h8), abs=HALF_A_PERCENT_DIGIT)


@pytest.mark.parametrize("size", INCH)
def test_fifty_percent_drill_leaves_about_half_the_thread(size):
    """The chart's 50 % drill has its printed diameter; the nearest stock drill leaves 42 to 62 % by 3H/4."""
    *_, name, diameter = INCH[size]
    hole = drill(name).diameter

    assert hole / inch == pytest.approx(diameter, abs=HALF_A_TENTH_THOU)
    assert 42 < percent_of_thread(thread(size), hole) < 62


METRIC = {
    "M1.6": 1.25,
    "M2": 1.60,
    "M2.5": 2.05,
    "M3": 2.50,
    "M4": 3.30,
    "M5": 4.20,
    "M6": 5.00,
    "M7": 6.00,
    "M8": 6.70,
    "M6x0.75": 5.2,
    "M8x0.75": 7.2,
    "M8x1": 7.0,
    "M10x0.75": 9.2,
    "M10x1": 9.0,
    "M10x1.25": 8.8,
    "M12x1": 11.0,
    "M12x1.25": 10.8,
    "M12x1.5": 10.5,
}


@pytest.mark.parametrize("size", METRIC)
def test_metric_tap_drill_is_the_charted_one_and_lies_within_6h(size):
    """The drill is the chart's, and a hole of its diameter passes as the minor diameter of 6H."""
    t = thread(size)
    found = tap_drill(t).drill.diameter
    nut = limits(t, external=False)

    assert found == pytest.approx(METRIC[size], abs=1e-9)
    assert nut.minor_min <= found <= nut.minor_max


SOCIETY = {
    "0BA": "#10",
    "1BA": "#17",
    "2BA": "#24",
    "3BA": "#29",
    "4BA": "#32",
    "5BA": "#37",
    "6BA": "#43",
    "7BA": "#46",
    "8BA": "#50",
    "10BA": "#55",
    "ME 5/32-40": "#30",
    "ME 3/16-40": "5/32",
    "ME 7/32-40": "3/16",
    "ME 1/4-40": "7/32",
    "ME 5/16-32": "J",
    "ME 3/8-32": "Q",
    "ME 3/8-40": "11/32",
}


@pytest.mark.parametrize("size", SOCIETY)
def test_model_engineers_tap_drill_is_the_tabled_one(size):
    """BA and Model Engineer drills are the society's."""
    assert tap_drill(thread(size)).drill == drill(SOCIETY[size])
