"""Percentages of thread against Machinery's Handbook.

Source: Machinery's Handbook 31, p. 2155, table 2: decimal tap drills and the percentage of full thread they
leave, printed in whole percents and counted by 3H/4.
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.drills import drill
from turnmodel.catalog.tapping import percent_of_thread
from turnmodel.catalog.threads import thread
from turnmodel.units import inch

ONE_POINT = 1.0  # %: the handbook's own rounding of D and 1.299

PERCENT = {
    "2-56": {0.0730: 56, 0.0709: 65, 0.0700: 69, 0.0689: 74},
    "2-64": {0.0748: 55, 0.0730: 64, 0.0728: 65, 0.0709: 74, 0.0700: 79},
    "3-48": {0.0846: 53, 0.0820: 63, 0.0810: 66, 0.0785: 76, 0.0781: 77},
    "1-72": {0.0635: 53, 0.0625: 58, 0.0610: 66, 0.0595: 75},
}
CASES = [(size, hole, percent) for size, row in PERCENT.items() for hole, percent in row.items()]


@pytest.mark.parametrize(("size", "hole", "percent"), CASES)
def test_percent_of_thread_is_the_handbook_one(size, hole, percent):
    """The depth of thread left by a hole, by 3H/4, is the handbook's within a point."""
    assert percent_of_thread(thread(size), hole * inch) == pytest.approx(percent, abs=ONE_POINT)


WORKED = {("2-56", "#50"): 69, ("2-64", "#49"): 64, ("3-48", "#47"): 76}


@pytest.mark.parametrize(("size", "name"), WORKED)
def test_worked_examples_by_the_name_of_the_drill(size, name):
    """The same rows looked up by the drill's number."""
    found = percent_of_thread(thread(size), drill(name).diameter)
    assert found == pytest.approx(WORKED[size, name], abs=ONE_POINT)
