"""How a part is planned: what is cut in one setting, how it is held again, by which tools."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.held import plain
from turnmodel import (
    Part,
    bore,
    chamfer,
    cross_hole,
    cross_tap,
    cylinder,
    dome,
    drill,
    fillet,
    groove,
    knurl,
    relief,
    slot,
    tap,
    thread,
)
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.toolbox import Speeds
from turnmodel.catalog.tools import assumed_tools

TOOLS = assumed_tools()


def without(**changes):
    """The assumed tools with some of them changed."""
    return replace(TOOLS, **changes)


def verbs(setting):
    """The verbs of a setting, in order."""
    return [step.verb for step in setting.steps]


def the(plan, verb):
    """The only step of a verb."""
    (found,) = (step for step in plan.steps if step.verb is verb)
    return found


def test_a_bore_and_the_shoulder_round_it_are_cut_in_one_setting():
    """What a spigot and a hole of one end need to run true is not let go in between."""
    part = plain(cylinder(10, 6), cylinder(16, 20), from_front=[drill("6 mm", depth=20), bore(7, depth=8)])
    one, _ = cut_plan(part, TOOLS).settings
    assert one.out == "front"
    assert [v for v in verbs(one) if v in (Verb.TURN, Verb.DRILL, Verb.BORE)] == [
        Verb.DRILL, Verb.TURN, Verb.TURN, Verb.BORE,
    ]  # fmt: skip


def test_work_that_stands_out_far_is_supported_in_its_hole():
    """Beyond three diameters the centre comes up before the outside is turned."""
    part = plain(cylinder(8, 50), stock="10 mm", from_front=[drill("3 mm", depth=12)])
    one, _ = cut_plan(part, TOOLS).settings
    order = verbs(one)
    assert order.index(Verb.DRILL) < order.index(Verb.SUPPORT) < order.index(Verb.TURN)
    assert any("three diameters" in c.text for c in one.steps[0].cautions)


def test_a_knurl_far_out_is_rolled_with_the_centre_up():
    """Knurling presses hardest of all: the end is centred and supported first, and drilled afterwards."""
    part = plain(cylinder(10, 50, knurled=knurl(0.5)), stock="12 mm", from_front=[drill("5 mm", depth=30)])
    one, _ = cut_plan(part, TOOLS).settings
    order = [v for v in verbs(one) if v in (Verb.CENTRE, Verb.SUPPORT, Verb.TURN, Verb.KNURL, Verb.DRILL)]
    assert order == [Verb.CENTRE, Verb.SUPPORT, Verb.TURN, Verb.KNURL, Verb.DRILL]
    assert "in the centre drill's cone" in the(cut_plan(part, TOOLS), Verb.SUPPORT).text


def test_what_stands_out_far_is_turned_slower_until_it_is_supported():
    """An end that is free whips: facing it takes half the speed, and turning under a centre the whole."""
    stepped = without(lathe=replace(TOOLS.lathe, speeds=Speeds(steps=(150, 400, 900, 1800))))
    part = plain(cylinder(8, 50), stock="10 mm", from_front=[drill("3 mm", depth=12)])
    steps = {step.verb: step for step in cut_plan(part, stepped).settings[0].steps}
    assert str(steps[Verb.FACE].turns) == str(steps[Verb.CENTRE].turns) == "900"
    assert str(steps[Verb.TURN].turns) == "1800"
    assert "half the usual speed" in steps[Verb.HOLD].cautions[1].text


def test_what_nothing_can_support_is_turned_slower_all_over():
    """A solid end has no hole for a centre."""
    stepped = without(lathe=replace(TOOLS.lathe, speeds=Speeds(steps=(150, 400, 900, 1800))))
    steps = {s.verb: s for s in cut_plan(plain(cylinder(8, 50), stock="10 mm"), stepped).settings[0].steps}
    assert Verb.SUPPORT not in steps
    assert str(steps[Verb.TURN].turns) == "900"


def test_a_knurl_is_rolled_before_the_metal_under_it_is_drilled_away():
    """Knurling presses hard: a thin wall would give."""
    part = plain(cylinder(14, 20, knurled=knurl(0.8)), from_front=[drill("9 mm", depth=15)])
    one, _ = cut_plan(part, TOOLS).settings
    order = verbs(one)
    assert order.index(Verb.KNURL) < order.index(Verb.DRILL)


def test_a_large_hole_is_drilled_in_sizes():
    """Smaller drills go first, and none deeper than the last one's tip."""
    part = plain(cylinder(18, 30), from_front=[drill("12 mm", depth=20)])
    drills = [s.tools[0].size for s in cut_plan(part, TOOLS).steps if s.verb is Verb.DRILL]
    assert drills == ["4.2 mm", "8.4 mm", "12 mm"]


