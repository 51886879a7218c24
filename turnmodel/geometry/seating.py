"""How far apart two faces round one axis stand when they first touch."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from turnmodel.geometry.curve import Curve, Line
from turnmodel.geometry.tolerance import SAME_MM

__all__ = ["Seat", "radial_range", "stand_off"]

_STEPS = 64  # intervals searched for a touching point between two arcs; each is then narrowed by halving


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A face round the axis: its curves, the station its height counts from [mm], and its outward sense."""

    curves: tuple[Curve, ...]
    station: float
    outward: float


def radial_range(seat: Seat) -> tuple[float, float]:
    """Least and greatest radius of a face, [mm]."""
    radii = [p[1] for c in seat.curves for p in (c.start, c.end)]
    return min(radii), max(radii)


def stand_off(a: Seat, b: Seat) -> float | None:
    r"""Tell how far apart the stations of two opposed faces are when the faces first touch.

    .. math:: o = \max_r \left( h_a(r) + h_b(r) \right)

    with the heights of both faces over their stations, each counted outwards.

    Parameters
    ----------
    a, b : Seat
        Two faces of which each looks at the other

    Returns
    -------
    float or None
        Distance between the two stations along the axis, [mm]; None where the faces share no radius

    Examples
    --------
    A flat shoulder from 2 to 6 mm diameter on the mouth of a 90 degree cone of 4 mm:

    >>> flat = Seat(curves=(Line(start=(0, 1), end=(0, 3)),), station=0.0, outward=-1.0)
    >>> cone = Seat(curves=(Line(start=(9, 2), end=(7, 0)),), station=9.0, outward=1.0)
    >>> stand_off(flat, cone)
    0.0
    """
    best: float | None = None
    for one in a.curves:
        for other in b.curves:
            low = max(min(one.start[1], one.end[1]), min(other.start[1], other.end[1]))
            high = min(max(one.start[1], one.end[1]), max(other.start[1], other.end[1]))
            if high - low < SAME_MM:
                continue
            f, g = _height(one, a), _height(other, b)
            heights = (f(r) + g(r) for r in _candidates(one, other, low, high, lambda r, f=f, g=g: f(r) + g(r)))
            best = max(heights) if best is None else max(best, *heights)
    return best


def _height(curve: Curve, seat: Seat) -> Callable[[float], float]:
    """Height of a curve over its seat's station as a function of the radius, outwards [mm]."""
    if isinstance(curve, Line):
        (z0, r0), (z1, r1) = curve.start, curve.end
        return lambda r: seat.outward * (z0 + (z1 - z0) * (r - r0) / (r1 - r0) - seat.station)
    cz, cr = curve.center
    ends = (curve.start[0] + curve.end[0]) / 2
    side = 1.0 if ends > cz or (ends == cz and seat.outward > 0) else -1.0
    return lambda r: seat.outward * (
        cz + side * math.sqrt(max(curve.radius**2 - (r - cr) ** 2, 0.0)) - seat.station
    )


def _candidates(
    one: Curve, other: Curve, low: float, high: float, total: Callable[[float], float]
) -> Sequence[float]:
    """Radii at which the sum of two heights can be greatest."""
    if isinstance(one, Line) and isinstance(other, Line):
        return (low, high)
    step = (high - low) / _STEPS
    radii = [low + k * step for k in range(_STEPS)] + [high]
    peak = max(range(len(radii)), key=lambda k: total(radii[k]))
    a, b = radii[max(peak - 1, 0)], radii[min(peak + 1, _STEPS)]
    for _ in range(80):
        third = (b - a) / 3
        if total(a + third) < total(b - third):
            a += third
        else:
            b -= third
    return (low, (a + b) / 2, high)
