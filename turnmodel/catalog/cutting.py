"""Speeds of cutting."""

from __future__ import annotations

import math

from turnmodel.errors import BadValue

__all__ = ["spindle_speed"]


def spindle_speed(surface_speed: float, diameter: float) -> float:
    r"""Turn a surface speed into the speed of the spindle.

    .. math:: n = \frac{1000 \, v}{\pi d}

    Parameters
    ----------
    surface_speed : float
        Surface speed, [m/min]
    diameter : float
        Diameter of the work, or of the drill, [mm]

    Returns
    -------
    float
        Spindle speed, [rev/min]

    Raises
    ------
    BadValue
        If speed or diameter is not a positive number.

    Examples
    --------
    >>> round(spindle_speed(45.0, 12.0))
    1194
    """
    for what, given, unit in (("surface speed", surface_speed, "m/min"), ("diameter", diameter, "mm")):
        if not (math.isfinite(given) and given > 0):
            raise BadValue(what, given, unit, "a cut has a speed and a diameter above zero")
    return 1000 * surface_speed / (math.pi * diameter)
