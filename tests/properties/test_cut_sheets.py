"""Laws of the cut sheet: followed on the simulated lathe it gives the part, and nothing goes wrong."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings

from tests.parts import parts
from turnmodel.analysis.plan.job import CLOSE
from turnmodel.analysis.plan.lathe import turned_out
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.rounding import plunges
from turnmodel.analysis.plan.side import as_seen
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.features.operation import Operation
from turnmodel.design.part import built
from turnmodel.geometry.boolean import intersection
from turnmodel.geometry.moments import area

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
def test_no_plunge_of_a_table_cuts_the_part(part):
    """Every plunge of every step table stays outside what must stay."""
    made = built(part)
    for setting in cut_plan(part, assumed_tools()).settings:
        for step in setting.steps:
            for cut in plunges(step.table, 60.0) if step.table else ():
                placed = as_seen(cut, made.length, setting.out)
                assert area(intersection(placed, made.body.plain)) <= CLOSE


@many
@given(parts())
def test_every_feature_is_made_by_a_step(part):
    """No knurl, thread or hole of the script is left out, and only what cuts nothing has no step."""
    plan = cut_plan(part, assumed_tools())
    verbs = [step.verb for step in plan.steps]
    made = {(step.verb, step.feature) for step in plan.steps}
    turned = built(part)
    for place in turned.outside:
        if place.feature.operation is Operation.THREAD:
            assert (Verb.THREAD, place.title) in made
        if getattr(place.feature, "knurled", None) is not None:
            assert (Verb.KNURL, place.title) in made
    for hole in turned.inside:
        if hole.thread is not None:
            assert (Verb.TAP, hole.title) in made
    for cut in turned.across:
        assert any(feature == cut.title for _, feature in made)
    assert verbs.count(Verb.HOLD) == 2
    assert verbs.count(Verb.PART_OFF) == 1


@many
@given(parts())
def test_each_end_is_cut_in_one_setting(part):
    """What is cut from an end and not right through is cut while that end stands out."""
    plan = cut_plan(part, assumed_tools())
    sides = {hole.title: "back" if hole.from_back else "front" for hole in built(part).inside}
    through = {h.title for h in built(part).inside if getattr(h.feature, "through", False)}
    for setting in plan.settings:
        for step in setting.steps:
            if step.feature in sides and step.feature not in through:
                assert sides[step.feature] == setting.out
