"""A mesh broken along stations, so that each of its faces lies in one band of its part."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.shape.measures import lone_first

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from turnmodel.shape.lathe import Mesh

__all__ = ["banded"]


def banded(mesh: Mesh, along: NDArray[np.float64], stations: Iterable[float]) -> Mesh:
    """Break the faces of a mesh where they cross stations.

    Parameters
    ----------
    mesh : Mesh
        Any mesh, [mm]
    along : array, shape (n,)
        Station of each of its vertices, [mm]
    stations : iterable of float
        Where to break, [mm]

    Returns
    -------
    Mesh
        The same surface; neighbours share the vertices in which their edge is broken

    Examples
    --------
    >>> from turnmodel.geometry.body import Body
    >>> from turnmodel.geometry.region import ring
    >>> from turnmodel.shape.lathe import lathe
    >>> bar = lathe(Body(plain=ring(0, 10, 8)), facets=12)
    >>> len(banded(bar, bar.vertices[:, 2], [4.0]).faces) - len(bar.faces)
    48
    """
    for station in stations:
        mesh, along = _broken(mesh, along, station)
    return mesh


def _broken(mesh: Mesh, along: NDArray[np.float64], station: float) -> tuple[Mesh, NDArray[np.float64]]:
    height = (along - station)[mesh.faces]
    crossing = (height.min(axis=1) < -CONTACT_MM) & (height.max(axis=1) > CONTACT_MM)
    if not crossing.any():
        return mesh, along
    faces, above = mesh.faces[crossing], height[crossing] > CONTACT_MM
    a, b, c = lone_first(faces, above).T
    edges = np.sort(np.stack([np.concatenate([a, a]), np.concatenate([b, c])], axis=1), axis=1)
    met, number = np.unique(edges, axis=0, return_inverse=True)
    p, q = met.T
    share = (station - along[p]) / (along[q] - along[p])
    points = mesh.vertices[p] + share[:, None] * (mesh.vertices[q] - mesh.vertices[p])
    # An edge that ends on the station is broken in its end.
    name = np.arange(len(met)) + len(mesh.vertices)
    for end in (p, q):
        name = np.where(np.abs(along[end] - station) <= CONTACT_MM, end, name)
    ab, ac = name[number.reshape(2, -1)]
    pieces = np.concatenate([np.stack(corners, axis=1) for corners in ((a, ab, ac), (ab, b, c), (ab, c, ac))])
    real = (pieces != np.roll(pieces, 1, axis=1)).all(axis=1)
    broken = replace(
        mesh,
        vertices=np.concatenate([mesh.vertices, points]),
        faces=np.concatenate([mesh.faces[~crossing], pieces[real]]).astype(mesh.faces.dtype),
        tags=np.concatenate([mesh.tags[~crossing], np.tile(mesh.tags[crossing], 3)[real]]),
    )
    return broken, np.concatenate([along, np.full(len(points), station)])
