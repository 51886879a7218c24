"""Springs: they take up what the other joints leave, and place a part only where nothing else does."""

from __future__ import annotations

import pytest

from tests.brass import turned
from tests.pens import sprung_pen
from turnmodel import Design, cylinder, joint, shoulder
from turnmodel.design.as_cut import as_cut
from turnmodel.errors import DesignFaults
from turnmodel.geometry.frame import coaxial

STEM = turned(cylinder(6, 12), shoulder("stop"), cylinder(10, 20), name="stem")
PIN = turned(cylinder(6, 5), name="pin")
ANVIL = turned(cylinder(6, 8), name="anvil")
FIRM = (
    joint.seat(PIN.face("back"), STEM.face("front")),
    joint.seat(ANVIL.face("back"), PIN.face("front"), gap=7),
)
ROUNDING = 1e-9
"""Lengths [mm] of round figures, placed by sums of a few of them."""


def sprung(*joints: object, parts=(STEM, PIN, ANVIL)):
    """The one pose of a stem, a pin before it and an anvil before that."""
    (pose,) = Design("press", parts=parts, joints=joints).poses.values()
    return pose


@pytest.mark.parametrize("length", [None, 3.0, 7.0])
@pytest.mark.parametrize("first", [True, False])
def test_a_spring_takes_up_what_other_joints_leave(length, first):
    """Seats leave 7 mm: so long is the spring, wherever it is listed and whatever is wanted."""
    spring = joint.spring(ANVIL.face("back"), PIN.face("front"), length=length)
    pose = sprung(*((spring, *FIRM) if first else (*FIRM, spring)))

    ((found, fitted),) = pose.springs
    assert found is spring
    assert fitted == pytest.approx(7, abs=ROUNDING)
    assert coaxial(pose.parts["anvil"])[0] == pytest.approx(-5 - 7 - 8, abs=ROUNDING)


def test_a_spring_that_nothing_is_left_for_is_shorter_than_nothing():
    """A pin let 3 mm into the stem leaves its spring 3 mm less than nothing."""
    spring = joint.spring(PIN.face("back"), STEM.face("front"))
    deep = joint.seat(PIN.face("back"), STEM.face("front"), gap=-3)

    assert sprung(deep, spring, parts=(STEM, PIN)).springs[0][1] == pytest.approx(-3, abs=ROUNDING)


def test_the_length_of_a_spring_places_a_part_that_nothing_else_does():
    """A part between two springs stands by the one whose length is said; the other is left the rest."""
    said = joint.spring(PIN.face("back"), STEM.face("front"), length=4)
    left = joint.spring(PIN.face("front"), ANVIL.face("back"))
    anvil = joint.seat(ANVIL.face("back"), STEM.face("front"), gap=15)
    pose = sprung(left, said, anvil)

    assert coaxial(pose.parts["pin"])[0] == pytest.approx(-9, abs=ROUNDING)
    assert [fitted for _, fitted in pose.springs] == pytest.approx([15 - 4 - 5, 4], abs=ROUNDING)


def test_a_spring_without_a_length_places_nothing():
    """Where no other joint places the pin, its spring must say how long it stands."""
    with pytest.raises(DesignFaults) as refused:
        sprung(joint.spring(PIN.face("back"), STEM.face("front")), parts=(STEM, PIN))

    (fault,) = refused.value.faults
    assert str(fault).endswith(
        "pin, spring on stem: length: say how long the spring stands, nothing else places pin; "
        "write length=..., in mm"
    )


def test_a_spring_is_longer_when_free_than_with_its_coils_together():
    """Lengths that are changed round are refused as the design is built."""
    with pytest.raises(DesignFaults, match="solid 9 mm: must be less than its length when free, 6 mm"):
        sprung(*FIRM, joint.spring(ANVIL.face("back"), PIN.face("front"), free=6, solid=9))


def test_a_spring_holds_to_the_way_its_faces_look():
    """A spring is free of its length alone: between two faces that look the same way there is none."""
    wrong = joint.spring(ANVIL.face("front"), PIN.face("front"))

    with pytest.raises(DesignFaults, match="other joints hold it facing another way"):
        sprung(*FIRM, wrong)


def test_a_measured_seat_moves_the_end_of_a_spring(tmp_path):
    """A refill's seat bored 0.2 mm less deep leaves the spring behind it 0.2 mm less."""
    parts, given = sprung_pen()
    drawn = Design("pen", parts=parts, **given)
    file = tmp_path / "pen.ascut.toml"
    file.write_text("[body.seat]\ndepth = 41.3\n", encoding="utf-8")

    before, after = (made.poses["open"].springs[0][1] for made in (drawn, as_cut(drawn, file)))
    assert after - before == pytest.approx(-0.2, abs=ROUNDING)
