"""Parts as they were cut: what was measured on them, read from a file beside the script.

::

    uncertainty = 0.02                    # of the calliper, in mm; 0.02 where it is left out

    [plug]                                # a part by its name
    mass = 15.80                          # in g
    length = 31.40                        # over all

    [plug."body stop"]                    # a feature by its mark, or its title as findings give it
    station = 6.35                        # from the front face

    [cap."from back 1"]
    depth = { value = 29.10, uncertainty = 0.05 }
"""

from __future__ import annotations

import json
import math
import re
import tomllib
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Final

from turnmodel.catalog.toml import parsed
from turnmodel.design.alike import alike
from turnmodel.design.dimensions import Dimension, Station, changed, dimensions, stations
from turnmodel.design.measured import Measured
from turnmodel.design.part import BoughtPart, Part, TurnedPart, part_faults
from turnmodel.design.remade import remade
from turnmodel.errors import BadText, DesignFaults, Fault, UnknownName, nearest
from turnmodel.units import length

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from turnmodel.design.design import Design

__all__ = ["as_cut", "as_cut_file", "table_of"]

CALLIPER: Final = 0.02
"""Uncertainty [mm] where none is given: common practice, what makers of digital callipers promise."""

SCALES: Final = 0.01
"""Uncertainty [g] of a mass where none is given: common practice, a jeweller's scales."""

_ALIKE: Final = 2.0
"""A measured size is at most so many times the drawing's, or its part [-]: past it, it was mistyped."""

_FEW: Final = 3
"""So many sizes are written down where one of several may be meant; house choice."""

_GRAMS: Final = {"g": 1.0, "kg": 1000.0, "mg": 0.001}
"""Grams in each unit that a mass may be written in."""

_MASS: Final = re.compile(r"\s*(\d+\.?\d*|\.\d+)\s*([a-z]+)\s*", re.ASCII)

_OTHER: Final = {"length": "width", "width": "length", "size": "diameter", "major_d": "diameter"}


def as_cut_file(script: Path) -> Path:
    """Name the file beside a script that tells what was measured."""
    return script.with_suffix(".ascut.toml")


