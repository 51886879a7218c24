"""Setting up: the bar, the lathe, the overhang, edges, and what a part is held by again."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.held import found, plain
from turnmodel import bore, chamfer, cylinder, dome, drill, groove, relief, shoulder, tap, thread
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.catalog.toolbox import OwnedBar
from turnmodel.catalog.tools import assumed_tools

EPS = 1e-9


def racked(*bars: OwnedBar):
    """Give the assumed tools with bars in the rack."""
    return replace(assumed_tools(), bars=bars)


def test_a_bar_too_thin_for_a_finish_cut_is_found():
    """0.3 mm on the diameter is too little; 0.5 mm is enough, and so is what the mend says."""
    (finding,) = found("finish cut", plain(cylinder(11.7, 20), stock="12 mm"))

    assert finding.severity is Severity.CAUTION
    assert finding.value == pytest.approx(0.3, abs=EPS)
    assert (finding.limit, finding.unit, finding.feature) == (0.5, "mm", "cylinder (outside 1)")
    assert finding.mend == "for a finish cut take a bar of 13 mm, or turn it to 11.5 mm"
    assert not found("finish cut", plain(cylinder(11.5, 20), stock="12 mm"))
    assert not found("finish cut", plain(cylinder(11.7, 20), stock="13 mm"))


def test_a_bar_used_as_drawn_is_noted():
    """A diameter that is the bar's own keeps its skin; an inch bar is mended by an inch bar."""
    (note,) = found("finish cut", plain(cylinder("1/2 in", 20), stock="1/2 in"))

    assert note.severity is Severity.NOTE
    assert "the bar's own skin stays" in note.message
    assert note.mend == "for a finish cut take a bar of 9/16 in, or turn it to 12.2 mm"


def test_an_unusual_bar_is_noted():
    """Without a rack a bar is held to the usual rounds."""
    (note,) = found("bar owned", plain(cylinder(11, 20), stock="11.7 mm"))

    assert (note.severity, note.message) == (Severity.NOTE, "post: 11.7 mm is no usual round")
    assert note.mend == "the next is 12 mm"
    assert not found("bar owned", plain(cylinder(11, 20), stock="12 mm"))


def test_a_bar_that_is_not_in_the_rack_is_found():
    """The nearest that is thick enough is named, and what more must be turned away."""
    rack = racked(OwnedBar(diameter=10.0), OwnedBar(diameter=16.0), OwnedBar(diameter=14.0, material="303"))
    (finding,) = found("bar owned", plain(cylinder(11, 20), stock="12 mm"), tools=rack)

    assert finding.severity is Severity.CAUTION
    assert (finding.value, finding.limit) == (12.0, 16.0)
    assert finding.message == "post: no 12 mm bar of CW614N is in the rack"
    assert finding.mend == "the nearest is 16 mm: 4.00 mm more to turn away"
    assert not found("bar owned", plain(cylinder(11, 20), stock="16 mm"), tools=rack)


def test_a_rack_without_a_bar_thick_enough_says_to_buy_one():
    """Where nothing owned is as thick there is no nearest."""
    (finding,) = found("bar owned", plain(stock="20 mm"), tools=racked(OwnedBar(diameter=10.0)))

    assert (finding.limit, finding.mend) == (None, "buy it")


def test_a_bar_too_short_to_hold_is_found():
    """30 mm of part, two facings of 0.5, a parting tool of 2 and 1 clear leave 6 of 40 mm, not 15."""
    (finding,) = found("bar length", plain(), tools=racked(OwnedBar(diameter=20.0, length=40.0)))

    assert finding.value == pytest.approx(6.0, abs=EPS)
    assert finding.limit == 15.0
    assert finding.mend == "take a bar 49 mm long, or make the part 9 mm shorter"
    assert not found("bar length", plain(), tools=racked(OwnedBar(diameter=20.0, length=49.0)))
    assert not found("bar length", plain(length=21.0), tools=racked(OwnedBar(diameter=20.0, length=40.0)))
    assert not found("bar length", plain(), tools=racked(OwnedBar(diameter=20.0)))


def test_a_bar_that_does_not_turn_is_a_fault():
    """The assumed lathe swings 110 mm over its cross slide."""
    (finding,) = found("bar in lathe", plain(cylinder(115, 20), stock="120 mm"))

    assert (finding.severity, finding.value, finding.limit) == (Severity.FAULT, 120.0, 110.0)
    assert finding.mend == "take a bar of 110 mm or less"


def test_a_bar_that_does_not_pass_the_spindle_is_noted():
    """A bar of 25 mm is sawn off: 30 + 4 and 15 to hold by; one of 20 mm passes."""
    (note,) = found("bar in lathe", plain(stock="25 mm"))

    assert (note.severity, note.limit) == (Severity.NOTE, 20.0)
    assert note.mend == "saw off 49.0 mm, 15.0 mm of it to hold by"
    assert not found("bar in lathe", plain(stock="20 mm"))


