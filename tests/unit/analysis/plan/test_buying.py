"""What a number of objects takes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.held import plain
from tests.pens import sprung_pen
from turnmodel import Design, bought, cylinder, drill, joint, state
from turnmodel.analysis.plan.buying import buying_list
from turnmodel.analysis.plan.cutting_stock import Length, sawing
from turnmodel.analysis.plan.planner import cut_plans
from turnmodel.catalog.toolbox import OwnedBar
from turnmodel.catalog.tools import assumed_tools
from turnmodel.errors import BadValue
from turnmodel.output.papers.buying_sheet import buying_text

TOOLS = assumed_tools()
PIN = plain(cylinder(8, 60), stock="10 mm", name="pin")
PEG = plain(cylinder(9, 30), stock="10 mm", name="peg", from_front=[drill("5 mm", depth=10)])
INK = bought("ink", refill="D")
PAIR = Design("pair", parts=[PIN, PEG, INK], states={"apart": state(aside=[PEG, INK])})


def listed(count=1, **tools):
    """The buying list of the pair, with some of the tools changed."""
    changed = replace(TOOLS, **tools)
    return buying_list(PAIR, cut_plans(PAIR, changed), changed, count)


def taken(found):
    """How often each length of bar is taken, of the rack's and of the shop's."""
    (need,) = found.bars
    rack, shop = {}, {}
    for cut in need.cut.cuts:
        kind = shop if cut.bar.count is None else rack
        kind[cut.bar.length] = kind.get(cut.bar.length, 0) + cut.times
    return rack, shop


def test_a_piece_takes_its_length_its_kerf_and_both_faces():
    """60 mm take 60 and twice 0.5 to face and 2 to part."""
    (need,) = listed().bars
    assert {part: long for part, long, _ in need.pieces} == {"pin": 63.0, "peg": 33.0}


def test_the_shortest_bar_that_gives_everything_is_bought():
    """63 + 33 and 16 to hold come out of 250 mm; for six objects 750 mm are less than 1000."""
    assert taken(listed()) == ({}, {250.0: 1})
    assert taken(listed(6)) == ({}, {500.0: 1, 250.0: 1})


def test_what_is_in_the_rack_is_used_up_first():
    """A bar that is there costs next to nothing, and the shorter one less where it makes no difference."""
    rack = (OwnedBar(diameter=10.0, length=120.0), OwnedBar(diameter=10.0, length=90.0, material="CW614N"))
    assert taken(listed(bars=rack)) == ({120.0: 1}, {})
    assert taken(listed(3, bars=rack)) == ({90.0: 1}, {250.0: 1})


def test_a_bar_of_another_material_is_not_used():
    """Brass is not made of steel."""
    assert taken(listed(bars=(OwnedBar(diameter=10.0, length=500.0, material="303"),)))[0] == {}


def test_a_bar_whose_length_is_not_told_is_mentioned():
    """It may do, but nobody knows."""
    (need,) = listed(bars=(OwnedBar(diameter=10.0),)).bars
    assert need.any_length


def test_bought_parts_and_missing_tools_are_listed():
    """One refill an object; the drill that nobody has."""
    found = listed(2, drills=tuple(d for d in TOOLS.drills if d.diameter != 5.0))
    assert [(n.part, n.count) for n in found.bought] == [("ink", 2)]
    assert [str(n.tool) for n in found.missing] == ["5 mm drill"]
    assert found.missing[0].parts == ("peg",)


def test_a_spring_is_listed_by_what_it_is_asked_for():
    """It stands with the bought parts: once for all states, as often as there are objects."""
    parts, given = sprung_pen(free=9, rate=0.1)
    design = Design("pen", parts=parts, **given)
    found = buying_list(design, cut_plans(design, TOOLS), TOOLS, 3)

    assert "  3 x spring: free 9 mm, rate 0.1 N/mm, fitted 6.3 mm, for ink\n" in buying_text(found)
    assert [need.part for need in found.bought] == ["ink", "spring"]


def test_a_spring_that_works_between_two_lengths_is_one():
    """Two states press one spring to two lengths; both are told."""
    faces = PEG.face("back"), PIN.face("front")
    states = {name: state(joint.spring(*faces, length=long)) for name, long in (("out", 8), ("in", 5))}
    design = Design("plunger", parts=[PIN, PEG], states=states)
    (need,) = buying_list(design, cut_plans(design, TOOLS), TOOLS).bought

    assert need.title == "fitted 5.0 to 8.0 mm, for peg"


def test_drills_come_by_size_and_before_taps():
    """The list is in the order of the drawer."""
    kinds = [n.tool.kind for n in listed().tools]
    assert kinds.index("drill") < kinds.index("turning tool")


def test_a_revolving_centre_is_listed():
    """It does not cut, and who has none cannot support what stands out far."""
    (need,) = (need for need in listed().tools if str(need.tool) == "revolving centre")
    assert need.parts == ("peg",)


def test_no_list_is_made_for_no_object():
    """The message tells what was given."""
    with pytest.raises(BadValue, match="objects 0: a list is for 1 or more; leave it out for 1"):
        listed(0)


def test_a_piece_longer_than_every_bar_is_refused():
    """The message tells the longest piece that a bar gives."""
    with pytest.raises(BadValue, match="piece 120 mm: the longest bar gives 85 mm; get a longer bar"):
        sawing([120.0], [Length(length=100.0, count=None, cost=100.0)], held=15.0)


def test_bars_that_do_not_suffice_are_refused():
    """Two bars do not give three pieces of more than half their length."""
    with pytest.raises(BadValue, match="the bars that are there do not give them all; add bars"):
        sawing([60.0] * 3, [Length(length=100.0, count=2, cost=1.0)])