def test_a_hole_through_is_tapped_when_nothing_is_behind_it():
    """The tap comes out at the far end only once the part is off the bar."""
    part = plain(cylinder(12, 15), from_front=[drill("5 mm", through=True), tap("M6", through=True)])
    one, two = cut_plan(part, TOOLS).settings
    assert Verb.TAP not in verbs(one)
    assert Verb.TAP in verbs(two)


def test_a_bar_too_wide_for_the_spindle_is_sawn_first():
    """Each piece then has its own end to be held by."""
    plan = cut_plan(plain(cylinder(24, 15), stock="25 mm"), TOOLS)
    assert plan.settings[0].steps[0].verb is Verb.SAW
    assert plan.blank.sawn
    assert plan.blank.takes > 15 + plan.blank.held


@pytest.mark.parametrize(
    ("part", "by"),
    [
        (plain(cylinder(12, 20)), "cylinder"),
        (plain(cylinder(12, 1.2), thread("M5", 8), across=[slot(0, 0.6, 0.8, 1)]), "thread"),
        (
            plain(
                groove(4, diameter=14),
                cylinder(18, 16, knurled=knurl(0.8)),
                from_back=[drill("8.5 mm", depth=15), tap("M10", depth=8)],
            ),
            "tapped hole",
        ),
        (plain(cylinder(18, 6, edges=fillet(2.8)), from_front=[bore(10, through=True)]), "bore"),
        (plain(dome(16), dome(16, length=8)), "face"),
    ],
    ids=["collet", "bush", "stub", "mandrel", "cement"],
)
def test_a_part_is_held_again_by_what_is_finished(part, by):
    """In a collet, a tapped bush, on a stub or a mandrel, and cemented only where there is nothing else."""
    assert cut_plan(part, TOOLS).settings[1].grip.by == by


def test_a_finished_surface_is_not_marked():
    """Whoever grips one is told how."""
    held = cut_plan(plain(cylinder(12, 20)), TOOLS).settings[1].steps[0]
    assert held.verb is Verb.HOLD
    assert any("finished surface" in c.text for c in held.cautions)


def test_a_thread_without_a_die_is_cut_at_the_lathe():
    """With the dial of every cut, the last at the root of the thread."""
    part = plain(thread("M12", 10), relief(), cylinder(16, 12))
    step = the(cut_plan(part, without(dies=())), Verb.THREAD)
    assert "no die of it is there: single point, 60° tool" in step.text
    assert step.passes[-1].diameter == pytest.approx(12 - 1.75 * 1.226869, abs=1e-5)


def test_a_die_does_not_pass_what_is_wider_in_front():
    """Behind a collar a thread is cut with a single point."""
    part = plain(cylinder(14, 3), relief(), thread("M10", 10), relief(), cylinder(16, 12))
    assert "a die does not pass what lies in front" in the(cut_plan(part, TOOLS), Verb.THREAD).text


def test_a_small_thread_without_a_die_is_told_missing():
    """A single point is too coarse for M3: the die must be had."""
    part = plain(thread("M3", 6), relief(), cylinder(8, 12))
    assert [str(tool) for tool in cut_plan(part, without(dies=())).missing] == ["M3x0.5 die"]


def test_a_drill_that_nobody_has_is_told_missing():
    """The step stands, and the drill is on the list."""
    part = plain(cylinder(12, 15), from_front=[drill("6.1 mm", depth=6)])
    few = without(drills=tuple(d for d in TOOLS.drills if d.name != "6.1 mm"))
    assert "6.1 mm drill" in [str(tool) for tool in cut_plan(part, few).missing]


def test_a_reamer_finishes_a_hole_that_goes_on():
    """An owned reamer is taken before a boring bar, after the next smaller drill."""
    part = plain(cylinder(14, 20), from_front=[bore(8, through=True)])
    plan = cut_plan(part, TOOLS)
    assert "⌀8.00, right through: from ⌀7.9" in the(plan, Verb.REAM).text


def test_a_dial_that_reads_diameter_reads_twice():
    """The same cut is twice the divisions where a division is taken off the diameter."""
    part = plain(cylinder(12, 20))
    twice = replace(TOOLS.lathe, cross_dial_reads="diameter")
    read = [the(cut_plan(part, tools), Verb.TURN).passes[-1].dial for tools in (TOOLS, without(lathe=twice))]
    assert read[1] == 2 * read[0] == 320


def test_speeds_are_those_of_the_lathe():
    """Of stepped speeds the ones between slow and fast are given, else the nearest under it."""
    stepped = without(lathe=replace(TOOLS.lathe, speeds=Speeds(steps=(130, 300, 700, 1500))))
    part = plain(cylinder(12, 20))
    assert str(the(cut_plan(part, stepped), Verb.TURN).turns) == "1500"
    assert str(the(cut_plan(part, stepped), Verb.PART_OFF).turns) == "700"


