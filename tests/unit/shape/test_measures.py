"""Volume, moments, sections and bounds of meshes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.threaded import screw
from tests.zoo import ZOO
from turnmodel.catalog.threads import thread
from turnmodel.geometry.body import Body
from turnmodel.geometry.region import ring
from turnmodel.geometry.tolerance import circle_deficit
from turnmodel.shape.lathe import Mesh, lathe
from turnmodel.shape.measures import bound, mesh_moments, mesh_volume, open_edges, section, transformed

TURNED = np.array([[0, -1, 0, 3.0], [0, 0, -1, 4.0], [1, 0, 0, 5.0], [0, 0, 0, 1]])


def _box():
    """A square bar of sides 2 x 2 and length 3: a lathe of four facets."""
    return lathe(Body(plain=ring(0, 3, 2 * math.sqrt(2))), 4)


def test_box_has_a_box_moments():
    """Volume a b c, centroid in the middle, inertia m (b^2 + c^2) / 12."""
    found = mesh_moments(_box())

    assert found.volume == pytest.approx(12)
    assert found.center == pytest.approx((0, 0, 1.5))
    expected = np.diag([12 * (4 + 9) / 12, 12 * (4 + 9) / 12, 12 * (4 + 4) / 12])
    assert np.array(found.inertia) == pytest.approx(expected, abs=1e-12)


def test_moments_follow_a_placement():
    """A turned and shifted box has the same volume, its centroid moved, its axes changed about."""
    found = mesh_moments(transformed(_box(), TURNED))

    assert found.volume == pytest.approx(12)
    assert found.center == pytest.approx((3, 2.5, 5))
    assert np.diag(found.inertia) == pytest.approx([13, 8, 13])


def test_mirrored_mesh_still_looks_outwards():
    """A mirror image encloses the same volume, not its negative."""
    mirror = np.diag([1.0, 1.0, -1.0, 1.0])

    assert mesh_volume(transformed(_box(), mirror)) == pytest.approx(12)
    assert mesh_volume(transformed(_box(), np.diag([-2.0, 1.0, 1.0, 1.0]))) == pytest.approx(24)


def test_empty_mesh_has_no_moments():
    """Nothing has a volume of nothing, but no centroid."""
    nothing = Mesh(vertices=np.zeros((0, 3)), faces=np.zeros((0, 3), np.int32), tags=np.zeros(0, np.int8))

    assert mesh_volume(nothing) == 0
    with pytest.raises(ValueError, match="an empty mesh has no moments"):
        mesh_moments(nothing)


def test_open_edges_are_counted():
    """A face left out leaves three edges open; a face turned over spoils its three, once each way."""
    box = _box()
    faces = box.faces.copy()
    faces[0] = faces[0, ::-1]

    assert open_edges(box) == 0
    assert open_edges(Mesh(vertices=box.vertices, faces=box.faces[1:], tags=box.tags[1:])) == 3
    assert open_edges(Mesh(vertices=box.vertices, faces=faces, tags=box.tags)) == 6


def _area(lines):
    """Enclosed area of closed outlines in a plane z = const, their material on the left."""
    (x0, y0), (x1, y1) = lines[:, 0, :2].T, lines[:, 1, :2].T
    return float((x0 * y1 - x1 * y0).sum()) / 2


@pytest.mark.parametrize("z", [0.01, 7.3, 15.0])
def test_section_across_a_tube_is_two_polygons(z):
    """Cut across, a tube shows its ring, closed, the metal on the left of every line."""
    tube = lathe(Body(plain=ring(0, 20, 10, 6)), 64)
    lines = section(tube, (0, 0, z), (0, 0, 1))
    starts, ends = ({tuple(p.round(9)) for p in lines[:, k]} for k in (0, 1))

    assert starts == ends
    assert _area(lines) == pytest.approx(64 / 2 * math.sin(2 * math.pi / 64) * (25 - 9))


def test_section_through_the_faces_is_closed():
    """A plane through vertices of the mesh gives closed outlines still."""
    for z in (0.0, 3.0, 12.0, 20.0):
        lines = section(lathe(Body(plain=ZOO["stepped"]), 16), (0, 0, z), (0, 0, 1))
        starts, ends = (sorted(map(tuple, lines[:, k].round(9).tolist())) for k in (0, 1))
        assert starts == ends


def test_plane_that_misses_has_no_section():
    """A plane beside the mesh gives no lines."""
    assert section(_box(), (0, 0, 9), (0, 0, 1)).shape == (0, 2, 3)


def test_bound_of_a_bar_is_the_polygon():
    """A plain straight bar is light by its polygons, and by nothing once they have the circle's area."""
    bar = Body(plain=ring(0, 10, 8))

    assert bound(bar, 96) == pytest.approx(circle_deficit(96), rel=1e-12)
    assert bound(bar, 96, area_true=True) == 0


@pytest.mark.parametrize("name", ["M10x0.75", "3/8-16 UNC", "BA 2", "1/4x40 ME", "M12xPh3P1"])
def test_bound_of_threads_stays_small_and_shrinks(name):
    """At the usual facets the bound is under one part in a thousand, and finer facets lower it."""
    body = screw(thread(name), 6.0)

    assert bound(body, 256) < bound(body) < 1e-3
    assert bound(body, area_true=True) < 3e-4
