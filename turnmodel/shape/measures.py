"""Volume, moments and sections of meshes, and how far a mesh of chords may be from the true shape."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.geometry.moments import moments
from turnmodel.geometry.region import Region, polygon
from turnmodel.geometry.spatial import SpatialMoments
from turnmodel.geometry.thread_form import form_points, thread_form
from turnmodel.geometry.thread_moments import body_moments, mean_square
from turnmodel.geometry.tolerance import FACETS
from turnmodel.shape.lathe import chords

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from turnmodel.geometry.body import Body, ThreadSpan
    from turnmodel.geometry.curve import Curve, Point
    from turnmodel.shape.lathe import Mesh

    Floats = NDArray[np.float64]

__all__ = ["bound", "lone_first", "mesh_moments", "mesh_volume", "open_edges", "section", "transformed"]


def mesh_volume(mesh: Mesh) -> float:
    """Measure what a closed mesh encloses, [mm3]: under each face stands a prism, from the plane z = 0.

    Examples
    --------
    >>> from turnmodel.geometry.body import Body
    >>> from turnmodel.geometry.region import ring
    >>> from turnmodel.shape.lathe import lathe
    >>> round(mesh_volume(lathe(Body(plain=ring(0, 10, 2)), facets=4)), 9)
    20.0
    """
    x, y, z = mesh.vertices.T.copy()
    a, b, c = mesh.faces.T.copy()
    xa, ya = x.take(a), y.take(a)
    twice = (x.take(b) - xa) * (y.take(c) - ya) - (y.take(b) - ya) * (x.take(c) - xa)
    return float((twice * (z.take(a) + z.take(b) + z.take(c))).sum()) / 6


def mesh_moments(mesh: Mesh) -> SpatialMoments:
    """Integrate over what a closed mesh encloses, as a sum of tetrahedra.

    Raises
    ------
    ValueError
        If it encloses nothing.
    """
    if not len(mesh.faces):
        raise ValueError("an empty mesh has no moments")
    origin = mesh.vertices.mean(axis=0)
    corners = np.stack(_corners(mesh)) - origin
    six = np.einsum("ij,ij->i", corners[0], np.cross(corners[1], corners[2]))
    volume = float(six.sum()) / 6
    total = corners.sum(axis=0)
    center = (six[:, None] * total).sum(axis=0) / 24 / volume
    # Over a tetrahedron with one corner at the origin: the sum over the other corners and over their sum.
    points = np.concatenate([corners, total[None]])
    second = np.einsum("i,kia,kib->ab", six, points, points) / 120
    second -= volume * np.outer(center, center)
    inertia = np.eye(3) * np.trace(second) - second
    x, y, z = (center + origin).tolist()
    a, b, c = (tuple(row) for row in inertia.tolist())
    return SpatialMoments(volume=volume, center=(x, y, z), inertia=(a, b, c))


def _corners(mesh: Mesh) -> tuple[Floats, Floats, Floats]:
    """Give the first, second and third corners of all faces."""
    a, b, c = (mesh.vertices.take(mesh.faces[:, k], axis=0) for k in range(3))
    return a, b, c


def open_edges(mesh: Mesh) -> int:
    """Count the edges that are not met exactly once in each direction: none in a closed mesh."""
    start = mesh.faces.astype(np.int64)
    end = start[:, [1, 2, 0]]
    count = len(mesh.vertices)
    # An edge is an even number where it rises, and the next odd one where it falls: sorted, they go in pairs.
    ways = np.sort((2 * (np.minimum(start, end) * count + np.maximum(start, end)) + (start > end)).ravel())
    rising, falling = ways[::2], ways[1::2]
    if np.array_equal(rising + 1, falling) and not (rising % 2).any():
        return 0
    ways, met = np.unique(start * count + end, return_counts=True)
    back = ways % count * count + ways // count
    return int((met > 1).sum() + (~np.isin(back, ways, assume_unique=True)).sum())


def section(mesh: Mesh, point: ArrayLike, normal: ArrayLike) -> Floats:
    """Cut a mesh with a plane.

    Parameters
    ----------
    mesh : Mesh
        Any mesh
    point : array_like
        A point (x, y, z) of the plane, [mm]
    normal : array_like
        Direction across the plane, of any length

    Returns
    -------
    ndarray
        The lines in which faces meet the plane, shape (n, 2, 3), each with the material on its left seen
        against the normal, [mm]

    Notes
    -----
    A vertex in the plane counts as in front of it, so that a closed mesh gives closed outlines.
    """
    across = np.asarray(normal, float)
    height = (mesh.vertices - np.asarray(point, float)) @ across
    front = height[mesh.faces] >= 0
    cut = front.any(axis=1) & ~front.all(axis=1)
    faces, front = mesh.faces[cut], front[cut]
    faces = lone_first(faces, front)
    h, p = height[faces], mesh.vertices[faces]
    ends = [p[:, 0] + (h[:, 0] / (h[:, 0] - h[:, k]))[:, None] * (p[:, k] - p[:, 0]) for k in (1, 2)]
    lines = np.stack(ends, axis=1)
    swap = front.sum(axis=1) == 2
    lines[swap] = lines[swap, ::-1]
    return lines


def lone_first(faces: NDArray[np.int32], front: NDArray[np.bool_]) -> NDArray[np.int32]:
    """Turn faces (n, 3) that a plane cuts so that the corner alone on its side comes first.

    ``front`` (n, 3) tells which corners are on one side, [-].
    """
    lone = np.argmax(front == (front.sum(axis=1) == 1)[:, None], axis=1)
    return np.take_along_axis(faces, (lone[:, None] + np.arange(3)) % 3, axis=1)


def transformed(mesh: Mesh, matrix: ArrayLike) -> Mesh:
    """Move a mesh by a 4 x 4 matrix; a mirroring one turns the faces so that they still look outwards."""
    m = np.asarray(matrix, float)
    moved = mesh.vertices @ m[:3, :3].T + m[:3, 3]
    faces = mesh.faces if np.linalg.det(m[:3, :3]) > 0 else np.ascontiguousarray(mesh.faces[:, ::-1])
    return replace(mesh, vertices=moved, faces=faces)


def bound(body: Body, facets: int = FACETS, *, area_true: bool = False) -> float:
    r"""Tell how far, relative to the body's volume, its mesh's may be from it.

    .. math::
        \frac{|V_m - V|}{V} \le \frac{a^2}{6} + \frac{\Delta_\mathrm{arcs} + \Delta_\mathrm{helix}}{V},
        \quad a = \frac{2\pi}{n}

    Parameters
    ----------
    body : Body
        Plain region and threads, [mm]
    facets : int
        Facets round a full circle, [-]
    area_true : bool
        True for a mesh whose radii were enlarged to the area of the circle: the first term falls away

    Returns
    -------
    float
        Relative bound, [-]

    Notes
    -----
    The first term is a polygon's lack of area. The second is what the chords of the profile and of the form's
    rounded ends change, in closed form. The third is for threads. A facet between two half-planes is flat
    where the helix is twisted: it is off by h/4r of the lead of one facet, times the steepness of the flank.
    As the facets lean left and right by turns, that cancels but for a part of the order of the facet angle.
    Where a thread ends, or an envelope cuts it, edges lie up to a facet's lead beside the true crease.
    """
    plain = Region(loops=tuple(_polygon_of(loop, facets) for loop in body.plain.loops))
    arcs = abs(moments(plain).volume - moments(body.plain).volume)
    threads = sum(_thread_error(s, facets) for s in body.threads)
    lack = 0.0 if area_true else (2 * math.pi / facets) ** 2 / 6
    return lack + (arcs + threads) / body_moments(body).volume


def _polygon_of(loop: tuple[Curve, ...], facets: int) -> tuple[Curve, ...]:
    """Break a loop into the chords that its mesh has."""
    points: list[Point] = [p for curve in loop for p in chords(curve, facets)]
    return polygon(points).loops[0]


def _thread_error(span: ThreadSpan, facets: int) -> float:
    """Bound the volume [mm3] that chords and twist of a thread's mesh may be off."""
    thread, form = span.thread, thread_form(span.thread, span.external)
    u, r = form_points(thread, span.external)
    u1, r1 = np.append(u[1:], u[0] + thread.pitch), np.append(r[1:], r[0])
    chorded = float(((u1 - u) * (r**2 + r * r1 + r1**2)).sum()) / 3 / thread.pitch
    rounded = math.pi * (span.end - span.start) * abs(chorded - mean_square(thread, span.external))
    step, depth = thread.lead / facets, form.high - form.low
    skin = 2 * math.pi * form.high
    twist = skin * (span.end - span.start) * step / form.slope * depth / (4 * form.low)
    creases = 2 + sum(
        _creases(points, form.low, form.high, thread.pitch) for points in (span.floor, span.ceiling)
    )
    return rounded + twist * 2 * math.pi / facets + creases * skin * step * step / form.slope / 2


def _creases(points: tuple[Point, ...], low: float, high: float, pitch: float) -> int:
    """Count the turns of the creases that a thread's form makes with a sloping envelope."""
    return sum(
        2 * math.ceil((z1 - z0) / pitch) + 2
        for (z0, r0), (z1, r1) in pairwise(points)
        if r0 != r1 and max(r0, r1) > low and min(r0, r1) < high
    )
