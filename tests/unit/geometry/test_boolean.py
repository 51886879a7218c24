"""Union, difference and intersection: corners, faces that meet, touches."""

from __future__ import annotations

import math

import pytest

from tests.zoo import ZOO, ball, cone, filleted, torus
from turnmodel.geometry.boolean import combination, difference, intersection, union
from turnmodel.geometry.curve import Arc, Point
from turnmodel.geometry.moments import moments
from turnmodel.geometry.region import Region, check_region, polygon, ring

EMPTY = Region(loops=())


def corners(region: Region) -> set[Point]:
    """List where the pieces of a region start."""
    return {c.start for loop in region.loops for c in loop}


@pytest.mark.parametrize("name", ZOO)
def test_a_region_joined_with_itself_or_nothing_is_unchanged(name: str) -> None:
    """Corners, arcs and their floats come through a union as they went in."""
    region = ZOO[name]
    for again in (union(region), union(region, region), union(region, EMPTY), intersection(region, region)):
        assert corners(again) == corners(region)
        arcs = [{c for loop in r.loops for c in loop if isinstance(c, Arc)} for r in (again, region)]
        assert arcs[0] == arcs[1]


def test_nothing_stays_nothing() -> None:
    """Empty regions are good operands."""
    bar = ring(0, 10, 8)
    assert union() == union(EMPTY, EMPTY) == intersection(bar, EMPTY) == difference(EMPTY, bar) == EMPTY
    assert corners(difference(bar)) == corners(bar)


def test_floats_survive() -> None:
    """A shoulder at 7.1 and a diameter of 6.3 are 7.1 and 6.3 / 2 to the bit after ten cuts."""
    part = ring(0.1, 40.3, 12.7)
    for k in range(10):
        part = difference(part, ring(7.1 + k * 3.3, 8.3 + k * 3.3, 20, 6.3))
    assert corners(part) == {
        (0.1, 0.0),
        (40.3, 0.0),
        (40.3, 12.7 / 2),
        (0.1, 12.7 / 2),
        *((z + k * 3.3, r) for k in range(10) for z in (7.1, 8.3) for r in (6.3 / 2, 12.7 / 2)),
    }


def test_bars_end_to_end_become_one() -> None:
    """Equal diameters that abut leave no seam."""
    assert corners(union(ring(0, 10, 8), ring(10, 25, 8))) == {(0, 0.0), (25, 0.0), (25, 4.0), (0, 4.0)}


def test_nearly_equal_faces_are_one_face() -> None:
    """Diameters that differ by rounding leave no film, and the first region's number is kept."""
    near = 8.0 + 1e-10
    assert intersection(ring(0, 10, 8.0), ring(0, 10, 12, near)) == EMPTY
    assert difference(ring(0, 10, near), ring(-1, 11, 8.0)) == EMPTY
    longer = union(ring(0, 10, 8.0), ring(10 + 1e-10, 20, near))
    assert corners(longer) == {(0, 0), (20, 0), (20, near / 2), (0, 4)}


def test_a_cut_through_leaves_two_loops() -> None:
    """A groove to the axis parts a bar in two."""
    parts = difference(ring(0, 20, 8), ring(9, 11, 10))
    assert len(parts.loops) == 2
    check_region(parts)


def test_a_hollow_becomes_a_clockwise_loop() -> None:
    """A cutter wholly inside leaves a hole."""
    hollow = difference(ring(0, 20, 12), torus((10, 3), 2))
    assert len(hollow.loops) == 2
    hole = next(loop for loop in hollow.loops if len(loop) == 2)
    assert all(isinstance(c, Arc) and c.turn == -1 for c in hole)
    check_region(hollow)


def test_a_hole_that_touches_the_outside_at_a_point_keeps_its_loops_simple() -> None:
    """A torus tangent to the bar from inside leaves two loops that meet in one point."""
    pinched = difference(ring(0, 20, 12), torus((10, 4), 4))
    check_region(pinched)
    for loop in pinched.loops:
        assert len({c.start for c in loop}) == len(loop)


def test_bodies_that_touch_at_a_point_stay_two() -> None:
    """Two cones tip to tip off the axis share a corner and no more."""
    a, b = polygon([(0, 2), (4, 4), (0, 4)]), polygon([(4, 4), (8, 4), (8, 6)])
    assert len(union(a, b).loops) == 2
    assert intersection(a, b) == EMPTY


def test_an_arc_tangent_to_a_line_meets_it_in_its_end() -> None:
    """A bar pushed to a fillet's tangent point neither cuts nor misses it."""
    part = filleted(8, 14, 1.5)
    longer = union(part, ring(-5, 8.5, 8))
    assert corners(longer) == {
        (-5, 0.0),
        (15.0, 0.0),
        (15.0, 7.0),
        (10.0, 7.0),
        (10.0, 5.5),
        (8.5, 4.0),
        (-5, 4.0),
    }
    check_region(longer)


def test_a_bored_ball_has_the_napkin_rings_volume() -> None:
    """A ball bored through leaves pi h^3 / 6 whatever its diameter, h its height (common practice)."""
    for diameter in (7.0, 10.0, 200.0):
        bore = math.sqrt(diameter**2 - 36)
        left = difference(ball(0, diameter), ring(-diameter, diameter, bore))
        assert math.isclose(moments(left).volume, math.pi * 6**3 / 6, rel_tol=1e-9)


def test_a_circle_cut_and_joined_is_two_arcs_again() -> None:
    """Arcs of one circle merge across cuts, but never to a whole turn."""
    whole = torus((10, 5), 4)
    knife = ring(10.5, 11, 20)
    again = union(difference(whole, knife), intersection(whole, knife))
    assert len(again.loops) == 1
    assert len(again.loops[0]) <= 3
    assert all(isinstance(c, Arc) for c in again.loops[0])
    check_region(again)


def test_any_rule_combines() -> None:
    """What is in exactly one of two regions is both differences."""
    a, b = cone(0, 10, 8), ring(4, 12, 5)
    either = combination((a, b), lambda inside: inside in (1, 2))
    apart = moments(difference(a, b)).volume + moments(difference(b, a)).volume
    assert math.isclose(moments(either).volume, apart, rel_tol=1e-12)


def test_a_crossing_beside_an_upright_tangent_leaves_a_closed_boundary() -> None:
    """Two circles that cross where both stand nearly upright still give closed loops."""
    whole = torus((0.0, 2.0), 0.5)
    left = difference(whole, ball(0.25, 2 * 2.00001))
    for loop in left.loops:
        for c, then in zip(loop, (*loop[1:], loop[0]), strict=True):
            assert c.end == then.start
