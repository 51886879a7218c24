"""Volume, centroid and inertia of a bent strip."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.geometry.curve import Arc, Curve
from turnmodel.geometry.spatial import SpatialMoments, Tensor
from turnmodel.geometry.strip import Strip, edge, mid_line, stretches

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["strip_moments"]

_GAUSS: Final = np.polynomial.legendre.leggauss(24)
"""Gauss's points and weights: a line of the outline over half a turn, or an arc by its angle, is a smooth
integrand that 24 points integrate to rounding."""


def strip_moments(strip: Strip) -> SpatialMoments:
    r"""Integrate over a strip in its own frame.

    .. math::
        V \bar p = \int w \left( t\, p - \tfrac{t^3}{12} \kappa\, n \right) ds, \quad
        \int p p^T dV = \int w \left( t\, p p^T + \tfrac{t^3}{12} (n n^T - \kappa (p n^T + n p^T)) \right) ds
        + \int t \tfrac{w^3}{12} ds\; e_y e_y^T

    with the width w, the middle line p, its normal n towards the upper side and its curvature
    :math:`\kappa`, above zero towards the upper side too: the inner side of a bend is the shorter.

    Parameters
    ----------
    strip : Strip
        The strip; holes in straight stretches

    Returns
    -------
    SpatialMoments
        At density one

    Notes
    -----
    By Gauss's points along each curve of the outline in each stretch: exact to rounding.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> from turnmodel.geometry.strip import Bent
    >>> plate = strip_moments(Strip(thickness=0.5, half=ring(0, 12, 5), holes=(), side=(Bent(length=12),)))
    >>> [round(v, 9) for v in plate.center], round(plate.inertia[2][2] / plate.volume, 9)
    ([6.0, 0.0, 0.25], 14.083333333)
    """
    t = strip.thickness
    along, width, wide, curvature = [], [], [], []
    for stretch in stretches(strip):
        for curve in edge(strip, stretch.start, stretch.end):
            s, y, ds = _points(curve)
            along.append(s)
            width.append(2 * y * ds)
            wide.append(2 * y**3 / 3 * ds)
            curvature.append(np.full_like(s, stretch.curvature))
    for at, d in strip.holes:
        # A hole is straight: on its centre line, the square of its half width along the strip beside it.
        along.append(np.array([at]))
        width.append(np.array([-math.pi / 4 * d**2]))
        wide.append(np.array([-math.pi / 64 * d**4]))
        curvature.append(np.zeros(1))
    w, k = np.concatenate(width), np.concatenate(curvature)
    p, n = _middle(strip, np.concatenate(along))
    volume = t * float(w.sum())
    center = (w * (t * p - t**3 / 12 * k * n)).sum(axis=1) / volume
    off = p - center[:, None]
    cross = np.einsum("i,ai,bi->ab", w * k, off, n) * t**3 / 12
    xz = np.einsum("i,ai,bi->ab", w * t, off, off) + np.einsum("i,ai,bi->ab", w, n, n) * t**3 / 12
    xz -= cross + cross.T
    for at, d in strip.holes:
        heading = mid_line(strip, at)[2]
        way = np.array([math.cos(heading), math.sin(heading)])
        xz -= np.outer(way, way) * math.pi / 64 * d**4 * t
    yy = t * float(np.concatenate(wide).sum())
    return SpatialMoments(
        volume=volume, center=(float(center[0]), 0.0, float(center[1])), inertia=_tensor(xz, yy)
    )


def _points(curve: Curve) -> tuple[Floats, Floats, Floats]:
    """Lay Gauss's points under a curve of the edge: distance along, half width, weight along [mm]."""
    nodes, weights = _GAUSS
    if isinstance(curve, Arc):
        (zc, rc), radius, half = curve.center, curve.radius, curve.sweep / 2
        angle = math.atan2(curve.start[1] - rc, curve.start[0] - zc) + half * (1 + nodes)
        ds = -radius * np.sin(angle) * half * weights
        return zc + radius * np.cos(angle), rc + radius * np.sin(angle), ds
    (z0, r0), (z1, r1) = curve.start, curve.end
    share = (1 + nodes) / 2
    return z0 + (z1 - z0) * share, r0 + (r1 - r0) * share, (z1 - z0) / 2 * weights


def _middle(strip: Strip, along: Floats) -> tuple[Floats, Floats]:
    """Points (x, z) of the middle line and its normals there, shapes (2, n) [mm]."""
    x, z, heading = np.array([mid_line(strip, s) for s in along.tolist()]).T
    return np.stack([x, z]), np.stack([-np.sin(heading), np.cos(heading)])


def _tensor(xz: Floats, yy: float) -> Tensor:
    """Make the tensor of inertia of the squares and products of x and z, and the square of y."""
    (xx, cross), (_, zz) = xz.tolist()
    return ((yy + zz, 0.0, -cross), (0.0, xx + zz, 0.0), (-cross, 0.0, xx + yy))
