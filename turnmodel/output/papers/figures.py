"""Sizes as they are written on a drawing, in millimetres or inches."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from turnmodel.catalog.fits import general_tolerance
from turnmodel.design.features.dimension import Callout, Kind
from turnmodel.units import inch

if TYPE_CHECKING:
    from turnmodel.design.part import Part

__all__ = ["Unit", "called", "general_note", "in_degrees", "part_unit", "size"]

_ROUNDING = 1e-6
"""Distance [units in the last place] from a written figure that is rounding alone."""


class Unit(StrEnum):
    """The unit of a drawing's lengths."""

    MM = "mm"
    INCH = "in"


def part_unit(part: Part) -> Unit:
    """Choose the unit of a part's drawing: inches where its bar is named in inches.

    Examples
    --------
    >>> from turnmodel import Part, cylinder
    >>> part_unit(Part.turned("pin", material="brass", stock="3/8 in", outside=[cylinder(5, 20)])).value
    'in'
    """
    stock = getattr(part, "stock", None)
    return Unit.INCH if stock is not None and not str(stock.size).strip().endswith("mm") else Unit.MM


def size(length: float, unit: Unit) -> str:
    """Write a length.

    Parameters
    ----------
    length : float
        The length, [mm]
    unit : Unit
        What it is written in

    Returns
    -------
    str
        In millimetres to the hundredth without idle zeros, in inches to the thousandth without a nought in
        front; to one place more where the size is a whole number of those

    Examples
    --------
    >>> size(12.0, Unit.MM), size(7.015, Unit.MM), size(41.2345, Unit.MM), size(13.462, Unit.INCH)
    ('12', '7.015', '41.23', '.530')
    """
    value, places = (length, 2) if unit is Unit.MM else (length / inch, 3)
    finer = value * 10 ** (places + 1)
    if abs(finer - round(finer)) < _ROUNDING and round(finer) % 10:
        places += 1
    text = f"{value:.{places}f}"
    if unit is Unit.MM:
        text = text.rstrip("0").rstrip(".") if "." in text else text
        return "0" if text == "-0" else text
    return text.removeprefix("0") if value >= 0 else text.replace("-0.", "-.")


def in_degrees(angle: float) -> str:
    """Write an angle [degrees] to its tenth, without idle noughts.

    Examples
    --------
    >>> in_degrees(45.0), in_degrees(15.1234)
    ('45', '15.1')
    """
    return f"{angle:.1f}".removesuffix(".0")


def called(callout: Callout, unit: Unit) -> str:
    """Write a callout.

    Examples
    --------
    >>> called(Callout(kind=Kind.DIAMETER, value=7, over=((0, 3.5), (9, 3.5)), words="⌀{0}"), Unit.MM)
    '⌀7'
    """
    if callout.kind in (Kind.ANGLE, Kind.HALF_ANGLE):
        first = in_degrees(callout.value)
    else:
        first = size(callout.value, unit)
    return callout.words.format(first, *(size(length, unit) for length in callout.also))


def general_note(unit: Unit) -> str:
    """Write the general tolerances of ISO 2768-1, class m, up to the lengths that a small lathe turns."""
    steps = [(3.0, 6.0), (6.0, 30.0), (30.0, 120.0)]
    told = [f"to {size(top, unit)} ±{size(general_tolerance(top), unit)}" for _, top in steps]
    return f"ISO 2768-m: {', '.join(told)}"
