"""Knurls in pictures begin and end where they are turned, whatever is bored or cut across beside them."""

from __future__ import annotations

import numpy as np
import pytest

from turnmodel import Design, Part, bar, cross_hole, cylinder, drill, knurl
from turnmodel.output.pictures.bands import banded
from turnmodel.output.pictures.pieces import pieces
from turnmodel.shape.measures import mesh_volume, open_edges
from turnmodel.shape.part import part_mesh


@pytest.fixture(scope="module")
def handle():
    """A bored and cross-drilled rod of one diameter, knurled over its middle."""
    return Part.turned(
        "handle",
        material="6082-T6",
        stock=bar("14 mm"),
        outside=[cylinder(12, 10), cylinder(12, 20, knurled=knurl(0.8)), cylinder(12, 10)],
        from_front=[drill("7 mm", through=True)],
        across=[cross_hole("3 mm", at=4.75)],
    )


def straddling(mesh, station):
    """Count the faces that lie on both sides of a station."""
    z = mesh.vertices[:, 2][mesh.faces]
    return int(((z.min(axis=1) < station - 1e-6) & (z.max(axis=1) > station + 1e-6)).sum())


def test_no_face_runs_out_of_a_knurl(handle):
    """Faces of the round run from end to end of the cut rod, but not in its picture."""
    (piece,) = pieces(Design("object", parts=[handle]), "whole")

    assert straddling(part_mesh(handle), 10) > 0
    assert [straddling(piece.mesh, z) for z in (10, 30)] == [0, 0]


def test_a_broken_mesh_is_the_same_body(handle):
    """Breaking faces moves nothing and opens nothing."""
    whole = part_mesh(handle)
    broken = banded(whole, whole.vertices[:, 2], (10.0, 4.75, 30.0))

    assert open_edges(broken) == 0
    assert mesh_volume(broken) == pytest.approx(mesh_volume(whole), rel=1e-12)
    assert np.ptp(broken.vertices, axis=0) == pytest.approx(np.ptp(whole.vertices, axis=0))
