"""From which end a hole is drilled, and whether the drill gets there."""

from __future__ import annotations

from dataclasses import replace

from tests.held import plain
from turnmodel import bore, cylinder, drill, tap
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.drills import drill as twist
from turnmodel.catalog.tools import assumed_tools

TOOLS = replace(
    assumed_tools(), drills=tuple(twist(f"{d} mm") for d in (2, 2.5, 3, 3.5, 4, 5, 6, 7, 8, 9, 10))
)
"""Jobber drills alone: by DIN 338 one of 3.5 mm is 70 mm long, one of 3 mm 61 mm, from memory."""


def drilled(part, size):
    """Which end stands out when a drill is used, and the steps."""
    plan = cut_plan(part, TOOLS)
    return plan, [
        (setting.out, step)
        for setting in plan.settings
        for step in setting.steps
        if step.verb is Verb.DRILL and size in step.tools[0].size and "first" not in step.text
    ]


def test_a_hole_that_a_drill_reaches_from_its_own_end_only_is_drilled_from_there():
    """A drill of 70 mm, held in a chuck, does not get 73 mm deep, but from the other end 32 mm are left."""
    part = plain(
        cylinder(12, 70), stock="14 mm",
        from_front=[drill("8 mm", depth=38)], from_back=[drill("3.5 mm", through=True)],
    )  # fmt: skip
    _, steps = drilled(part, "3.5 mm")
    ((out, step),) = steps
    assert out == "back"
    assert step.tools[0].owned
    assert "through into the hole from the other end" in step.text


def test_a_short_hole_is_still_drilled_through_at_once():
    """What the drill reaches in one go runs true from end to end."""
    part = plain(
        cylinder(12, 30), stock="14 mm",
        from_front=[drill("8 mm", depth=12), bore(9, depth=3)], from_back=[drill("3.5 mm", through=True)],
    )  # fmt: skip
    plan, ((out, _),) = drilled(part, "3.5 mm")
    assert out == plan.settings[0].out


def test_a_hole_too_long_for_its_drill_is_drilled_from_both_ends():
    """A drill of 61 mm does half of 90 mm from either end, 10 mm of it in the chuck."""
    plan, steps = drilled(
        plain(cylinder(12, 90), stock="14 mm", from_front=[drill("3 mm", through=True)]), "3 mm"
    )
    assert [out for out, _ in steps] == ["front", "back"]
    assert "45.00 at full diameter" in steps[0][1].text
    assert plan.missing == ()


def test_a_tap_finds_the_hole_it_needs():
    """A thread that is cut from the front wants its hole before the part is turned round."""
    part = plain(
        cylinder(12, 100), stock="14 mm",
        from_front=[tap("M6", depth=8)], from_back=[drill("5 mm", through=True)],
    )  # fmt: skip
    one, two = drilled(part, "5 mm")[0].settings
    order = [step.verb for step in one.steps]
    assert order.index(Verb.DRILL) < order.index(Verb.TAP)
    assert Verb.DRILL in [step.verb for step in two.steps]


def test_a_hole_that_no_drill_reaches_asks_for_a_longer_one():
    """No jobber drill of 3 mm gets half through 130 mm: the sheet says how long one is needed."""
    plan, steps = drilled(
        plain(cylinder(12, 130), stock="14 mm", from_front=[drill("3 mm", through=True)]), "3 mm"
    )
    ((_, step),) = steps
    assert [str(tool) for tool in plan.missing] == ["extra long 3 mm drill"]
    assert "long at least, to be held" in step.text


def test_a_bore_begins_in_the_hole_of_a_drill_that_is_there():
    """A drill of 9 mm whose flutes end 9 mm short of the far side is cleared oftener, and none is bought."""
    plan = cut_plan(plain(cylinder(12, 90), stock="14 mm", from_front=[bore(9.7, through=True)]), TOOLS)
    (step,) = (s for s in plan.steps if s.verb is Verb.DRILL and "9 mm" in s.text)
    assert "its flutes are 81.0 long: clear it every 4.5 from there" in step.text
    assert plan.missing == ()
