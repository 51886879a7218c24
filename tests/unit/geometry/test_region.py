"""Bounds, membership, and the proof of a region."""

from __future__ import annotations

import math

import pytest

from tests.zoo import ZOO, ball, torus
from turnmodel.errors import BadValue
from turnmodel.geometry.curve import Arc, Line
from turnmodel.geometry.region import Region, bounds, check_region, contains, flipped, moved, polygon, ring


@pytest.mark.parametrize("name", ZOO)
def test_the_zoo_is_proper(name: str) -> None:
    """Every named region passes, moved and turned too."""
    check_region(ZOO[name])
    check_region(moved(ZOO[name], -7.5))
    check_region(flipped(ZOO[name]))


def test_bounds_count_the_tops_of_arcs() -> None:
    """A ball reaches its radius, though its corners lie on the axis."""
    assert bounds(ball(10, 8)) == (6.0, 14.0, 0.0, 4.0)


def test_bounds_of_nothing_are_refused() -> None:
    """An empty region has no bounds."""
    with pytest.raises(ValueError, match="an empty region has no bounds"):
        bounds(Region(loops=()))


@pytest.mark.parametrize(
    ("point", "inside"),
    [
        ((10, 5), True),
        ((10, 6.9), True),
        ((10, 7.1), False),
        ((12, 5), True),
        ((12.001, 5), False),
        ((10, 2.9), False),
        ((8.6, 6.5), False),
    ],
)
def test_a_torus_contains_its_points(point: tuple[float, float], inside: bool) -> None:
    """Inside is inside the circle, its rim counted."""
    assert contains(torus((10, 5), 4), point) is inside


def test_corners_and_faces_belong_to_a_region() -> None:
    """Corners, upright faces and faces along the axis are part of the region; a hollow is not."""
    hollow = ZOO["ring with a hollow"]
    for point in [(0, 2), (0, 4), (12, 6), (5, 6), (3, 3), (3, 4), (6, 4.5)]:
        assert contains(hollow, point)
    for point in [(6, 4), (6, 1), (-1, 4), (12.1, 4)]:
        assert not contains(hollow, point)


def test_an_open_boundary_is_refused() -> None:
    """The gap, its place and its size are named."""
    a, b, c, _ = ring(0, 10, 8).loops[0]
    with pytest.raises(BadValue) as caught:
        check_region(Region(loops=((a, b, c, Line(start=(0, 3), end=(0, 0))),)))
    assert str(caught.value) == (
        "boundary at station 0 mm, diameter 8 mm: gap 1 mm: a boundary is closed; join the ends"
    )


def test_a_repeated_point_is_refused() -> None:
    """A piece of no length is named with its place."""
    with pytest.raises(BadValue) as caught:
        check_region(polygon([(0, 0), (5, 0), (5, 0), (5, 2)]))
    assert str(caught.value) == (
        "boundary at station 5 mm, diameter 0 mm: chord 0 mm: a piece has two ends apart; "
        "leave it out or halve the circle"
    )


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_numbers_that_are_none_are_refused(bad: float) -> None:
    """NaN and infinity are no places."""
    with pytest.raises(BadValue, match="a piece has two ends apart"):
        check_region(polygon([(0, 0), (5, 0), (5, bad)]))


def test_what_lies_beyond_the_axis_is_refused() -> None:
    """An arc that dips below the axis between its ends is found by its lowest point."""
    dip = Arc(start=(0, 1), end=(8, 1), center=(4, 2), turn=1)
    back = [Line(start=(8, 1), end=(8, 3)), Line(start=(8, 3), end=(0, 3)), Line(start=(0, 3), end=(0, 1))]
    with pytest.raises(BadValue) as caught:
        check_region(Region(loops=((dip, *back),)))
    assert str(caught.value) == (
        "boundary from station 0 to 8 mm: diameter -4.24621 mm: nothing lies beyond the axis; "
        "the least is 0 mm"
    )


def test_an_arc_off_its_circle_is_refused() -> None:
    """Both ends of an arc are equally far from its centre."""
    arc = Arc(start=(5, 0), end=(0, 4), center=(0, 0), turn=1)
    lines = [Line(start=(0, 4), end=(0, 0)), Line(start=(0, 0), end=(5, 0))]
    with pytest.raises(BadValue) as caught:
        check_region(Region(loops=((arc, *lines),)))
    assert str(caught.value) == (
        "boundary at station 0 mm, diameter 8 mm: off the circle by 1 mm: "
        "both ends of an arc lie on its circle"
    )


def test_a_boundary_that_crosses_itself_is_refused() -> None:
    """The crossing is named, whichever lobe runs the wrong way."""
    for points in ([(0, 0), (8, 4), (8, 0), (0, 4)], [(0, 4), (8, 0), (8, 4), (0, 0)]):
        with pytest.raises(BadValue, match=r"at station 4 mm, diameter 4 mm: winding -1: it crosses itself"):
            check_region(polygon(points))


def test_loops_that_overlap_are_refused() -> None:
    """Material is entered once before it is left."""
    with pytest.raises(BadValue, match=r"winding 2: it crosses itself or runs along itself here"):
        check_region(Region(loops=(*ring(0, 10, 8).loops, *ring(5, 15, 6).loops)))


def test_loops_that_share_a_face_are_refused() -> None:
    """A face inside the material, along the axis or across it, is no boundary."""
    with pytest.raises(BadValue, match="runs along itself"):
        check_region(Region(loops=(*ring(0, 10, 4).loops, *ring(0, 10, 8, 4).loops)))
    with pytest.raises(BadValue, match=r"at station 10 mm, diameter 0 mm: length 3 mm: faces run along each"):
        check_region(Region(loops=(*ring(0, 10, 8).loops, *ring(10, 15, 6).loops)))


def test_a_spike_is_refused() -> None:
    """A boundary does not go out and come back on one line."""
    with pytest.raises(BadValue, match="runs along itself"):
        check_region(polygon([(0, 0), (10, 0), (10, 4), (15, 4), (10, 4.0), (0, 4)]))


def test_a_clockwise_boundary_is_refused() -> None:
    """An outer loop the wrong way round is told to be reversed."""
    with pytest.raises(BadValue, match=r"winding -1: an outer boundary runs counter-clockwise.*; reverse it"):
        check_region(polygon([(0, 0), (0, 4), (10, 4), (10, 0)]))


def test_nothing_is_refused() -> None:
    """A region without area is no body."""
    with pytest.raises(BadValue, match=r"region: area 0 mm2: a region encloses something"):
        check_region(Region(loops=()))
    with pytest.raises(BadValue, match=r"region: area 0 mm2: a region encloses something"):
        check_region(polygon([(3, 0), (3, 2), (3, 4)]))