def as_cut(design: Design, path: Path) -> Design:
    """Put what was measured in the place of what was drawn.

    Parameters
    ----------
    design : Design
        The design as it is drawn
    path : Path
        The file of measured sizes; where there is none, the design stays as it is

    Returns
    -------
    Design
        With the parts as they were cut, what was measured kept with them

    Raises
    ------
    DesignFaults
        With everything that is wrong with the file: names that there are not, values that are none, and those
        that contradict each other
    """
    try:
        found = parsed(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return design
    except UnicodeDecodeError:
        raise DesignFaults([Fault(part=path.name, given="file", rule="is no text in UTF-8")]) from None
    except (OSError, tomllib.TOMLDecodeError) as error:
        fault = Fault(
            part=path.name,
            given="file",
            rule=f"cannot be read: {getattr(error, 'strerror', None) or error}",
        )
        raise DesignFaults([fault if isinstance(error, OSError) else _comma(path, error) or fault]) from None
    page = _Page(file=path.name, uncertainty=CALLIPER)
    parts: dict[str, Part] = {}
    names = [part.name for part in design.parts]
    for name, entry in found.items():
        if name == "uncertainty":
            page.uncertainty = page.number(name, entry) or CALLIPER
        elif not isinstance(entry, dict):
            rule = "must be a table of what was measured"
            page.fault(name, f"{entry!r}", rule, f"write {table_of(name)}")
        elif name not in names:
            unknown = UnknownName("part", name, names)
            page.fault(name, "part", "there is no such part", unknown.hint)
        else:
            parts[name] = _measured(design.part(name), entry, page)
    if page.faults:
        raise DesignFaults(page.faults)
    try:
        return remade(design, parts) if parts else design
    except DesignFaults as error:
        raise DesignFaults(
            replace(fault, part=f"{path.name}: {fault.part}", where=None) for fault in error.faults
        ) from None


def _comma(path: Path, error: tomllib.TOMLDecodeError) -> Fault | None:
    """Tell where a decimal comma is what TOML cannot be read for."""
    told = re.search(r"at line (\d+)", str(error))
    lines = path.read_text(encoding="utf-8").split("\n")
    line = lines[int(told[1]) - 1].strip() if told else ""
    found = re.search(r"=\s*(\d+),(\d+)", line)
    if told is None or found is None:
        return None
    rule = "the decimal sign is a point"
    return Fault(
        part=f"{path.name}: line {told[1]}", given=line, rule=rule, mend=f"write {found[1]}.{found[2]}"
    )


@dataclass(slots=True, kw_only=True)
class _Page:
    """A file of measured sizes while it is read, and what is wrong with it."""

    file: str
    uncertainty: float
    faults: list[Fault] = field(default_factory=list)

    def fault(self, place: str, given: str, rule: str, mend: str | None = None) -> None:
        """Note one thing that is wrong."""
        self.faults.append(Fault(part=f"{self.file}: {place}", given=given, rule=rule, mend=mend))

    def number(self, place: str, value: object, kind: str = "length") -> float | None:
        """Read a number above zero, or a length or a mass with its unit."""
        if isinstance(value, str):
            try:
                value = length(value) if kind == "length" else _grams(value)
            except BadText as error:
                self.fault(place, f"{error.given!r}", error.rule)
                return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.fault(place, f"{value!r}", f"must be a number, or a {kind} with its unit")
            return None
        if not 0 < value < math.inf:
            self.fault(place, f"{value:g}", "must be more than 0")
            return None
        return float(value)

    def reading(
        self, place: str, entry: object, usual: float, kind: str = "length"
    ) -> tuple[float, float] | None:
        """Read a value, and its uncertainty where it has one of its own."""
        if isinstance(entry, dict):
            if unknown := [key for key in entry if key not in ("value", "uncertainty")]:
                self.fault(place, f"{unknown[0]!r}", "a reading has value and uncertainty")
                return None
            value = self.number(place, entry.get("value"), kind)
            off = self.number(place, entry["uncertainty"], kind) if "uncertainty" in entry else usual
            return None if value is None or off is None else (value, off)
        value = self.number(place, entry, kind)
        return None if value is None else (value, usual)

    def like(self, place: str, value: float, drawn: float) -> bool:
        """Hold a size to being one that was meant for the drawing's [mm]."""
        if drawn / _ALIKE <= value <= drawn * _ALIKE:
            return True
        inches = f"; did you mean {value:g} in?" if 0.9 < value * 25.4 / drawn < 1.1 else ""
        self.fault(place, f"{value:g} mm", f"the drawing gives {drawn:.4g} mm{inches}")
        return False


def _grams(text: str) -> float:
    """Read a mass written with its unit, [g]."""
    found = _MASS.fullmatch(text)
    if found is None or found[2] not in _GRAMS:
        rule = "write the decimal sign as a point" if "," in text else f"the unit is {', '.join(_GRAMS)}"
        raise BadText("mass", text, rule)
    return float(found[1]) * _GRAMS[found[2]]


def _measured(part: Part, entry: Mapping[str, Any], page: _Page) -> Part:
    """Give a part what was measured on it."""
    readings: list[Measured] = []
    sizes: dict[Dimension, float] = {}
    seats: dict[str, tuple[Station, float, float]] = {}
    known = {station.feature: station for station in stations(part)} if isinstance(part, TurnedPart) else {}
    for key, value in entry.items():
        place = f"{part.name}, {key}"
        whole = not isinstance(value, dict) or "value" in value
        if key == "mass" and whole and (read := page.reading(place, value, SCALES, "mass")):
            readings.append(
                Measured(feature=None, name="mass", value=read[0], drawn=None, uncertainty=read[1])
            )
        elif key == "length" and whole and "back" in known:
            read = page.reading(place, value, page.uncertainty)
            if read and page.like(place, read[0], known["back"].value):
                seats["back"] = (known["back"], *read)
        elif isinstance(value, dict) and isinstance(part, TurnedPart):
            _feature(part, key, value, known, page, sizes, seats, readings)
        elif isinstance(part, TurnedPart) and key in _called(part):
            rule = "is a feature, of which one size or another is measured"
            page.fault(place, "measured", rule, _meant(part, _called(part)[key], value))
        elif key != "mass":
            page.fault(place, "measured", *_unknown(part, key, value))
    made = part
    if isinstance(part, TurnedPart) and not page.faults:
        made = changed(part, sizes)
        for station, value, off in sorted(seats.values(), key=lambda seat: seat[0].value):
            made = _seated(made, station, value, off, sizes, seats, readings, page)
        for fault in part_faults(made):
            page.fault(part.name, fault.given, f"as measured, {fault.feature}: {fault.rule}", fault.mend)
    for reading in readings:
        if reading.name == "mass" and isinstance(made, BoughtPart):
            made = replace(made, mass=reading.value)
    return alike(replace(made, measured=tuple(readings)))


def _unknown(part: Part, key: str, value: object = None) -> tuple[str, str | None]:
    """Tell that a part has no such thing to measure, and what could be meant."""
    rule = "there is no such size or feature"
    if not isinstance(part, TurnedPart):
        return rule, UnknownName("feature", key, ["mass"]).hint
    if hint := _meant(part, key, value) if value is not None else None:
        return rule, hint
    if near := nearest(key, ("mass", "length", *_called(part))):
        return rule, f"did you mean {near!r}?"
    features = dict.fromkeys(_called(part).values())
    return rule, f"there is mass, length, and of features {', '.join(features)}"


def _meant(part: TurnedPart, word: str, value: object) -> str | None:
    """Write down the sizes that a word may mean, a feature's or its own, those nearest to a value first."""
    sizes = [(d.feature, d.name, d.value) for d in dimensions(part)]
    sizes += [(s.feature, "station", s.value) for s in stations(part) if s.feature != "back"]
    found = [size for size in sizes if word.casefold() in (size[1], *re.findall(r"\w+", size[0].casefold()))]
    found = [size for size in sizes if size[0] == word] or found
    quiet = _Page(file="", uncertainty=CALLIPER)
    given = quiet.number("", value)
    if given is not None:
        found.sort(key=lambda size: abs(size[2] - given))
        found = [size for size in found if quiet.like("", given, size[2])] or found
    short = {title: name for name, title in _called(part).items()}
    written = "..." if given is None else f"{given:g}"
    ways = [f"{table_of(part.name, short[title])} and {name} = {written}" for title, name, _ in found[:_FEW]]
    return f"write {', or '.join(ways)}" if ways else None


def table_of(*names: str) -> str:
    """Write the head of a TOML table, names in quotes where they must be."""
    return f"[{'.'.join(n if re.fullmatch(r'[A-Za-z0-9_-]+', n) else json.dumps(n) for n in names)}]"


def _called(part: TurnedPart) -> dict[str, str]:
    """Every name by which a feature may be called, with its title."""
    names: dict[str, str] = {}
    titled = [d.feature for d in dimensions(part)] + [s.feature for s in stations(part)]
    for title in dict.fromkeys(titled):
        names[title] = title
        if '"' in title:
            names[title.split('"')[1]] = title
        elif "(" in title:
            names[title.partition("(")[2].rstrip(")")] = title
    return {name: title for name, title in names.items() if name != "back"}


def _feature(
    part: TurnedPart,
    key: str,
    entry: Mapping[str, Any],
    known: Mapping[str, Station],
    page: _Page,
    sizes: dict[Dimension, float],
    seats: dict[str, tuple[Station, float, float]],
    readings: list[Measured],
) -> None:
    """Read what was measured on one feature."""
    called = _called(part)
    if key not in called:
        page.fault(f"{part.name}, {key}", "feature", *_unknown(part, key))
        return
    title = called[key]
    own = {d.name: d for d in dimensions(part) if d.feature == title}
    for name, value in entry.items():
        place = f"{part.name}, {title}, {name}"
        read = page.reading(place, value, page.uncertainty)
        if read is None:
            continue
        if name == "station" and title in known:
            if page.like(place, read[0], known[title].value):
                seats[title] = (known[title], *read)
            continue
        dimension = own.get(name) or own.get(_OTHER.get(name, ""))
        if dimension is None:
            choices = [*own, *(["station"] if title in known else [])]
            page.fault(
                place, "measured", "the feature has no such size", UnknownName("size", name, choices).hint
            )
        elif dimension in sizes:
            page.fault(place, f"{read[0]:g} mm", f"was measured before as {sizes[dimension]:g} mm")
        elif page.like(place, read[0], dimension.value):
            sizes[dimension] = read[0]
            readings.append(
                Measured(
                    feature=title,
                    name=dimension.name,
                    value=read[0],
                    drawn=dimension.value,
                    uncertainty=read[1],
                )
            )


def _seated(
    made: TurnedPart,
    drawn: Station,
    value: float,
    off: float,
    sizes: dict[Dimension, float],
    seats: Mapping[str, tuple[Station, float, float]],
    readings: list[Measured],
    page: _Page,
) -> TurnedPart:
    """Move a shoulder or the back face to where it was found, by the last length before it that is free."""
    now = {station.feature: station for station in stations(made)}
    here = now[drawn.feature]
    before = [s for s in now.values() if s.feature in seats and s.value < here.value]
    floor = max((s.value for s in before), default=0.0)
    measured = {(d.index, d.field) for d in sizes if d.side == "outside"}
    free, at = [], 0.0
    for dimension in dimensions(made):
        if dimension.side == "outside" and dimension.name in ("length", "width"):
            at += dimension.value
            if floor < at <= here.value + CALLIPER and (dimension.index, dimension.field) not in measured:
                free.append(dimension)
    reading = Measured(
        feature=None if drawn.feature == "back" else drawn.feature,
        name="length" if drawn.feature == "back" else "station",
        value=value,
        drawn=drawn.value,
        uncertainty=off,
    )
    readings.append(reading)
    if free:
        last = free[-1]
        if last.value + value - here.value > 0:
            return changed(made, {last: last.value + value - here.value})
    elif abs(value - here.value) <= off + sum(
        r.uncertainty for r in readings if r.name in ("length", "width")
    ):
        return made
    page.fault(
        f"{made.name}, {reading.feature or reading.name}",
        f"{reading.name} {value:g} mm",
        f"contradicts what was measured before it, which makes {here.value:.4g} mm",
        "measure both again",
    )
    return made
