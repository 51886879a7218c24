"""Threads on the cut sheet: what the bar is turned to, what the dial shows, which taps and how far.

Limits of M12-6g are 11.701 and 11.966 mm (ISO 965-1); roots are d - 1.2269 P (ISO 898-1, from memory);
leads of taps are 7 to 10, 3 to 5 and 1 to 2 pitches (US Army TM 9-254). Tapping until the whole lead is out
of the far end, and a taper tap, else a plug tap for a hole right through, are common practice.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.held import found, plain
from turnmodel import bore, chamfer, cylinder, drill, groove, knurl, relief, tap, thread
from turnmodel.analysis.plan.lathe import turned_out
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.tools import assumed_tools

TOOLS = assumed_tools()
HALF_DIVISION = 0.05  # of the dial, to which its readings are rounded


def with_taps(*leads):
    """The assumed tools with taps of these leads only."""
    return replace(TOOLS, taps=tuple(owned for owned in TOOLS.taps if owned.lead in leads))


def the(plan, verb):
    """The only step of a verb."""
    (step,) = (step for step in plan.steps if step.verb is verb)
    return step


def read(diameter, dial):
    """The diameter [mm] that a dial shows, counted from another."""
    return diameter - 2 * dial * TOOLS.lathe.dial_division


@pytest.mark.parametrize(
    ("cut", "turned"),
    [(thread("M12", 10), (11.701 + 11.966) / 2), (thread("M12", 10, diameter=11.9), 11.9)],
    ids=["class", "written"],
)
def test_the_dial_of_a_thread_counts_from_what_was_turned(cut, turned):
    """The tool first touches the turned bar, and its last reading is the root of M12, 9.853 mm."""
    root = 12 - 1.226869 * 1.75
    plan = cut_plan(plain(cut, relief(), cylinder(16, 12)), replace(TOOLS, dies=()))
    step = the(plan, Verb.THREAD)

    assert step.passes[-1].diameter == pytest.approx(root, abs=1e-5)
    off = 2 * HALF_DIVISION * TOOLS.lathe.dial_division + 0.001  # limits are tabled to 0.001 mm
    assert read(turned, step.passes[-1].dial) == pytest.approx(root, abs=off)
    assert f"{(turned - root) / 2:.2f} deep" in step.text
    (bar,) = (s for s in plan.steps if s.verb is Verb.TURN and s.feature == step.feature)
    assert bar.passes[-1].diameter == pytest.approx(turned, abs=0.001)


@pytest.mark.parametrize("stock", ["20 mm", "12 mm"])
@pytest.mark.parametrize("first", [True, False], ids=["thread first", "rod first"])
def test_a_thread_on_a_rod_of_its_own_diameter_is_turned_down_by_itself(stock, first):
    """M12 is turned to 11.834 mm, the 12 mm rod beside it stays 12 mm, whether turned or bought so."""
    both = [thread("M12", 10), cylinder(12, 10)]
    plan = cut_plan(plain(*(both if first else reversed(both)), stock=stock), replace(TOOLS, dies=()))
    turned = [(s.feature.split()[0], s.passes[-1].diameter) for s in plan.steps if s.verb is Verb.TURN]

    assert [name for name, _ in turned] == ["cylinder", "thread"][-len(turned) :]
    assert len(turned) == (2 if stock == "20 mm" else 1)
    assert turned[-1][1] == pytest.approx((11.701 + 11.966) / 2, abs=0.001)
    assert turned_out(plan, TOOLS).mishaps == ()


def test_the_other_end_is_turned_from_what_stands():
    """On both sides of M12, turned to 11.834 mm over the whole bar, the dial for 8 mm counts from there."""
    plan = cut_plan(plain(cylinder(8, 10), thread("M12", 10), cylinder(8, 10)), TOOLS)
    off = 2 * HALF_DIVISION * TOOLS.lathe.dial_division + 0.001
    for setting in plan.settings:
        (step,) = (s for s in setting.steps if s.verb is Verb.TURN and s.feature.startswith("cylinder"))
        assert read((11.701 + 11.966) / 2, step.passes[-1].dial) == pytest.approx(8, abs=off)


@pytest.mark.parametrize("size", ["2BA", "M8", "1/4-20 UNC", "ME 1/4-40"])
def test_the_check_and_the_sheet_turn_the_bar_alike(size):
    """Whatever the form of thread, one diameter is told before its die."""
    part = plain(thread(size, 6), relief(), cylinder(12, 10))
    (finding,) = found("before threading", part)
    (bar,) = (s for s in cut_plan(part, TOOLS).steps if s.verb is Verb.TURN and s.feature == finding.feature)

    assert bar.passes[-1].diameter == pytest.approx(finding.value)


def test_a_ba_bar_is_turned_somewhat_under():
    """2BA, 4.7 mm at 0.81 mm of pitch, is turned 0.15 of it under (house choice)."""
    plan = cut_plan(plain(thread("2BA", 6), relief(), cylinder(12, 10)), TOOLS)
    (bar,) = (s for s in plan.steps if s.verb is Verb.TURN and "for 2BA" in s.text)
    assert bar.passes[-1].diameter == pytest.approx(4.7 - 0.15 * 0.81)


@pytest.mark.parametrize(
    ("leads", "turns"), [(("taper", "plug", "bottoming"), 25), (("plug",), 20), (("bottoming",), 17)]
)
def test_a_hole_through_is_tapped_by_the_tap_that_is_owned(leads, turns):
    """Through 15 mm at 1 mm of pitch a tap is turned 15 times and its lead, 10, 5 or 2 pitches, besides."""
    part = plain(cylinder(12, 15), from_front=[tap("M6", through=True)])
    plan = cut_plan(part, with_taps(*leads))
    step = the(plan, Verb.TAP)

    assert [str(tool) for tool in step.tools] == [f"M6x1 {leads[0]} tap"]
    assert plan.missing == ()
    assert f"about {turns} turns" in step.text


def test_a_tap_that_nobody_has_is_told_missing():
    """Of a hole through it is the one that the script asks for."""
    part = plain(cylinder(12, 15), from_front=[tap("M6", through=True)])
    assert [str(tool) for tool in cut_plan(part, with_taps()).missing] == ["M6x1 plug tap"]


def test_turns_count_from_where_the_thread_begins():
    """Behind 4 mm of a wider bore M6 is 16 mm long in 20, and the taper tap's lead is 10 more."""
    part = plain(cylinder(12, 20), from_front=[bore(8, depth=4), tap("M6", through=True)])
    assert "about 26 turns" in the(cut_plan(part, TOOLS), Verb.TAP).text


