"""Ink refills as solids of revolution: what fills the bore, where it can seat, how far makers differ."""

from __future__ import annotations

import functools
import re
import tomllib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from turnmodel.catalog.table import DATA, folded
from turnmodel.errors import BadText, BadValue, UnknownName
from turnmodel.source import Basis, Source
from turnmodel.units import in_mm, length

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["Refill", "Span", "Step", "refill", "refill_names"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A length of a refill between two diameters.

    Parameters
    ----------
    length : float
        Length along the axis, [mm]
    start_d, end_d : float
        Diameters at its front and at its back, [mm]
    source : Source
        Where the figures come from
    """

    length: float
    start_d: float
    end_d: float
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The least and the most a dimension is found to be.

    Parameters
    ----------
    low, high : float
        Ends of the span, [mm]
    source : Source
        Where they come from
    """

    low: float
    high: float
    source: Source

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise ValueError(f"a span runs upwards, not from {self.low:g} to {self.high:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Refill:
    """A refill, with the writing tip at station 0 and the back at its length.

    Parameters
    ----------
    name : str
        Name in this catalogue
    title : str
        What people call it
    standard : str
        Standard that names the form
    envelope : tuple of Step
        Its outline from the tip backwards
    stations : tuple of (str, float)
        ``"tip"``, ``"tip shoulder"`` (where the writing tip meets the wider body) and ``"back"``, from the
        tip, [mm]
    station_source : Source
        Where the shoulder's station comes from
    spreads : tuple of (str, Span)
        How far makers differ, dimension by dimension, [mm]
    mass_low, mass_high : float
        Mass of a full refill, [g]
    mass_source : Source
        How well the mass is known
    """

    name: str
    title: str
    standard: str
    envelope: tuple[Step, ...]
    stations: tuple[tuple[str, float], ...]
    station_source: Source
    spreads: tuple[tuple[str, Span], ...]
    mass_low: float
    mass_high: float
    mass_source: Source

    @property
    def length(self) -> float:
        """Overall length [mm]."""
        return sum(step.length for step in self.envelope)

    @property
    def largest_d(self) -> float:
        """Largest diameter: what a bore must pass [mm]."""
        return max(max(step.start_d, step.end_d) for step in self.envelope)

    @property
    def mass_g(self) -> float:
        """Mass taken for weighing, the middle of the span [g]."""
        return (self.mass_low + self.mass_high) / 2

    def station(self, name: str) -> float:
        """Find a named station.

        Parameters
        ----------
        name : str
            Name of the station

        Returns
        -------
        float
            Distance from the tip, [mm]

        Raises
        ------
        UnknownName
            If the refill has no station of that name.
        """
        for known, at in self.stations:
            if folded(known) == folded(name):
                return at
        raise UnknownName(f"station on {self.name}", name, (known for known, _ in self.stations))

    def station_where(self, diameter: float) -> float:
        """Find the first station, from the tip, at which the refill is as wide as a diameter.

        A refill dropped tip first into a hole of this diameter comes to rest there.

        Parameters
        ----------
        diameter : float
            Diameter to reach, [mm]

        Returns
        -------
        float
            Distance from the tip, [mm]

        Raises
        ------
        BadValue
            If the refill is nowhere as wide: it passes through the hole.

        Examples
        --------
        >>> round(refill("D").station_where(1.5), 3)
        2.0
        """
        at = 0.0
        for step in self.envelope:
            if step.start_d >= diameter:
                return at
            if step.end_d >= diameter:
                return at + step.length * (diameter - step.start_d) / (step.end_d - step.start_d)
            at += step.length
        raise BadValue(
            "hole",
            diameter,
            "mm",
            f"{self.name} is nowhere wider than {in_mm(self.largest_d)} and passes through",
        )


def refill(text: str) -> Refill:
    """Find a refill by its name, as tabled or with the length measured on the one in hand.

    Parameters
    ----------
    text : str
        Such as ``"refill D"``, ``"D"``, ``"G2"``, ``"rollerball A"``, ``"G2 98.3 mm"``

    Returns
    -------
    Refill
        The refill; a measured length changes its plain tube and no other step

    Raises
    ------
    UnknownName
        If there is none; the message proposes the nearest.
    BadText
        If the length cannot be read, or is needed because no work at hand gives it.
    BadValue
        If the length leaves no tube.

    Notes
    -----
    Sizes of the forms as retailers quote the standards [1]_; steps and stations marked 'house choice' or
    'from memory' are estimates, to be checked with a calliper before the metal is cut.

    Examples
    --------
    >>> round(refill("G2").length, 2), refill("D 67.3 mm").name
    (98.1, 'refill D, 67.3 mm')

    References
    ----------
    .. [1] ISO 12757-1:2017, Ball point pens and refills, Part 1: General use.
    """
    found = re.fullmatch(r"(?P<name>.*?)[ ,]+(?P<length>\d*\.?\d+ ?(?:mm|in|\"))", text.strip())
    name = found["name"] if found else text
    row = _index().get(folded(name))
    if row is None:
        raise UnknownName("refill", text, (known for r in _table()["refill"] for known in _names(r)))
    if found:
        return _refill(row, length(found["length"]))
    if "length" not in row:
        raise BadText(
            "refill",
            text,
            f"its length is in no work at hand; measure yours and write '{row['name']} 107 mm'",
        )
    return _refill(row, None)


def refill_names() -> tuple[str, ...]:
    """List the refills by name.

    Examples
    --------
    >>> refill_names()[:2]
    ('refill D', 'refill G2')
    """
    return tuple(row["name"] for row in _table()["refill"])


_AS_MEASURED: Final = Source(
    work="house choice", place="length as measured on the refill in hand", basis=Basis.HOUSE
)


@functools.cache
def _table() -> dict[str, Any]:
    """Read the data file."""
    with (DATA / "refills.toml").open("rb") as file:
        return tomllib.load(file)


@functools.cache
def _sources() -> dict[str, Source]:
    """Index the sources by their key in the data file."""
    return {
        key: Source(work=at["work"], place=at["place"], basis=Basis(at["basis"]))
        for key, at in _table()["source"].items()
    }


@functools.cache
def _index() -> dict[str, Mapping[str, Any]]:
    """Index the rows by folded name and alias."""
    return {folded(known): row for row in _table()["refill"] for known in _names(row)}


def _names(row: Mapping[str, Any]) -> tuple[str, ...]:
    """List every name of a row."""
    return (row["name"], *row["aliases"])


def _refill(row: Mapping[str, Any], measured: float | None) -> Refill:
    """Build a refill from its row, its tube made to the measured length."""
    steps = [
        Step(length=long, start_d=start, end_d=end, source=_sources()[key])
        for long, start, end, key in row["steps"]
    ]
    spreads = {name: _span(cells) for name, cells in row["spread"].items()}
    name = row["name"]
    if measured is None:
        spreads["length"] = _span(row["length"])
    else:
        tube = row["measured_step"] - 1
        rest = sum(step.length for step in steps) - steps[tube].length
        if measured <= rest:
            raise BadValue(
                f"{name} of length", measured, "mm", f"its tip and tail alone are {in_mm(rest)} long"
            )
        steps[tube] = Step(
            length=measured - rest,
            start_d=steps[tube].start_d,
            end_d=steps[tube].end_d,
            source=steps[tube].source,
        )
        spreads["length"] = Span(low=measured, high=measured, source=_AS_MEASURED)
        name = f"{name}, {in_mm(measured)}"
    shoulder, shoulder_source = row["shoulder"]
    mass_low, mass_high, mass_source = row["mass"]
    return Refill(
        name=name,
        title=row["title"],
        standard=row["standard"],
        envelope=tuple(steps),
        stations=(("tip", 0.0), ("tip shoulder", shoulder), ("back", sum(step.length for step in steps))),
        station_source=_sources()[shoulder_source],
        spreads=tuple(spreads.items()),
        mass_low=mass_low,
        mass_high=mass_high,
        mass_source=_sources()[mass_source],
    )


def _span(cells: tuple[float, float, str]) -> Span:
    """Build a span from its cells."""
    low, high, key = cells
    return Span(low=low, high=high, source=_sources()[key])
