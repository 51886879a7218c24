"""Refills: the way they go in by, how far the tip stands out, what guides it, what room is behind.

The spreads are those of the catalogue: form D 2.3 to 2.4 mm wide, form G2 5.8 to 6.1 mm at its tail and 2.50
to 2.57 mm at its tip (retailers' notes that quote JIS S 6039).
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from tests.held import found
from tests.pens import pen
from turnmodel import Part, bar, bore, bought, cylinder, drill, joint, recess, tap
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.makers import largest
from turnmodel.geometry.region import bounds

WAY, SHORT, LONG = "way of a bought part", "tip too short", "tip too long"
ROOM, HOLE = "room behind a refill", "hole round the tip"


def number(mend: str, unit: str = "mm") -> float:
    """Read the first number of a mend."""
    return float(re.search(rf"([\d.]+) ?{unit}", mend)[1])


def holder(tapped: str, front: float = 2.7):
    """A section that takes a G2 refill from the back, through a tapped hole with a wider room before it."""
    section = Part.turned(
        "section",
        material="CW614N",
        stock=bar("14 mm"),
        outside=[cylinder(12, 100)],
        from_front=[drill(front, through=True)],
        from_back=[
            bore(4.2, depth=92, mark="seat"),
            tap(tapped, depth=8, lead="bottoming"),
            recess(6.3, width=77.5, depth=88),
        ],
    )
    ink = bought("ink", refill="G2")
    return [section, ink], {"joints": [joint.seat(ink.face("tip"), section.face("seat"))]}


def test_a_refill_does_not_go_through_the_tapped_hole_behind():
    """The tail may be 6.1 mm and M7x1 is drilled 6 mm; M8x1, drilled 7 mm, lets it in."""
    parts, given = holder("M7x1")
    (finding,) = found(WAY, *parts, **given)

    assert finding.severity is Severity.FAULT
    assert finding.parts == ("section", "ink")
    assert finding.value == pytest.approx(6.0 - 6.1)
    assert "ink may be 6.10 mm wide and passes section, whose hole is 6.00 mm" in finding.message
    assert number(finding.mend) == pytest.approx(6.15)
    parts, given = holder("M8x1")
    assert not found(WAY, *parts, **given)


@pytest.mark.parametrize(
    ("bore", "severity"), [(2.35, Severity.FAULT), (2.42, Severity.CAUTION), (2.5, None)]
)
def test_a_bore_for_the_widest_refill(bore, severity):
    """Form D may be 2.4 mm: 2.35 mm shuts it out, 2.42 mm is tight, 2.5 mm is well; so is the mend."""
    parts, given = pen(bore=bore)
    findings = found(WAY, *parts, **given)

    assert [finding.severity for finding in findings] == ([severity] if severity else [])
    for finding in findings:
        assert finding.value == pytest.approx(bore - 2.4)
        mended, given = pen(bore=number(finding.mend.split(" to ")[1]))
        assert not found(WAY, *mended, **given)


def test_the_largest_of_a_refill_takes_the_most_of_each_diameter():
    """A G2 at its largest is 6.1 mm at the tail."""
    assert 2 * bounds(largest(bought("ink", refill="G2"))).r1 == pytest.approx(6.1)
    assert 2 * bounds(largest(bought("ink", refill="D"))).r1 == pytest.approx(2.4)


def test_a_tip_that_stays_inside():
    """A seat 4 mm behind the nose keeps the tip in; brought nearer by the mend it stands out enough."""
    parts, given = pen(seat=4.0)
    (finding,) = found(SHORT, *parts, **given)

    assert finding.severity is Severity.FAULT
    assert finding.value < finding.limit == 0.5
    mended, given = pen(seat=4.0 - number(finding.mend))
    assert not found(SHORT, *mended, **given)
    sound, given = pen()
    assert not found(SHORT, *sound, **given)


def test_a_tip_that_may_come_out_short():
    """A tip at 1.2 mm is enough, and not for one in a thousand pens."""
    parts, given = pen(seat=2.2)
    (finding,) = found(SHORT, *parts, **given)

    assert finding.severity is Severity.CAUTION
    assert finding.value < 0.5
    assert number(finding.message.split("; ")[1], "%") >= 0.1


def test_a_tip_that_stands_out_too_far():
    """A limit of 1 mm finds the sound pen's 2 mm too long, by the same sum."""
    parts, given = pen()
    (finding,) = found(LONG, *parts, **given, limits={LONG: 1.0})

    assert finding.severity is Severity.FAULT
    assert finding.value == pytest.approx(2.0, abs=1e-3)
    most = float(re.search(r"to ([\d.]+) mm over", finding.message)[1])
    assert number(finding.mend) == pytest.approx(most - 1.0, abs=0.011)
    assert not found(LONG, *parts, **given)


def test_the_tip_is_told_with_its_spread():
    """The note gives the nominal, the worst case and what came of chance, the last within the worst."""
    parts, given = pen()
    (finding,) = found("tip", *parts, **given)

    nominal, low, high, least, most = map(float, re.findall(r"-?\d+\.\d\d", finding.message))
    assert finding.severity is Severity.NOTE
    assert low < least < nominal < most < high
    assert "in 100000 made by chance" in finding.message


def test_too_much_room_behind():
    """Where no more than 0.2 mm of room is wanted, what there is is too much; moved by the mend it is not."""
    parts, given = pen()
    (finding,) = found(ROOM, *parts, **given, limits={ROOM: 0.2})

    assert finding.severity is Severity.CAUTION
    assert finding.value > finding.limit == 0.2
    assert "the tip goes back when it is pressed" in finding.message
    mended, given = pen(behind=28.9 - number(finding.mend))
    assert all("squeezed" in f.message for f in found(ROOM, *mended, **given, limits={ROOM: 0.2}))


def test_a_refill_that_may_be_squeezed():
    """With so little room some makers' refills keep the plug off; a spring in more room takes all up."""
    parts, given = pen()
    (finding,) = found(ROOM, *parts, **given)

    assert finding.severity is Severity.CAUTION
    assert finding.value < finding.limit == 0.0
    assert finding.parts == ("plug", "ink")
    (body, plug, _, ink), given = pen()
    sprung = joint.spring(ink.face("back"), plug.face("rest"), length=0.295 + number(finding.mend))
    joints = [given["joints"][1], sprung]
    assert not found(ROOM, body, plug, ink, joints=joints)


@pytest.mark.parametrize(
    ("front", "severity"), [(2.55, Severity.FAULT), (2.6, None), (2.7, None), (2.9, Severity.CAUTION)]
)
def test_a_hole_round_the_tip(front, severity):
    """A G2 tip of 2.50 to 2.57 mm binds in 2.55 mm, runs in 2.6 and 2.7 mm and rattles in 2.9 mm."""
    parts, given = holder("M8x1", front=front)
    findings = found(HOLE, *parts, **given)

    assert [finding.severity for finding in findings] == ([severity] if severity else [])
    for finding in findings:
        parts, given = holder("M8x1", front=number(finding.mend.split("hole")[1]))
        assert not found(HOLE, *parts, **given)


def test_a_tip_that_rests_by_its_cone_needs_no_guide():
    """Form D rests in the mouth of its hole by its cone."""
    parts, given = pen()

    assert not found(HOLE, *parts, **given)


def test_chance_is_the_same_every_time():
    """One design gives one answer."""
    parts, given = pen()
    first, again = (found("tip", *parts, **given)[0].message for _ in range(2))

    assert first == again
    assert np.isfinite(found("tip", *parts, **given)[0].value)