@pytest.mark.parametrize("stock", ["25 mm", "40 mm"])
def test_a_sawn_bar_is_one_length_in_the_finding_and_on_the_cut_sheet(stock):
    """What the finding says to saw off and to hold by, the first step of the sheet says too."""
    part = plain(stock=stock)
    (note,) = found("bar in lathe", part)
    saw = cut_plan(part, assumed_tools()).settings[0].steps[0]
    figures = re.findall(r"\d+\.\d", note.mend or "")

    assert len(figures) == 2
    assert saw.text == f"{figures[0]} off the {stock} bar; {figures[1]} of it are to hold by"


def test_a_thick_bar_is_held_by_half_its_diameter():
    """Of 40 mm bar 20 mm are held, as its cut sheet says: 54 mm are enough for 30 mm of part, 53 mm not."""
    part, lengths = plain(stock="40 mm"), (53.0, 54.0)
    short, enough = (racked(OwnedBar(diameter=40.0, length=length)) for length in lengths)
    (finding,) = found("bar length", part, tools=short)

    assert (finding.value, finding.limit) == (pytest.approx(19.0, abs=EPS), 20.0)
    assert finding.mend == "take a bar 54 mm long, or make the part 1 mm shorter"
    assert not found("bar length", part, tools=enough)


def test_work_that_stands_out_too_far_is_found():
    """70 + 4 mm out of a 20 mm bar are 3.7 diameters; each mend brings them to three."""
    (finding,) = found("overhang", plain(length=70))

    assert finding.severity is Severity.CAUTION
    assert finding.value == pytest.approx(3.7, abs=EPS)
    assert finding.mend == "support its free end with a centre, make it 56 mm long, or take a bar of 25 mm"
    assert not found("overhang", plain(length=56))
    assert not found("overhang", plain(length=70, stock="25 mm"))


def test_sharp_edges_are_noted_once_for_a_part():
    """Both rims and the mouth of a bore stand out square; broken, none is left."""
    (note,) = found("sharp edges", plain(from_back=[bore(8, depth=10)]))

    assert note.severity is Severity.NOTE
    assert (note.value, note.limit) == (3.0, 0.0)
    assert note.message == (
        "post: 3 edges are left sharp, 18 mm wide at 0 mm, 8 mm wide at 30 mm, 18 mm wide at 30 mm"
    )
    broken = plain(cylinder(18, 30, edges=chamfer(0.2)), from_back=[bore(8, depth=10, mouth=chamfer(0.2))])
    assert not found("sharp edges", broken)


def test_edges_that_no_hand_meets_are_left_alone():
    """The corner of a floor, the edge between two bores, a dome and the ends of a thread are none."""
    case = plain(
        dome(18),
        cylinder(18, 20, back=chamfer(0.2)),
        shoulder(),
        relief(),
        thread("M14x1", 6),
        from_back=[bore(10, depth=12, mouth=chamfer(0.2)), bore(6, depth=20)],
    )

    assert not found("sharp edges", case)


def test_a_groove_has_edges():
    """Both walls of a groove end in a square edge."""
    (note,) = found(
        "sharp edges",
        plain(cylinder(18, 10, front=chamfer(0.2)), groove(2, 16), cylinder(18, 10, back=chamfer(0.2))),
    )

    assert note.value == 2.0


def test_a_part_cut_from_both_ends_is_held_again():
    """Holes in both ends need a second holding; the longest straight cylinder is named."""
    spool = plain(
        cylinder(14, 4),
        cylinder(18, 20),
        from_front=[drill("6 mm", depth=8)],
        from_back=[drill("5 mm", depth=8)],
    )
    (note,) = found("gripped again", spool)

    assert (note.severity, note.value, note.feature) == (Severity.NOTE, 20.0, "cylinder (outside 2)")
    assert "18 mm wide and 20 mm long" in note.message
    assert note.mend == "use a collet of 18 mm or bored soft jaws"


def test_a_part_with_nothing_to_hold_is_found():
    """Where every cylinder is short the part needs a bush; with 5 mm left, as the mend says, it does not."""
    ends = {"from_front": [drill("6 mm", depth=3)], "from_back": [drill("5 mm", depth=3)]}
    (finding,) = found("gripped again", plain(cylinder(14, 4), cylinder(18, 4.5), **ends))

    assert (finding.severity, finding.value, finding.limit) == (Severity.CAUTION, 4.5, 5.0)
    (note,) = found("gripped again", plain(cylinder(14, 4), cylinder(18, 5), **ends))
    assert note.severity is Severity.NOTE


def test_a_part_cut_from_one_end_is_not_held_again():
    """A hole through, or a thread at the same end as the hole, asks for no second holding."""
    assert not found(
        "gripped again", plain(from_front=[drill("6 mm", through=True)], from_back=[drill("8 mm", depth=9)])
    )
    capped = plain(cylinder(18, 20), relief(), thread("M14x1", 6), from_back=[drill("8 mm", depth=12)])
    assert not found("gripped again", capped)
    turned = plain(
        cylinder(18, 20),
        relief(),
        thread("M14x1", 6),
        from_front=[drill("7 mm", depth=16), tap("M8x1", depth=8)],
    )
    assert found("gripped again", turned)
