"""The simulated lathe finds what is wrong with a plan that was spoiled on purpose."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.held import plain
from turnmodel import chamfer, cylinder, drill, relief, tap, thread
from turnmodel.analysis.plan.lathe import stages, turned_out
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.steps import Grip, Tool, Verb
from turnmodel.catalog.tools import assumed_tools
from turnmodel.geometry.boolean import union
from turnmodel.geometry.region import ring

TOOLS = assumed_tools()
PIN = plain(
    thread("M8x0.75", 6),
    relief(),
    cylinder(14, 20, edges=chamfer(0.3)),
    from_back=[drill("5 mm", depth=12), tap("M6", depth=7)],
    name="pin",
)


def spoiled(change, verb, setting=1):
    """The mishaps of the pin's plan with the steps of one verb in a setting changed."""
    plan = cut_plan(PIN, TOOLS)
    steps = [new for s in plan.settings[setting].steps for new in (change(s) if s.verb is verb else (s,))]
    settings = list(plan.settings)
    settings[setting] = replace(settings[setting], steps=tuple(steps))
    return "; ".join(turned_out(replace(plan, settings=tuple(settings)), TOOLS).mishaps)


def gripped(grip, setting=1):
    """The mishaps of the pin's plan held in another way."""
    plan = cut_plan(PIN, TOOLS)
    settings = list(plan.settings)
    settings[setting] = replace(settings[setting], grip=grip)
    return "; ".join(turned_out(replace(plan, settings=tuple(settings)), TOOLS).mishaps)


def test_a_sound_plan_has_no_mishap():
    """What is left of the bar is the part."""
    found = turned_out(cut_plan(PIN, TOOLS), TOOLS)
    assert (found.mishaps, found.off) == ((), pytest.approx(0, abs=1e-9))


def test_a_step_left_out_shows():
    """Without the relief the part is not the part."""
    assert "what is left differs from the part by" in spoiled(lambda s: (), Verb.NECK)


def test_a_cut_too_deep_shows():
    """A cut into what must stay is told with its step."""
    gouged = spoiled(lambda s: (replace(s, removes=union(s.removes, ring(15, 16, 14, 12))),), Verb.NECK)
    assert "pin, front out, neck relief (outside 2): cuts 1 mm2 of what must stay" in gouged


def test_a_step_done_twice_shows():
    """The second time it cuts nothing."""
    assert "cuts nothing" in spoiled(lambda s: (s, s), Verb.NECK)


def test_a_grip_on_air_shows():
    """Beyond the parted end there is nothing."""
    thin = Grip(by="cylinder", start=28, end=33, diameter=14)
    assert "pin, front out, hold: grips between 28.00 and 33.00 mm what is not there" in gripped(thin)


def test_a_grip_that_does_not_go_on_shows():
    """A collet of 8 mm is too small for the 14 mm cylinder."""
    small = Grip(by="cylinder", start=12, end=20, diameter=8)
    assert "does not go on between 12.00 and 20.00 mm" in gripped(small)


def test_a_grip_that_is_cut_away_shows():
    """Jaws on what the setting turns off lose the work."""
    over = Grip(by="cylinder", start=5, end=20, diameter=14)
    found = gripped(over).split("; ")
    assert found[0].startswith("pin, front out, turn thread (outside 1): grips between 5.00 and 20.00 mm")


@pytest.mark.parametrize(
    "tool",
    [
        Tool(kind="drill", size="5.03 mm"),
        Tool(kind="plug tap", size="M6x0.5"),
        Tool(kind="die", size="M8x0.5"),
        Tool(kind="reamer", size="5.1 mm"),
    ],
)
def test_a_tool_that_is_not_there_shows(tool):
    """A step may not need a tool that nobody has, unless the sheet says that it is missing."""
    taken = spoiled(lambda s: (replace(s, tools=(tool,)),), Verb.NECK)
    assert f"there is no {tool}" in taken
    told = spoiled(lambda s: (replace(s, tools=(replace(tool, owned=False),)),), Verb.NECK)
    assert told == ""


def test_stages_begin_with_bar_and_end_with_the_part():
    """The sketches show the bar first, and the part last."""
    (before, _), (_, after) = stages(cut_plan(PIN, TOOLS), TOOLS)
    assert len(before.loops[0]) == 4
    assert len(after.loops) == 1
