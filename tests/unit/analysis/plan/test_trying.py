"""When which part is tried on which."""

from __future__ import annotations

from pathlib import Path

from turnmodel.analysis.plan.planner import cut_plans
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.loading import load

DESIGNS = Path(__file__).parents[4] / "designs"


def tries(name):
    """What is tried in each setting or at the bench of a design's parts, with the verb before it."""
    plans = cut_plans(load(DESIGNS / f"{name}.py")[0], assumed_tools())
    return {
        part: [
            (before.verb, step.text.partition(":")[0])
            for group in (*plan.settings, *plan.bench)
            for before, step in zip(group.steps, group.steps[1:], strict=False)
            if step.verb is Verb.TRY
        ]
        for part, plan in plans.items()
    }


def test_a_part_is_tried_on_what_is_made_before_it():
    """The refill is there from the start; the cap waits for the body."""
    found = tries("pocket_pen")
    assert found["body"] == [(Verb.DRILL, "the ink")]
    assert found["cap"] == [(Verb.TAP, "the body")]
    assert found["plug"] == [(Verb.THREAD, "the body")]


def test_a_thread_is_tried_before_the_part_is_let_go():
    """While it is still in the chuck it can be cut again."""
    plan = cut_plans(load(DESIGNS / "needle_case.py")[0], assumed_tools())["lid"]
    verbs = [step.verb for step in plan.settings[0].steps]
    assert verbs.index(Verb.TAP) < verbs.index(Verb.TRY) < verbs.index(Verb.PART_OFF)


def test_a_press_fit_is_measured_and_not_tried():
    """The allowance is told."""
    plan = cut_plans(load(DESIGNS / "needle_case.py")[0], assumed_tools())["foot"]
    (step,) = (s for s in plan.steps if s.verb is Verb.TRY)
    assert step.text == "the tube: measure both: the inner is 0.015 mm the larger, and does not go in by hand"
