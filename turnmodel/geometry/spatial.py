"""Moments of bodies in space: volume or mass, centre, and the tensor of inertia about the centre."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.geometry.across import Vector

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.geometry.frame import Matrix
    from turnmodel.geometry.moments import Moments

    Floats = NDArray[np.float64]

__all__ = [
    "SpatialMoments",
    "Tensor",
    "about_axis",
    "amount",
    "in_space",
    "placed",
    "together",
]

Tensor = tuple[Vector, Vector, Vector]
"""A symmetric tensor by rows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpatialMoments:
    """What a body holds and how it resists turning, at density one or in grams.

    Parameters
    ----------
    volume : float
        Volume, [mm3], or mass, [g]
    center : tuple of float
        Centroid (x, y, z), [mm]
    inertia : tuple of tuple of float
        Tensor of inertia about the centroid, by rows, [mm5], or in g mm2
    """

    volume: float
    center: Vector
    inertia: Tensor


_NOTHING: Final = SpatialMoments(volume=0.0, center=(0.0, 0.0, 0.0), inertia=((0.0,) * 3,) * 3)


def in_space(m: Moments) -> SpatialMoments:
    """Tell a turned body's moments as those of a body in space.

    Examples
    --------
    >>> from turnmodel.geometry.moments import moments
    >>> from turnmodel.geometry.region import ring
    >>> in_space(moments(ring(0, 4, 8))).center
    (0.0, 0.0, 2.0)
    """
    rows = ((m.transverse, 0.0, 0.0), (0.0, m.transverse, 0.0), (0.0, 0.0, m.axial))
    return SpatialMoments(volume=m.volume, center=(0.0, 0.0, m.station), inertia=rows)


def amount(m: SpatialMoments, factor: float) -> SpatialMoments:
    """Multiply moments by a factor [-]: a density to get masses, -1 to take a body away."""
    return _moments(m.volume * factor, np.array(m.center), np.array(m.inertia) * factor)


def placed(m: SpatialMoments, matrix: Matrix) -> SpatialMoments:
    """Move a body's moments by a rigid placement.

    Examples
    --------
    >>> from turnmodel.geometry.frame import shift
    >>> point = SpatialMoments(volume=1.0, center=(0.0, 0.0, 2.0), inertia=((0.0,) * 3,) * 3)
    >>> placed(point, shift(3.0)).center
    (0.0, 0.0, 5.0)
    """
    turned, origin = np.array(matrix)[:3, :3], np.array(matrix)[:3, 3]
    return _moments(m.volume, turned @ np.array(m.center) + origin, turned @ np.array(m.inertia) @ turned.T)


def together(*bodies: SpatialMoments) -> SpatialMoments:
    """Add the moments of bodies in one frame, by Steiner's theorem.

    Examples
    --------
    >>> point = SpatialMoments(volume=1.0, center=(0.0, 0.0, 3.0), inertia=((0.0,) * 3,) * 3)
    >>> other = SpatialMoments(volume=2.0, center=(0.0, 0.0, 0.0), inertia=((0.0,) * 3,) * 3)
    >>> both = together(point, other)
    >>> both.center, both.inertia[0]
    ((0.0, 0.0, 1.0), (6.0, 0.0, 0.0))
    """
    volumes = np.array([m.volume for m in bodies])
    total = float(volumes.sum())
    if total == 0:
        return _NOTHING
    centers = np.array([m.center for m in bodies])
    center = volumes @ centers / total
    inertia = np.array([m.inertia for m in bodies]).sum(axis=0)
    away = centers - center
    squares = np.einsum("i,ij,ij->", volumes, away, away)
    inertia = inertia + np.eye(3) * squares - np.einsum("i,ij,ik->jk", volumes, away, away)
    return _moments(total, center, inertia)


def about_axis(m: SpatialMoments, direction: Vector) -> float:
    """Tell the moment of inertia about the line through the centre along a unit direction [-].

    Examples
    --------
    >>> from turnmodel.geometry.moments import moments
    >>> from turnmodel.geometry.region import ring
    >>> disc = in_space(moments(ring(0, 1, 2)))
    >>> round(about_axis(disc, (0.0, 0.0, 1.0)) / disc.volume, 9)
    0.5
    """
    way = np.array(direction)
    return float(way @ np.array(m.inertia) @ way)


def _moments(volume: float, center: Floats, inertia: Floats) -> SpatialMoments:
    """Make moments of arrays."""
    x, y, z = center.tolist()
    a, b, c = (tuple(row) for row in inertia.tolist())
    return SpatialMoments(volume=volume, center=(x, y, z), inertia=(a, b, c))
