"""Holes, taps and what they take for granted, by hand arithmetic."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.brass import corners, made
from turnmodel import (
    Design,
    Part,
    bore,
    chamfer,
    cone,
    counterbore,
    countersink,
    cylinder,
    drill,
    fillet,
    recess,
    tap,
    taper_bore,
)
from turnmodel.errors import DesignFaults
from turnmodel.geometry.body import body_flipped, body_moved
from turnmodel.geometry.curve import Arc
from turnmodel.geometry.moments import moments
from turnmodel.geometry.thread_moments import body_moments

BAR = cylinder(20, 30)
POINT = math.tan(math.radians(59))
"""Radius over height of a 118 degree drill point."""

CUTS: dict[str, tuple[list[Any], set[tuple[float, float]]]] = {
    "drill and its point": ([drill("6 mm", depth=10)], {(0, 3), (10, 3), (round(10 + 3 / POINT, 6), 0)}),
    "drill of a flatter point": ([drill("6 mm", depth=10, point=90)], {(10, 3), (13, 0)}),
    "drill through": ([drill("6 mm", through=True)], {(0, 3), (30, 3)}),
    "drill of a number": ([drill(6.1, depth=10)], {(0, 3.05), (10, 3.05)}),
    "bore": ([bore(8, depth=5)], {(0, 4), (5, 4), (5, 0)}),
    "counterbore": (
        [drill("6 mm", through=True), counterbore(10, depth=4)],
        {(0, 5), (4, 5), (4, 3), (30, 3)},
    ),
    "countersink": ([drill("6 mm", through=True), countersink(10)], {(0, 5), (2, 3), (30, 3)}),
    "countersink of 60 degrees": (
        [drill("6 mm", through=True), countersink(8, included=60)],
        {(0, 4), (round(math.sqrt(3), 6), 3)},
    ),
    "taper": ([taper_bore(8, 4, depth=6)], {(0, 4), (6, 2), (6, 0)}),
    "taper to a point": ([taper_bore(8, 0, depth=6)], {(0, 4), (6, 0)}),
    "recess": (
        [bore(8, depth=10), recess(12, 3, depth=8)],
        {(5, 4), (5, 6), (8, 6), (8, 4), (10, 4), (10, 0)},
    ),
    "mouth": ([bore(8, depth=10, mouth=chamfer(0.5))], {(0, 4.5), (0.5, 4)}),
    "steps": (
        [drill("4 mm", depth=20), bore(6, depth=12), bore(10, depth=5)],
        {(0, 5), (5, 5), (5, 3), (12, 3), (12, 2), (20, 2), (round(20 + 2 / POINT, 6), 0)},
    ),
}


@pytest.mark.parametrize("name", CUTS)
def test_a_cut_from_the_front_leaves_its_corners(name: str) -> None:
    """Each cut takes its own shape from the bar, and a wider one hides a narrower."""
    features, left = CUTS[name]

    assert left <= corners(made(BAR, from_front=features).body.plain)


@pytest.mark.parametrize("name", CUTS)
def test_a_cut_from_the_back_is_its_mirror_image(name: str) -> None:
    """The same cuts from the back leave the same corners, counted from the back face."""
    features, left = CUTS[name]

    assert {(round(30 - z, 6), r) for z, r in left} <= corners(made(BAR, from_back=features).body.plain)


def test_the_corner_of_a_bore_is_rounded() -> None:
    """A bore's corner radius stands tangent to wall and floor."""
    part = made(BAR, from_front=[bore(8, depth=10, corner=fillet(1))])
    (arc,) = (c for c in part.body.plain.loops[0] if isinstance(c, Arc))

    assert {arc.start, arc.end} == {(9, 4), (10, 3)}
    assert arc.center == pytest.approx((9, 3))


def test_a_tap_takes_its_drill_and_its_countersink() -> None:
    """Where no hole stands, a tap brings its drill, deep enough for its lead and one pitch, and says so."""
    part = made(BAR, from_front=[tap("M4", depth=8)])
    deep = 8 + 5 * 0.7 + 0.7  # full thread, the longest lead of a plug tap (TM 9-254), one pitch

    assert {(0, 2), (round(2 - 1.65, 6), 1.65), (round(deep, 6), 1.65)} <= corners(part.body.plain)
    assert [d.taken for d in part.defaults] == [
        "mouth countersunk 90 degrees to 4 mm",
        "tapping drill 3.3 mm, 12.2 mm deep",
    ]


def test_a_tap_keeps_to_the_hole_that_stands() -> None:
    """In a hole of its size a tap brings no drill, and threads it to the depth asked."""
    part = made(BAR, from_front=[drill("9 mm", depth=12), tap("M10x1", depth=8, lead="bottoming")])
    (span,) = part.body.threads

    assert [d.taken for d in part.defaults] == ["mouth countersunk 90 degrees to 10 mm"]
    assert (span.start, span.end, span.external) == (0, 10, False)  # two pitches of lead behind 8 mm
    assert {(0, 5), (0.5, 4.5), (10, 4.5)} <= set(span.floor)
    assert span.ceiling[:2] == ((0, 5), (8, 5))


