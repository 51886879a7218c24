"""Which values the parameters of a script are given: ranges, lists, grids, samples."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Any, Final

from turnmodel.errors import OptionError, nearest

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

__all__ = ["MOST", "Axis", "axes", "grid", "samples"]

MOST: Final = 100_000
"""The most variants of one run; house choice: an hour of checking on two cores."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """A parameter and the values it takes.

    Parameters
    ----------
    name : str
        The parameter
    values : tuple of str
        Its values, as the script would be given them; empty for a bare range
    low, high : float or None
        Ends of the range; None for a list, [-]
    whole : bool
        Whether the parameter is a whole number
    """

    name: str
    values: tuple[str, ...]
    low: float | None
    high: float | None
    whole: bool


def axes(given: Sequence[str], parameters: Mapping[str, Any], option: str = "--over") -> tuple[Axis, ...]:
    """Read NAME=A:B:STEP, NAME=A:B and NAME=V1,V2.

    Parameters
    ----------
    given : sequence of str
        The texts
    parameters : mapping
        The script's parameters with their defaults
    option : str
        The option they came by, for messages

    Returns
    -------
    tuple of Axis
        In the order given

    Raises
    ------
    OptionError
        At the first that is wrong

    Examples
    --------
    >>> axes(["wall=0.7:1.0:0.1"], {"wall": 0.9})[0].values
    ('0.7', '0.8', '0.9', '1.0')
    """
    found: list[Axis] = []
    for text in given:
        name, equals, spread = (piece.strip() for piece in text.partition("="))
        if not (equals and name and spread):
            raise OptionError(
                f"{option} {text}: must be NAME=FROM:TO:STEP or NAME=VALUE,VALUE, as cap_wall=0.7:1.5:0.1"
            )
        if name not in parameters:
            near = nearest(name, parameters)
            hint = f"did you mean {near!r}?" if near else f"there is {', '.join(parameters) or 'none'}"
            raise OptionError(f"{option} {name}: the script has no parameter {name!r}; {hint}")
        if any(axis.name == name for axis in found):
            raise OptionError(f"{option} {name}: given twice")
        found.append(_axis(f"{option} {text}", name, spread, parameters[name]))
    return tuple(found)


def _axis(said: str, name: str, spread: str, default: Any) -> Axis:
    """Read one spread of values."""
    whole = isinstance(default, int) and not isinstance(default, bool)
    if ":" not in spread:
        values = tuple(value.strip() for value in spread.split(","))
        if "" in values:
            raise OptionError(f"{said}: a value is missing")
        if isinstance(default, int | float) and not isinstance(default, bool):
            for value in values:
                if _number(value) is None or (whole and not value.lstrip("+-").isdecimal()):
                    kind = "whole number" if whole else "number"
                    raise OptionError(f"{said}: {value} is no {kind}, such as {default!r}")
        for k, value in enumerate(values):
            if value in values[:k]:
                raise OptionError(f"{said}: {value} stands there twice")
        return Axis(name=name, values=values, low=None, high=None, whole=whole)
    if isinstance(default, bool) or not isinstance(default, int | float):
        raise OptionError(f"{said}: {name} is no number; write {name}=VALUE,VALUE")
    numbers = [n for piece in spread.split(":") if (n := _number(piece)) is not None]
    if len(numbers) != spread.count(":") + 1 or len(numbers) not in (2, 3):
        raise OptionError(f"{said}: must be FROM:TO:STEP in numbers, such as 0.7:1.5:0.1")
    low, high = numbers[:2]
    step = numbers[2] if len(numbers) == 3 else None
    if low >= high:
        raise OptionError(f"{said}: runs upwards; did you mean {high}:{low}?")
    if step is not None and step <= 0:
        raise OptionError(f"{said}: the step must be more than 0")
    if step is not None and (high - low) / step > MOST:
        raise OptionError(f"{said}: is more than {MOST} values; take a longer step")
    if whole and any(n != int(n) for n in numbers):
        raise OptionError(f"{said}: {name} is a whole number")
    values = () if step is None else _steps(low, high, step)
    return Axis(name=name, values=values, low=float(low), high=float(high), whole=whole)


def _number(text: str) -> Decimal | None:
    """Read a finite decimal number, so that steps of 0.1 stay steps of 0.1."""
    try:
        value = Decimal(text.strip())
    except InvalidOperation:
        return None
    return value if value.is_finite() and math.isfinite(float(value)) else None


def _steps(low: Decimal, high: Decimal, step: Decimal) -> tuple[str, ...]:
    """Count from low to high, the end included where a step meets it."""
    return tuple(str(low + k * step) for k in range(int((high - low) / step) + 1))


def grid(spread: Sequence[Axis]) -> tuple[dict[str, str], ...]:
    """Combine every value of each axis with every value of the others, the last axis fastest.

    Raises
    ------
    OptionError
        If an axis is a bare range, or there are too many variants

    Examples
    --------
    >>> found = grid(axes(["a=1,2", "b=x,y"], {"a": 1.0, "b": "x"}))
    >>> [tuple(v.values()) for v in found]
    [('1', 'x'), ('1', 'y'), ('2', 'x'), ('2', 'y')]
    """
    for axis in spread:
        if not axis.values:
            raise OptionError(
                f"--over {axis.name}={axis.low:g}:{axis.high:g}: a range takes a step, or --samples N"
            )
    count = math.prod(len(axis.values) for axis in spread)
    if count > MOST:
        raise OptionError(f"--over: {count} variants are more than {MOST}; take longer steps, or --samples N")
    names = [axis.name for axis in spread]
    return tuple(
        dict(zip(names, values, strict=True)) for values in itertools.product(*(a.values for a in spread))
    )


def samples(spread: Sequence[Axis], count: int, seed: int = 0) -> tuple[dict[str, str], ...]:
    """Spread variants evenly over ranges by a Latin hypercube.

    Parameters
    ----------
    spread : sequence of Axis
        Ranges, from their least to their greatest value, and lists
    count : int
        How many variants, [-]
    seed : int
        Start of the chance: the same gives the same variants, [-]

    Returns
    -------
    tuple of dict
        Parameter's name to its value, as the script would be given it

    Raises
    ------
    OptionError
        If there are none or too many

    Notes
    -----
    Each range is parted into as many equal strata as there are variants, and each holds one of them [1]_.

    References
    ----------
    .. [1] McKay, Beckman and Conover, A comparison of three methods for selecting values of input variables
       in the analysis of output from a computer code, Technometrics 21, 1979.
    """
    if not 1 <= count <= MOST:
        raise OptionError(f"--samples {count}: must be 1 to {MOST}")
    from scipy.stats import qmc

    points = qmc.LatinHypercube(d=len(spread), rng=seed).random(count)
    return tuple(
        {axis.name: _placed(axis, float(share)) for axis, share in zip(spread, point, strict=True)}
        for point in points
    )


def _placed(axis: Axis, share: float) -> str:
    """Value at a share of an axis, 0 to 1."""
    if axis.low is None or axis.high is None:
        return axis.values[int(share * len(axis.values))]
    if axis.whole:
        return str(int(axis.low) + int(share * (axis.high - axis.low + 1)))
    return repr(axis.low + share * (axis.high - axis.low))
