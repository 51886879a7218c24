"""Caps: room before the tip, one stop, hold where posted, and air for a child."""

from __future__ import annotations

import re

import pytest

from tests.held import found
from tests.pens import pen
from turnmodel import Part, bar, bore, cylinder, drill, joint, shoulder, state
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.roles import caps
from turnmodel.design.design import Design

ROOM, STOP, POSTED, AIR = "cap over the tip", "stop of a cap", "posted cap", "cap for children"


def number(mend: str) -> float:
    """Read the first length of a mend."""
    return float(re.search(r"([\d.]+) mm", mend)[1])


def test_what_is_a_cap():
    """What goes round the tip in one state and is laid aside in another is a cap; the body is none."""
    parts, given = pen()
    (cap,) = caps(Design("pen", parts=parts, **given))

    assert (cap.part, cap.tip, cap.closed, cap.posted) == ("cap", "ink", ("closed",), ())


def test_a_lid_without_a_tip_is_no_cap():
    """A case's lid covers no refill, so nothing of caps is asked of it."""
    tube = Part.turned("tube", material="brass", stock=bar("14 mm"), outside=[cylinder(14, 30)])
    lid = Part.turned("lid", material="brass", stock=bar("14 mm"), outside=[cylinder(14, 5)])
    states = {"closed": state(joint.seat(lid.face("back"), tube.face("front"))), "open": state(aside=lid)}

    assert not caps(Design("case", parts=[tube, lid], states=states))
    assert not found(AIR, tube, lid, states=states, users="children")


@pytest.mark.parametrize(("depth", "severity"), [(26.5, Severity.FAULT), (27.8, Severity.CAUTION)])
def test_a_cap_whose_hole_ends_near_the_tip(depth, severity):
    """A hole that ends before the tip cannot close; one 0.9 mm behind it may touch; the mend clears it."""
    parts, given = pen(cap_depth=depth)
    (finding,) = found(ROOM, *parts, **given)

    assert finding.parts == ("cap", "ink")
    assert finding.severity is severity
    mended, given = pen(cap_depth=depth + number(finding.mend))
    assert not found(ROOM, *mended, **given)


def test_a_sound_cap_clears_the_tip():
    """The hole of the sound pen's cap leaves room at every tolerance."""
    parts, given = pen()

    assert not found(ROOM, *parts, **given)


def stopped(inner: float):
    """A pen whose cap has a step inside, which may come to the end of the body's thread first."""
    (body, plug, _, ink), given = pen()
    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[cylinder(12, 36)],
        from_back=[drill("7.25 mm", depth=30), bore(8.4, depth=inner)],
    )
    states = {"closed": state(joint.seat(cap.face("back"), body.face("cap stop"))), "open": state(aside=cap)}
    return [body, plug, cap, ink], {"joints": given["joints"], "states": states}


def test_a_cap_that_meets_the_thread_with_its_stop():
    """A step that comes 0.02 mm short of the thread's chamfer may stop there; deeper by the mend it does not.

    The chamfer goes at 45 degrees from the root, 7.08 mm, at 7.6 mm before the stop; the step's edge is at
    7.25 mm, so the two are 7.6 - (7.25 - 7.08) / 2 = 7.515 mm before the stop when they touch.
    """
    parts, given = stopped(7.515 + 0.02)
    (finding,) = found(STOP, *parts, **given)

    assert finding.severity is Severity.CAUTION
    assert finding.parts == ("cap", "body")
    assert finding.value == pytest.approx(0.02, abs=1e-4)
    assert 'cap is to stop on body, face "cap stop", and 0.02 mm on it meets body' in finding.message
    parts, given = stopped(7.515 + 0.02 + number(finding.mend))
    assert not found(STOP, *parts, **given)


def posted(hole: float):
    """A pen whose cap slides over the plug, 10 mm wide, when it is posted."""
    (body, plug, _, ink), given = pen()
    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=bar("14 mm"),
        outside=[cylinder(14, 40)],
        from_back=[drill("7.25 mm", depth=32, mark="floor"), bore(hole, depth=24)],
    )
    states = {
        "closed": state(joint.seat(cap.face("floor"), body.face("nose"), gap=10)),
        "open": state(aside=cap),
        "posted": state(joint.seat(cap.face("floor"), plug.face("back"), gap=12)),
    }
    return [body, plug, cap, ink], {"joints": given["joints"], "states": states}


def test_a_posted_cap_that_is_held_by_nothing():
    """A cap 0.4 mm loose over the barrel rattles; narrowed by the mend it slides."""
    parts, given = posted(10.4)
    (finding,) = found(POSTED, *parts, **given)

    assert (finding.severity, finding.state) == (Severity.CAUTION, "posted")
    assert finding.value == pytest.approx(0.4)
    parts, given = posted(10.4 - number(finding.mend))
    assert not found(POSTED, *parts, **given)


def test_a_cap_that_a_child_could_swallow():
    """A plain cap of 10 mm goes into the 16 mm ring: a caution for children, a note with its scope else."""
    parts, given = pen()
    (note,) = found(AIR, *parts, **given)
    (caution,) = found(AIR, *parts, **given, users="children")

    assert (note.severity, caution.severity) == (Severity.NOTE, Severity.CAUTION)
    assert "children up to 14" in note.message
    assert caution.value == 0.0
    assert caution.limit == 3.4
    assert number(caution.mend) == pytest.approx(2.08, abs=0.005)


@pytest.mark.parametrize(("air", "enough"), [(2.0, False), (2.1, True)])
def test_a_hole_that_lets_air_through(air, enough):
    """One hole of 3.4 mm2, 2.08 mm, can be expected to pass (ISO 11540:2014, 3.3, note)."""
    parts, given = pen(air=air, cap_depth=30.0)

    assert bool(found(AIR, *parts, **given, users="children")) is not enough


def test_a_cap_too_wide_for_the_ring():
    """A cap with a collar of 18 mm, more than 5 mm from its ends, stays out of the ring."""
    (body, plug, _, ink), given = pen()
    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=bar("18 mm"),
        outside=[cylinder(10, 15), cylinder(18, 6), shoulder("end"), cylinder(10, 15)],
        from_back=[drill("8.5 mm", depth=30)],
    )
    states = {"closed": state(joint.seat(cap.face("back"), body.face("cap stop"))), "open": state(aside=cap)}

    assert not found(AIR, body, plug, cap, ink, joints=given["joints"], states=states, users="children")


@pytest.mark.parametrize("screw_first", [True, False])
def test_what_a_cap_carries_does_not_stop_it(screw_first):
    """A clip's screw that seats inside the cap goes where the cap goes; its stop is on the body."""
    (body, plug, _, ink), given = pen()
    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[cylinder(12, 36)],
        from_back=[drill("2.6 mm", through=True), bore(8.4, depth=32, mark="inside")],
    )
    screw = Part.turned(
        "screw",
        material="303",
        stock=bar("5 mm"),
        outside=[cylinder(4.5, 1.5), shoulder("under head"), cylinder(2.5, 5.5)],
    )
    stop = joint.seat(cap.face("back"), body.face("cap stop"))
    fixed = joint.seat(screw.face("under head"), cap.face("inside"))
    states = {
        "closed": state(*((fixed, stop) if screw_first else (stop, fixed))),
        "open": state(aside=(cap, screw)),
    }

    assert not found(STOP, body, plug, cap, screw, ink, joints=given["joints"], states=states)
