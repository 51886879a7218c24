"""Holes: a rule finds the hole that breaks it, passes one on its limit's other side, and its mend holds."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.held import found, plain
from turnmodel import bore, cylinder, drill, joint, relief, shoulder, tap
from turnmodel import thread as thread_outside
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.drills import drill as tabled
from turnmodel.catalog.tapping import percent_of_thread, tap_drill
from turnmodel.catalog.threads import thread
from turnmodel.catalog.tools import assumed_tools

LONG = cylinder(18, 70)
ROUNDING = 1e-9


def test_a_hole_deeper_than_the_flutes_is_found():
    """A 3 mm jobber drill has 33 mm of flute, its point is 0.901 mm long (ISO 235): 32 mm pass, 33 do not."""
    (finding,) = found("drill flutes", plain(LONG, from_back=[drill("3 mm", depth=33)]))

    assert finding.severity is Severity.CAUTION
    assert (finding.parts, finding.feature) == (("post",), "drill (from back 1)")
    assert finding.value == pytest.approx((33 + 0.9013) / 33, abs=1e-4)
    assert finding.limit == 1.0
    assert finding.station == pytest.approx(70 - 33.9013, abs=1e-4)
    assert finding.message == (
        "post, drill (from back 1): the cut is 33.9 mm deep, and the flutes of the 3 mm drill "
        "carry chips out of 33 mm"
    )
    assert finding.mend == (
        "use a long-series drill, 66 mm of flute, or open the first 1 mm wider, "
        "or clear it every 1.5 mm past 33 mm"
    )
    assert not found("drill flutes", plain(LONG, from_back=[drill("3 mm", depth=32)]))


def test_a_wider_mouth_lets_the_chips_out():
    """Opened wider by the figure of the mend, the same hole is left to the flutes."""
    opened = [drill("4 mm", depth=1), drill("3 mm", depth=33)]

    assert not found("drill flutes", plain(LONG, from_back=opened))


def test_a_long_drill_in_the_crib_is_used():
    """Where the long-series drill of the mend is owned, its flutes count."""
    tools = assumed_tools()
    tools = replace(tools, drills=(*tools.drills, tabled("3 mm long")))

    assert not found("drill flutes", plain(LONG, from_back=[drill("3 mm", depth=33)]), tools=tools)


def test_the_wider_hole_is_advised_first():
    """The wider hole's point reaches 3 mm at 20.601 mm, and 40.901 - 20.601 are left to the narrow one."""
    narrow, wide = drill("3 mm", depth=40), drill("5 mm", depth=20)
    (note,) = found("drill flutes", plain(LONG, from_back=[narrow, wide]))

    assert note.severity is Severity.NOTE
    assert note.mend == "cut drill (from back 2) first, which leaves 20.3 mm to it"
    assert not found("drill flutes", plain(LONG, from_back=[wide, narrow]))


def test_the_hole_that_is_to_be_cut_first_may_come_from_the_other_end():
    """The 4 mm hole is cut already; the point of the 2.5 mm drill runs 0.6 mm into the 2 mm hole in front."""
    holes = {
        "from_front": [drill("2 mm", depth=3)],
        "from_back": [drill("4 mm", depth=37.4), drill("2.5 mm", depth=67.2)],
    }
    (note,) = found("drill flutes", plain(cylinder(18, 68.6), **holes))

    assert note.feature == "drill (from back 2)"
    assert note.mend == "cut drill (from front 1) first, which leaves 29.5 mm to it"


def test_what_the_sheet_cuts_first_is_not_advised():
    """A part whose front is threaded is turned from its front, so the hole there is cut first anyway."""
    outside = (thread_outside("M10x1", 8), relief(), shoulder(), cylinder(18, 57.1))
    part = plain(
        *outside,
        from_front=[drill("2 mm", depth=3)],
        from_back=[drill("4 mm", depth=37.4), drill("2.5 mm", depth=67.2)],
    )

    assert cut_plan(part, assumed_tools()).settings[0].out == "front"
    assert not found("drill flutes", part)


