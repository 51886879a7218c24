"""Outsides that cannot be turned."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import pytest

from tests.commandline import Case, assert_refused

if TYPE_CHECKING:
    from pathlib import Path

RIM: Final = 'cylinder(12, 15, mark="rim"),'
GRIP: Final = 'cylinder(12, 27, mark="grip"),'
THREAD: Final = 'thread("M10x1", 5),'

CASES: Final = (
    Case(
        "wider than its bar",
        RIM,
        'cylinder(12.5, 15, mark="rim"),',
        'bad.py:24: lid, cylinder "rim": diameter 12.5 mm: is wider than its bar, 12 mm; turn it to 12 '
        "mm or less, or take a thicker bar",
    ),
    Case(
        "cone of three",
        RIM,
        'cone(12, 10, length=15, half_angle=5, mark="rim"),',
        'bad.py:24: lid, cone "rim": 3 of end_d, length and half_angle: a cone takes two of them; '
        "leave one out",
    ),
    Case(
        "cone of one",
        RIM,
        'cone(12, 10, mark="rim"),',
        'bad.py:24: lid, cone "rim": 1 of end_d, length and half_angle: a cone takes two of them; give '
        "another",
    ),
    Case(
        "cone of none",
        RIM,
        'cone(12, mark="rim"),',
        'bad.py:24: lid, cone "rim": none of end_d, length and half_angle: a cone takes two of them; '
        "give another",
    ),
    Case(
        "cone that cannot reach",
        RIM,
        'cone(8, 12, half_angle=-10, mark="rim"),',
        'bad.py:24: lid, cone "rim": end diameter 12 mm: a cone of -10 degrees from 8 mm never reaches '
        "it; write half_angle=10",
    ),
    Case(
        "cone to a point",
        RIM,
        'cone(12, length=45, half_angle=-10, mark="rim"),',
        'bad.py:24: lid, cone "rim": length 45 mm: the cone comes to a point after 34.03 mm; shorten it',
    ),
    Case(
        "waist of no diameter",
        RIM,
        "cone(12, 0, length=5),\n            cone(0, 12, length=10),",
        "bad.py:24: lid, cone (outside 1): diameter 0 mm: only an end comes to a point; give it a diameter",
    ),
    Case(
        "bow too small",
        RIM,
        "bow(10, 15, radius=4, start_d=12),",
        "bad.py:24: lid, bow (outside 1): radius 4 mm: does not reach from end to end, 15.03 mm apart; "
        "use 7.517 mm or more",
    ),
    Case(
        "bow wider than its bar",
        RIM,
        'bow(12, 15, radius=20, start_d=12, mark="rim"),',
        'bad.py:24: lid, bow "rim": diameter 14.919 mm: is wider than its bar, 12 mm; '
        "turn it to 12 mm or less, or take a thicker bar",
    ),
    Case(
        "dome in the middle",
        RIM,
        'cylinder(12, 5), dome(12, length=5), cylinder(12, 5, mark="rim"),',
        "bad.py:24: lid, dome (outside 2): in the middle: a dome is the first or the last feature of "
        "several; use bow between others",
    ),
    Case(
        "dome alone",
        RIM,
        'dome(12, mark="rim"),',
        'bad.py:24: lid, dome "rim": alone: a dome is the first or the last feature of several; use '
        "bow between others",
    ),
    Case(
        "dome too high",
        RIM,
        'cylinder(12, 15, mark="rim"), dome(length=9),',
        "bad.py:24: lid, dome (outside 2): length 9 mm: a dome is at most half its diameter, 6 mm, "
        "high; put a cylinder behind it",
    ),
    Case(
        "chamfer larger than its wall",
        GRIP,
        'cylinder(12, 27, mark="grip", back=chamfer(3)),',
        'bad.py:10: box, cylinder "grip": chamfer 3 mm: is longer than the 1.8 mm it is cut from; 1.8 '
        "mm is the most here",
    ),
    Case(
        "fillet too large",
        GRIP,
        'cylinder(12, 27, mark="grip", back=fillet(4)),',
        'bad.py:10: box, cylinder "grip": fillet 4 mm: is too large for the two sides it must touch; '
        "1.8 mm is the most here",
    ),
    Case(
        "edges that meet",
        RIM,
        'cylinder(12, 2, edges=chamfer(1.2)), cylinder(11, 13, mark="rim"),',
        "bad.py:24: lid, cylinder (outside 1): chamfer 1.2 mm: is longer than the 0.8 mm it is cut "
        "from; 0.5 mm is the most here",
    ),
    Case(
        "two edges on a corner",
        RIM,
        'cylinder(12, 13, mark="rim", back=chamfer(1)), cone(12, 11, length=2, front=fillet(1)),',
        "bad.py:24: lid, cone (outside 2): fillet at its front: the same corner is treated by cylinder "
        '"rim"; keep one of them',
    ),
    Case(
        "relief without a thread",
        RIM,
        'cylinder(12, 12, mark="rim"), relief(), cylinder(12, 3),',
        "bad.py:24: lid, relief (outside 2): a relief stands beside a thread, and there is none; use groove",
    ),
    Case(
        "relief away from its thread",
        "relief(short=True),",
        "cylinder(9, 2), relief(), cylinder(8, 2),",
        "bad.py:12: box, relief (outside 4): a relief stands beside a thread; move it there, or use groove",
    ),
    Case(
        "groove that cuts nothing",
        RIM,
        'cylinder(12, 10, mark="rim"), groove(2, 12), cylinder(12, 3),',
        "bad.py:24: lid, groove (outside 2): diameter 12 mm: cuts nothing beside 12 mm; make it less "
        "than 12 mm",
    ),
    Case(
        "thread too short",
        THREAD,
        'thread("M10x1", 1.5), cylinder(12, 5),',
        "bad.py:13: box, thread (outside 4): length 1.5 mm: its chamfer and run-out alone take 2.25 "
        "mm; make it 4.2 mm or longer, or put a relief behind it",
    ),
    Case(
        "fillet on a thread",
        THREAD,
        'thread("M10x1", 5, back=fillet(0.5)),',
        "bad.py:13: box, thread (outside 4): back fillet: a thread's end takes a chamfer; write chamfer(...)",
    ),
    Case(
        "knurl of text",
        RIM,
        'cylinder(12, 15, mark="rim", knurled="fine"),',
        "bad.py:24: lid, cylinder \"rim\": knurled 'fine': must be a knurl; write knurl(0.8)",
    ),
    Case(
        "knurl below zero",
        RIM,
        'cylinder(12, 15, mark="rim", knurled=knurl(-0.8)),',
        'bad.py:24: lid, cylinder "rim", knurl: pitch -0.8 mm: must be more than 0 mm; did you mean 0.8 mm?',
    ),
    Case(
        "knurl of no wheel",
        RIM,
        'cylinder(12, 15, mark="rim", knurled=knurl(5)),',
        'bad.py:24: lid, cylinder "rim", knurl: pitch 5 mm: knurls have 0.3 to 2 mm from ridge to ridge; '
        "the nearest usual is 1.6 mm",
    ),
    Case(
        "knurl in inches for millimetres",
        RIM,
        'cylinder(12, 15, mark="rim", knurled=knurl("0.8 in")),',
        'bad.py:24: lid, cylinder "rim", knurl: pitch 20.32 mm: knurls have 0.3 to 2 mm from ridge to ridge; '
        "did you mean 0.8 mm?",
    ),
    Case(
        "knurl too fine",
        RIM,
        'cylinder(12, 15, mark="rim", knurled=knurl(0.1)),',
        'bad.py:24: lid, cylinder "rim", knurl: pitch 0.1 mm: knurls have 0.3 to 2 mm from ridge to ridge; '
        "the nearest usual is 0.5 mm",
    ),
    Case(
        "nothing outside",
        RIM,
        "",
        "bad.py:19: lid: nothing outside: a turned part has a feature there at the least",
    ),
    Case(
        "feature not called",
        'shoulder("stop"),',
        "shoulder,",
        "bad.py:5: box, shoulder (outside 2): shoulder: lacks its brackets; write shoulder(...)",
    ),
    Case(
        "something else in a list",
        RIM,
        '"rim",',
        "bad.py:19: lid, item (outside 1): 'rim': is no feature; write for example cylinder(\"12 mm\", 20)",
    ),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_an_outside_that_cannot_be_turned_is_told_once(case: Case, tmp_path: Path) -> None:
    """An outside that cannot be turned is refused with its feature, the rule, what would do, and its line."""
    assert_refused(case, tmp_path)
