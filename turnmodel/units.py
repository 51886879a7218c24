"""Lengths as the trade writes them: millimetres, inches and their fractions, thous."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from turnmodel.errors import BadText, BadValue

__all__ = ["in_inches", "in_mm", "inch", "length"]

inch: Final = 25.4
"""One inch [mm], exact by the international yard and pound agreement of 1959."""

_MM: Final = {
    "mm": Fraction(1),
    "um": Fraction(1, 1000),
    "in": Fraction(254, 10),
    "in.": Fraction(254, 10),
    "inch": Fraction(254, 10),
    "inches": Fraction(254, 10),
    '"': Fraction(254, 10),
    "″": Fraction(254, 10),
    "thou": Fraction(254, 10_000),
}

_LENGTH: Final = re.compile(
    r"""(?: (?:(?P<whole>\d+)[ -]+)? (?P<top>\d+) \s*/\s* (?P<bottom>\d+)
        | (?P<decimal>\d+\.?\d*|\.\d+) )
        \s* (?P<unit>[^\W\d_]+\.?|["″])?""",
    re.VERBOSE | re.ASCII,
)
_LONGEST: Final = 40
"""Letters of the longest text read: enough for any length, too few for a number that overflows."""
_UNIT_NAMES: Final = "mm, um, in or thou"


@lru_cache(maxsize=1024)
def length(text: str) -> float:
    """Read a length written as the trade writes it.

    Parameters
    ----------
    text : str
        A number or a fraction with its unit: mm, um, in (or the inch mark), thou; a bare fraction is inches

    Returns
    -------
    float
        The length, rounded once from the exact fraction, [mm]

    Raises
    ------
    BadText
        If the text is not a length, is negative, or is a bare decimal that could be either unit.

    Examples
    --------
    >>> length("12 mm"), length("3/8"), length('1-1/2"'), length("10 thou")
    (12.0, 9.525, 38.1, 0.254)
    >>> length("9.5")
    Traceback (most recent call last):
    ...
    turnmodel.errors.BadText: cannot read length '9.5': write '9.5 mm' or '9.5 in', it may be either
    """
    stripped = text.strip()
    if stripped.startswith(("-", "−")):
        raise BadText("length", text, "a length is not negative")
    if "," in stripped:
        raise BadText("length", text, "write the decimal sign as a point")
    found = _LENGTH.fullmatch(stripped.replace("µ", "u").replace("μ", "u"))
    if not found or len(stripped) > _LONGEST:
        raise BadText("length", text, f"write a number or a fraction and its unit, {_UNIT_NAMES}")
    number = _number(text, found)
    unit = found["unit"]
    if unit is None and found["decimal"]:
        raise BadText("length", text, f"write '{stripped} mm' or '{stripped} in', it may be either")
    try:
        scale = _MM[(unit or "in").casefold()]
    except KeyError:
        raise BadText("length", text, f"the unit is {_UNIT_NAMES}") from None
    return float(number * scale)


def _number(text: str, found: re.Match[str]) -> Fraction:
    """Read the number of a matched length exactly."""
    if found["decimal"]:
        return Fraction(found["decimal"])
    top, bottom = int(found["top"]), int(found["bottom"])
    if bottom == 0:
        raise BadText("length", text, "a fraction has a denominator above zero")
    if found["whole"] and top >= bottom:
        raise BadText("length", text, "the fraction after a whole number is less than one")
    return int(found["whole"] or 0) + Fraction(top, bottom)


def in_mm(value: float) -> str:
    """Write a length in millimetres, to the micrometre and without idle zeros.

    Parameters
    ----------
    value : float
        Length, [mm]

    Returns
    -------
    str
        Number and unit

    Examples
    --------
    >>> in_mm(9.525), in_mm(12.0), in_mm(0.33333)
    ('9.525 mm', '12 mm', '0.333 mm')
    """
    return f"{_trimmed(value, 3)} mm"


def in_inches(value: float, largest_denominator: int = 64) -> str:
    """Write a length in inches: as a fraction where one is within half a thou, else in thous.

    Parameters
    ----------
    value : float
        Length, [mm]
    largest_denominator : int
        Finest division of the rule, a power of two, [-]

    Returns
    -------
    str
        Number and unit

    Raises
    ------
    BadValue
        If the finest division is not a power of two.

    Examples
    --------
    >>> in_inches(9.525), in_inches(36.5125), in_inches(10.0)
    ('3/8 in', '1 7/16 in', '0.394 in')
    """
    if largest_denominator < 1 or largest_denominator & (largest_denominator - 1):
        raise BadValue(
            "finest division",
            largest_denominator,
            "-",
            "a rule divides the inch by a power of two",
            "take 64",
        )
    inches = value / inch
    nearest = Fraction(round(inches * largest_denominator), largest_denominator)
    if not nearest or abs(inches - nearest) > 0.0005:
        return f"{inches:.3f} in"
    sign = "-" if nearest < 0 else ""
    whole, rest = divmod(abs(nearest), 1)
    return f"{sign}{' '.join(str(n) for n in (whole, rest) if n)} in"


def _trimmed(value: float, decimals: int) -> str:
    """Write a number without idle zeros and without a minus before zero."""
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