@pytest.mark.parametrize("side", ["front", "back"])
def test_a_hole_through_is_tapped_from_the_mouth_that_is_sunk(side):
    """The settings are so ordered that the end from which the script taps stands out last."""
    part = plain(cylinder(12, 15), **{f"from_{side}": [tap("M6", through=True)]})
    last = cut_plan(part, TOOLS).settings[1]
    verbs = [step.verb for step in last.steps]

    assert last.out == side
    assert verbs.index(Verb.COUNTERSINK) < verbs.index(Verb.TAP)


def test_a_mouth_that_is_not_sunk_is_broken_before_it_is_tapped():
    """Where the knurl lets only the other end stand out last, its mouth is broken for the tap."""
    part = plain(cylinder(10, 8), cylinder(16, 12, knurled=knurl(0.8)), from_front=[tap("M6", through=True)])
    plan = cut_plan(part, TOOLS)
    *_, sink, last = plan.settings[1].steps

    assert plan.settings[1].out == "back"
    assert (sink.verb, last.verb) == (Verb.COUNTERSINK, Verb.TAP)
    assert sink.text.startswith("the mouth that the tap enters by, lightly, under ⌀6.00")
    assert turned_out(plan, TOOLS).mishaps == ()


@pytest.mark.parametrize(("lead", "alias"), [("bottoming", "bottom"), ("plug", "second")])
def test_another_name_of_a_lead_is_the_same_tap(lead, alias):
    """The taps that go before it are run first, by whichever name it is asked for."""

    def step(name):
        part = plain(cylinder(12, 20), from_front=[drill("4.2 mm", depth=12), tap("M5", depth=8, lead=name)])
        return the(cut_plan(part, TOOLS), Verb.TAP)

    assert step(alias) == step(lead)
    assert step(alias).tools[0].kind == "taper tap"


