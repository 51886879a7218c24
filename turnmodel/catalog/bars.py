"""Round bar by its size."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Final

from turnmodel.catalog.table import rows, source_of
from turnmodel.errors import BadText, BadValue
from turnmodel.source import Basis, Source
from turnmodel.units import in_inches, in_mm, length

__all__ = ["Bar", "bar_size", "standard_bars"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A round bar.

    Parameters
    ----------
    name : str
        Size as the trade writes it
    diameter : float
        Diameter, [mm]
    standard : bool
        Whether it is a usual round
    source : Source
        Where the size is listed
    """

    name: str
    diameter: float
    standard: bool
    source: Source


@functools.lru_cache(maxsize=1024)
def bar_size(text: str) -> Bar:
    """Find a round bar by its diameter; a diameter nobody stocks is made a bar that is not standard.

    Parameters
    ----------
    text : str
        Such as ``"12 mm"``, ``"1/2 in"``

    Returns
    -------
    Bar
        The bar

    Raises
    ------
    BadText
        If the text is not a length.
    BadValue
        If the diameter is zero or above 300 mm.

    Notes
    -----
    Usual rounds are 2 to 50 mm and 1/16 to 2 in.

    Examples
    --------
    >>> bar_size("1/2").name, bar_size("12.3 mm").standard
    ('1/2 in', False)
    """
    try:
        diameter = length(text)
    except BadText as fault:
        raise BadText("bar", text, fault.rule) from None
    if not 0 < diameter <= _LARGEST:
        raise BadValue("bar", diameter, "mm", f"a bar here is above 0 and up to {_LARGEST:g} mm in diameter")
    for bar in standard_bars():
        if abs(bar.diameter - diameter) < _SAME_SIZE:
            return bar
    metric = text.strip().casefold().endswith(("mm", "um"))
    return Bar(
        name=in_mm(diameter) if metric else in_inches(diameter),
        diameter=diameter,
        standard=False,
        source=_AS_WRITTEN,
    )


@functools.cache
def standard_bars() -> tuple[Bar, ...]:
    """List the usual rounds, by diameter.

    Examples
    --------
    >>> [b.name for b in standard_bars() if 12 <= b.diameter < 13]
    ['12 mm', '1/2 in']
    """
    found = (
        Bar(name=row["size"], diameter=length(row["size"]), standard=True, source=source_of(row))
        for row in rows("bars")
    )
    return tuple(sorted(found, key=lambda bar: bar.diameter))


_LARGEST: Final = 300.0
"""Largest diameter [mm]: past any small lathe's swing."""
_SAME_SIZE: Final = 1e-6
"""Diameters [mm] closer than this are one size: rounding, far under a bar's tolerance."""
_AS_WRITTEN: Final = Source(
    work="house choice", place="a diameter as the script gives it, no usual round", basis=Basis.HOUSE
)
