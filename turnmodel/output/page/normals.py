"""Normals for shading: smooth over the facets of a round, broken at every edge a tool leaves."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.shape.lathe import Mesh

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

__all__ = ["CREASE", "Shaded", "creased"]

CREASE: Final = 16.0
"""Faces that meet at a larger angle [degrees] are told apart; house choice: over the widest chord of an arc,
15, under the flattest nose that is turned, 18."""

_STEPS: Final = 511
"""Normals whose components agree to this part of a whole [-] are one: no eye sees a tenth of a degree."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shaded:
    """Triangles with a normal at each corner.

    Parameters
    ----------
    positions : array, shape (n, 3)
        Corners, [mm]
    normals : array, shape (n, 3)
        Unit normals, [-]
    faces : array of int, shape (m, 3)
        Numbers of the corners, [-]
    """

    positions: Floats
    normals: Floats
    faces: Ints


def creased(mesh: Mesh, crease: float = CREASE) -> Shaded:
    """Give each corner of a mesh the mean normal of the faces round it that meet its own smoothly.

    Parameters
    ----------
    mesh : Mesh
        Closed mesh, [mm]
    crease : float
        Angle between two faces from which their edge is seen, [degrees]

    Returns
    -------
    Shaded
        The same triangles; a vertex comes once for each normal it has

    Examples
    --------
    >>> from turnmodel.geometry.body import Body
    >>> from turnmodel.geometry.region import ring
    >>> from turnmodel.shape.lathe import lathe
    >>> creased(lathe(Body(plain=ring(0, 10, 8)), facets=48)).positions.shape
    (194, 3)
    """
    faces = mesh.faces.astype(np.int64)
    corners = mesh.vertices[faces]
    edges = np.roll(corners, -1, axis=1) - corners
    normals: Floats = np.cross(edges[:, 0], edges[:, 1])
    length = np.sqrt(_dot(normals, normals))[:, None]
    normals /= np.where(length > 0, length, 1.0)
    weights = _angles(edges).ravel()

    own, other = _around(faces.ravel())
    a, b = own // 3, other // 3
    smooth = _dot(normals[a], normals[b]) >= math.cos(math.radians(crease))
    own, other, b = own[smooth], other[smooth], b[smooth]
    parts = normals[b] * weights[other, None]
    summed: Floats = np.stack([np.bincount(own, parts[:, k], faces.size) for k in range(3)], axis=1)
    size = np.sqrt(_dot(summed, summed))[:, None]
    # A sliver without area takes any direction: nothing of it is seen.
    means = np.divide(summed, size, out=np.tile((0.0, 0.0, 1.0), (faces.size, 1)), where=size > 0)

    steps = np.round(means * _STEPS).astype(np.int64) + _STEPS
    key = ((faces.ravel() * 1024 + steps[:, 0]) * 1024 + steps[:, 1]) * 1024 + steps[:, 2]
    _, first, number = np.unique(key, return_index=True, return_inverse=True)
    return Shaded(
        positions=mesh.vertices[faces.ravel()[first]], normals=means[first], faces=number.reshape(-1, 3)
    )


def _angles(edges: Floats) -> Floats:
    """Measure the angles [rad] of triangles at their corners, from the edges that leave them."""
    before = -np.roll(edges, 1, axis=1)
    cross = np.cross(edges, before)
    angles: Floats = np.arctan2(np.sqrt(_dot(cross, cross)), _dot(edges, before))
    return angles


def _dot(a: Floats, b: Floats) -> Floats:
    """Multiply vectors one by one; numpy's sum over an axis of three takes several times as long."""
    found: Floats = np.einsum("...k,...k->...", a, b)
    return found


def _around(vertex: Ints) -> tuple[Ints, Ints]:
    """Pair each corner with every corner at the same vertex, itself too."""
    order = np.argsort(vertex, kind="stable")
    _, start, count = np.unique(vertex[order], return_index=True, return_counts=True)
    sizes = np.repeat(count, count)
    own = np.repeat(np.arange(len(vertex)), sizes)
    begin = np.repeat(np.repeat(start, count), sizes)
    within = np.arange(len(own)) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    return order[own], order[begin + within]
