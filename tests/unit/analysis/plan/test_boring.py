"""From which diameter a hole is bored, and how its floor is cut."""

from __future__ import annotations

import pytest

from tests.held import plain
from turnmodel import bore, drill
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.tools import assumed_tools


def bored(*features):
    """The step that bores, of a part with these features at its front."""
    (step,) = (s for s in cut_plan(plain(from_front=features), assumed_tools()).steps if s.verb is Verb.BORE)
    return step


def test_boring_is_counted_from_the_wall_and_not_from_the_point_of_the_drill():
    """The tool first touches the wall of the 8 mm drill; the cone under it is faced out from the centre."""
    step = bored(bore(8.5, depth=5))
    assert step.text == "⌀8.50 from ⌀8.00, 5.00 deep, the floor faced flat out from the centre"
    assert step.passes[-1].dial == pytest.approx((8.5 - 8.0) / 2 / 0.025)


def test_a_floor_over_a_smaller_hole_is_faced_out_from_it():
    """What the larger drill's point left round the smaller hole is no wall to count from."""
    step = bored(drill("6 mm", through=True), bore(11.8, depth=20))
    assert "from ⌀11.113" in step.text
    assert "20.00 deep, the floor faced flat out from the ⌀6.00 hole" in step.text


def test_a_shoulder_in_a_hole_is_counted_from_the_hole():
    """Where the hole goes on under the bore its wall takes the first cut over the whole depth."""
    step = bored(drill("6 mm", depth=25), bore(8.5, depth=12))
    assert step.text == "⌀8.50 from ⌀6.00, 12.00 deep, the floor flat"
