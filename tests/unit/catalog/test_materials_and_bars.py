"""Materials and bars are found by the names people use."""

from __future__ import annotations

import pytest

from turnmodel.catalog.bars import bar_size, standard_bars
from turnmodel.catalog.materials import FAMILIES, material, materials
from turnmodel.errors import BadText, BadValue, UnknownName

ALIASES = {
    "brass": "CW614N",
    "CZ121": "CW614N",
    "c36000": "C36000",
    "bronze": "C54400",
    "copper": "C14500",
    "aluminium": "6061-T6",
    "steel": "1018",
    "silver steel": "silver steel",
    "stainless": "303",
    "titanium": "titanium grade 2",
    "POM": "acetal",
    "hard rubber": "ebonite",
    "walnut": "black walnut",
    "blue strip": "1095 blue strip",
    "resin": "photopolymer resin",
    "lead-free brass": "CW724R",
}


@pytest.mark.parametrize("alias", ALIASES)
def test_plain_words_stand_for_a_material(alias):
    """A plain word or another standard's name finds the material."""
    assert material(alias).name == ALIASES[alias]


def test_there_are_materials_of_every_family():
    """At least twenty-five materials, of all families, named once."""
    names = [m.name for m in materials()]
    assert len(set(names)) == len(names) >= 25
    assert {m.family for m in materials()} == set(FAMILIES)


def test_an_unknown_material_is_met_with_the_nearest():
    """The message proposes the nearest name."""
    with pytest.raises(UnknownName, match=r"no material named 'CW614'; did you mean 'CW614N'\?"):
        material("CW614")


HEAVY = {
    "brass": (8, 9),
    "aluminium": (2.6, 2.9),
    "steel": (7.7, 8),
    "wood": (0.1, 1.3),
    "titanium": (4.4, 4.6),
}


@pytest.mark.parametrize("family", HEAVY)
def test_densities_are_those_of_the_family(family):
    """No density strays from its family: a slip of a digit would."""
    low, high = HEAVY[family]
    assert all(low < m.density < high for m in materials() if m.family == family)


def test_leaded_metals_say_so():
    """Lead is named where it is."""
    assert "leaded" in material("CW614N").cautions
    assert "leaded" not in material("CW724R").cautions


def test_speeds_are_metres_a_minute():
    """150 to 350 feet a minute for brass are 45.7 to 106.7 m/min."""
    found = material("C36000")
    assert (found.speed_low, found.speed_high) == pytest.approx((45.72, 106.68))


BARS = {
    "12 mm": ("12 mm", True),
    "1/2": ("1/2 in", True),
    "0.5 in": ("1/2 in", True),
    "12.3 mm": ("12.3 mm", False),
}


@pytest.mark.parametrize("text", [*BARS, "0.55 in"])
def test_bars_are_read(text):
    """A usual round is found, another diameter is made."""
    found = bar_size(text)
    assert (found.name, found.standard) == BARS.get(text, ("0.550 in", False))


def test_every_bar_is_found_by_its_own_name():
    """A name stands for one bar."""
    assert all(bar_size(bar.name) == bar for bar in standard_bars())


def test_wrong_bars_are_refused():
    """A bar has a unit, a diameter and a limit."""
    with pytest.raises(BadText, match="cannot read bar '12': write '12 mm' or '12 in', it may be either"):
        bar_size("12")
    for text in ("0 mm", "301 mm"):
        with pytest.raises(BadValue, match="a bar here is above 0 and up to 300 mm in diameter"):
            bar_size(text)
