"""Volume, centroid and inertia of what a region sweeps round the axis."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from turnmodel.geometry.curve import Arc

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.geometry.region import Region

__all__ = [
    "Moments",
    "area",
    "combined",
    "moment_flipped",
    "moment_shifted",
    "moments",
    "scaled",
    "surface_area",
]

_LINE: Final = np.polynomial.legendre.leggauss(3)
"""Gauss's points and weights: along a line every integrand here is a polynomial of degree 5 at most, for
which three points are exact."""

_ARC: Final = np.polynomial.legendre.leggauss(24)
"""Along an arc every integrand is a trigonometric polynomial of degree 5 at most, for which 24 points err by
less than 1e-17 of the circle's own figure even over a full turn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moments:
    """What a solid of revolution weighs and how it resists turning, at density one.

    Parameters
    ----------
    volume : float
        Volume, [mm3]
    station : float
        Station of the centroid, which lies on the axis, [mm]
    axial : float
        Second moment about the axis, the integral of r^2, [mm5]
    transverse : float
        Second moment about a line across the axis through the centroid, [mm5]
    """

    volume: float
    station: float
    axial: float
    transverse: float


_NOTHING: Final = Moments(volume=0.0, station=0.0, axial=0.0, transverse=0.0)


def moments(region: Region) -> Moments:
    r"""Integrate over the solid that a region sweeps round the axis.

    .. math::
        V = -\pi \oint r^2 dz, \quad V \bar z = -\pi \oint z r^2 dz, \quad
        J = -\tfrac{\pi}{2} \oint r^4 dz, \quad
        K = \tfrac{J}{2} - \pi \oint (z - \bar z)^2 r^2 dz

    Parameters
    ----------
    region : Region
        Loops in the half-plane

    Returns
    -------
    Moments
        At density one; zero throughout for a region without loops

    Notes
    -----
    Exact to rounding for lines and arcs of any sweep.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> m = moments(ring(10, 90, 10, 6))
    >>> f"{m.volume:.2f} {m.station:.1f}"
    '4021.24 50.0'

    References
    ----------
    Green's theorem and the theorems of Pappus: OpenStax, Calculus Volume 2, modules m53642 and m53649.
    """
    if not region.loops:
        return _NOTHING
    run = _along(region)
    origin = float(run.z.mean())
    z, ring = run.z - origin, -math.pi * run.r**2 * run.dz
    volume = float(ring.sum())
    if volume == 0:
        return _NOTHING
    station = float((z * ring).sum()) / volume
    axial = float((run.r**2 * ring).sum()) / 2
    across = float(((z - station) ** 2 * ring).sum())
    return Moments(volume=volume, station=origin + station, axial=axial, transverse=axial / 2 + across)


def area(region: Region) -> float:
    """Measure the area of a region in the half-plane, [mm2].

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> round(area(ring(0, 10, 8, 6)), 9)
    10.0
    """
    run = _along(region)
    return -float((run.r * run.dz).sum())


def surface_area(region: Region) -> float:
    """Measure the surface that a region's boundary sweeps round the axis, [mm2].

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> round(surface_area(ring(0, 10, 8)) / math.pi, 9)
    112.0
    """
    run = _along(region)
    return 2 * math.pi * float((run.r * run.ds).sum())


def combined(*parts: Moments) -> Moments:
    """Add the moments of bodies that share the axis.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> m = combined(moments(ring(0, 1, 8)), moments(ring(1, 4, 8)))
    >>> round(m.station, 9)
    2.0
    """
    volume = math.fsum(m.volume for m in parts)
    if volume == 0:
        return _NOTHING
    station = math.fsum(m.volume * m.station for m in parts) / volume
    return Moments(
        volume=volume,
        station=station,
        axial=math.fsum(m.axial for m in parts),
        transverse=math.fsum(m.transverse + m.volume * (m.station - station) ** 2 for m in parts),
    )


def scaled(m: Moments, factor: float) -> Moments:
    """Multiply moments: by a density to get masses, by -1 to take a body away.

    Parameters
    ----------
    m : Moments
        Moments at density one
    factor : float
        Density, or any number, [-]
    """
    return Moments(
        volume=m.volume * factor,
        station=m.station,
        axial=m.axial * factor,
        transverse=m.transverse * factor,
    )


def moment_shifted(m: Moments, dz: float) -> Moments:
    """Move a body's moments along the axis by dz [mm]."""
    return Moments(volume=m.volume, station=m.station + dz, axial=m.axial, transverse=m.transverse)


def moment_flipped(m: Moments) -> Moments:
    """Turn a body's moments end for end about station 0."""
    return Moments(volume=m.volume, station=-m.station, axial=m.axial, transverse=m.transverse)


class _Run(NamedTuple):
    """Points along a boundary with their weights in dz and in length."""

    z: NDArray[np.float64]
    r: NDArray[np.float64]
    dz: NDArray[np.float64]
    ds: NDArray[np.float64]


def _along(region: Region) -> _Run:
    """Lay Gauss's points along every curve of a region."""
    curves = [curve for loop in region.loops for curve in loop]
    arcs = [curve for curve in curves if isinstance(curve, Arc)]
    lines = [curve for curve in curves if not isinstance(curve, Arc)]

    nodes, weights = _LINE
    ends = np.array([(*c.start, *c.end) for c in lines], dtype=np.float64).reshape(-1, 4)
    middle, half = (ends[:, 2:] + ends[:, :2]) / 2, (ends[:, 2:] - ends[:, :2]) / 2
    line_z, line_r = (middle[:, i, None] + half[:, i, None] * nodes for i in (0, 1))
    line_dz = half[:, 0, None] * weights
    line_ds = np.hypot(half[:, 0], half[:, 1])[:, None] * weights
    if not arcs:
        return _Run(line_z.ravel(), line_r.ravel(), line_dz.ravel(), line_ds.ravel())

    nodes, weights = _ARC
    table = [(*c.start, *c.end, c.radius, c.sweep / 2) for c in arcs]
    z0, r0, z1, r1, radius, half_sweep = np.array(table, dtype=np.float64).T[:, :, None]
    # From the chord, not the centre: a flat arc's centre is far away and would cost digits.
    chord = np.hypot(z1 - z0, r1 - r0)
    tz, tr, turn = (z1 - z0) / chord, (r1 - r0) / chord, np.sign(half_sweep)
    nz, nr = turn * tr, -turn * tz
    full, angle = np.abs(half_sweep), np.abs(half_sweep) * nodes
    sin, cos = radius * np.sin(angle), radius * np.cos(angle)
    bulge = 2 * radius * np.sin((full + angle) / 2) * np.sin((full - angle) / 2)
    arc_z, arc_r = (z0 + z1) / 2 + sin * tz + bulge * nz, (r0 + r1) / 2 + sin * tr + bulge * nr
    arc_dz = (cos * tz - sin * nz) * full * weights
    arc_ds = radius * full * weights
    return _Run(
        np.concatenate([line_z.ravel(), arc_z.ravel()]),
        np.concatenate([line_r.ravel(), arc_r.ravel()]),
        np.concatenate([line_dz.ravel(), arc_dz.ravel()]),
        np.concatenate([line_ds.ravel(), arc_ds.ravel()]),
    )
