"""Laws of union, difference, intersection, overlap and moments."""

from __future__ import annotations

import math

import shapely
from hypothesis import given
from hypothesis import strategies as st

from tests.chords import inscribed, left_out
from tests.strategies import regions, stations
from turnmodel.geometry.boolean import difference, intersection, union
from turnmodel.geometry.moments import combined, moments, scaled, surface_area
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.region import Region, bounds, check_region, flipped, moved, ring
from turnmodel.geometry.tolerance import SAME_MM

ROUNDING = 1e-12
"""Relative: sums of a few hundred terms of the size of the whole, at 2e-16 each, with some to spare."""


def volume(region: Region) -> float:
    """Measure what a region sweeps."""
    return moments(region).volume


def snap(*given_regions: Region) -> float:
    """Bound the volume that moving every face by 2 SAME_MM can change, beside rounding."""
    return sum(2 * SAME_MM * surface_area(r) + ROUNDING * volume(r) for r in given_regions)


@given(regions, regions)
def test_union_and_intersection_share_out_the_volumes(a: Region, b: Region) -> None:
    """V(a or b) + V(a and b) = V(a) + V(b)."""
    total = volume(union(a, b)) + volume(intersection(a, b))
    assert abs(total - volume(a) - volume(b)) <= snap(a, b)


@given(regions, regions)
def test_difference_takes_away_what_is_common(a: Region, b: Region) -> None:
    """V(a - b) = V(a) - V(a and b)."""
    assert abs(volume(difference(a, b)) - volume(a) + volume(intersection(a, b))) <= snap(a, b)


@given(regions, st.lists(regions, min_size=1, max_size=4))
def test_many_cutters_at_once_or_one_after_the_other_cut_alike(a: Region, cutters: list[Region]) -> None:
    """One difference with many cutters leaves what many differences leave, every result a proper region."""
    stepwise = a
    for cutter in cutters:
        stepwise = difference(stepwise, cutter)
    at_once = difference(a, *cutters)
    assert abs(volume(at_once) - volume(stepwise)) <= snap(a, *cutters)
    for region in (at_once, stepwise):
        if region.loops:
            check_region(region)


@given(regions, regions)
def test_overlap_is_the_volume_of_the_intersection(a: Region, b: Region) -> None:
    """The slab integral and Green's integral round the intersection agree, either way round."""
    common = volume(intersection(a, b))
    assert abs(overlap_volume(a, b) - common) <= snap(a, b)
    assert abs(overlap_volume(b, a) - common) <= snap(a, b)


@given(regions, regions)
def test_overlap_agrees_with_polygons_of_chords(a: Region, b: Region) -> None:
    """Clipped inscribed polygons, swept by Pappus, differ by less than the arcs' sagittas allow."""
    common = shapely.intersection(inscribed(a), inscribed(b))
    swept = 2 * math.pi * common.area * common.centroid.y if common.area else 0.0
    outermost = max(bounds(a).r1, bounds(b).r1)
    slack = 2 * math.pi * outermost * (left_out(a) + left_out(b))
    assert abs(overlap_volume(a, b) - swept) <= slack + snap(a, b)


@given(regions)
def test_a_body_overlaps_itself_wholly(a: Region) -> None:
    """V(a and a) = V(a), and a - a is empty."""
    assert math.isclose(overlap_volume(a, a), volume(a), rel_tol=ROUNDING)
    assert difference(a, a) == Region(loops=())


@given(regions, stations)
def test_the_halves_of_a_split_add_up(a: Region, z: float) -> None:
    """Cut across at any station, the two halves' moments combine to the whole's."""
    b = bounds(a)
    behind = ring(b.z0 - 1, z, 2 * b.r1 + 2) if z > b.z0 - 1 else Region(loops=())
    halves = [moments(intersection(a, behind)), moments(difference(a, behind))]
    whole, again = moments(a), combined(*halves)
    size = max(b.r1, b.z1 - b.z0)
    slack = snap(a) + snap(behind) if behind.loops else snap(a)
    assert abs(again.volume - whole.volume) <= slack
    assert abs(again.axial - whole.axial) <= slack * size**2
    assert abs(again.transverse - whole.transverse) <= 4 * slack * size**2
    assert abs(again.station - whole.station) * whole.volume <= 4 * slack * size


@given(regions, regions)
def test_moments_of_a_difference_are_the_difference_of_moments(a: Region, b: Region) -> None:
    """Taking away the common part's moments leaves the moments of the rest."""
    rest = moments(difference(a, b))
    again = combined(moments(a), scaled(moments(intersection(a, b)), -1))
    box = bounds(a)
    size = max(box.r1, box.z1 - box.z0)
    assert abs(rest.volume - again.volume) <= snap(a, b)
    assert abs(rest.axial - again.axial) <= snap(a, b) * size**2


@given(regions, regions, stations)
def test_moving_or_turning_both_changes_no_overlap(a: Region, b: Region, dz: float) -> None:
    """Overlap depends on how two bodies stand to each other, not on the frame."""
    before = overlap_volume(a, b)
    assert abs(overlap_volume(moved(a, dz), moved(b, dz)) - before) <= 2 * snap(a, b)
    assert abs(overlap_volume(flipped(a), flipped(b)) - before) <= 2 * snap(a, b)
