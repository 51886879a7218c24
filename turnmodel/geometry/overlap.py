"""Overlap of two turned regions, by the slabs in which both are a few intervals of r."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from turnmodel.geometry.boolean import intersection
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.region import bounds
from turnmodel.geometry.sweep import slabs

if TYPE_CHECKING:
    from turnmodel.geometry.curve import Box
    from turnmodel.geometry.pieces import Piece
    from turnmodel.geometry.region import Region

__all__ = ["overlap_place", "overlap_volume"]

_BOTH = 3


def overlap_volume(a: Region, b: Region) -> float:
    r"""Measure the volume common to two coaxial turned bodies, [mm3].

    .. math:: V = \pi \int \sum_i (r_{i,\mathrm{out}}^2 - r_{i,\mathrm{in}}^2) \, dz

    over the intervals of r common to both at each station, in closed form along every line and arc.

    Parameters
    ----------
    a, b : Region
        The bodies in one frame

    Returns
    -------
    float
        Volume, [mm3]; zero where they are apart or share only a face

    Notes
    -----
    Exact to rounding. Faces closer than SAME_MM are one face and enclose nothing.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> round(overlap_volume(ring(0, 10, 8), ring(8, 20, 6)) / math.pi, 9)
    18.0
    >>> overlap_volume(ring(0, 10, 8), ring(0, 10, 12, 8))
    0.0
    """
    of_a, of_b = pieces(a.loops, 1), pieces(b.loops, 2)
    if not of_a or not of_b:
        return 0.0
    start = max(min([p.z0 for p in of_a]), min([p.z0 for p in of_b]))
    end = min(max([p.z1 for p in of_a]), max([p.z1 for p in of_b]))
    top = min(max([p.high for p in of_a]), max([p.high for p in of_b]))
    bottom = max(min([p.low for p in of_a]), min([p.low for p in of_b]))
    if start >= end or bottom >= top:
        return 0.0
    total = 0.0
    for z0, z1, layers in slabs([p for p in of_a + of_b if p.low <= top], start=start, end=end):
        inside = 0
        for layer in layers:
            before = inside
            for p in layer:
                inside ^= p.owner
            if inside == _BOTH:
                total -= _square(layer[0], z0, z1)
            elif before == _BOTH:
                total += _square(layer[0], z0, z1)
    return max(0.0, math.pi * total)


def overlap_place(a: Region, b: Region) -> Box | None:
    """Bound the stations and radii that two regions have in common, or None where they have none.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> overlap_place(ring(0, 10, 8), ring(8, 20, 6, 2))
    Box(z0=8, z1=10, r0=1.0, r1=3.0)
    """
    common = intersection(a, b)
    return bounds(common) if common.loops else None


def _square(p: Piece, z0: float, z1: float) -> float:
    """Integrate r^2 over z along a piece: its chord, and the segment of circle beyond the chord."""
    r0, r1 = p.at(z0), p.at(z1)
    dz, dr = z1 - z0, r1 - r0
    under = dz * (r0 * r0 + r0 * r1 + r1 * r1) / 3
    if not p.side:
        return under
    (zc, rc), radius, square = p.center, p.radius, dz * dz + dr * dr
    angle = 2 * math.atan2(square / 2, abs((z0 - zc) * dr - (r0 - rc) * dz))
    return under + p.side * rc * radius * radius * _less_sine(angle) + square * dz / 6


def _less_sine(angle: float) -> float:
    """Tell x - sin x, by its series where the difference would lose digits."""
    if angle > 0.5:
        return angle - math.sin(angle)
    x, total = angle * angle, 1.0
    for k in (156, 110, 72, 42, 20):
        total = 1 - x / k * total
    return angle * x / 6 * total
