"""Springs: what other joints leave them, their force, and whether it holds a refill."""

from __future__ import annotations

import re

import pytest

from tests.brass import turned
from tests.held import found
from tests.pens import sprung_pen
from turnmodel import cylinder, joint, shoulder
from turnmodel.analysis.finding import Severity

SPRING, FORCE = "spring", "force behind a refill"
STEM = turned(cylinder(6, 12), shoulder("stop"), cylinder(10, 20), name="stem")
PIN = turned(cylinder(6, 5), name="pin")
ROUNDING = 1e-9
"""Lengths [mm] of round figures, placed by sums of a few of them."""


def left(room: float, **spring: float):
    """What is found of a spring that other joints leave a length to, in mm."""
    faces = PIN.face("back"), STEM.face("front")
    joints = [joint.seat(*faces, gap=room), joint.spring(*faces, **spring)]
    return found(SPRING, STEM, PIN, joints=joints)


@pytest.mark.parametrize(
    ("length", "said"),
    [
        (9.5, "is left 9.50 mm and is 9.00 mm long when free: it does not press"),
        (3.5, "is left 3.50 mm, and its coils touch at 4.00 mm"),
        (-0.5, "is left no room: its faces are -0.50 mm apart"),
    ],
)
def test_a_spring_that_cannot_work(length, said):
    """One that is 9 mm long when free and 4 mm with its coils together works only between the two."""
    (finding,) = left(length, free=9, solid=4, rate=0.1)

    assert finding.severity is Severity.FAULT
    assert finding.parts == ("pin", "stem")
    assert finding.value == pytest.approx(length, abs=ROUNDING)
    assert finding.message == f"the spring between pin and stem {said}"
    (mended,) = left(6.0, free=9, solid=4, rate=0.1)
    assert mended.severity is Severity.NOTE


def test_length_and_force_of_a_spring_are_told():
    """By Hooke's law 9 mm at 0.1 N/mm press with 0.3 N at 6 mm; what was wanted is named."""
    (finding,) = left(6.0, free=9, rate=0.1, length=5)

    assert finding.severity is Severity.NOTE
    assert finding.message == (
        "the spring between pin and stem is 6.00 mm long as fitted, where 5.00 mm are wanted; "
        "it presses with 0.30 N"
    )


def test_a_spring_that_is_not_described_has_its_length_told():
    """Without rate and free length only what is left to the spring can be told."""
    (finding,) = left(6.0)

    assert finding.message == "the spring between pin and stem is 6.00 mm long as fitted"
    assert finding.mend == "give the joint free= and rate= to be told its force"


def test_a_spring_takes_up_every_tolerance_of_the_parts_that_leave_it_its_room():
    """The spread is of the parts beside it: one so short that it may come free is a risk."""
    parts, given = sprung_pen()
    (finding,) = found(SPRING, *parts, **given)
    low, high = map(float, re.search(r"([\d.]+) to ([\d.]+) mm over", finding.message).groups())

    assert low < finding.value < high
    parts, given = sprung_pen(free=(finding.value + high) / 2, rate=1)
    (risky,) = found(SPRING, *parts, **given)
    assert risky.severity is Severity.CAUTION
    assert "are left more than it is long when free" in risky.message
    parts, given = sprung_pen(free=high + 0.01, rate=1)
    (sound,) = found(SPRING, *parts, **given)
    assert sound.severity is Severity.NOTE


def test_a_weak_spring_lets_the_tip_go_back():
    """One that presses with less than the hand is to be changed; as stiff as the mend says, it holds."""
    parts, given = sprung_pen(free=12, rate=0.1)
    (finding,) = found(FORCE, *parts, **given)

    assert finding.severity is Severity.CAUTION
    assert finding.parts == ("ink", "plug")
    assert finding.value < finding.limit == 1.0
    rate = float(re.search(r"([\d.]+) N/mm", finding.mend)[1])
    parts, given = sprung_pen(free=12, rate=rate)
    assert not found(FORCE, *parts, **given)


def test_a_spring_elsewhere_may_be_weak():
    """Only behind a refill does the hand press on a spring."""
    faces = PIN.face("back"), STEM.face("front")

    assert not found(FORCE, STEM, PIN, joints=[joint.spring(*faces, length=6, free=9, rate=0.1)])
