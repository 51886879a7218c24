"""Laws of the cut sheet: followed on the simulated lathe it gives the part, and nothing goes wrong."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings

from tests.parts import parts
from turnmodel.analysis.plan.lathe import CLOSE, turned_out
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.tools import assumed_tools

many = settings(suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])


@many
@given(parts())
def test_following_the_sheet_gives_the_part(part):
    """What is left of the bar is the part, and no step spoils it, slips or lacks its tool."""
    tools = assumed_tools()
    found = turned_out(cut_plan(part, tools), tools)
    assert found.mishaps == ()
    assert found.off <= CLOSE


@many
@given(parts())
def test_every_feature_is_made_by_a_step(part):
    """No thread, hole or knurl of the script is left out."""
    plan = cut_plan(part, assumed_tools())
    made = {step.feature for step in plan.steps}
    verbs = [step.verb for step in plan.steps]
    for cut in plan.steps:
        assert cut.text
    assert verbs.count(Verb.HOLD) == 2
    assert verbs.count(Verb.PART_OFF) == 1
    assert verbs.index(Verb.PART_OFF) < len(verbs) - 1
    assert made
