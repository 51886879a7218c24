"""Finishes are found by name, held to the materials that take them, coloured by heat where they are blued."""

from __future__ import annotations

import pytest

from turnmodel import Design, Part, bar, cylinder
from turnmodel.catalog.finishes import finish, finishes, temper_colours
from turnmodel.errors import BadText, BadValue, DesignFaults, UnknownName


@pytest.mark.parametrize("known", finishes(), ids=lambda f: f.name)
def test_every_finish_is_found_by_its_name(known):
    """What is listed is found again, whatever its case, and says where it comes from."""
    assert finish(known.name.upper()) == known
    assert known.sources


def test_temper_colours_follow_each_other():
    """A hotter colour is hotter in every work that names both."""
    for cool, hot in zip(temper_colours(), temper_colours()[1:], strict=False):
        assert cool.heat < hot.heat


def test_blue_comes_after_straw():
    """Straw is yellow, and at 300 degrees steel is blue.

    Source: Sheffield Gauge Plate, steel temper colour chart: straw at 220 degrees C, dark blue at 290.
    """
    straw, blue = finish("blued 220").colour, finish("blued 295 C").colour
    assert straw[0] > straw[1] > straw[2]
    assert blue[2] > blue[0]


@pytest.mark.parametrize(
    ("given", "error", "message"),
    [
        ("polishd", UnknownName, "no finish named 'polishd'; did you mean 'polished'?"),
        ("anodised", UnknownName, "no finish named 'anodised'; did you mean 'anodised clear'?"),
        ("blued red", BadText, "a blued one has its heat in degrees C, as 'blued 290'"),
        ("blued 600", BadValue, "heat 600 degrees C: temper colours run from 210 to 324 degrees C"),
    ],
)
def test_a_wrong_name_is_mended(given, error, message):
    """The nearest right name, or the rule, is told."""
    with pytest.raises(error) as raised:
        finish(given)
    assert message in str(raised.value)


def test_a_finish_is_held_to_its_material():
    """Brass is not anodised; the design says so when it is built, at the part's line."""
    part = Part.turned(
        "ring", material="CW614N", stock=bar("10 mm"), outside=[cylinder(9, 5)], finish="anodised red"
    )
    with pytest.raises(DesignFaults) as raised:
        Design("ring", parts=[part])
    assert "ring: finish 'anodised red': brass is not anodised: that is for aluminium" in str(raised.value)
