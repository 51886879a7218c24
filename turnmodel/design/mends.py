"""Sizes that a mend advises, rounded to the side on which the rule is kept."""

from __future__ import annotations

import math
from typing import Final

__all__ = ["at_least", "at_most"]

_ROUNDING: Final = 1e-6
"""Steps [-] that a value may be past a whole one by rounding alone."""


def at_least(value: float, step: float = 0.01) -> str:
    """Write a size that must not be smaller, rounded up.

    Parameters
    ----------
    value : float
        The size, [mm]
    step : float
        What it is rounded to, [mm]

    Returns
    -------
    str
        The size without idle zeros

    Examples
    --------
    >>> at_least(11.775), at_least(12.01, 0.1), at_least(3.0)
    ('11.78', '12.1', '3')
    """
    return f"{round(math.ceil(value / step - _ROUNDING) * step, 9):.12g}"


def at_most(value: float, step: float = 0.01) -> str:
    """Write a size that must not be larger, rounded down.

    Parameters
    ----------
    value : float
        The size, [mm]
    step : float
        What it is rounded to, [mm]

    Returns
    -------
    str
        The size without idle zeros

    Examples
    --------
    >>> at_most(11.775), at_most(12.09, 0.1), at_most(3.0)
    ('11.77', '12', '3')
    """
    return f"{round(math.floor(value / step + _ROUNDING) * step, 9):.12g}"
