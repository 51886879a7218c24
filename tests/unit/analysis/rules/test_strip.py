"""Holes of strip parts: clearance holes are those of ISO 273, fine series, 2.2 mm for M2 (from memory)."""

from __future__ import annotations

import pytest

from tests.clips import clipped
from tests.held import found, plain
from turnmodel import Part, cylinder, joint, shoulder, straight
from turnmodel.analysis.finding import Severity

RULE = "hole of a strip"
EXACT = 1e-9  # mm


def test_a_hole_too_small_for_its_screw_is_told_by_the_drill_that_mends_it():
    """M2 does not pass 1.8 mm of a clip, nor 2.0, and passes the 2.2 mm of the mend."""
    parts, joints = clipped(hole=1.8)
    (finding,) = found(RULE, *parts, joints=joints)

    assert finding.severity is Severity.FAULT
    assert (finding.parts, finding.feature) == (("clip", "screw"), 'hole "screw"')
    assert finding.value == pytest.approx(-0.2, abs=EXACT)
    assert finding.message == 'clip, hole "screw": 1.8 mm for M2x0.4 of screw'
    assert finding.mend == "drill 2.2 mm"
    parts, joints = clipped(hole=2.0)
    assert found(RULE, *parts, joints=joints)
    parts, joints = clipped(hole=2.2)
    assert not found(RULE, *parts, joints=joints)


def test_a_plain_pin_needs_room_as_well():
    """A pin of 3 mm does not go through a hole of 3 mm; 3.2 mm let it."""
    pin = plain(cylinder(3, 5), shoulder("head"), cylinder(6, 2), name="pin")

    def held(hole: float) -> list[object]:
        strip = Part.strip(
            "plate", material="1095 blue strip", thickness=0.5, widths=[(0, 8), (20, 8)],
            holes={"pin": (5, hole)}, side=[straight(20)],
        )  # fmt: skip
        return found(RULE, strip, pin, joints=[joint.seat(pin.face("head"), strip.face("pin", "top"))])

    (finding,) = held(3)
    assert finding.message == 'plate, hole "pin": 3 mm for pin, 3 mm there'
    assert finding.mend == "drill 3.2 mm"
    assert not held(3.2)
