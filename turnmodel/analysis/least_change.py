"""The least change of one dimension after which a part keeps a rule, found on the part itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from turnmodel.design.dimensions import changed, dimensions
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.errors import TurnmodelError
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from collections.abc import Callable

    from turnmodel.design.part import Part

__all__ = ["least_change"]

_STEP = 0.01  # mm, as mends are written


def least_change(
    part: Part, feature: str, field: str, sign: int, keeps: Callable[[Turned], bool], guess: float = _STEP
) -> float | None:
    """Find the least change of a dimension after which a part keeps a rule.

    Parameters
    ----------
    part : Part
        The part, which breaks the rule
    feature : str
        Title of the feature
    field : str
        Field of the feature that holds the dimension
    sign : int
        Whether the dimension is to grow, 1, or to shrink, -1, [-]
    keeps : callable
        Whether the part as built keeps the rule
    guess : float
        Change that is tried first, [mm]

    Returns
    -------
    float or None
        The change without its sign, in hundredths, rounded up [mm]; None where no change that can be built
        keeps the rule

    Notes
    -----
    The change is doubled until the rule is kept and then halved back, so that where it is kept, broken and
    kept again, any of the places where it begins to be kept may be found.

    Examples
    --------
    >>> from turnmodel import Part, bore, cylinder
    >>> pin = Part.turned(
    ...     "pin", material="brass", stock="6 mm", outside=[cylinder(5, 20)], from_front=[bore(2, depth=9)]
    ... )
    >>> least_change(pin, "bore (from front 1)", "depth", -1, lambda made: made.inside[0].floor[0].end[0] < 7)
    2.01
    """
    if not isinstance(part, TurnedPart):
        return None
    found = (d for d in dimensions(part) if d.feature == feature and d.field == field)
    dimension = next(found, None)
    if dimension is None:
        return None
    most = dimension.value if sign < 0 else part.length - dimension.value

    def kept(steps: int) -> bool:
        try:
            made = built(changed(part, {dimension: dimension.value + sign * steps * _STEP}))
        except TurnmodelError:
            return False
        return isinstance(made, Turned) and keeps(made)

    low, high = 0, max(1, -int(-(guess - CONTACT_MM) // _STEP))
    while not kept(high):
        if high * _STEP >= most:
            return None
        low, high = high, 2 * high
    middle = high - 1
    while high - low > 1:
        low, high = (low, middle) if kept(middle) else (middle, high)
        middle = (low + high) // 2
    return round(high * _STEP, 9)
