"""What is cut across a part: where its tools stand, by hand arithmetic."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import pytest

from tests.brass import made
from turnmodel import cone, cross_hole, cross_tap, cylinder, flat, saddle, slot
from turnmodel.geometry.across import Block, CrossCylinder

if TYPE_CHECKING:
    from turnmodel.geometry.across import Tool

CLEAR = 1.0
"""By how much a cutter stands clear of the surface that it enters [mm], house choice."""


def tools(feature: Any, *outside: Any) -> tuple[Tool, ...]:
    """Cut a feature across a bar 12 mm thick and 30 mm long, or another outside."""
    return made(*(outside or (cylinder(12, 30),)), across=[feature]).tools


REACHES = {
    "to the axis": ({}, 6),
    "to a depth": ({"depth": 2}, 2),
    "through both walls": ({"through": True}, 12 + CLEAR),
}


@pytest.mark.parametrize("name", REACHES)
@pytest.mark.parametrize("kind", [cross_hole, cross_tap])
def test_a_cross_hole_reaches_as_deep_as_it_is_asked(name: str, kind: Any) -> None:
    """A cross hole or tap goes to the axis, to its depth from the surface, or out on the far side."""
    words, reach = REACHES[name]
    size, diameter = ("2 mm", 2.0) if kind is cross_hole else ("M2", 1.6)  # its tapping drill, ISO 2306
    (tool,) = tools(kind(size, at=10, angle=90, **words))

    assert isinstance(tool, CrossCylinder)
    assert tool.at == (0.0, 6 + CLEAR, 10.0)
    assert tool.direction == (0.0, -1.0, 0.0)
    assert (tool.diameter, tool.length) == (diameter, reach + CLEAR)


def test_a_cross_hole_enters_at_the_widest_place_it_touches() -> None:
    """On a cone the cutter starts clear of the widest diameter within its own width."""
    (tool,) = tools(cross_hole("2 mm", at=10), cone(10, 20, length=20))

    assert isinstance(tool, CrossCylinder)
    assert tool.at[0] == pytest.approx((10 + 10 * 11 / 20) / 2 + CLEAR)


@pytest.mark.parametrize(("degrees", "way"), [(0, (-1, 0)), (90, (0, -1)), (180, (1, 0)), (270, (0, 1))])
def test_quarter_turns_are_exact(degrees: float, way: tuple[float, float]) -> None:
    """A hole at a quarter turn runs along an axis without rounding."""
    (tool,) = tools(cross_hole("2 mm", at=10, angle=degrees))

    assert isinstance(tool, CrossCylinder)
    assert tool.direction[:2] == way


FLATS = {
    # what a calliper reads over one flat is the distance to the round opposite: 9 = 6 + 3
    "one": (flat(at=5, length=8, across=9), 1, 3.0),
    "two": (flat(at=5, length=8, across=9, count=2), 2, 4.5),
    "three": (flat(at=5, length=8, across=9, count=3), 3, 3.0),
    "six": (flat(at=5, length=8, across=9, count=6), 6, 4.5),
}


@pytest.mark.parametrize("name", FLATS)
def test_flats_stand_where_a_calliper_reads_them(name: str) -> None:
    """An even number of flats measures flat to flat, an odd one flat to round, evenly spread."""
    feature, count, low = FLATS[name]
    blocks = tools(feature)

    assert len(blocks) == count
    for k, block in enumerate(blocks):
        assert isinstance(block, Block)
        turn = math.radians(360 * k / count)
        assert block.axes[0] == pytest.approx((math.cos(turn), math.sin(turn), 0), abs=1e-12)
        middle = math.dist((0, 0), block.center[:2])
        assert middle - block.size[0] / 2 == pytest.approx(low)
        assert middle + block.size[0] / 2 == pytest.approx(6 + CLEAR)
        assert (block.center[2], block.size[2]) == (9, 8)
        assert block.size[1] > 12


def test_a_slot_is_as_deep_as_it_is_asked() -> None:
    """A slot's floor lies its depth under the surface."""
    (block,) = tools(slot(at=0, length=3, width=1.5, depth=2, angle=180))

    assert isinstance(block, Block)
    assert block.size == (2 + CLEAR, 1.5, 3)
    assert block.center == pytest.approx((-(4 + 7) / 2, 0, 1.5))


def test_a_saddle_sits_on_its_round() -> None:
    """A 6 mm post on a 10 mm round is hollowed by 1 mm: three, four and five."""
    (tool,) = tools(saddle(10, angle=90), cylinder(6, 12))

    assert isinstance(tool, CrossCylinder)
    assert tool.at == pytest.approx((0, -(3 + CLEAR), 12 - 1 + 5))
    assert tool.direction == (0.0, 1.0, 0.0)
    assert (tool.diameter, tool.length) == (10, 2 * (3 + CLEAR))
