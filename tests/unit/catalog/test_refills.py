"""Refills are found by name, and take the length measured on the one in hand."""

from __future__ import annotations

import pytest

from turnmodel.catalog.refills import Span, refill
from turnmodel.errors import BadText, BadValue, UnknownName
from turnmodel.source import Source


@pytest.mark.parametrize("text", ["refill D", "D", "d", "D1", "Refill  d"])
def test_names_are_read(text):
    """The form's letter, the trade's name and the catalogue's are one refill."""
    assert refill(text).name == "refill D"


def test_a_measured_length_changes_the_tube_alone():
    """Tip, tail and stations from the tip stay; the back and the spread follow the measure."""
    tabled, measured = refill("G2"), refill("G2 98.3 mm")
    assert measured.length == pytest.approx(98.3)
    assert measured.station("back") == pytest.approx(98.3)
    assert measured.station("tip shoulder") == tabled.station("tip shoulder")
    changed = [a != b for a, b in zip(tabled.envelope, measured.envelope, strict=True)]
    assert changed == [False, False, False, True, False]
    assert (dict(measured.spreads)["length"].low, dict(measured.spreads)["length"].high) == (98.3, 98.3)


def test_the_mass_taken_is_the_middle_of_what_is_known():
    """A D weighs between its low and high mass."""
    found = refill("D")
    assert found.mass_low < found.mass_g < found.mass_high


def test_a_hole_stops_the_tip_where_it_is_as_wide():
    """A D tip comes to rest on its cone in a hole of 1.5 mm, and passes one of 2.5 mm."""
    found = refill("D")
    assert found.station_where(1.5) == pytest.approx(2.0)
    assert found.station_where(0.5) == 0
    assert found.station_where(2.33) == 9
    with pytest.raises(BadValue, match=r"hole 2\.5 mm: refill D is nowhere wider than 2\.35 mm and passes"):
        found.station_where(2.5)


REFUSED = {
    "G22": (UnknownName, "no refill named 'G22'; did you mean 'G2'?"),
    "B": (
        BadText,
        "cannot read refill 'B': its length is in no work at hand; measure yours and write 'refill B 107 mm'",
    ),
    "D 5 mm": (BadValue, "refill D of length 5 mm: its tip and tail alone are 9 mm long"),
}


@pytest.mark.parametrize("text", REFUSED)
def test_refusal_names_the_rule(text):
    """What is no refill, or cannot be one, is refused with the nearest right thing."""
    error, message = REFUSED[text]
    with pytest.raises(error) as refusal:
        refill(text)
    assert str(refusal.value) == message


def test_an_unknown_station_is_met_with_those_there_are():
    """The message lists or proposes stations."""
    with pytest.raises(
        UnknownName, match=r"no station on refill D named 'shoulder'; did you mean 'tip shoulder'\?"
    ):
        refill("D").station("shoulder")


def test_a_span_runs_upwards():
    """Low above high is refused."""
    with pytest.raises(ValueError, match="a span runs upwards, not from 2 to 1"):
        Span(low=2, high=1, source=Source(work="house choice", place="test"))
