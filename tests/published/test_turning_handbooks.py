"""Figures of the cut sheet against those that handbooks work out.

Sources: rpm = 12 sfm / (pi d), shop form 3.82 sfm / d, and speeds of a small-lathe table for high-speed steel
(reference F42); points of drills of 118 degrees (F43a, f); taper tables and 'a 60 degree centre: slide at 30'
(F45, F45b); leads of taps, US Army TM 9-254, p. 4-27 (F21).
"""

from __future__ import annotations

import math
import re

import pytest

from turnmodel import Part, bar, cone, cylinder, drill, tap
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.speeds import turns
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.materials import material
from turnmodel.catalog.toolbox import Speeds
from turnmodel.catalog.tools import assumed_tools

PRINTED_RPM = 0.005
"""3.82 stands for 12 / pi: one part in 4000, and the foot is exact, [-]."""
HALF_THOU = 0.0005


def made(*outside, stock="12 mm", **features):
    """The steps of a brass part."""
    part = Part.turned("pin", material="C36000", stock=bar(stock), outside=outside, **features)
    unit = "in" if stock.endswith("in") else "mm"
    return cut_plan(part, assumed_tools(), unit).steps


def numbers(text):
    """The numbers in a text."""
    return [float(found) for found in re.findall(r"\d*\.\d+|\d+", text)]


@pytest.mark.parametrize("inches", [0.25, 0.5, 1.0])
def test_speeds_follow_the_shop_form(inches):
    """C36000 at 150 to 350 feet a minute turns 3.82 times that over its diameter in inches."""
    found = turns(material("C36000"), inches * 25.4, Speeds(steps=(1, 100_000), stepless=True))
    assert found.low == pytest.approx(3.82 * 150 / inches, rel=PRINTED_RPM)
    assert found.high == pytest.approx(3.82 * 350 / inches, rel=PRINTED_RPM)


@pytest.mark.parametrize(("size", "point"), [("#37", 0.031), ("1/2 in", 0.150)])
def test_a_drill_goes_deeper_by_its_point(size, point):
    """Between depth at full diameter and tip lie 0.031 in for a #37, 0.150 in for a half-inch drill."""
    steps = made(cylinder(19, 40), stock="3/4 in", from_front=[drill(size, depth=20)])
    text = next(s.text for s in steps if s.verb is Verb.DRILL and s.text.startswith(size))
    deep, tip = numbers(text.partition(":")[2])[:2]
    assert tip - deep == pytest.approx(point, abs=2 * HALF_THOU)


def test_a_centre_of_60_degrees_is_turned_with_the_slide_at_30():
    """The top slide stands at half the included angle, or at what is left to 90."""
    wide = 2 * 10 * math.tan(math.radians(30))
    steps = made(cone(0.01, wide, length=10), cylinder(wide, 20))
    text = next(s.text for s in steps if s.verb is Verb.TAPER)
    assert "Top slide 29.9" in text or "Top slide 30.0" in text
    assert "(60.0" in text or "(59.9" in text


@pytest.mark.parametrize(
    ("included", "per_inch"),
    [(1, 0.01746), (2, 0.03490), (5, 0.08732), (10, 0.17498), (20, 0.35266), (30, 0.53590)],
)
def test_tapers_agree_with_the_taper_per_inch(included, per_inch):
    """A taper of so much on the diameter per inch is turned at half the included angle of the table."""
    steps = made(cone(5.0, 5.0 + 10 * per_inch, length=10), cylinder(11.5, 20))
    text = next(s.text for s in steps if s.verb is Verb.TAPER)
    slide = float(re.search(r"Top slide ([\d.]+)°", text)[1])
    assert slide == pytest.approx(included / 2, abs=0.006)


@pytest.mark.parametrize(("lead", "threads"), [("plug", 5), ("bottoming", 2)])
def test_a_tap_goes_deeper_by_its_lead(lead, threads):
    """Full thread ends a lead before the tap does: 5 threads for a plug tap, 2 for a bottoming one."""
    steps = made(cylinder(11.5, 40), from_front=[drill("5 mm", depth=25), tap("M6", depth=12, lead=lead)])
    text = next(s.text for s in steps if s.verb is Verb.TAP)
    full, end = re.search(r"full thread to ([\d.]+), when the tap's end is ([\d.]+)", text).groups()
    assert float(full) == 12
    assert float(end) - float(full) == pytest.approx(threads * 1.0)
