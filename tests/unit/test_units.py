"""Lengths are read and written as the trade does, strictly."""

from __future__ import annotations

import pytest

from turnmodel.errors import BadText, BadValue
from turnmodel.units import in_inches, in_mm, inch, length

READ = {
    "12 mm": 12.0,
    "12mm": 12.0,
    " 0.75  mm ": 0.75,
    ".5 mm": 0.5,
    "1/2 mm": 0.5,
    "50 um": 0.05,
    "50 µm": 0.05,
    '7/16"': 11.1125,
    "7/16″": 11.1125,
    "7/16 in": 11.1125,
    "1 7/16 in": 36.5125,
    "1-1/2 in": 38.1,
    "1 1/2": 38.1,
    "3/8": 9.525,
    "3 / 8": 9.525,
    "0.375 in": 9.525,
    "0.375 Inches": 9.525,
    "1 in.": 25.4,
    "10 thou": 0.254,
    "0 mm": 0.0,
}


@pytest.mark.parametrize("text", READ)
def test_length_is_exact(text):
    """A length is the float nearest to the exact fraction, not a sum of rounded ones."""
    assert length(text) == READ[text]


def test_arithmetic_with_the_inch_agrees_with_the_text():
    """Three eighths written as arithmetic and as text are one length, to the rounding of one product."""
    assert 3 / 8 * inch == pytest.approx(length("3/8 in"), rel=2**-52)


REFUSED = {
    "9.5": "cannot read length '9.5': write '9.5 mm' or '9.5 in', it may be either",
    "12": "cannot read length '12': write '12 mm' or '12 in', it may be either",
    "7/0 in": "cannot read length '7/0 in': a fraction has a denominator above zero",
    "-3 mm": "cannot read length '-3 mm': a length is not negative",
    "9,5 mm": "cannot read length '9,5 mm': write the decimal sign as a point",
    "1 9/8 in": "cannot read length '1 9/8 in': the fraction after a whole number is less than one",
    "3 cm": "cannot read length '3 cm': the unit is mm, um, in or thou",
}
UNREADABLE = [
    "",
    "nan",
    "inf",
    "nan mm",
    "inf mm",
    "mm",
    "1e3 mm",
    "1 2 mm",
    "0x10 mm",
    "3/8/2 in",
    "1.5/2 in",
    "9" * 400 + " mm",
]


@pytest.mark.parametrize("text", REFUSED)
def test_refusal_names_the_rule(text):
    """What cannot be read is refused with the text, the rule and what to write."""
    with pytest.raises(BadText) as refusal:
        length(text)
    assert str(refusal.value) == REFUSED[text]


@pytest.mark.parametrize("text", UNREADABLE)
def test_what_is_no_length_is_refused(text):
    """No word, exponent, list or endless number passes for a length."""
    with pytest.raises(BadText, match="write a number or a fraction and its unit, mm, um, in or thou"):
        length(text)


IN_MM = {9.525: "9.525 mm", 12.0: "12 mm", 100.0: "100 mm", 0.0: "0 mm", -0.0001: "0 mm", 2.5000004: "2.5 mm"}


@pytest.mark.parametrize("value", IN_MM)
def test_millimetres_are_trimmed(value):
    """Millimetres are written to the micrometre without idle zeros."""
    assert in_mm(value) == IN_MM[value]


IN_INCHES = {
    9.525: "3/8 in",
    36.5125: "1 7/16 in",
    25.4: "1 in",
    -9.525: "-3/8 in",
    9.525 + 0.0004 * inch: "3/8 in",
    9.525 + 0.0006 * inch: "0.376 in",
    10.0: "0.394 in",
    0.0: "0.000 in",
    0.1: "0.004 in",
}


@pytest.mark.parametrize("value", IN_INCHES)
def test_inches_are_a_fraction_where_one_is_near(value):
    """Within half a thou of a 64th the fraction is written, elsewhere thous."""
    assert in_inches(value) == IN_INCHES[value]


def test_a_coarser_rule_writes_thous_sooner():
    """With eighths only, 7/16 is no division of the rule."""
    assert in_inches(7 / 16 * inch, largest_denominator=8) == "0.438 in"


def test_a_rule_divides_by_a_power_of_two():
    """A rule of tenths is refused."""
    with pytest.raises(BadValue, match="finest division 10: a rule divides the inch by a power of two"):
        in_inches(9.525, largest_denominator=10)
