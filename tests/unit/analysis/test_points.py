"""Parts as points: skins lie inside, and what stands in the way across the axis is found."""

from __future__ import annotations

import numpy as np
import pytest

from tests.clips import clipped
from tests.held import plain
from tests.pens import pen
from turnmodel import bore, cross_hole, cylinder, slot
from turnmodel.analysis.paths import way
from turnmodel.analysis.points import SKIN_MM, inside, skin
from turnmodel.geometry.frame import IDENTITY, frame, shift

PARTS = [*pen()[0], *clipped()[0]]


@pytest.mark.parametrize("part", PARTS, ids=[part.name for part in PARTS])
def test_a_skin_lies_inside_its_part(part):
    """Turned, bought and strip parts, bent and cut across, hold every point of their skins."""
    assert inside(part, skin(part)).all()


def test_what_is_bored_and_cut_across_is_empty():
    """The bore and a cross hole hold no metal; the wall beside them does."""
    tube = plain(cylinder(16, 30), from_front=[bore(8, through=True)], across=[cross_hole(3.0, at=10)])
    points = np.array([(0.0, 0.0, 15.0), (6.0, 0.0, 10.0), (0.0, 6.0, 10.0), (6.0, 0.0, 20.0)])

    assert inside(tube, points).tolist() == [False, False, True, True]


@pytest.mark.parametrize(("wide", "clear"), [(2.0 - 2 * SKIN_MM, True), (2.4, False)])
def test_a_pin_leaves_a_cross_hole_that_it_fits(wide, clear):
    """Across the axis, a pin is drawn out of a hole of 2 mm, and one that is wider is not."""
    post = plain(cylinder(10, 30), name="holder", across=[cross_hole("2 mm", at=10)])
    pin = plain(cylinder(wide, 12), name="pin")
    place = frame((1.0, 0.0, 10.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))

    assert way(pin, post, place, (1.0, 0.0, 0.0)).clear is clear
    assert not way(pin, post, place, (0.0, 0.0, 1.0)).clear


def test_a_slot_lets_a_key_through_along_the_axis():
    """A bar whose slot runs its whole length lets nothing round through, and a hole as wide does."""
    tube = plain(cylinder(16, 30), from_front=[bore(6, through=True)], name="tube")
    slotted = plain(
        cylinder(16, 30), from_front=[bore(6, through=True)], name="slotted",
        across=[slot(at=0, length=30, width=2, depth=8)],
    )  # fmt: skip
    bar = plain(cylinder(7, 10), name="bar")

    assert not way(bar, tube, shift(-10), (0.0, 0.0, 1.0)).clear
    assert not way(bar, slotted, shift(-10), (0.0, 0.0, 1.0)).clear
    assert way(plain(cylinder(6, 10), name="pin"), slotted, IDENTITY, (0.0, 0.0, 1.0)).clear
