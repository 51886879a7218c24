"""Normals for shading: those of the round that the facets stand for, and sharp where an edge is."""

from __future__ import annotations

import numpy as np
import pytest

from turnmodel.geometry.across import CrossCylinder
from turnmodel.geometry.body import Body
from turnmodel.geometry.region import ring
from turnmodel.output.page.normals import creased
from turnmodel.shape.lathe import lathe
from turnmodel.shape.mesh import cut, tool_mesh

FACETS = 64

ROUNDED = 1e-2
"""Half a degree, [rad]: the two triangles of a facet do not share its angle evenly at every corner."""


def test_a_cylinder_is_shaded_round() -> None:
    """On the round of a cylinder every normal points straight away from the axis, on its ends along it."""
    shaded = creased(lathe(Body(plain=ring(0, 10, 8)), facets=FACETS))
    n, p = shaded.normals, shaded.positions
    ends = np.abs(n[:, 2]) > 0.5
    outward = p[~ends, :2] / np.linalg.norm(p[~ends, :2], axis=1, keepdims=True)

    assert np.linalg.norm(n, axis=1) == pytest.approx(1.0)
    assert np.abs(n[~ends, 2]).max() < 1e-9
    assert np.abs(n[~ends, :2] - outward).max() < ROUNDED
    assert np.abs(np.abs(n[ends, 2]) - 1).max() < 1e-9


def test_edges_stay_sharp() -> None:
    """At the rim of a bar each corner comes twice, once for the round and once for the end."""
    shaded = creased(lathe(Body(plain=ring(0, 10, 8)), facets=FACETS))

    assert len(shaded.positions) == 2 * 2 * FACETS + 2  # two rims, two normals each, and two centres


def test_no_triangle_changes() -> None:
    """Every triangle keeps its corners and its sense, in a part that was cut across too."""
    bar = lathe(Body(plain=ring(0, 20, 10)), facets=FACETS)
    hole = CrossCylinder(at=(0.0, 0.0, 10.0), direction=(1.0, 0.0, 0.0), diameter=3.0, length=40.0)
    mesh = cut(bar, tool_mesh(hole, FACETS), name="bar")
    shaded = creased(mesh)
    corners = shaded.positions[shaded.faces]
    facing = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(facing, axis=1)
    large = area > 1e-3

    assert (corners == mesh.vertices[mesh.faces]).all()
    dots = (shaded.normals[shaded.faces] * (facing / np.maximum(area, 1e-12)[:, None])[:, None]).sum(axis=2)
    assert dots[large].min() > 0.9  # none is off its face by more than a crease and a half
