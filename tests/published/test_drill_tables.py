"""Drills against printed tables.

Sources: drill geometry and lengths (ISO 235, DIN 338, ASME B94.11M), public tables: points of #37 and 1/2
in, jobber lengths of 3.2, 7, 8, 8.5, 9, 10, 12 mm, 1/8, 3/16 and 1/2 in. The other lengths are from memory.
Point lengths of metric drills were computed from (d/2)/tan(59 deg).
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.drills import drill
from turnmodel.units import inch, length

POINTS = {"#37": (0.104, 0.031), "1/2 in": (0.500, 0.150)}
HALF_A_THOU = 0.5e-3  # in


@pytest.mark.parametrize("name", POINTS)
def test_points_of_inch_drills(name):
    """The 118 degree point of a drill has the printed length."""
    diameter, point = POINTS[name]
    found = drill(name)
    assert found.diameter / inch == pytest.approx(diameter, abs=HALF_A_THOU)
    assert found.point_length / inch == pytest.approx(point, abs=HALF_A_THOU)


METRIC_POINTS = {"3 mm": 0.901, "5 mm": 1.502, "6 mm": 1.803, "8 mm": 2.403, "10 mm": 3.004}


@pytest.mark.parametrize("name", METRIC_POINTS)
def test_points_of_metric_drills(name):
    """The 118 degree point is 0.3004 of the diameter."""
    assert drill(name).point_length == pytest.approx(METRIC_POINTS[name], abs=0.5e-3)


METRIC_LENGTHS = {
    2: (49, 24),
    2.5: (57, 30),
    3: (61, 33),
    3.2: (65, 36),
    3.5: (70, 39),
    4: (75, 43),
    4.5: (80, 47),
    5: (86, 52),
    5.5: (93, 57),
    6: (93, 57),
    6.5: (101, 63),
    7: (109, 69),
    8: (117, 75),
    8.5: (117, 75),
    9: (125, 81),
    10: (133, 87),
    11: (142, 94),
    12: (151, 101),
    13: (151, 101),
}


@pytest.mark.parametrize("size", METRIC_LENGTHS)
def test_metric_jobber_lengths(size):
    """Overall and flute length of metric jobber drills."""
    found = drill(f"{size} mm")
    assert (found.overall, found.flute) == METRIC_LENGTHS[size]


def test_a_jobber_of_6_2_has_63_millimetres_of_flute():
    """A bore for a 98 mm refill at 6.2 mm needs a longer drill than a jobber."""
    assert drill("6.2 mm").flute == 63
    assert drill("6.2 mm long").flute > 90


INCH_LENGTHS = {
    "1/8": ("1 5/8", "2 3/4"),
    "5/32": ("2", "3 1/8"),
    "3/16": ("2 5/16", "3 1/2"),
    "7/32": ("2 1/2", "3 3/4"),
    "1/4": ("2 3/4", "4"),
    "9/32": ("2 15/16", "4 1/4"),
    "5/16": ("3 3/16", "4 1/2"),
    "11/32": ("3 7/16", "4 3/4"),
    "3/8": ("3 5/8", "5"),
    "13/32": ("3 7/8", "5 1/4"),
    "7/16": ("4 1/16", "5 1/2"),
    "15/32": ("4 5/16", "5 3/4"),
    "1/2": ("4 1/2", "6"),
}


@pytest.mark.parametrize("size", INCH_LENGTHS)
def test_inch_jobber_lengths(size):
    """Flute and overall length of fractional jobber drills."""
    found = drill(size)
    flute, overall = INCH_LENGTHS[size]
    assert (found.flute, found.overall) == (length(f"{flute} in"), length(f"{overall} in"))
