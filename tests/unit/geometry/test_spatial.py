"""Moments in space against closed forms and against meshes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from turnmodel.geometry.frame import composed, frame, shift, turn
from turnmodel.geometry.moments import moments
from turnmodel.geometry.region import polygon, ring
from turnmodel.geometry.spatial import about_axis, amount, in_space, placed, together
from turnmodel.geometry.strip import Bent, Strip
from turnmodel.geometry.strip_moments import strip_moments
from turnmodel.shape.measures import mesh_moments
from turnmodel.shape.strip import strip_bound, strip_mesh

ROUNDING = 1e-12


def test_a_rod_about_its_middle_and_its_end() -> None:
    """A thin rod resists by m l^2 / 12 about its middle and m l^2 / 3 about its end (statics textbooks)."""
    length, d = 60.0, 2.0
    rod = in_space(moments(ring(0, length, d)))
    about_middle = rod.volume * (length**2 / 12 + d**2 / 16)

    assert about_axis(rod, (1.0, 0.0, 0.0)) == pytest.approx(about_middle, rel=ROUNDING)
    two = together(rod, placed(rod, shift(length)))
    assert two.inertia[0][0] == pytest.approx(
        2 * rod.volume * ((2 * length) ** 2 / 12 + d**2 / 16), rel=ROUNDING
    )


def test_a_disc_about_its_axis() -> None:
    """A disc resists by m r^2 / 2 about its axis wherever the axis lies."""
    disc = in_space(moments(ring(0, 1, 10)))
    lying = placed(disc, composed(frame((4.0, 5.0, 6.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)), turn(20)))

    assert about_axis(lying, (1.0, 0.0, 0.0)) == pytest.approx(disc.volume * 12.5, rel=ROUNDING)
    assert lying.center == pytest.approx((4.5, 5, 6), rel=ROUNDING)


def test_what_is_taken_away_leaves_the_rest() -> None:
    """A tube is a bar less a bar."""
    tube = in_space(moments(ring(0, 9, 8, 6)))
    less = together(in_space(moments(ring(0, 9, 8))), amount(in_space(moments(ring(0, 9, 6))), -1.0))

    assert np.allclose(less.inertia, tube.inertia, rtol=ROUNDING)
    assert together().volume == 0


def test_a_flat_strip_is_a_box() -> None:
    """A straight strip resists as a box does: m (a^2 + b^2) / 12 about each axis."""
    long, wide, thick = 12.0, 5.0, 0.5
    plate = strip_moments(
        Strip(thickness=thick, half=ring(0, long, wide), holes=(), side=(Bent(length=long),))
    )
    squares = [wide**2 + thick**2, long**2 + thick**2, long**2 + wide**2]

    for k, square in enumerate(squares):
        assert plate.inertia[k][k] == pytest.approx(plate.volume * square / 12, rel=ROUNDING)


def test_a_bent_strip_resists_as_half_a_ring() -> None:
    """Bent through half a turn, about the ring's axis: m (R^2 + r^2) / 2 less the way to the centroid."""
    thick, long = 1.0, 10.0
    outer, inner = long / math.pi + thick / 2, long / math.pi - thick / 2
    half = strip_moments(
        Strip(thickness=thick, half=ring(0, long, 5), holes=(), side=(Bent(length=long, turn=180),))
    )
    away = 4 * (outer**3 - inner**3) / (3 * math.pi * (outer**2 - inner**2))

    polar = half.volume * ((outer**2 + inner**2) / 2 - away**2)
    assert half.inertia[1][1] == pytest.approx(polar, rel=ROUNDING)


def test_a_strip_with_holes_and_bends_resists_as_its_mesh() -> None:
    """Bends, taper, holes: the tensor of the mesh, within its bound."""
    strip = Strip(
        thickness=0.5,
        half=polygon([(0, 0), (32, 0), (32, 2), (0, 2.5)]),
        holes=((3, 2.2), (10, 1.0)),
        side=(Bent(length=14), Bent(length=4, turn=-30), Bent(length=8), Bent(length=6, turn=40)),
    )
    facets = 512
    exact, mesh = strip_moments(strip), mesh_moments(strip_mesh(strip, facets))

    assert exact.center == pytest.approx(mesh.center, abs=strip_bound(strip, facets) * 32)
    assert np.allclose(
        exact.inertia, mesh.inertia, rtol=0, atol=4 * strip_bound(strip, facets) * mesh.inertia[2][2]
    )
