"""Order of assembly, and what holds an object together."""

from __future__ import annotations

import re

import pytest

from tests.held import found, plain
from tests.pens import pen
from turnmodel import (
    bore,
    chamfer,
    cross_tap,
    cylinder,
    drill,
    joint,
    recess,
    relief,
    saddle,
    shoulder,
    slot,
    state,
    tap,
    thread,
)
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.order import taken_apart
from turnmodel.design.design import Design

ORDER, HELD = "order of assembly", "comes apart"


def necked(neck: float):
    """A case with a neck, and a core whose head, put in from the back, stands in the room before the neck."""
    case = plain(
        cylinder(16, 30),
        name="case",
        from_front=[bore(12, depth=10, mark="room")],
        from_back=[bore(neck, through=True)],
    )
    core = plain(cylinder(8, 5), cylinder(6, 21), shoulder("stop"), cylinder(14, 4), name="core")
    return [case, core], {"joints": [joint.seat(core.face("stop"), case.face("back"))]}


def test_a_head_that_does_not_pass_the_neck():
    """A head of 8 mm does not pass a neck of 7.4 mm; widened by the mend's 0.6 mm, it does."""
    parts, given = necked(7.4)
    (finding,) = found(ORDER, *parts, **given)

    assert finding.severity is Severity.FAULT
    assert finding.parts == ("case", "core")
    assert finding.value == pytest.approx(-0.6)
    assert finding.message == (
        "case and core cannot be put together: from the back, core meets case at its 10.00 mm, "
        "where its way is 0.60 mm too narrow in diameter"
    )
    by = float(re.search(r"by ([\d.]+) mm", finding.mend)[1])
    parts, given = necked(7.4 + by)
    assert not found(ORDER, *parts, **given)


def test_a_flange_in_a_recess_is_trapped():
    """A flange of 9 mm in a recess between holes of 6 mm gets out neither way, 3 mm wider it does."""

    def shell(hole: float):
        bored = [bore(hole, through=True), recess(10, width=6, depth=18)]
        return plain(cylinder(16, 30), name="shell", from_front=bored)

    shank = (cylinder(5, 12), cylinder(9, 2), cylinder(5, 13), shoulder("stop"), cylinder(14, 3))
    bead = plain(*shank, name="bead")
    held = [joint.seat(bead.face("stop"), shell(6).face("back"))]
    (finding,) = found(ORDER, shell(6), bead, joints=held)

    assert finding.value == pytest.approx(-3.0)
    assert finding.mend == "widen shell or narrow bead there by 3.00 mm in diameter"
    assert not found(ORDER, shell(9), bead, joints=held)


def test_a_screwed_pair_passes_by_turning():
    """The crest of a screw is wider than the hole's crest, and turns through it."""
    box = plain(thread("M10x1", 6), relief(), shoulder("stop"), cylinder(14, 20), name="box")
    lid = plain(
        cylinder(14, 12),
        name="lid",
        from_back=[drill("9 mm", depth=8.5), tap("M10x1", depth=6.5, lead="bottoming")],
    )
    states = {"closed": state(joint.screw(lid.face("back"), box.face("stop")))}

    assert not found(ORDER, box, lid, states=states)
    assert not found(HELD, box, lid, states=states)


def test_a_thread_does_not_turn_through_a_hole_that_is_plain():
    """A thread of 10 mm does not pass a plain hole of 9.2 mm before the tapped one; one of 10 mm it does."""

    def lid(mouth: float):
        holes = [drill("9 mm", depth=20), tap("M10x1", depth=18)]
        return plain(cylinder(14, 26), name="lid", from_front=holes, from_back=[bore(mouth, depth=8)])

    def closed(lid):
        return {"states": {"closed": state(joint.screw(lid.face("back"), box.face("stop")))}}

    box = plain(thread("M10x1", 6), relief(), cylinder(8, 10), shoulder("stop"), cylinder(14, 10), name="box")
    tight, wide = lid(9.2), lid(10)
    (finding,) = found(ORDER, box, tight, **closed(tight))

    assert finding.severity is Severity.FAULT
    assert finding.value == pytest.approx(-(10 - 9.2), abs=1e-6)
    assert not found(ORDER, box, wide, **closed(wide))


def clipped():
    """A cap with a spacer and a screw across it."""
    cap = plain(
        cylinder(10, 20),
        name="cap",
        stock="10 mm",
        from_back=[drill("7 mm", depth=10)],
        across=[cross_tap("M2", at=5, depth=4, mark="hole")],
    )
    spacer = plain(
        cylinder(5, 2),
        name="spacer",
        stock="5 mm",
        from_front=[drill("2.2 mm", through=True)],
        across=[saddle(10, mark="saddle")],
    )
    screw = plain(
        cylinder(3.8, 1.2, front=chamfer(0.3)),
        shoulder("under head"),
        thread("M2", 4),
        name="screw",
        stock="4 mm",
        across=[slot(at=0, length=0.6, width=0.5, depth=3.7)],
    )
    joints = [
        joint.seat(spacer.face("saddle"), cap.face("hole")),
        joint.screw(screw.face("under head"), spacer.face("front"), into=cap),
    ]
    return [cap, spacer, screw], joints


def test_a_screw_across_comes_out_sideways_and_lets_the_spacer_go():
    """The screw comes off first, then the spacer under its head; both across the axis."""
    parts, joints = clipped()
    steps, stuck = taken_apart(Design("cap", parts=parts, joints=joints), "whole")

    assert not stuck
    assert [step.parts for step in steps] == [("screw",), ("spacer",)]
    assert all(abs(step.direction[2]) < 1e-9 for step in steps)
    assert not found(HELD, *parts, joints=joints)


def test_a_spacer_without_its_screw_falls_off():
    """With the screw left out nothing holds the spacer, and it comes off sideways."""
    (cap, spacer, _), joints = clipped()
    (finding,) = found(HELD, cap, spacer, joints=joints[:1])

    assert finding.severity is Severity.CAUTION
    assert finding.parts == ("spacer",)
    assert finding.message == 'nothing holds spacer in state "whole": comes off sideways'


def test_a_refill_without_its_plug_falls_out():
    """In a state without the plug the refill slides out of the back; with it there is nothing to say."""
    (body, plug, cap, ink), given = pen()
    states = {**given["states"], "filling": state(aside=[plug, cap])}
    (finding,) = found(HELD, body, plug, cap, ink, joints=given["joints"], states=states)

    assert (finding.parts, finding.state) == (("ink",), "filling")
    assert finding.message == 'nothing holds ink in state "filling": comes off towards the back'
    assert not found(HELD, body, plug, cap, ink, **given)


def test_a_sound_pen_goes_together():
    """The pen that other tests spoil has an order of assembly in every state."""
    parts, given = pen()

    assert not found(ORDER, *parts, **given)


def test_a_press_fit_holds_and_is_forced():
    """A foot pressed into a tube goes in by force and does not come apart."""
    tube = plain(cylinder(14, 30), name="tube", from_front=[bore(7, through=True)])
    foot = plain(cylinder(7.015, 6), shoulder("stop"), cylinder(14, 4), name="foot")
    pressed = [joint.press(foot.face("stop"), tube.face("back"), allowance=0.015)]

    assert not found(ORDER, tube, foot, joints=pressed)
    assert not found(HELD, tube, foot, joints=pressed)
    loose = plain(cylinder(6.9, 6), shoulder("stop"), cylinder(14, 4), name="foot")
    (finding,) = found(HELD, tube, loose, joints=[joint.seat(loose.face("stop"), tube.face("back"))])
    assert finding.parts == ("foot",)
