"""How a part is held again where a knurl has grown in front of what it is held by."""

from __future__ import annotations

import pytest

from tests.held import found, plain
from turnmodel import bore, cylinder, drill, knurl, tap
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.catalog.tools import assumed_tools

ENDS = {"from_front": [drill("10 mm", depth=6)], "from_back": [bore(11, depth=20)]}


def held(part):
    """The second setting: its grip and the words of its hold."""
    setting = cut_plan(part, assumed_tools()).settings[1]
    return setting.grip, setting.steps[0]


def test_a_collet_goes_on_from_the_end_where_nothing_is_wider():
    """A knurl of 0.8 mm pitch on 15 mm has grown to 15.4 mm: a collet of 15 mm comes from the other end."""
    mouth = {"from_front": [drill("10 mm", through=True), drill("11 mm", depth=9), tap("M12x1", depth=7)]}
    case = plain(
        cylinder(15, 6), cylinder(15, 20, knurled=knurl(0.8)), cylinder(15, 10), stock="16 mm",
        **mouth, from_back=[bore(11.8, depth=20)],
    )  # fmt: skip
    grip, step = held(case)
    assert (grip.over, grip.start) == (0.0, 26.0)
    assert "in a collet or bored soft jaws" in step.text
    (note,) = found("gripped again", case)
    assert note.mend == (
        "use soft jaws bored to 15 mm and relieved behind that for what is wider, or a collet of 15 mm from "
        "its back end"
    )


def test_a_land_between_two_knurls_is_held_in_relieved_soft_jaws():
    """From either end a collet would have to pass a knurl that has grown."""
    both = plain(cylinder(15, 8, knurled=knurl(0.8)), cylinder(15, 10), cylinder(15, 8, knurled=knurl(0.8)),
                 stock="16 mm", **ENDS)  # fmt: skip
    grip, step = held(both)
    assert grip.over == pytest.approx(15.4)
    assert "in soft jaws bored to it" in step.text
    assert "it has grown to ⌀15.40 and goes through no collet" in step.text
    assert str(step.tools[0]) == "⌀15.00 soft jaws"
    (note,) = found("gripped again", both)
    assert note.mend == "use soft jaws bored to 15 mm and relieved behind that for what is wider"


def test_a_land_in_front_of_a_knurl_goes_into_a_collet():
    """What lies towards the lathe's nose is no wider, and the knurl stays outside."""
    pin = plain(
        cylinder(15, 20), cylinder(15, 6, knurled=knurl(0.8)), stock="16 mm", from_back=[bore(8, depth=4)]
    )
    grip, step = held(pin)
    assert grip.over == 0.0
    assert "in a collet or bored soft jaws" in step.text