def test_a_through_hole_is_drilled_from_both_ends():
    """Half of 50 mm is within the 33 mm of a 3 mm drill, and the mend says so."""
    (finding,) = found("drill flutes", plain(cylinder(18, 50), from_front=[drill("3 mm", through=True)]))

    assert "drill it from both ends" in (finding.mend or "")


def test_a_limit_of_the_design_counts():
    """A design that trusts a drill to 1.2 flute lengths is held to that."""
    deep = plain(LONG, from_back=[drill("3 mm", depth=33)])

    assert not found("drill flutes", deep, limits={"drill flutes": 1.2})


def test_a_drill_too_short_to_be_held_is_found():
    """A 3 mm drill is 61 mm long (ISO 235): 49 mm deep, 10 mm and more are left to hold it, 52 mm less."""
    (finding,) = found("drill held", plain(LONG, from_back=[drill("3 mm", depth=52)]))

    assert finding.severity is Severity.CAUTION
    assert finding.value == pytest.approx(61 - 52.9013, abs=1e-4)
    assert finding.mend == "use a long-series drill, 100 mm long"
    assert not found("drill held", plain(LONG, from_back=[drill("3 mm", depth=49)]))


def test_a_hole_that_no_drill_reaches_is_a_fault():
    """Where no drill reaches, the mend is for the longest, of 100 mm: 95.901 + 10 - 100 shallower."""
    long = cylinder(18, 120)
    (finding,) = found("drill held", plain(long, from_back=[drill("3 mm", depth=95)]))

    assert finding.severity is Severity.FAULT
    assert finding.mend == "make it 6 mm shallower, for a 3 mm long drill"
    (better,) = found("drill held", plain(long, from_back=[drill("3 mm", depth=95 - 6)]))
    assert better.severity is Severity.CAUTION


def test_a_deep_hole_is_pecked():
    """Past five diameters, point included, the drill is drawn back, as its cut sheet says."""
    part = plain(from_back=[drill("3 mm", depth=14.2)])
    (note,) = found("deep hole", part)
    (step,) = (s for s in cut_plan(part, assumed_tools()).steps if s.verb is Verb.DRILL)

    assert (note.severity, note.mend) == (
        Severity.NOTE,
        "draw the drill back after 9 mm, then every 3 mm, to clear its chips",
    )
    assert "Draw it back after 9.0, then every 3.0" in step.text
    assert not found("deep hole", plain(from_back=[drill("3 mm", depth=14)]))


def seated(*floor: object, tip: float = 118.0) -> tuple:
    """Stand a pin of 4 mm in a hole of 6 mm."""
    post = plain(from_back=floor)
    pin = plain(cylinder(4, 20), stock="5 mm", name="pin")
    return post, pin


def test_a_flat_end_on_a_drill_point_is_found():
    """A flat end of 4 mm rests by its rim 2 / tan(59) above the tip of a 118 degree point: 1.202 mm."""
    post, pin = seated(drill("6 mm", depth=10, mark="seat"))
    joints = [joint.seat(pin.face("front"), post.face("seat"))]
    (finding,) = found("drill point seat", post, pin, joints=joints)

    assert finding.severity is Severity.CAUTION
    assert finding.parts == ("post", "pin")
    assert finding.value == pytest.approx(1.2017, abs=1e-4)
    assert (finding.mend or "").startswith("bore a flat floor 10.60 mm deep")


@pytest.mark.parametrize("gap", [1, 20])
def test_a_flat_end_that_stands_away_from_a_drill_point_does_not_rest_on_it(gap):
    """A gap counts from where the two would touch: with any, the end touches nothing there."""
    post, pin = seated(drill("6 mm", depth=10, mark="seat"))
    joints = [joint.seat(pin.face("front"), post.face("seat"), gap=gap)]

    assert not found("drill point seat", post, pin, joints=joints)


def test_a_flat_end_on_a_flat_floor_is_sound():
    """The floor bored as the mend says is where the pin stood before."""
    post, pin = seated(bore(6, depth=10.6, mark="seat"))

    assert not found("drill point seat", post, pin, joints=[joint.seat(pin.face("front"), post.face("seat"))])


