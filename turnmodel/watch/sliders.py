"""The parameters of a script as sliders and fields."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from turnmodel.watch.exchange import Kind, Parameter

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["parameters", "span"]

_KINDS: Final[Mapping[type, Kind]] = {bool: "truth", int: "whole", float: "number", str: "text"}

_LEAST, _MOST = 1e-6, 1e6
"""Sizes between which a number has a slider, [-]; house choice: beyond, a step says nothing."""


def parameters(
    defaults: Mapping[str, Any], values: Mapping[str, Any], unwritable: Mapping[str, str]
) -> tuple[Parameter, ...]:
    """Lay the parameters of a script out; one that is neither number, text nor truth is left to the script.

    Parameters
    ----------
    defaults, values : mapping
        Parameter's name to what the script says, and to what the object was built with, [-]
    unwritable : mapping
        Parameter's name to the reason why its default cannot be written over

    Returns
    -------
    tuple of Parameter
        In the order of the script
    """
    found = []
    for name, default in defaults.items():
        kind = _KINDS.get(type(default))
        numeric = kind in ("number", "whole")
        if kind is None or (numeric and not math.isfinite(default)):
            continue
        slides = numeric and (default == 0 or _LEAST <= abs(default) <= _MOST)
        low, high, step = span(default) if slides else (None, None, None)
        found.append(
            Parameter(
                name=name,
                kind=kind,
                value=values[name],
                default=default,
                low=low,
                high=high,
                step=step,
                unwritable=unwritable.get(name),
            )
        )
    return tuple(found)


def span(default: float) -> tuple[float, float, float]:
    """Choose the ends and the step of a slider from what the script says: half of it to half as much again.

    Parameters
    ----------
    default : float
        What the script says, [-]

    Returns
    -------
    tuple of 3 float
        Low, high, step; the ends are whole steps, some hundred of them apart, [-]

    Examples
    --------
    >>> span(16.0), span(0.9), span(0.0), span(3)
    ((8.0, 24.0, 0.1), (0.45, 1.35, 0.005), (-1.0, 1.0, 0.02), (1, 5, 1))
    """
    reach = abs(default) / 2 or 1.0
    if isinstance(default, int):
        whole = math.ceil(reach)
        return default - whole, default + whole, 1
    step = _round_down(2 * reach / 100)
    digits = max(0, 1 - math.floor(math.log10(step)))
    low, high = (round(round(end / step) * step, digits) for end in (default - reach, default + reach))
    return low, high, step


def _round_down(step: float) -> float:
    """Round down to 1, 2 or 5 of a decimal place."""
    place = 10.0 ** math.floor(math.log10(step))
    lead = max(lead for lead in (1, 2, 5) if lead * place <= step * (1 + 1e-9))
    return float(f"{lead}e{math.floor(math.log10(step))}")
