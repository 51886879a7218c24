"""A strip of even thickness: a flat outline bent along its length."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.geometry.moments import area

if TYPE_CHECKING:
    from turnmodel.geometry.region import Region

__all__ = ["Bent", "Strip", "mid_line", "strip_centroid", "strip_volume", "width_at"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """A stretch of the side view: its length along the middle of the thickness [mm], its turn [degrees].

    A turn above zero bends towards the upper side; zero is straight.
    """

    length: float
    turn: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A strip in its own frame: x along it from its start, y across, z up from its under side.

    ``half`` is the half of the flat outline with y >= 0, with the distance along for z and y for r; ``holes``
    are (distance along, diameter) on the centre line; ``side`` covers the whole length. All in [mm].
    """

    thickness: float
    half: Region
    holes: tuple[tuple[float, float], ...]
    side: tuple[Bent, ...]


def mid_line(strip: Strip, along: float) -> tuple[float, float, float]:
    """Follow the middle of the thickness to a distance along it.

    Parameters
    ----------
    strip : Strip
        The strip
    along : float
        Distance along the middle, [mm]

    Returns
    -------
    tuple of float
        x and z there [mm], and the direction's angle to the x axis [rad]
    """
    x, z, heading = 0.0, strip.thickness / 2, 0.0
    left = along
    for k, piece in enumerate(strip.side):
        step = left if k == len(strip.side) - 1 else min(left, piece.length)
        if piece.turn == 0:
            x, z = x + step * math.cos(heading), z + step * math.sin(heading)
        else:
            bend = math.radians(piece.turn)
            radius = piece.length / bend
            after = heading + bend * step / piece.length
            x += radius * (math.sin(after) - math.sin(heading))
            z -= radius * (math.cos(after) - math.cos(heading))
            heading = after
        left -= step
        if left <= 0:
            break
    return x, z, heading


def width_at(strip: Strip, along: float) -> float:
    """Width of the flat outline at a distance along it, [mm]."""
    half = 0.0
    for loop in strip.half.loops:
        for c in loop:
            (z0, r0), (z1, r1) = c.start, c.end
            if min(z0, z1) <= along <= max(z0, z1) and z0 != z1:
                if hasattr(c, "center"):
                    away = c.radius**2 - (along - c.center[0]) ** 2
                    half = max(half, c.center[1] + math.sqrt(max(away, 0.0)))
                else:
                    half = max(half, r0 + (r1 - r0) * (along - z0) / (z1 - z0))
    return 2 * half


def strip_volume(strip: Strip) -> float:
    """Volume [mm3]: bending about the middle of the thickness keeps it."""
    holes = sum(math.pi * d**2 / 4 for _, d in strip.holes)
    return strip.thickness * (2 * area(strip.half) - holes)


def strip_centroid(strip: Strip) -> tuple[float, float, float]:
    r"""Centroid in the strip's frame, [mm].

    .. math:: \bar p = \frac 1 V \int w(s) \left( p(s)\,t + n(s)\,\kappa(s)\,\frac{t^3}{12} \right) ds

    with the middle line p, its normal n and its curvature kappa. By Gauss on each stretch between the ends of
    outline pieces and bends: exact on straight ones, to rounding on the others.
    """
    t = strip.thickness
    marks = {c.start[0] for loop in strip.half.loops for c in loop}
    stretches, at = [], 0.0
    for piece in strip.side:
        marks.add(at)
        stretches.append((at, at + piece.length, math.radians(piece.turn) / piece.length))
        at += piece.length
    stations = sorted(m for m in {*marks, at} if 0 <= m <= at)
    points, weights = np.polynomial.legendre.leggauss(16)
    total = np.zeros(2)
    for a, b in zip(stations, stations[1:], strict=False):
        bend = next(k for s0, s1, k in stretches if s0 - 1e-12 <= (a + b) / 2 <= s1 + 1e-12)
        for p, w in zip(points, weights, strict=True):
            s = (a + b) / 2 + p * (b - a) / 2
            total += w * (b - a) / 2 * width_at(strip, s) * _slice(strip, s, bend)
    for s, d in strip.holes:
        x, z, _ = mid_line(strip, s)
        total -= math.pi * d**2 / 4 * t * np.array([x, z])
    x, z = total / strip_volume(strip)
    return (float(x), 0.0, float(z))


def _slice(strip: Strip, s: float, bend: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """First moment of a slice of unit width, [mm2]."""
    t = strip.thickness
    x, z, heading = mid_line(strip, s)
    tilt = -bend * t**3 / 12  # the inner side of a bend is the shorter
    return np.array([x * t - tilt * math.sin(heading), z * t + tilt * math.cos(heading)])
