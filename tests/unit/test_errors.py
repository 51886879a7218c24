"""Names that there are not: what is proposed for them."""

from __future__ import annotations

import pytest

from turnmodel.catalog.materials import FAMILIES, material
from turnmodel.errors import UnknownName, nearest


@pytest.mark.parametrize(
    ("given", "meant"),
    [
        ("led", "lid"),  # one letter wrong
        ("jra", "jar"),  # two changed round
        ("dept", "depth"),  # one missing
        ("gripp", "grip"),  # one too many
        ("x6", "s6"),  # so short that half of it is wrong
        ("alu", "aluminium"),  # broken off
    ],
)
def test_a_slip_of_the_pen_is_answered_by_the_name_alone(given: str, meant: str) -> None:
    """One letter off, or broken off, is plainly one name: no list of the others comes first."""
    choices = [meant, "walnut", "copper"]

    assert nearest(given, choices) == meant
    assert (UnknownName("part", given, choices).hint or "").startswith(f"did you mean {meant!r}?")


def test_a_name_of_another_kind_is_answered_by_all_there_are() -> None:
    """Foot is no slip for front: what is alike is said, and what else there is."""
    unknown = UnknownName("face of case", "foot", ["front", "back", "liner seat"])

    assert unknown.hint == "did you mean 'front'? there is 'front', 'back', 'liner seat'"


@pytest.mark.parametrize("given", ["Pear", "ivory", "unobtainium"])
def test_a_material_that_there_is_not_is_answered_by_the_families(given: str) -> None:
    """No copper is proposed for a wood; the families are told."""
    with pytest.raises(UnknownName) as refused:
        material(given)
    said = (
        f"no material named {given!r}; there is {', '.join(FAMILIES)}; turnmodel facts materials lists them"
    )

    assert str(refused.value) == said
