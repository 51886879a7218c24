"""Strips by hand: middle lines, widths, volumes and centroids, and what cannot be made.

The centroid of a half ring is 4 (R^3 - r^3) / 3 pi (R^2 - r^2) from its centre, that of a half disc
4 r / 3 pi (textbook, from memory).
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnmodel.errors import BadValue
from turnmodel.geometry.curve import Arc, Line
from turnmodel.geometry.region import Region, polygon, ring
from turnmodel.geometry.strip import (
    Bent,
    Strip,
    check_strip,
    edge,
    mid_line,
    strip_volume,
    width_at,
)
from turnmodel.geometry.strip_moments import strip_moments

ROUNDING = 1e-12
"""A few hundred products at 20 mm, relative [-]."""

CLIP = Strip(
    thickness=0.5,
    half=polygon([(0, 0), (32, 0), (32, 2), (0, 2.5)]),
    holes=((3, 2.2),),
    side=(Bent(length=6), Bent(length=3, turn=-40), Bent(length=18), Bent(length=5, turn=80)),
)


def round_ended(length: float, width: float) -> Region:
    """Half an outline that ends in a half circle."""
    r = width / 2
    tip, top = (length, 0.0), (length - r, r)
    points = [(0.0, 0.0), tip, top, (0.0, r)]
    arc = Arc(start=tip, end=top, center=(length - r, 0.0), turn=1)
    lines = (Line(start=top, end=points[3]), Line(start=points[3], end=points[0]))
    return Region(loops=((Line(start=points[0], end=tip), arc, *lines),))


@pytest.mark.parametrize("turn", [180, -180])
def test_centroid_of_a_half_ring(turn: float) -> None:
    """A strip bent through half a turn is half a ring, above its start or below it."""
    thickness, length = 1.0, 10.0
    middle = length / math.pi
    outer, inner = middle + thickness / 2, middle - thickness / 2
    ring_half = Strip(
        thickness=thickness, half=ring(0, length, 5), holes=(), side=(Bent(length=length, turn=turn),)
    )

    away = 4 * (outer**3 - inner**3) / (3 * math.pi * (outer**2 - inner**2))
    x, y, z = strip_moments(ring_half).center
    assert x == pytest.approx(away, rel=ROUNDING)
    assert y == 0
    assert z - thickness / 2 == pytest.approx(math.copysign(middle, turn), rel=ROUNDING)
    assert strip_volume(ring_half) == pytest.approx(math.pi / 2 * (outer**2 - inner**2) * 5, rel=ROUNDING)


def test_centroid_of_a_round_ended_tag() -> None:
    """A rectangle and a half disc, combined by their areas."""
    tag = Strip(thickness=0.5, half=round_ended(20, 6), holes=(), side=(Bent(length=20),))
    square, disc = 17 * 6, math.pi / 2 * 9

    expected = (square * 8.5 + disc * (17 + 4 * 3 / (3 * math.pi))) / (square + disc)
    assert strip_moments(tag).center == pytest.approx((expected, 0, 0.25), rel=ROUNDING)
    assert strip_volume(tag) == pytest.approx(0.5 * (square + disc), rel=ROUNDING)


def test_a_hole_moves_the_centroid_away_from_it() -> None:
    """A hole counts as a disc of less than nothing."""
    bar = Strip(thickness=0.5, half=ring(0, 12, 5), holes=((3, 2),), side=(Bent(length=12),))

    assert strip_moments(bar).center[0] == pytest.approx(
        (60 * 6 - math.pi * 3) / (60 - math.pi), rel=ROUNDING
    )


@given(at=st.floats(0.01, 0.99), turn=st.floats(-200, 200))
def test_a_bend_told_in_two_is_the_same_bend(at: float, turn: float) -> None:
    """Where a bend is parted changes nothing."""
    whole = Strip(thickness=0.5, half=polygon([(0, 0), (9, 0), (9, 2), (0, 3)]), holes=(), side=())
    one = replace(whole, side=(Bent(length=9, turn=turn),))
    two = replace(
        whole, side=(Bent(length=9 * at, turn=turn * at), Bent(length=9 * (1 - at), turn=turn * (1 - at)))
    )

    assert strip_moments(two).center == pytest.approx(strip_moments(one).center, abs=1e-11)
    assert mid_line(two, 9) == pytest.approx(mid_line(one, 9), abs=1e-11)


def test_the_middle_line_follows_bends_by_hand() -> None:
    """Straight, a quarter up, straight, a quarter down: radii and straights add up."""
    quarter = 4 * math.pi / 2
    side = (Bent(length=3), Bent(length=quarter, turn=90), Bent(length=2), Bent(length=quarter, turn=-90))
    step = Strip(thickness=0.5, half=ring(0, 5 + 2 * quarter, 5), holes=(), side=side)

    assert mid_line(step, 0) == (0, 0.25, 0)
    assert mid_line(step, 3 + quarter) == pytest.approx((7, 4.25, math.pi / 2), abs=ROUNDING)
    assert mid_line(step, 5 + 2 * quarter) == pytest.approx((11, 10.25, 0), abs=10 * ROUNDING)
    assert mid_line(step, 3) == (3, 0.25, 0)


def test_a_slight_bend_is_nearly_straight() -> None:
    """A bend of a billionth of a degree loses no digits."""
    slight = replace(CLIP, side=(Bent(length=32, turn=1e-9),))

    assert mid_line(slight, 32) == pytest.approx((32, 0.25, 0), abs=1e-9)


def test_widths_by_hand() -> None:
    """On a taper, in a round end, and beyond the ends."""
    tag = Strip(thickness=0.5, half=round_ended(20, 6), holes=(), side=(Bent(length=20),))

    assert width_at(CLIP, 16) == 4.5
    assert width_at(CLIP, 0) == 5
    assert width_at(CLIP, 32) == 4
    assert width_at(tag, 18.8) == pytest.approx(2 * 2.4, rel=ROUNDING)
    assert width_at(tag, 21) == width_at(tag, -1) == 0


def test_the_edge_is_cut_where_it_is_asked_for() -> None:
    """Lines and arcs run from the one distance to the other, on their own circles."""
    tag = Strip(thickness=0.5, half=round_ended(20, 6), holes=(), side=(Bent(length=20),))

    line, arc = edge(tag, 10, 18.8)
    assert line == Line(start=(10, 3), end=(17, 3))
    assert isinstance(arc, Arc)
    assert arc.end == pytest.approx((18.8, 2.4), abs=ROUNDING)
    assert (arc.center, arc.turn) == ((17, 0), -1)


def test_a_clip_that_can_be_made_passes() -> None:
    """A tapered clip with a hole and two bends is in order."""
    check_strip(CLIP)


STEP = polygon([(0, 0), (32, 0), (32, 2), (20, 2), (20, 3), (0, 3)])
LATE = polygon([(2, 0), (32, 0), (32, 2), (2, 2)])


@pytest.mark.parametrize(
    ("strip", "said"),
    [
        (replace(CLIP, thickness=0), "strip: thickness 0 mm: is more than 0 mm"),
        (replace(CLIP, half=STEP), "strip: outline at 20 mm: has one width, and no step; slope the step"),
        (replace(CLIP, half=LATE), "strip: start of the outline 2 mm: is 0 mm"),
        (replace(CLIP, half=Region(loops=())), "strip: pieces of the outline 0: an outline has a length"),
        (
            replace(CLIP, side=(Bent(length=30),)),
            "length of the side view 30 mm: is as long as the flat outline, 32 mm",
        ),
        (
            replace(CLIP, side=(Bent(length=31.5), Bent(length=0.5, turn=120))),
            r"bend at 31.5 mm: radius inside -0.01\d+ mm: is more than 0 mm; bend it wider",
        ),
        (
            replace(CLIP, holes=((7, 2.2),)),
            "strip: hole at 7 mm: lies in the bend from 6 to 9 mm; move it to a straight stretch",
        ),
        (replace(CLIP, holes=((3, 5),)), "strip: hole at 3 mm: diameter 5 mm: leaves the outline"),
        (replace(CLIP, holes=((1, 2.2),)), "strip: hole at 1 mm: diameter 2.2 mm: leaves the outline"),
        (replace(CLIP, holes=((2, 1), (2.5, 1))), "strip: hole at 2.5 mm: meets the hole at 2 mm"),
    ],
)
def test_what_cannot_be_made_is_refused(strip: Strip, said: str) -> None:
    """The place is named, and what is right there."""
    with pytest.raises(BadValue, match=said):
        check_strip(strip)
