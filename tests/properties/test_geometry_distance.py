"""Laws of least distance and of travel along the axis."""

from __future__ import annotations

import math

import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.chords import inscribed, sagitta
from tests.strategies import regions, stations
from turnmodel.geometry.axial import axial_travel
from turnmodel.geometry.distance import least_distance
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.region import Region, bounds, contains, flipped, moved
from turnmodel.geometry.tolerance import CONTACT_MM, CONTACT_MM3, SAME_MM

ROUNDING_MM = 1e-10
"""Coordinates up to 100 mm carry 1e-14; near an upright tangent an arc loses half its digits squared."""


@given(regions, regions)
def test_distance_is_symmetric_and_lies_between_its_points(a: Region, b: Region) -> None:
    """The gap from b to a is the gap from a to b, and its points are that far apart, one on each body."""
    gap, back = least_distance(a, b), least_distance(b, a)
    assert abs(gap.distance - back.distance) <= SAME_MM
    assert abs(math.dist(gap.a_at, gap.b_at) - gap.distance) <= SAME_MM
    if gap.distance:
        assert contains(a, gap.a_at)
        assert contains(b, gap.b_at)


@given(regions, regions)
def test_distance_is_zero_where_bodies_overlap(a: Region, b: Region) -> None:
    """No gap is found between bodies that share volume, nor an overlap between bodies apart."""
    if overlap_volume(a, b) > 0:
        assert least_distance(a, b).distance <= SAME_MM
    if least_distance(a, b).distance > 0:
        assert overlap_volume(a, b) == 0


@given(regions, regions)
def test_distance_agrees_with_polygons_of_chords(a: Region, b: Region) -> None:
    """The distance of inscribed polygons is greater by no more than the two sagittas."""
    chords = shapely.distance(inscribed(a), inscribed(b))
    exact = least_distance(a, b).distance
    assert exact - SAME_MM <= chords <= exact + sagitta(a) + sagitta(b) + SAME_MM


@given(regions, regions, stations)
def test_moving_or_turning_both_changes_no_distance(a: Region, b: Region, dz: float) -> None:
    """Distance depends on how two bodies stand to each other, not on the frame."""
    before = least_distance(a, b).distance
    assert abs(least_distance(moved(a, dz), moved(b, dz)).distance - before) <= SAME_MM + ROUNDING_MM
    assert abs(least_distance(flipped(a), flipped(b)).distance - before) <= SAME_MM


@given(regions, regions, st.sampled_from([1, -1]))
def test_travel_ends_in_touch_and_no_sooner(moving: Region, fixed: Region, direction: int) -> None:
    """Slid by its travel a body touches, slid by less it does not overlap, slid by more it does."""
    travel = axial_travel(moving, fixed, direction)
    if overlap_volume(moving, fixed) > CONTACT_MM3:
        assert travel.distance == 0
        return
    if math.isinf(travel.distance):
        last = bounds(fixed).z1 - bounds(moving).z0 + bounds(fixed).z1 - bounds(moving).z1
        steps = [direction * abs(last) * k / 8 for k in range(9)]
        assert all(overlap_volume(moved(moving, dz), fixed) <= film(moving) for dz in steps)
        return
    assert least_distance(moved(moving, direction * travel.distance), fixed).distance <= CONTACT_MM
    for part in (0.0, 0.5, 0.999, 1.0):
        way = direction * travel.distance * part
        assert overlap_volume(moved(moving, way), fixed) <= film(moving)
    assert overlap_volume(moved(moving, direction * (travel.distance + 0.01)), fixed) > 0
    assert travel.moving_at is not None
    assert travel.fixed_at is not None
    ahead = (travel.fixed_at[0] - travel.moving_at[0]) * direction
    assert abs(ahead - travel.distance) <= CONTACT_MM


@given(regions, regions)
def test_travel_one_way_is_the_others_travel_the_other_way(moving: Region, fixed: Region) -> None:
    """Pushing one body forward or pulling the other back closes the same gap."""
    forward, back = axial_travel(moving, fixed, 1).distance, axial_travel(fixed, moving, -1).distance
    assert forward == back or abs(forward - back) <= ROUNDING_MM


@given(regions, regions)
def test_bodies_apart_along_the_axis_travel_at_least_their_distance(a: Region, b: Region) -> None:
    """No travel is shorter than the least distance."""
    gap = least_distance(a, b).distance
    assume(gap > 0)
    assert axial_travel(a, b).distance >= gap - SAME_MM


def film(region: Region) -> float:
    """Bound the overlap of faces that slide along each other within CONTACT_MM."""
    b = bounds(region)
    return CONTACT_MM3 + 2 * math.pi * b.r1 * CONTACT_MM * 2 * (b.r1 + b.z1 - b.z0)
