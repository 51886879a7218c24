"""Lengths as the cut sheet writes them: bare numbers of one unit, told once on the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from turnmodel.units import inch

__all__ = ["Lengths", "Unit"]

Unit = Literal["mm", "in"]
"""Unit of a sheet."""


@dataclass(frozen=True, slots=True)
class Lengths:
    """Writes the lengths of a sheet.

    Parameters
    ----------
    unit : {"mm", "in"}
        Unit of the sheet

    Examples
    --------
    >>> say = Lengths("mm")
    >>> say(7.0), say(24.6789), say.fine(7.015), say.rough(3.14)
    ('7.00', '24.68', '7.015', '3.1')
    >>> Lengths("in")(9.525)
    '.375'
    """

    unit: Unit = "mm"

    def __call__(self, value: float) -> str:
        """Write a length [mm] as a rule or a dial is read: to 0.01 mm, or to 0.001 in."""
        return self._to(value, 3 if self.unit == "in" else 2)

    def fine(self, value: float) -> str:
        """Write a diameter [mm] as a micrometer is read, where it is given so fine."""
        digits = 4 if self.unit == "in" else 3
        return self._to(value, digits).removesuffix("0")

    def rough(self, value: float) -> str:
        """Write a length [mm] that nothing fits: to 0.1 mm, or to 0.01 in."""
        return self._to(value, 2 if self.unit == "in" else 1)

    def _to(self, value: float, digits: int) -> str:
        text = f"{value / inch if self.unit == 'in' else value:.{digits}f}"
        return text.removeprefix("0") if self.unit == "in" else text