def test_turning_down_begins_no_faster_than_the_whole_bar_allows():
    """Silver steel of 6 mm at 30.5 m/min takes 1618 turns a minute; of 3 mm, at the end, it takes 3236."""
    lathe = replace(TOOLS.lathe, speeds=Speeds(steps=(150, 400, 900, 1800)))
    pin = Part.turned("pin", material="silver steel", stock="6 mm", outside=[cylinder(3, 8), cylinder(6, 4)])
    turns = the(cut_plan(pin, without(lathe=lathe)), Verb.TURN).turns
    assert str(turns) == "900 to 1800"
    assert turns.wanted[1] == pytest.approx(30.5e3 / (math.pi * 3), rel=0.01)  # a speed in whole feet


def test_the_top_of_a_dome_stands_at_its_face():
    """A dome is cut from its own end, when the part is turned round if need be."""
    plan = cut_plan(plain(dome(14, length=5), cylinder(14, 20)), TOOLS)
    rounds = [(s.out, step) for s in plan.settings for step in s.steps if step.verb is Verb.ROUND]
    assert [out for out, _ in rounds] == ["front"]
    first, *_, last = rounds[0][1].table.steps
    assert (first.advance, first.diameter) == (pytest.approx(5), pytest.approx(14))
    assert 0 < last.advance < 0.2


def test_edges_are_cut_from_the_side_they_face():
    """The chamfer of the far end waits until that end stands out."""
    plan = cut_plan(plain(cylinder(14, 20, edges=chamfer(0.5))), TOOLS)
    for setting in plan.settings:
        (step,) = (s for s in setting.steps if s.verb is Verb.CHAMFER)
        assert step.text == "0.50 x 45° on ⌀14.00 at 0.00"


def test_a_tapped_hole_that_is_crossed_is_tapped_again():
    """What is drilled across a thread leaves burrs in it."""
    part = plain(
        cylinder(14, 20),
        from_front=[drill("5 mm", depth=14), tap("M6", depth=8)],
        across=[cross_hole("2 mm", at=4)],
    )
    assert "run the tap through again" in cut_plan(part, TOOLS).bench[0].steps[-2].text


@pytest.mark.parametrize(
    ("inside", "across", "how"),
    [
        (drill("8 mm", depth=14), cross_hole("2 mm", at=4), "⌀8.00: its drill turned through by hand"),
        (bore(8.2, depth=14), cross_tap("M3", at=6), "⌀8.20: a scraper"),
    ],
    ids=["drilled", "bored"],
)
def test_the_burr_inside_a_hole_that_is_crossed_is_cleared(inside, across, how):
    """A drill or a tap that comes through the wall of a hole leaves a burr that catches what goes in."""
    step = the(cut_plan(plain(cylinder(14, 20), from_front=[inside], across=[across]), TOOLS), Verb.DEBURR)
    assert f"breaks into {how}" in step.text


@pytest.mark.parametrize(
    "features",
    [
        {"across": [cross_hole("2 mm", at=18)], "from_front": [drill("8 mm", depth=10)]},
        {"across": [cross_hole("2 mm", at=4, depth=1)], "from_front": [drill("8 mm", depth=10)]},
        {"across": [cross_hole("2 mm", at=4)], "from_front": [drill("5 mm", depth=14), tap("M6", depth=8)]},
    ],
    ids=["beside", "within the wall", "tapped"],
)
def test_nothing_is_cleared_where_no_wall_is_broken_through(features):
    """A hole beside a bore or within its wall leaves no burr in it, and a thread is cleared by its tap."""
    assert Verb.DEBURR not in [s.verb for s in cut_plan(plain(cylinder(14, 20), **features), TOOLS).steps]


def test_a_blued_part_is_warmed_to_its_colour():
    """Steel whose finish is blued ends at the hearth, with the heats at which works see that colour."""
    part = Part.turned(
        "tip", material="silver steel", stock="8 mm", outside=[cylinder(6, 10)], finish="blued 240"
    )
    heat = the(cut_plan(part, TOOLS), Verb.HEAT)
    assert "dark straw (240 to 249 °C: works differ)" in heat.text


def test_a_slot_right_across_an_end_is_told_by_its_depth_from_there():
    """A screwdriver's slot is 0.6 deep from the face, not as deep as the head is wide; one in a side is."""
    head = (cylinder(5, 1.5), thread("M3", 6))
    across, beside = slot(0, 0.6, 0.8, 5), slot(0, 0.6, 0.8, 2)
    step = the(cut_plan(plain(*head, stock="6 mm", across=[across]), TOOLS), Verb.SAW)
    assert step.text == "slot 0.80 wide, 0.60 deep, right across the front face; held as it was last turned"
    step = the(cut_plan(plain(*head, stock="6 mm", across=[beside]), TOOLS), Verb.SAW)
    assert "2.00 deep, from 0.00 to 0.60 of the front face" in step.text
