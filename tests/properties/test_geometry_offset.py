"""Laws of growing and shrinking."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import regions
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.distance import least_between
from turnmodel.geometry.moments import moments
from turnmodel.geometry.offset import grown, shrunk
from turnmodel.geometry.region import Region, check_region

if TYPE_CHECKING:
    from turnmodel.geometry.curve import Curve

OFFSET_MM = 1e-7
"""A corner of an offset is where two curves cross; where they cross at a fine angle it strays along them by
the root of the rounding, not across them."""

amounts = st.floats(0.01, 3)


def off_axis(region: Region) -> list[Curve]:
    """List the boundary but for the axis."""
    curves = [c for loop in region.loops for c in loop]
    return [c for c in curves if max(c.start[1], c.end[1]) > 0 or hasattr(c, "center")]


@settings(max_examples=40)
@given(regions, amounts)
def test_every_face_of_an_offset_is_the_distance_away(region: Region, by: float) -> None:
    """Grown and shrunk regions are proper, and each of their faces is the offset from the boundary given."""
    for offset in (grown(region, by), shrunk(region, by)):
        if offset.loops:
            check_region(offset)
        for curve in off_axis(offset):
            assert abs(least_between([curve], off_axis(region)).distance - by) <= OFFSET_MM


@settings(max_examples=40)
@given(regions, amounts)
def test_offsets_nest(region: Region, by: float) -> None:
    """The shrunk region lies in the region and the region in the grown one."""
    smaller, greater = shrunk(region, by), grown(region, by)
    assert moments(difference(smaller, region)).volume == 0
    assert moments(difference(region, greater)).volume == 0
    assert moments(smaller).volume < moments(region).volume < moments(greater).volume