def test_a_bore_too_narrow_for_a_bar_is_found():
    """Under 4 mm no bar enters; bored as wide as the mend says it does."""
    (finding,) = found("bore width", plain(from_back=[bore(3, depth=8)]))

    assert (finding.value, finding.limit, finding.unit) == (3.0, 4.0, "mm")
    assert finding.mend == "bore it 4 mm wide, or write drill(3, ...) where its point may stay"
    assert not found("bore width", plain(from_back=[bore(4, depth=8)]))


def test_a_reamer_makes_a_narrow_hole():
    """A through hole of an owned reamer's size asks for no boring bar; one of another size does."""
    assert not found("bore width", plain(from_back=[bore(3, through=True)]))
    assert found("bore width", plain(from_back=[bore(3.3, through=True)]))


def test_a_bore_too_deep_for_its_bar_is_found():
    """A bore of 8 mm takes a bar of 6 mm, which stands out 24 mm and no more; the mends hold."""
    (finding,) = found("bore reach", plain(LONG, from_back=[bore(8, depth=30)]))

    assert finding.value == pytest.approx(5.0, abs=ROUNDING)
    assert (finding.mend or "").startswith("bore no more than 24 mm, or make it 10 mm wide")
    assert not found("bore reach", plain(LONG, from_back=[bore(8, depth=24)]))
    assert not found("bore reach", plain(LONG, from_back=[bore(10, depth=30)]))


def test_a_bore_is_widened_only_with_wall_left_round_it():
    """34.5 mm of bore take one 11.5 mm wide, which an outside of 11 mm does not hold; 13.1 mm do."""
    slim = plain(cylinder(11, 40), from_back=[bore(8, depth=34.5)])
    (finding,) = found("bore reach", slim)

    assert finding.mend == (
        "bore no more than 24 mm, or make it 11.5 mm wide and the outside 13.1 mm or more there; "
        "a carbide bar reaches half as far again"
    )
    assert not found("bore reach", plain(cylinder(13.1, 40), from_back=[bore(11.5, depth=34.5)]))


def test_a_wider_bore_in_front_lets_a_thicker_bar_in():
    """Only what the wider bore leaves counts."""
    assert not found("bore reach", plain(LONG, from_back=[bore(12, depth=10), bore(8, depth=30)]))


def test_a_hole_that_leaves_little_thread_is_found():
    """M8x1 in a 7.4 mm hole has 0.6 of 1.299 mm: 46 % by 3H/4; the tabled 7 mm leaves 77 %."""
    (finding,) = found("shallow thread", plain(from_back=[drill("7.4 mm", depth=20), tap("M8x1", depth=8)]))

    assert finding.value == pytest.approx(100 * 0.6 / 1.29904, abs=0.01)
    assert "leaves 46 % of thread by 3H/4, 55 % by 5H/8" in finding.message
    assert finding.mend == "drill 7 mm before it: 77 % of thread by 3H/4, 92 % by 5H/8"
    assert not found("shallow thread", plain(from_back=[drill("7 mm", depth=20), tap("M8x1", depth=8)]))


def test_a_tight_tapping_hole_is_noted():
    """M8x1 in 6.95 mm has 1.05 of 1.299 mm: 81 % by 3H/4; the tabled drill of 7 mm and the mend's pass."""
    (note,) = found("tight tapping hole", plain(from_back=[drill(6.95, depth=20), tap("M8x1", depth=8)]))

    assert note.severity is Severity.NOTE
    assert note.value == pytest.approx(100 * 1.05 / 1.29904, abs=0.01)
    assert note.mend == "drill 7.1 mm before it: 69 % of thread by 3H/4, 83 % by 5H/8"
    for size in ("7 mm", "7.1 mm"):
        assert not found("tight tapping hole", plain(from_back=[drill(size, depth=20), tap("M8x1", depth=8)]))


