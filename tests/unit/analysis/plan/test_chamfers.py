"""How the chamfer between two lengths is written: as it is cut."""

from __future__ import annotations

import math
import re

import pytest

from tests.held import plain
from turnmodel import chamfer, cone, cylinder, dome
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.tools import assumed_tools


def chamfered(*outside):
    """The words of every chamfer of a part."""
    steps = cut_plan(plain(*outside, stock="14 mm"), assumed_tools()).steps
    return [step.text for step in steps if step.verb is Verb.CHAMFER]


def slope(text):
    """The angle that a chamfer says, and the one between the two ends that it says, [degrees]."""
    found = re.match(
        r"([\d.]+)° to the axis by the top slide, ⌀([\d.]+) at ([\d.]+) to ⌀([\d.]+) at ([\d.]+)$", text
    )
    angle, d0, u0, d1, u1 = map(float, found.groups())
    return angle, math.degrees(math.atan2(abs(d1 - d0) / 2, u1 - u0))


def test_a_chamfer_onto_a_taper_is_written_by_its_own_slope():
    """45 degrees would cut a vee into a taper of 4.29 degrees: what is cut there lies at half of that."""
    (text,) = chamfered(cylinder(12, 20, back=chamfer(0.4)), cone(12, 9, length=20))
    said, drawn = slope(text)
    taper = math.degrees(math.atan(1.5 / 20))
    assert said == pytest.approx(taper / 2, abs=0.06)  # a cut 0.4 mm along both, in tenths of a degree
    assert said == pytest.approx(drawn, abs=0.4)  # diameters to 0.01 mm over 0.8 mm
    assert "⌀11.94 at 19.60 to ⌀12.00 at 20.40" in text


def test_a_chamfer_onto_a_curve_is_written_by_its_own_slope():
    """A dome does not meet its cylinder square, so a 45 degree tool does not cut what is drawn."""
    texts = chamfered(dome(12, length=3), cylinder(12, 20, edges=chamfer(0.3)))
    (said, drawn) = slope(next(text for text in texts if "to the axis" in text))
    assert said == pytest.approx(drawn, abs=1.5)  # stations to 0.01 mm over 0.5 mm
    assert said < 40


@pytest.mark.parametrize("edge", [chamfer(0.4), chamfer(0.4, angle=30)])
def test_a_chamfer_at_a_face_is_written_as_it_is_asked_for(edge):
    """There the tool of that angle cuts it."""
    (text,) = chamfered(cylinder(12, 20, front=edge))
    assert text == f"0.40 x {edge.angle:g}° on ⌀12.00 at 0.00"
