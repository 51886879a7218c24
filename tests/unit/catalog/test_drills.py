"""Drills are found by their names."""

from __future__ import annotations

import pytest

from turnmodel.catalog.drills import drill, nearest_drills, standard_drills
from turnmodel.errors import BadText, BadValue, UnknownName
from turnmodel.units import length

READ = {
    "2.5 mm": ("2.5 mm", 2.5, "metric"),
    "2.50mm": ("2.5 mm", 2.5, "metric"),
    "2.5 mm long": ("2.5 mm long", 2.5, "metric long"),
    "8.25 mm": ("8.25 mm", 8.25, "metric"),
    "#29": ("#29", 3.4544, "number"),
    "# 7": ("#7", 5.1054, "number"),
    "No. 29": ("#29", 3.4544, "number"),
    "number 80": ("#80", 0.3429, "number"),
    "F": ("F", 6.5278, "letter"),
    "letter f": ("F", 6.5278, "letter"),
    "7/32": ("7/32 in", 5.55625, "fraction"),
    '1/8"': ("1/8 in", 3.175, "fraction"),
    "0.125 in": ("1/8 in", 3.175, "fraction"),
    "1/4 in": ("1/4 in", 6.35, "fraction"),
    "E": ("E", 6.35, "letter"),
    "0.201 in": ("#7", 5.1054, "number"),
}


@pytest.mark.parametrize("text", READ)
def test_names_are_read(text):
    """Each way of writing a drill gives its name, diameter and kind."""
    found = drill(text)
    name, diameter, kind = READ[text]
    assert (found.name, found.diameter, found.kind) == (name, pytest.approx(diameter, abs=1e-9), kind)


REFUSED = {
    "29": (BadText, "cannot read drill '29': write '#29' for the number drill or '29 mm'"),
    "2.5": (BadText, "cannot read drill '2.5': write '2.5 mm' or '2.5 in', it may be either; or '#29', 'F'"),
    "#81": (UnknownName, "no drill named '#81'; did you mean '#8'?"),
    "3.12 mm": (UnknownName, "no drill named '3.12 mm'; did you mean '3.1 mm'?"),
    "20 mm": (UnknownName, "no drill named '20 mm'; did you mean '13 mm'?"),
}


@pytest.mark.parametrize("text", REFUSED)
def test_refusal_names_the_nearest(text):
    """What is no drill is refused with the text and the nearest right thing."""
    error, message = REFUSED[text]
    with pytest.raises(error) as refusal:
        drill(text)
    assert str(refusal.value) == message


def test_every_drill_is_found_by_its_own_name():
    """A name stands for one drill, with lengths that grow with the flute."""
    table = standard_drills()
    assert len({d.name for d in table}) == len(table)
    for d in table:
        assert drill(d.name) == d
        assert 0 < d.flute < d.overall


def test_number_and_letter_sizes_are_in_order():
    """Higher numbers are smaller, later letters larger: a misprint in the table would break the order."""
    numbers = [drill(f"#{n}").diameter for n in range(1, 81)]
    letters = [drill(chr(ord("A") + n)).diameter for n in range(26)]
    assert numbers == sorted(numbers, reverse=True)
    assert letters == sorted(letters)
    assert max(numbers) < min(letters)


@pytest.mark.parametrize("kind", ["metric", "metric long", "fraction", "number", "letter"])
def test_larger_drills_are_not_shorter(kind):
    """Flutes of one kind do not shrink with the diameter."""
    flutes = [d.flute for d in standard_drills() if d.kind == kind]
    assert flutes == sorted(flutes)


def test_nearest_drills_stand_on_both_sides():
    """One drill below and one above; the drill itself where there is one; none past the ends."""
    below, above = nearest_drills(3.42)
    assert (below.name, above.name) == ("3.4 mm", "#29")
    exact = nearest_drills(length("7/32"), kinds={"fraction"})
    assert exact == (drill("7/32"), drill("7/32"))
    assert nearest_drills(0.1)[0] is None
    assert nearest_drills(50)[1] is None


def test_a_hole_has_a_diameter():
    """Nothing, and not-a-number, are refused."""
    for wrong in (0.0, float("nan"), float("inf")):
        with pytest.raises(BadValue, match="a hole has a diameter above zero"):
            nearest_drills(wrong)
