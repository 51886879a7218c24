"""Where close-ups look."""

from __future__ import annotations

from tests.pens import sprung_pen
from turnmodel import Design
from turnmodel.output.pictures.closeup import close_ups
from turnmodel.output.pictures.pieces import pieces

TAIL, REST = 65.15, 42.9 - 6.4 + 34.9
"""Stations [mm]: the tail of a refill of 67.15 mm whose tip is 2 mm out; the rest's shoulder, 34.9 mm deep
in a plug that is screwed 6.4 mm into a body of 42.9 mm."""


def test_a_close_up_of_a_spring_shows_both_its_faces():
    """The whole length of the spring is in the frame, and something of both parts that it presses on."""
    parts, given = sprung_pen(free=9, rate=0.1)
    design = Design("pen", parts=parts, **given)
    looks = close_ups(design, "open", pieces(design, "open", cut=True))
    (look,) = (look for look in looks if look.parts == ("ink", "plug"))

    assert look.low[2] < TAIL - 0.2
    assert look.high[2] > REST + 0.2