@pytest.mark.parametrize("turned_round", [False, True])
@pytest.mark.parametrize("wide", [bore(10.2, depth=1.5), bore(10.2, depth=0.3)])
def test_a_mouth_that_a_counterbore_takes_away_is_not_claimed(wide, turned_round) -> None:
    """Behind a wider bore, listed before the tap or after, no mouth is sunk; its edge is told."""
    holes = [drill("9 mm", depth=12), tap("M10x1", depth=8, lead="bottoming"), wide]
    part = made(BAR, from_front=holes if turned_round else [holes[0], wide, holes[1]])
    depth = wide.depth

    assert [d.taken for d in part.defaults] == [
        f"no mouth is sunk: its thread begins {depth:g} mm deep on a sharp edge, to be broken by hand"
    ]
    assert all(cut.operation is None for hole in part.inside for cut in hole.cuts)
    assert part.body.threads[0].start == depth
    assert {(depth, 5.1), (depth, 4.5)} <= corners(part.body.plain)


def test_a_tap_begins_on_a_wider_countersink_without_an_edge() -> None:
    """Where a countersink opens wider than the thread, that is its mouth."""
    part = made(BAR, from_front=[drill("9 mm", depth=12), countersink(10.2), tap("M10x1", depth=8)])

    assert part.defaults == ()


def test_a_tap_with_a_mouth_is_not_countersunk_again() -> None:
    """A mouth that is asked for takes the place of the countersink that is taken for granted."""
    part = made(BAR, from_front=[drill("9 mm", depth=12), tap("M10x1", depth=8, mouth=chamfer(1))])

    assert {(0, 5.5), (1, 4.5)} <= corners(part.body.plain)
    assert part.defaults == ()


def test_a_tap_below_a_counterbore_begins_at_its_floor() -> None:
    """Under a counterbore wider than the thread, the thread begins where the hole narrows to it."""
    features = [drill("9 mm", depth=20), bore(14, depth=4), tap("M10x1", depth=12, lead="bottoming")]
    (span,) = made(BAR, from_front=features).body.threads

    assert (span.start, span.end) == (4, 14)


def test_a_through_tap_is_full_from_face_to_face() -> None:
    """A tap through the part has no lead left in it: its thread is full to the far face."""
    part = made(BAR, from_front=[tap("M10x1", through=True)])
    (span,) = part.body.threads

    assert (span.start, span.end) == (0, 30)
    assert span.ceiling == ((0, 5), (30, 5))


def test_a_tap_from_the_back_is_the_front_one_turned_round() -> None:
    """The same tap from the back is the same body, turned end for end."""
    front = made(BAR, from_front=[tap("M10x1", depth=8)]).body
    back = made(BAR, from_back=[tap("M10x1", depth=8)]).body
    (one,), (other,) = body_moved(body_flipped(front), 30).threads, back.threads

    assert (other.start, other.end) == (pytest.approx(one.start), 30)
    assert body_moments(back).volume == pytest.approx(body_moments(front).volume, rel=1e-12)


def test_volumes_of_holes_are_those_of_their_shapes() -> None:
    """A bar less a drilled hole is a cylinder less a cylinder and a cone."""
    part = made(BAR, from_front=[drill("6 mm", depth=10)])
    hole = math.pi * 9 * 10 + math.pi * 9 * (3 / POINT) / 3

    assert moments(part.body.plain).volume == pytest.approx(math.pi * 100 * 30 - hole, rel=1e-12)


FLOORS = {
    "a drill rests on its point": (drill("6 mm", depth=10), (10, 3), (10 + 3 / POINT, 0)),
    "a bore rests on its floor": (bore(8, depth=5), (5, 0), (5, 4)),
    "a taper to a point rests on its side": (taper_bore(8, 0, depth=6), (0, 4), (6, 0)),
    "a countersink rests on its side": (countersink(8), (0, 4), (4, 0)),
}


@pytest.mark.parametrize("name", FLOORS)
def test_a_hole_has_a_floor_to_rest_on(name: str) -> None:
    """The part of a cut on which something can rest is its floor, or its sloping side where it has none."""
    feature, *ends = FLOORS[name]
    (floor,) = made(BAR, from_front=[feature]).inside[0].floor

    assert sorted((floor.start, floor.end)) == [pytest.approx(end) for end in sorted(ends)]


def test_a_bore_deeper_than_its_part_is_told_as_that():
    """A wide bore of 14 mm in 12 mm breaks the side as well: that it is deeper than the part comes first."""
    with pytest.raises(DesignFaults) as caught:
        Design(
            "object",
            parts=[
                Part.turned(
                    "disc", material="CW614N", stock="36 mm",
                    outside=[cylinder(14, 2), cone(14, 34, length=4), cylinder(34, 6)],
                    from_back=[bore(26, depth=14)],
                )
            ],
        )  # fmt: skip
    (fault,) = caught.value.faults
    assert fault.given == "14 mm deep"
    assert fault.rule == "is deeper than the part, which is 12 mm long"
    assert fault.mend == "make it 3 mm shallower, or through=True"
