"""Fits, general tolerances and named gaps.

Limits by hand from the tables of ISO 286: H7 at 7 mm is +15/0 um and at 12 mm +18/0, p6 at 7 mm +24/+15, g6
at 12 mm -6/-17, s6 at 7 mm +32/+23 (the last from memory).
"""

from __future__ import annotations

import re

import pytest

from tests.held import found, plain
from tests.pens import pen
from turnmodel import bore, cylinder, gap, joint, shoulder
from turnmodel.analysis.finding import Severity

FIT, GAP = "fit", "named gap"


def plugged(shaft: float, hole: float, allowance: float | None):
    """A spigot in a hole, pressed where an allowance is given."""
    plug = plain(cylinder(shaft, 8), shoulder("stop"), cylinder(16, 4), name="plug")
    tube = plain(cylinder(16, 20), name="tube", from_back=[bore(hole, depth=10)])
    faces = plug.face("stop"), tube.face("back")
    made = joint.seat(*faces) if allowance is None else joint.press(*faces, allowance=allowance)
    return [tube, plug], {"joints": [made]}


def test_a_sliding_mate_is_told_with_its_fit():
    """12 mm less 0.02 mm in 12 mm is nearest to H7/g6: hole +18/0, shaft -6/-17 um."""
    parts, given = plugged(11.98, 12.0, None)
    (finding,) = found(FIT, *parts, **given)

    assert finding.severity is Severity.NOTE
    assert finding.value == pytest.approx(0.02)
    assert finding.message == (
        "plug 11.98 mm in tube 12 mm; nearest H7/g6: hole H7 12.000 to 12.018 mm, "
        "shaft g6 11.983 to 11.994 mm, clearance +0.006 to +0.035 mm"
    )


def test_a_sliding_mate_without_room():
    """12 mm in 12 mm does not slide; turned to the mend's g6 it does."""
    parts, given = plugged(12.0, 12.0, None)
    (finding,) = found(FIT, *parts, **given)

    assert finding.severity is Severity.CAUTION
    assert finding.mend == "turn plug to 11.983 to 11.994 mm"
    parts, given = plugged(11.988, 12.0, None)
    assert found(FIT, *parts, **given)[0].severity is Severity.NOTE


def test_a_press_fit_is_told_with_its_fit():
    """7.012 mm in 7 mm is nearest to H7/p6: shaft +24/+15 um, clearance -24 to 0."""
    parts, given = plugged(7.012, 7.0, 0.012)
    (finding,) = found(FIT, *parts, **given)

    assert finding.severity is Severity.NOTE
    assert "nearest H7/p6: hole H7 7.000 to 7.015 mm, shaft p6 7.015 to 7.024 mm" in finding.message


def test_a_press_fit_too_tight():
    """0.08 mm at 7 mm is more than the 32 um that H7/s6 ever gives; turned to s6 it is well."""
    parts, given = plugged(7.08, 7.0, 0.08)
    (finding,) = found(FIT, *parts, **given)

    assert finding.severity is Severity.CAUTION
    assert finding.mend == "turn plug to 7.023 to 7.032 mm"
    parts, given = plugged(7.03, 7.0, 0.03)
    assert found(FIT, *parts, **given)[0].severity is Severity.NOTE


def test_sizes_that_do_not_mate_are_no_fit():
    """Two sizes 0.2 mm apart are no fit, nor are threads."""
    parts, given = plugged(11.8, 12.0, None)
    assert not found(FIT, *parts, **given)
    parts, given = pen()
    assert not found(FIT, *parts, **given)


def test_general_tolerances_are_told_once():
    """One note for all parts: 0.1 mm up to 6, 0.2 up to 30, 0.3 up to 120 (ISO 2768-1, class m)."""
    parts, given = pen()
    (finding,) = found("general tolerances", *parts, **given)

    assert finding.parts == ("body", "plug", "cap")
    assert "0.1 up to 6, 0.2 up to 30, 0.3 up to 120 mm" in finding.message


def stacked(**bounds):
    """A plug of 8 mm in a hole of 10 mm: the room at the floor is 2 mm within 0.2 and 0.2."""
    parts, given = plugged(11.9, 12.0, None)
    tube, plug = parts
    tube = plain(cylinder(16, 20), name="tube", from_back=[bore(12, depth=10, mark="floor")])
    given = {"joints": [joint.seat(plug.face("stop"), tube.face("back"))]}
    return [tube, plug], {**given, "gaps": {"room": gap(tube.face("floor"), plug.face("front"), **bounds)}}


def test_a_gap_adds_up_its_dimensions():
    """10 mm within 0.2 less 8 mm within 0.2: 1.6 to 2.4 at worst, 2 -+ 0.2 sqrt 2 by root sum of squares."""
    parts, given = stacked()
    (finding,) = found(GAP, *parts, **given)

    assert finding.severity is Severity.NOTE
    assert finding.value == pytest.approx(2.0)
    assert "1.60 to 2.40 mm at worst, 1.72 to 2.28 mm by root sum of squares" in finding.message


@pytest.mark.parametrize(
    ("least", "severity"), [(2.1, Severity.FAULT), (1.9, Severity.CAUTION), (1.5, Severity.NOTE)]
)
def test_a_gap_below_its_least(least, severity):
    """Nominally below the least is a fault, below it for some a caution; larger by the mend it is neither."""
    parts, given = stacked(least=least)
    (finding,) = found(GAP, *parts, **given)

    assert finding.severity is severity
    if severity is not Severity.NOTE:
        assert finding.limit == least
        more = re.match(r"make it ([\d.]+) mm larger; most of its spread is (tube|plug), ", finding.mend)
        assert float(more[1]) == pytest.approx(least - 1.6)


def test_a_gap_above_its_most():
    """A most of 2.2 mm is passed by some, and the mend makes the gap smaller."""
    parts, given = stacked(most=2.2)
    (finding,) = found(GAP, *parts, **given)

    assert finding.severity is Severity.CAUTION
    assert finding.mend.startswith("make it 0.20 mm smaller")


def test_a_gap_through_a_part_that_stands_between():
    """The room before a cap's tip through body, refill and cap is the one that the cap's own rule adds up."""
    (body, plug, cap, ink), given = pen()
    through = gap(ink.face("front"), cap.face("front"))
    (finding,) = found(GAP, body, plug, cap, ink, **given, gaps={"end": through})

    assert finding.state == "closed"
    assert finding.severity is Severity.NOTE
    assert finding.value > 0
