"""A printer of plastic mock-ups: how fine it is, and how far its work comes out of size."""

from __future__ import annotations

import functools
import math
import tomllib
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, Final, Literal

from turnmodel.catalog.materials import material
from turnmodel.catalog.table import DATA, find
from turnmodel.errors import BadText, BadValue, UnknownName
from turnmodel.source import Basis, Source
from turnmodel.units import length

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

__all__ = ["PROCESSES", "Printer", "printer", "printer_sources", "read_figure"]

Process = Literal["filament", "resin"]

PROCESSES: Final = ("filament", "resin")
"""Processes that a record can be of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printer:
    """A printer, and the allowances that make its parts go together.

    Parameters
    ----------
    process : str
        "filament" or "resin"
    material : str
        What it prints, by its name in the catalog
    line : float
        Width of a line of filament, or of a pixel, [mm]
    layer : float
        Height of a layer, [mm]
    wall : float
        Least wall that prints sound, [mm]
    hole : float
        By how much an upright hole comes out small: added to its diameter, [mm]
    cross_hole : float
        The same of a hole that lies along the layers, [mm]
    shaft : float
        By how much an outside comes out large: taken off its diameter where it fits into something, [mm]
    slide : float
        Room on diameter that printed parts need to slide, beyond hole and shaft, [mm]
    thread : float
        Room between the pitch diameters of a screw and its hole, half taken from each, [mm]
    depth : float
        Added along the axis to blind holes, so that shoulders meet before ends do, [mm]
    foot : float
        By how much the first layers spread, on every side, [mm]
    overhang : float
        Least angle from the plate at which a face prints without support, [degrees]
    bridge : float
        Widest roof that prints without support where both its ends are carried, [mm]
    gap : float
        Room between parts on the plate, [mm]
    bed : tuple of 3 floats
        Width, depth and height that it prints, [mm]

    Raises
    ------
    BadValue
        If a figure is not of its kind, or allowances are wider than any printer's.
    """

    process: Process
    material: str
    line: float
    layer: float
    wall: float
    hole: float
    cross_hole: float
    shaft: float
    slide: float
    thread: float
    depth: float
    foot: float
    overhang: float
    bridge: float
    gap: float
    bed: tuple[float, float, float]

    def __post_init__(self) -> None:
        for name in ("line", "layer", "wall", "bridge", "gap"):
            if not getattr(self, name) > 0:
                raise BadValue(name, getattr(self, name), "mm", "must be more than 0 mm")
        for name in ("hole", "cross_hole", "shaft", "slide", "thread", "depth", "foot"):
            if not abs(getattr(self, name)) <= MOST_MM:
                raise BadValue(
                    name, getattr(self, name), "mm", f"an allowance is within {MOST_MM:g} mm either way",
                    "measure the gauge again",
                )  # fmt: skip
        for name in ("slide", "thread", "depth", "foot"):
            if getattr(self, name) < 0:
                raise BadValue(name, getattr(self, name), "mm", "must not be below 0 mm")
        if not 0 < self.overhang < 90:
            raise BadValue("overhang", self.overhang, "degrees", "lies between 0 and 90 degrees")
        if not min(self.bed) > 0:
            raise BadValue("bed", min(self.bed), "mm", "must be more than 0 mm")

    @property
    def chord(self) -> float:
        """How far the facets of a mesh may stand off a circle, [mm]: a twentieth of line or layer."""
        return min(self.line, self.layer) / 20


MOST_MM: Final = 1.5
"""Widest allowance [mm] that is believed (house choice): three times what common practice knows."""


def printer(process: str = "filament", **known: Any) -> Printer:
    """Make the record of a printer from what is known of it.

    Parameters
    ----------
    process : str
        "filament" or "resin"
    **known
        Figures of :class:`Printer`; what is left out is common practice for the process

    Returns
    -------
    Printer
        The record

    Raises
    ------
    UnknownName
        If there is no such process
    BadValue
        If a figure is out of its range

    Examples
    --------
    >>> printer("resin").layer, printer("filament", hole=0.32).hole
    (0.05, 0.32)
    """
    kind = find("process", process, {name: name for name in PROCESSES})
    assumed = {name: value for name, (value, _) in _assumed()[kind].items()}
    assumed["bed"] = tuple(assumed["bed"])
    return Printer(process=kind, **{**assumed, **known})  # type: ignore[arg-type]


def printer_sources(process: str) -> dict[str, Source]:
    """Tell what each assumed figure of a process rests on.

    Examples
    --------
    >>> printer_sources("filament")["hole"].work
    'common practice'
    """
    return {name: source for name, (_, source) in _assumed()[process].items()}


@functools.cache
def _assumed() -> Mapping[str, Mapping[str, tuple[Any, Source]]]:
    """Read what a printer is taken for."""
    table = tomllib.loads((DATA / "printers.toml").read_text(encoding="utf-8"))
    sources = {
        key: Source(work=at["work"], place=at["place"], basis=Basis(at["basis"]))
        for key, at in table["source"].items()
    }
    return {
        process: {name: (value, sources[source]) for name, (value, source) in table[process].items()}
        for process in PROCESSES
    }


def read_figure(name: str, value: object) -> Any:
    """Read one figure of a printer as somebody writes it: lengths may carry a unit.

    Raises
    ------
    UnknownName
        If a printer has no such figure
    BadText
        If it is not of its kind
    """
    known = [entry.name for entry in fields(Printer)]
    if name not in known:
        raise UnknownName("figure of a printer", name, known)
    return _READERS.get(name, _length)(value)


def _length(value: object) -> float:
    if isinstance(value, str):
        return length(value)
    return _number(value)


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise BadText("figure", str(value), "write a number without quotes, or a length with its unit")
    return float(value)


def _bed(value: object) -> tuple[float, float, float]:
    if not isinstance(value, list) or len(value) != 3:
        raise BadText("bed", str(value), "write width, depth and height, as [180, 180, 180]")
    x, y, z = (_length(side) for side in value)
    return x, y, z


def _process(value: object) -> str:
    return find("process", str(value), {name: name for name in PROCESSES})


_READERS: Final[dict[str, Callable[[object], Any]]] = {
    "bed": _bed,
    "material": lambda value: material(str(value)).name,
    "overhang": _number,
    "process": _process,
}
