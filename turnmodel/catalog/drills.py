"""Twist drills by their names: metric, fractional, number and letter sizes, with their lengths."""

from __future__ import annotations

import functools
import math
import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.table import rows, source_of
from turnmodel.errors import BadText, BadValue, TurnmodelError, UnknownName
from turnmodel.source import Basis, Source
from turnmodel.units import length

if TYPE_CHECKING:
    from collections.abc import Collection

__all__ = ["Drill", "drill", "nearest_drills", "standard_drills"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """A twist drill.

    Parameters
    ----------
    name : str
        Its name in the trade, as ``"2.5 mm"``, ``"#29"``, ``"F"``, ``"7/32 in"``
    diameter : float
        Diameter, [mm]
    flute : float
        Length of the flutes: about the deepest hole, [mm]
    overall : float
        Overall length, metric to the point's tip, inch to its shoulder, [mm]
    point_angle : float
        Included angle of the point, [degrees]
    kind : str
        ``"metric"``, ``"metric long"``, ``"fraction"``, ``"number"`` or ``"letter"``
    source : Source
        Where the diameter is laid down
    length_source : Source
        Where the lengths are laid down
    """

    name: str
    diameter: float
    flute: float
    overall: float
    point_angle: float = 118.0
    kind: str
    source: Source
    length_source: Source

    @property
    def point_length(self) -> float:
        """Length of the point, (d / 2) / tan(angle / 2) [mm]."""
        return point_length(self.diameter, self.point_angle)


def point_length(diameter: float, angle: float) -> float:
    """Length of a drill's point [mm] of an angle [degrees]; 0 where it is flat."""
    return 0.0 if angle >= 180 else diameter / 2 / math.tan(math.radians(angle / 2))


@functools.cache
def drill(text: str) -> Drill:
    """Find a drill by its name.

    Parameters
    ----------
    text : str
        Such as ``"2.5 mm"``, ``"2.5 mm long"`` (long series), ``"#29"``, ``"F"``, ``"7/32"``, ``"1/8 in"``

    Returns
    -------
    Drill
        The drill

    Raises
    ------
    BadText
        If the text names no kind of drill.
    UnknownName
        If there is no such size; the message gives the nearest.

    Notes
    -----
    Metric 0.3 to 13 mm, fractions 1/64 to 1/2 in by 64ths, numbers #1 to #80, letters A to Z.

    Examples
    --------
    >>> drill("#29").diameter, drill("7/32").diameter
    (3.4544, 5.55625)
    >>> drill("3.12 mm")
    Traceback (most recent call last):
    ...
    turnmodel.errors.UnknownName: no drill named '3.12 mm'; did you mean '3.1 mm'?
    """
    name = " ".join(text.split())
    if found := re.fullmatch(r"(?:#|no\.?|number) ?(\d{1,3})", name, re.IGNORECASE):
        return _named(text, f"#{int(found[1])}", "number")
    if found := re.fullmatch(r"(?:letter )?([a-z])", name, re.IGNORECASE):
        return _named(text, found[1].upper(), "letter")
    if re.fullmatch(r"\d+", name):
        raise BadText("drill", text, f"write '#{name}' for the number drill or '{name} mm'")
    size, long = re.subn(r" long$", "", name, flags=re.IGNORECASE)
    try:
        diameter = length(size)
    except BadText as fault:
        raise BadText("drill", text, f"{fault.rule}; or '#29', 'F'") from None
    if long:
        return _sized(text, diameter, {"metric long"})
    return _sized(text, diameter, {"metric"} if size.casefold().endswith("mm") else _INCH_KINDS)


def nearest_drills(diameter: float, kinds: Collection[str] = ()) -> tuple[Drill | None, Drill | None]:
    """Find the largest drill that is not above a diameter, and the smallest that is not below it.

    Parameters
    ----------
    diameter : float
        Diameter of the hole, [mm]
    kinds : collection of str
        Kinds of drill to choose from; none named means every jobber drill

    Returns
    -------
    tuple of Drill or None
        The drill below and the drill above; None past the end of the table

    Raises
    ------
    BadValue
        If the diameter is not a positive number.

    Examples
    --------
    >>> [d.name for d in nearest_drills(3.42)]
    ['3.4 mm', '#29']
    >>> [d.name for d in nearest_drills(3.42, kinds={"metric"})]
    ['3.4 mm', '3.5 mm']
    """
    if not (math.isfinite(diameter) and diameter > 0):
        raise BadValue("drill diameter", diameter, "mm", "a hole has a diameter above zero")
    wanted = kinds or _JOBBER
    choice = [d for d in standard_drills() if d.kind in wanted]
    below = [d for d in choice if d.diameter <= diameter + _SAME_SIZE]
    above = [d for d in choice if d.diameter >= diameter - _SAME_SIZE]
    return (below[-1] if below else None, above[0] if above else None)


@functools.cache
def standard_drills() -> tuple[Drill, ...]:
    """List every drill, by diameter.

    Examples
    --------
    >>> standard_drills()[0].name, standard_drills()[-1].name
    ('0.3 mm', '13 mm long')
    """
    found = [*_metric(), *_fractions(), *_numbers(), *_letters()]
    return tuple(sorted(found, key=lambda d: (d.diameter, _KINDS.index(d.kind))))


_KINDS: Final = ("metric", "fraction", "number", "letter", "metric long")
_JOBBER: Final = frozenset(_KINDS[:-1])
_INCH_KINDS: Final = frozenset(_KINDS[1:-1])
_SAME_SIZE: Final = 1e-6
"""Diameters [mm] closer than this are one size: rounding, far under any drill's tolerance."""

_STOCKED: Final = Source(
    work="house choice",
    place="sizes shops stock: by 0.05 mm to 3 mm, by 0.1 mm and by quarters to 13 mm",
    basis=Basis.HOUSE,
)
_BY_64THS: Final = Source(
    work="ASME B94.11M", place="fractional sizes by 1/64 in to 1/2 in", basis=Basis.MEMORY
)
_LONG_FROM: Final = 1.0
"""Least diameter [mm] of the long series here; shorter tables of it begin there too."""


def _named(text: str, name: str, kind: str) -> Drill:
    """Find a number or letter drill."""
    named = {d.name: d for d in standard_drills() if d.kind == kind}
    if name not in named:
        raise UnknownName("drill", text, named)
    return named[name]


def _sized(text: str, diameter: float, kinds: Collection[str]) -> Drill:
    """Find a drill by its diameter."""
    near = min((d for d in standard_drills() if d.kind in kinds), key=lambda d: abs(d.diameter - diameter))
    if abs(near.diameter - diameter) > _SAME_SIZE:
        raise UnknownName("drill", text, (), f"did you mean {near.name!r}?")
    return near


def _metric() -> list[Drill]:
    """List the metric drills, jobber and long."""
    hundredths = {*range(30, 300, 5), *range(300, 1301, 10), *range(325, 1300, 50)}
    jobber = [
        _cut_to_length(f"{n / 100:g} mm", n / 100, "metric", "drill_lengths_jobber_metric", _STOCKED)
        for n in sorted(hundredths)
    ]
    long = [
        replace(
            _cut_to_length(d.name, d.diameter, "metric long", "drill_lengths_long_metric", _STOCKED),
            name=f"{d.name} long",
        )
        for d in jobber
        if d.diameter >= _LONG_FROM
    ]
    return jobber + long


def _fractions() -> list[Drill]:
    """List the fractional drills."""
    return [
        _cut_to_length(
            f"{Fraction(n, 64)} in",
            float(Fraction(n, 64) * Fraction(254, 10)),
            "fraction",
            "drill_lengths_jobber_inch",
            _BY_64THS,
        )
        for n in range(1, 33)
    ]


def _numbers() -> list[Drill]:
    """List the number drills."""
    return [
        _cut_to_length(
            f"#{row['number']}",
            length(f"{row['inches']} in"),
            "number",
            "drill_lengths_jobber_inch",
            source_of(row),
        )
        for row in rows("drill_numbers")
    ]


def _letters() -> list[Drill]:
    """List the letter drills."""
    return [
        _cut_to_length(
            row["letter"],
            length(f"{row['inches']} in"),
            "letter",
            "drill_lengths_jobber_inch",
            source_of(row),
        )
        for row in rows("drill_letters")
    ]


def _cut_to_length(name: str, diameter: float, kind: str, lengths: str, source: Source) -> Drill:
    """Give a drill the lengths of the step its diameter falls in."""
    for up_to, flute, overall, length_source in _steps(lengths):
        if diameter <= up_to + _SAME_SIZE:
            return Drill(
                name=name,
                diameter=diameter,
                flute=flute,
                overall=overall,
                kind=kind,
                source=source,
                length_source=length_source,
            )
    raise TurnmodelError(f"{lengths}.csv has no length for the {name} drill")


@functools.cache
def _steps(lengths: str) -> tuple[tuple[float, float, float, Source], ...]:
    """Read the steps of a table of lengths: largest diameter, flute and overall length [mm]."""
    unit = "in" if lengths.endswith("inch") else "mm"
    return tuple(
        (
            length(f"{row['up_to']} {unit}"),
            length(f"{row['flute']} {unit}"),
            length(f"{row['overall']} {unit}"),
            source_of(row),
        )
        for row in rows(lengths)
    )
