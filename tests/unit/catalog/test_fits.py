"""Fits and general tolerances: what is refused, and how classes hang together."""

from __future__ import annotations

import math

import pytest

from turnmodel.catalog.cutting import spindle_speed
from turnmodel.catalog.fits import fit, fit_limits, general_tolerance, tolerance_grade
from turnmodel.errors import BadText, BadValue, UnknownName

SIZES = (1, 3, 3.1, 6, 10, 12, 18, 30, 50, 65, 80)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("grade", range(5, 9))
def test_zones_are_as_wide_as_their_grade(size, grade):
    """Upper less lower deviation is the grade, whatever the letter."""
    for letter in (*"defghkmnprs", *"DEFGHKMNPRS", "js", "JS"):
        found = fit_limits(f"{letter}{grade}", size)
        assert found.upper - found.lower == pytest.approx(tolerance_grade(grade, size), abs=1e-9)


@pytest.mark.parametrize("size", SIZES)
def test_hole_and_shaft_basis_fits_agree(size):
    """H7/f6 and F7/h6 leave the same clearance, and above 3 mm so do H7/p6 and P7/h6, H8/n7 and N8/h7."""
    pairs = [("H7/f6", "F7/h6"), ("H7/p6", "P7/h6"), ("H8/n7", "N8/h7")]
    for a, b in pairs if size > 3 else pairs[:1]:
        one, other = fit(a, size), fit(b, size)
        assert (one.clearance_min, one.clearance_max) == pytest.approx(
            (other.clearance_min, other.clearance_max)
        )


def test_letters_run_from_loose_to_tight():
    """The least clearance with H7 shrinks from d to s."""
    clearances = [fit(f"H7/{letter}6", 12).clearance_min for letter in "defghkmnprs"]
    assert clearances == sorted(clearances, reverse=True)


REFUSED = [
    (
        lambda: fit_limits("7H", 12),
        BadText,
        "cannot read fit class '7H': write a letter and a grade, as 'H7' or 'g6'",
    ),
    (
        lambda: fit("g6/H7", 12),
        BadText,
        "cannot read fit 'g6/H7': write the hole's class, a stroke, the shaft's, as 'H7/g6'",
    ),
    (lambda: fit_limits("x6", 12), UnknownName, "no fit class named 'x6'; did you mean 's6'?"),
    (lambda: fit_limits("H20", 12), UnknownName, "no tolerance grade named 'IT20'; did you mean 'IT12'?"),
    (lambda: fit_limits("K9", 12), UnknownName, "no fit class named 'K9'; did you mean 'K8'?"),
    (lambda: fit_limits("H7", 81), BadValue, "size 81 mm: fits here are for sizes above 0 and up to 80 mm"),
    (lambda: fit_limits("H7", 0), BadValue, "size 0 mm: fits here are for sizes above 0 and up to 80 mm"),
    (lambda: general_tolerance(12, "x"), UnknownName, "no general tolerance grade named 'x'"),
    (
        lambda: general_tolerance(500),
        BadValue,
        "length 500 mm: ISO 2768-m goes from 0.5 to 400 mm; write the tolerance beside the size",
    ),
    (
        lambda: spindle_speed(45, 0),
        BadValue,
        "diameter 0 mm: a cut has a speed and a diameter above zero",
    ),
]


@pytest.mark.parametrize(("call", "error", "message"), REFUSED, ids=[case[2] for case in REFUSED])
def test_refusal_names_the_rule(call, error, message):
    """What has no figure is refused with the rule and the nearest right thing."""
    with pytest.raises(error) as refusal:
        call()
    assert str(refusal.value).startswith(message)


def test_the_shop_form_of_the_spindle_speed():
    """Rpm is 3.82 times feet a minute over inches (cutting-speed tables)."""
    assert spindle_speed(100 * 0.3048, 25.4) == pytest.approx(382, abs=0.5)
    assert spindle_speed(math.pi, 1.0) == pytest.approx(1000)