@pytest.mark.parametrize("size", ["M8", "M6x0.75", "M8x0.75", "M10x0.75", "M8x0.75 LH"])
def test_the_tabled_tapping_drill_is_not_called_tight(size):
    """Charts give 6.7, 5.2, 7.2 and 9.2 mm, which leave 80 to 83 % of thread: who drills so is right."""
    tabled_d = tap_drill(thread(size)).drill
    assert percent_of_thread(thread(size), tabled_d.diameter) > 80

    assert not found("tight tapping hole", plain(from_back=[tap(size, depth=8)]))
    assert not found(
        "tight tapping hole", plain(from_back=[drill(tabled_d.name, depth=20), tap(size, depth=8)])
    )


@pytest.mark.parametrize(
    ("lead", "least"), [("taper", 8 + 10 + 1), ("plug", 8 + 5 + 1), ("bottoming", 8 + 2 + 1)]
)
def test_a_blind_hole_has_room_for_the_tap(lead, least):
    """8 mm of M8x1 take 8 mm and the lead in pitches (TM 9-254: 10, 5, 2) and one pitch clear."""
    short = plain(from_back=[drill("7 mm", depth=least - 0.5), tap("M8x1", depth=8, lead=lead)])
    (finding,) = found("blind tap", short)

    assert finding.severity is Severity.CAUTION
    assert (finding.limit, finding.unit) == (1.0, "pitch")
    assert finding.value == pytest.approx(0.5, abs=ROUNDING)
    assert (finding.mend or "").startswith(f"drill it {least} mm deep, or tap it 7.5 mm deep")
    assert not found(
        "blind tap", plain(from_back=[drill("7 mm", depth=least), tap("M8x1", depth=8, lead=lead)])
    )


def test_a_tap_that_meets_the_bottom_first_is_a_fault():
    """With less room than the shortest lead no tap of the kind cuts the thread; a bottoming tap does."""
    (finding,) = found("blind tap", plain(from_back=[drill("7 mm", depth=10.9), tap("M8x1", depth=7.9)]))

    assert finding.severity is Severity.CAUTION
    assert 'lead="bottoming"' in (finding.mend or "")
    (worse,) = found("blind tap", plain(from_back=[drill("7 mm", depth=10.8), tap("M8x1", depth=7.9)]))
    assert worse.severity is Severity.FAULT


def test_a_tap_that_passes_through_needs_no_room():
    """A hole open at its far end lets the lead out."""
    assert not found("blind tap", plain(from_front=[drill("7 mm", through=True), tap("M8x1", depth=8)]))
    assert not found("blind tap", plain(from_back=[tap("M8x1", through=True)]))


# the size


def pressed(*holes: object, allowance: float = 0.015) -> list[object]:
    """Press a pin of 6 mm and its allowance into a post."""
    post = plain(from_front=holes)
    pin = plain(cylinder(6 + allowance, 8), shoulder("under"), cylinder(9, 4), name="pin")
    joints = [joint.press(pin.face("under"), post.face("front"), allowance=allowance)]
    return found("drilled press fit", post, pin, joints=joints)


def test_a_drill_does_not_size_a_press_fit():
    """A drill cuts several hundredths large (common practice): more than 0.015 mm, less than 0.12 mm."""
    (finding,) = pressed(drill("6 mm", through=True))

    assert finding.severity is Severity.CAUTION
    assert (finding.parts, finding.feature) == (("post", "pin"), "drill (from front 1)")
    assert finding.mend == "say bore(6, through=True): the 6 mm reamer you have sizes it"
    assert not pressed(drill("6 mm", through=True), allowance=0.12)


def test_a_reamed_press_fit_is_well():
    """The mend as told is no fault, nor is a hole of another size beside it."""
    assert not pressed(bore(6, through=True))
    assert not pressed(drill("5.8 mm", through=True), bore(6, depth=9))


def test_a_blind_press_fit_is_bored():
    """A reamer does not reach a floor."""
    (finding,) = pressed(drill("6 mm", depth=10))

    assert finding.mend == "say bore(6, depth=10): it is bored to size"
