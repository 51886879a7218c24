"""Holes, cross cuts and strips that cannot be made."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import pytest

from tests.commandline import Case, assert_refused

if TYPE_CHECKING:
    from pathlib import Path

RIM: Final = 'cylinder(12, 15, mark="rim"),'
DRILL: Final = 'drill("7 mm", depth=room),'
HOLE: Final = 'drill("9 mm", depth=10.5, mark="hole"),'
TAP: Final = 'tap("M10x1", depth=8, lead="bottoming"),'
CORD: Final = 'cross_hole("2 mm", at=3, mark="cord"),'

CASES: Final = (
    Case(
        "bore through a groove",
        RIM,
        'cylinder(12, 7), groove(2, 8), cylinder(12, 6, mark="rim"),',
        'bad.py:27: lid, drill "hole": diameter 9 mm: breaks through the side from 7 to 9 mm; '
        "the outside is only 8 mm there",
    ),
    Case(
        "bore that parts a groove",
        RIM,
        'cylinder(12, 7), groove(2, 9), cylinder(12, 6, mark="rim"),',
        "bad.py:19: lid: no wall at 7 mm: the part comes apart there; "
        "make the hole narrower, or the outside wider",
    ),
    Case(
        "tap into a rounded end",
        RIM,
        'cylinder(12, 12, mark="rim"), dome(length=3),',
        "bad.py:28: lid, tap (from back 2): diameter 10 mm: opens in an end that is rounded or narrower "
        "than it; leave a flat of 10 mm there, or bore it wider down to one",
    ),
    Case(
        "bore through the wall",
        DRILL,
        'drill("7 mm", depth=room), bore(9, depth=20),',
        "bad.py:16: box, bore (from back 2): diameter 9 mm: breaks through the side from 27 to 29.5 "
        "mm; the outside is only 8.4 mm there",
    ),
    Case(
        "bore wider than the bar",
        DRILL,
        "bore(13, depth=20),",
        "bad.py:16: box, bore (from back 1): diameter 13 mm: breaks through the side from 14.5 to 34.5 "
        "mm; the outside is only 10 mm there",
    ),
    Case(
        "drill past the far end",
        DRILL,
        'drill("7 mm", depth=40),',
        "bad.py:16: box, drill (from back 1): 42.1 mm with its point: comes out of the far end; make "
        "it 8.61 mm shallower, or through=True",
    ),
    Case(
        "drill point past the far end",
        DRILL,
        'drill("7 mm", depth=33.5),',
        "bad.py:16: box, drill (from back 1): 35.6 mm with its point: comes out of the far end; make "
        "it 2.11 mm shallower, or through=True",
    ),
    Case(
        "drill without a depth",
        DRILL,
        'drill("7 mm"),',
        "bad.py:16: box, drill (from back 1): no depth: a hole has a depth or through=True, one of both",
    ),
    Case(
        "drill with two depths",
        DRILL,
        'drill("7 mm", depth=10, through=True),',
        "bad.py:16: box, drill (from back 1): depth and through: a hole has a depth or through=True, "
        "one of both",
    ),
    Case(
        "tap deeper than its hole",
        HOLE,
        'drill("9 mm", depth=6, mark="hole"),',
        "bad.py:28: lid, tap (from back 2): depth 8 mm: the hole takes M10x1 only to "
        "6 mm; drill it 11.0 mm deep, or tap 6 mm deep",
    ),
    Case(
        "tap into the thread of another",
        HOLE,
        'drill("9 mm", through=True), tap("M10x1", depth=14, lead="bottoming"),',
        "bad.py:28: lid, tap (from back 3): thread M10x1 from 5 to 15 mm: runs into the thread of tap "
        "(from back 2) from 5 to 15 mm; leave one of them out",
    ),
    Case(
        "recess without a hole",
        HOLE,
        'recess(10, 2, depth=6),\n            drill("9 mm", depth=10.5, mark="hole"),',
        "bad.py:27: lid, recess (from back 1): depth 6 mm: there is no hole to turn the recess in; "
        "list the hole before it",
    ),
    Case(
        "recess narrower than its hole",
        TAP,
        'tap("M10x1", depth=8, lead="bottoming"),\n            recess(8, 2, depth=9),',
        "bad.py:29: lid, recess (from back 3): diameter 8 mm: the hole is 9 mm wide there; use more "
        "than 9 mm",
    ),
    Case(
        "mouth of a fillet",
        HOLE,
        'drill("9 mm", depth=10.5, mark="hole", mouth=fillet(1)),',
        'bad.py:27: lid, drill "hole": mouth Fillet(radius=1): must be a chamfer; write chamfer(0.3)',
    ),
    Case(
        "corner of a bore too large",
        HOLE,
        'bore(9, depth=10.5, mark="hole", corner=fillet(6)),',
        'bad.py:27: lid, bore "hole": corner of radius 6 mm: is too large for the two sides it must '
        "touch; use less than 4.5 mm",
    ),
    Case(
        "inside feature outside",
        RIM,
        'cylinder(12, 15, mark="rim"),\n            drill("5 mm", depth=3),',
        "bad.py:25: lid, drill (outside 2): listed under outside: belongs under from_front or from_back",
    ),
    Case(
        "outside feature inside",
        DRILL,
        'drill("7 mm", depth=room),\n            cylinder(5, 3),',
        "bad.py:17: box, cylinder (from back 2): listed under from_back: belongs under outside",
    ),
    Case(
        "across feature inside",
        DRILL,
        'drill("7 mm", depth=room),\n            flat(at=3, length=5, across=11),',
        "bad.py:17: box, flat (from back 2): listed under from_back: belongs under across",
    ),
    Case(
        "cross hole past the end",
        CORD,
        'cross_hole("2 mm", at=15, mark="cord"),',
        'bad.py:31: lid, cross hole "cord": from 14 to 16 mm: lies past the end of the part, 15 mm '
        "long; move it 1 mm",
    ),
    Case(
        "cross hole as wide as the part",
        CORD,
        'cross_hole("12 mm", at=7, mark="cord"),',
        'bad.py:31: lid, cross hole "cord": diameter 12 mm: cuts the part in two, 12 mm wide there; '
        "use less than 12 mm",
    ),
    Case(
        "cross hole out of the far side",
        CORD,
        'cross_hole("2 mm", at=3, depth=14, mark="cord"),',
        'bad.py:31: lid, cross hole "cord": depth 14 mm: comes out on the far side, 12 mm down; write '
        "through=True",
    ),
    Case(
        "flat that touches nothing",
        CORD,
        'cross_hole("2 mm", at=3, mark="cord"), flat(at=3, length=5, across=12.5),',
        "bad.py:31: lid, flat (across 2): across 12.5 mm: a flat lies between the axis and the 12 mm "
        "round; use less than 12 mm",
    ),
    Case(
        "flats of a half",
        CORD,
        'cross_hole("2 mm", at=3, mark="cord"), flat(at=3, length=5, across=11, count=1.5),',
        "bad.py:31: lid, flat (across 2): count 1.5: must be a whole number from 1 to 100",
    ),
    Case(
        "slot too deep",
        CORD,
        'cross_hole("2 mm", at=3, mark="cord"), slot(at=3, length=5, width=1, depth=13),',
        "bad.py:31: lid, slot (across 2): depth 13 mm: the part is only 12 mm thick there; use 12 mm or less",
    ),
    Case(
        "saddle smaller than the part",
        CORD,
        'cross_hole("2 mm", at=3, mark="cord"), saddle(10),',
        "bad.py:31: lid, saddle (across 2): diameter 10 mm: a part 12 mm wide cannot sit astride so "
        "small a round; use 12 mm or more",
    ),
    Case(
        "two marks of one name",
        HOLE,
        'drill("9 mm", depth=10.5, mark="rim"),',
        "bad.py:27: lid, drill: mark 'rim': is the name of a cylinder already; choose another",
    ),
    Case(
        "mark of an end",
        HOLE,
        'drill("9 mm", depth=10.5, mark="back"),',
        "bad.py:27: lid, drill: mark 'back': is the name of the back face already; choose another",
    ),
    Case(
        "side longer than its outline",
        "straight(6),",
        "straight(40),",
        "bad.py:41: clip, straight (side 1): side view of 41.04 mm: is longer than the flat outline, "
        "30 mm; lengthen the outline to 41.04 mm",
    ),
    Case(
        "hole outside the strip",
        '{"screw": (3, 2.2)}',
        '{"screw": (31, 2.2)}',
        'bad.py:34: clip, hole "screw": diameter 2.2 mm at 31 mm: does not lie inside the outline; it '
        "runs from 0 to 30 mm; move the hole or make it smaller",
    ),
    Case(
        "hole wider than the strip",
        '{"screw": (3, 2.2)}',
        '{"screw": (3, 5.2)}',
        'bad.py:34: clip, hole "screw": diameter 5.2 mm at 3 mm: does not lie inside the outline; it '
        "runs from 0 to 30 mm; move the hole or make it smaller",
    ),
    Case(
        "bend through a hole",
        "straight(6),",
        "straight(2.5),",
        "bad.py:42: clip, bend (side 2): bend of 14 degrees from 2.5 to 3.538 mm: runs through the "
        'hole "screw" at 3 mm; move the hole or the bend',
    ),
    Case(
        "strip without a width",
        "widths=[(0, 5), (30, 4)]",
        "widths=[(0, 5)]",
        "bad.py:34: clip: widths: must begin at 0 and go along the strip, two or more; write [(0, "
        "width), (length, width)]",
    ),
    Case(
        "width of one number",
        "widths=[(0, 5), (30, 4)]",
        "widths=[(0, 5), 30]",
        "bad.py:34: clip: width 2 30: must be two lengths: distance along, size across; write (3, 2.2)",
    ),
    Case(
        "holes as a list",
        'holes={"screw": (3, 2.2)}',
        "holes=[(3, 2.2)]",
        'bad.py:34: clip: holes [(3, 2.2)]: must be names and what they stand for; write {"screw": (3, 2.2)}',
    ),
    Case(
        "corner too large",
        "thickness=0.5,",
        "thickness=0.5, corner=3,",
        "bad.py:34: clip: corner 3 mm: is too large for the two sides it must touch; 2 mm is the most here",
    ),
    Case(
        "bend right round",
        "bend(14, radius=4)",
        "bend(200, radius=4)",
        "bad.py:42: clip, bend (side 2): turn 200 degrees: must lie between -180 and 180 degrees",
    ),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_cut_that_cannot_be_made_is_told_once(case: Case, tmp_path: Path) -> None:
    """A cut that cannot be made is refused with its feature, the rule, what would do, and its line."""
    assert_refused(case, tmp_path)