def test_a_groove_behind_a_thread_is_its_relief():
    """M8 has its root at 6.466 mm: the die runs into a groove of 6.4 mm, not into one of 7 mm."""

    def text(diameter):
        part = plain(thread("M8", 10), groove(3, diameter), cylinder(12, 8))
        return the(cut_plan(part, TOOLS), Verb.THREAD).text

    assert "run it into the relief" in text(6.4)
    assert "turn the die round" in text(7.0)


def test_a_die_on_a_rod_of_its_own_diameter_has_no_shoulder_to_go_up_to():
    """Its lead is 2.25 pitches at the most (a die maker's note): 2.81 mm of M8, of 1.25 mm, run out."""
    part = plain(thread("M8", 10), cylinder(8, 20), stock="10 mm")
    text = the(cut_plan(part, TOOLS), Verb.THREAD).text

    assert "stop with its face at the thread's end; the last 2.81 run out" in text
    assert "shoulder" not in text


def test_the_centre_is_brought_up_to_the_hole_as_it_is_drilled():
    """It stands in the 3 mm hole while the outside is turned; the mouth is sunk to 5 mm after that."""
    part = plain(cylinder(8, 50), stock="10 mm", from_front=[drill("3 mm", depth=12, mouth=chamfer(1))])
    assert "in the ⌀3.00 hole" in the(cut_plan(part, TOOLS), Verb.SUPPORT).text


@pytest.mark.parametrize(
    ("size", "unit", "words"),
    [
        ("1/2-28 UNEF", "in", "change wheels for 28 to the inch. "),
        ("1/2-28 UNEF", "mm", "change wheels for 28 to the inch, a lead of 0.9071 mm. "),
        ("M12x1", "in", "change wheels for a lead of 1 mm. "),
        ("2BA", "mm", "change wheels for a lead of 0.81 mm. "),
    ],
)
def test_change_wheels_are_told_as_their_table_counts(size, unit, words):
    """A table of change wheels lists inch threads by their count to the inch, metric ones by their pitch."""
    part = plain(thread(size, 8), relief(), cylinder(16, 12))
    if size == "2BA":  # stout enough for a single point only where a die does not pass
        part = plain(cylinder(8, 3), relief(), thread(size, 8), relief(), cylinder(16, 12))
    assert words in the(cut_plan(part, replace(TOOLS, dies=()), unit), Verb.THREAD).text


def test_a_hole_of_several_starts_is_single_pointed():
    """No two-start tap is sold (common practice): no tap is asked for, nor a mouth for one to enter by."""
    part = plain(cylinder(14, 20), from_back=[drill("8.3 mm", depth=16), tap("M9xPh1.5P0.75", depth=8)])
    plan = cut_plan(part, assumed_tools())
    (step,) = (s for s in plan.steps if s.verb is Verb.THREAD)
    assert step.text.startswith(
        "M9xPh1.5P0.75 in the hole, full thread to 8.00 from the face: single point, 60° tool square to the "
        "work, change wheels for a lead of 1.5 mm, 2 starts, each 0.75 further along. To ⌀9.00, 0.41 deep"
    )
    assert not any(tool.kind.endswith("tap") for tool in plan.tools)
    assert Verb.TAP not in [s.verb for s in plan.steps]
