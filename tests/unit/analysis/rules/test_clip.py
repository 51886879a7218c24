"""Clips: grip, set, bends, screws through walls and saddles."""

from __future__ import annotations

import re

import pytest

from tests.clips import clipped
from tests.held import found
from turnmodel.analysis.finding import Severity

CLOTH, SET, GRIP = "cloth under a clip", "set of a clip", "grip of a clip"
BEND, THROUGH, SADDLE = "bend of a strip", "screw through a wall", "saddle"


def number(mend: str) -> float:
    """Read the first length of a mend."""
    return float(re.search(r"([\d.]+) mm", mend)[1])


def test_a_clip_is_told_with_its_force_and_stress():
    """The note gives force and stress, which agree with the formulas of an even strip of its mean width."""
    parts, joints = clipped()
    (finding,) = found(CLOTH, *parts, joints=joints)

    long, cloth, force, stress = map(
        float, re.findall(r"(?<= )(\d+\.?\d*)(?= mm,| mm thick| N| MPa)", finding.message)
    )
    lift = cloth - finding.value
    assert finding.severity is Severity.NOTE
    assert stress == pytest.approx(3 * 205e3 * 0.5 * lift / (2 * long**2), rel=0.06)
    assert force == pytest.approx(205e3 * 4.5 * 0.5**3 * lift / (4 * long**3), rel=0.12)


def test_a_clip_that_stands_off():
    """A clip that is not bent down does not touch cloth of 1 mm; nearer by the mend's length it does."""
    parts, joints = clipped(down=1.0)
    (finding,) = found(CLOTH, *parts, joints=joints)

    assert finding.severity is Severity.CAUTION
    assert finding.value > 1.0
    thick = finding.value + 0.1
    assert found(CLOTH, *parts, joints=joints, limits={CLOTH: thick})[0].severity is Severity.NOTE
    parts, joints = clipped()
    assert found(CLOTH, *parts, joints=joints)[0].severity is Severity.NOTE


def test_a_clip_that_stays_bent():
    """Cloth of 2.5 mm bends a brass clip past its yield and a spring not; thin by the mend it springs."""
    cloth = {CLOTH: 2.5}
    parts, joints = clipped(material="CW614N")
    (finding,) = found(SET, *parts, joints=joints, limits=cloth)

    assert finding.severity is Severity.FAULT
    assert finding.value > 1.0
    assert finding.limit == 0.75
    parts, joints = clipped(material="CW614N", thickness=number(finding.mend) - 0.02)
    assert not found(SET, *parts, joints=joints, limits=cloth)
    parts, joints = clipped()
    assert not found(SET, *parts, joints=joints, limits=cloth)


def test_a_clip_too_weak_for_the_weight():
    """A strip of 0.15 mm does not hold the cap's weight twenty times; as thick as the mend says it does."""
    parts, joints = clipped(thickness=0.15)
    (finding,) = found(GRIP, *parts, joints=joints, limits={GRIP: 20.0})

    assert finding.value < finding.limit == 20.0
    thick = number(finding.mend)
    parts, joints = clipped(thickness=thick + 0.05)
    assert not found(GRIP, *parts, joints=joints, limits={GRIP: 20.0})
    parts, joints = clipped()
    assert not found(GRIP, *parts, joints=joints)


def test_a_bend_too_tight_for_hard_strip():
    """Strip of 0.5 mm is bent to 1.5 mm inside or more, and brass as one likes."""
    parts, joints = clipped(radius=1.2)
    (finding,) = found(BEND, *parts, joints=joints)

    assert (finding.parts, finding.feature) == (("clip",), "bend 1")
    assert finding.value == pytest.approx(1.2 / 0.5)
    parts, joints = clipped(radius=number(finding.mend))
    assert not found(BEND, *parts, joints=joints)
    parts, joints = clipped(radius=1.2, material="CW614N")
    assert not found(BEND, *parts, joints=joints)


def test_a_screw_that_comes_out_inside_the_cap():
    """Where the hole lies under the screw, a screw of 4.2 mm comes out; short by the mend it does not."""
    parts, joints = clipped(deep=39.0)
    (finding,) = found(THROUGH, *parts, joints=joints)

    assert finding.severity is Severity.FAULT
    assert finding.parts == ("screw", "cap")
    left = 10 / 2 + 1 + 0.5 - 4.2 - 6.5 / 2  # to the axis: spacer, clip, less the screw, less the hole
    assert finding.value == pytest.approx(left)
    parts, joints = clipped(deep=39.0, screw=4.2 - number(finding.mend))
    assert not found(THROUGH, *parts, joints=joints)
    parts, joints = clipped()
    assert not found(THROUGH, *parts, joints=joints)


@pytest.mark.parametrize(("seat", "sound"), [(9.8, False), (10.0, True), (10.08, True), (12.0, False)])
def test_a_saddle_of_another_diameter(seat, sound):
    """A saddle within a tenth of the cap's 10 mm sits; the mend names the cap's diameter."""
    parts, joints = clipped(seat=seat)
    findings = found(SADDLE, *parts, joints=joints)

    assert (not findings) is sound
    for finding in findings:
        assert finding.value == pytest.approx(seat - 10)
        assert finding.mend == "cut the saddle to 10.00 mm"
