"""A strip held at one end and lifted at the other: force and stress."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Lifted", "lifted"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifted:
    """What a strip that is lifted presses with [N], and the greatest stress in it [MPa]."""

    force: float
    stress: float


def lifted(widths: Sequence[float], length: float, thickness: float, modulus: float, lift: float) -> Lifted:
    r"""Lift the free end of a strip.

    .. math::
        \delta = \frac{12 F}{E t^3} \int_0^L \frac{x^2}{b(x)} dx, \quad
        \sigma = \max_x \frac{6 F x}{b(x) t^2}

    Parameters
    ----------
    widths : sequence of float
        Widths at even distances from where it is lifted to where it is held, [mm]
    length : float
        From where it is lifted to where it is held, [mm]
    thickness : float
        Thickness, [mm]
    modulus : float
        Young's modulus, [GPa]
    lift : float
        How far it is lifted, [mm]

    Returns
    -------
    Lifted
        Force and greatest stress

    Notes
    -----
    For lifts up to a tenth of the length; widths between those given are taken as straight. A strip ten
    times as wide as it is thick is up to a tenth stiffer, since it cannot curl across.

    Examples
    --------
    A steel strip 35 mm long, 6 mm wide and 0.5 mm thick, lifted by 1 mm:

    >>> found = lifted([6.0, 6.0], 35.0, 0.5, 205.0, 1.0)
    >>> round(found.force, 3), round(found.stress, 1)
    (0.897, 125.5)

    References
    ----------
    .. [1] Oberg et al., Machinery's Handbook, 27th edition, flat springs.
    """
    step = length / (len(widths) - 1)
    total = 0.0
    for k, (b0, b1) in enumerate(pairwise(widths)):
        total += _integral(k * step, (k + 1) * step, b0, b1)
    force = lift * 1000 * modulus * thickness**3 / (12 * total)
    worst = max(k * step / b for k, b in enumerate(widths))
    return Lifted(force=force, stress=6 * force * worst / thickness**2)


def _integral(x0: float, x1: float, b0: float, b1: float) -> float:
    """Integrate x^2 over a width that goes evenly from b0 to b1."""
    slope = (b1 - b0) / (x1 - x0)
    if abs(b1 - b0) < 1e-6 * b0:
        return (x1**3 - x0**3) / (1.5 * (b0 + b1))
    # x^2 / (a + s x) divides into x / s - a / s^2 and a rest that gives the logarithm
    a = b0 - slope * x0
    return (x1**2 - x0**2) / (2 * slope) - a * (x1 - x0) / slope**2 + a**2 / slope**3 * math.log(b1 / b0)
