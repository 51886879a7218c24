"""Laws of what is cut across: turning, mirroring and parting the cutters change only what they must."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.zoo import ZOO
from turnmodel.geometry.across import CrossCylinder
from turnmodel.geometry.body import Body
from turnmodel.geometry.crossing import cut_moments
from turnmodel.geometry.region import Region, flipped

if TYPE_CHECKING:
    from turnmodel.geometry.spatial import SpatialMoments

CLOSE = 1e-9
"""Relative: ten times what the integration promises."""

BODIES = st.sampled_from([name for name in ZOO if name not in ("two bars", "touching at a point")])


def hole(
    at: float, degrees: float, diameter: float, start: float = 20.0, length: float = 40.0
) -> CrossCylinder:
    """Drill across the axis at an angle round it, from a distance off it on."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return CrossCylinder(
        at=(start * c, start * s, at), direction=(-c, -s, 0.0), diameter=diameter, length=length
    )


def left(region: Region, *tools: CrossCylinder) -> SpatialMoments:
    """Cut a plain body."""
    found = cut_moments(Body(plain=region), tools)
    assert found is not None
    return found


@given(name=BODIES, at=st.floats(0, 18), degrees=st.floats(0, 360), d=st.floats(0.5, 4))
def test_turning_the_cutter_turns_what_is_left(name: str, at: float, degrees: float, d: float) -> None:
    """Volume and axial inertia stay, the centroid turns with the hole."""
    here, there = (left(ZOO[name], hole(at, a, d, length=20.0)) for a in (0.0, degrees))
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    x, y, z = here.center

    assert there.volume == pytest.approx(here.volume, rel=CLOSE)
    assert there.center == pytest.approx((c * x - s * y, s * x + c * y, z), abs=CLOSE * 20)
    assert there.inertia[2][2] == pytest.approx(here.inertia[2][2], rel=CLOSE * 10)


@given(name=BODIES, at=st.floats(0, 18), d=st.floats(0.5, 4))
def test_a_hole_in_two_halves_is_one_hole(name: str, at: float, d: float) -> None:
    """Drilled to the axis from both sides it takes what it takes drilled through."""
    through = left(ZOO[name], hole(at, 30.0, d))
    halves = left(ZOO[name], hole(at, 30.0, d, length=20.0), hole(at, 210.0, d, length=20.0))

    assert halves.volume == pytest.approx(through.volume, rel=CLOSE)
    assert np.allclose(halves.inertia, through.inertia, rtol=0, atol=CLOSE * 10 * through.inertia[0][0])


@given(name=BODIES, at=st.floats(0, 18), d=st.floats(0.5, 4))
def test_end_for_end_it_is_the_same(name: str, at: float, d: float) -> None:
    """A body turned end for end with its hole keeps its volume and mirrors its centroid."""
    one, other = left(ZOO[name], hole(at, 0.0, d)), left(flipped(ZOO[name]), hole(-at, 0.0, d))

    assert other.volume == pytest.approx(one.volume, rel=CLOSE)
    assert other.center[2] == pytest.approx(-one.center[2], abs=CLOSE * 20)


@given(name=BODIES, at=st.floats(0, 18), d=st.floats(0.5, 3), more=st.floats(0.1, 1))
def test_a_wider_hole_takes_no_less(name: str, at: float, d: float, more: float) -> None:
    """What a wider hole leaves is never more, nor does the same hole twice take anything."""
    narrow, wide = left(ZOO[name], hole(at, 0.0, d)), left(ZOO[name], hole(at, 0.0, d + more))
    twice = left(ZOO[name], hole(at, 0.0, d), hole(at, 0.0, d))

    assert wide.volume <= narrow.volume * (1 + CLOSE)
    assert twice.volume == pytest.approx(narrow.volume, rel=CLOSE)
