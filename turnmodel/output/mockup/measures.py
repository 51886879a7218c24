"""The sheet of a gauge as it was filled in: read, and held to what a printer can do."""

from __future__ import annotations

import math
import re
import tomllib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

from turnmodel.catalog.printer import PROCESSES
from turnmodel.catalog.toml import parsed
from turnmodel.errors import Fault, ToolFaults, Where, nearest
from turnmodel.output.mockup.gauge import CROSS_HOLES, HOLES, LENGTHS, PEGS, ROOMS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

__all__ = ["FEWEST", "Measures", "measured"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """What was measured on a gauge: nominal size to measured size, [mm]; first and last hole, [-]."""

    process: str
    holes: Mapping[float, float]
    cross_holes: Mapping[float, float]
    pegs: Mapping[float, float]
    lengths: Mapping[float, float]
    foot: Mapping[float, float]
    thread: tuple[int, int] | None


_MOST_OFF: Final = 1.0
"""A measure [mm] further than this from its size is of another place, or misread: house choice."""

FEWEST: Final = 3
"""Sizes of holes and of pegs [-] that tell an allowance from a wrong size."""


def measured(path: Path) -> Measures:
    """Read a sheet that was filled in.

    Parameters
    ----------
    path : Path
        The sheet; lines that were left empty count as not measured

    Returns
    -------
    Measures
        What it says

    Raises
    ------
    ToolFaults
        With everything that cannot be right, each with its line
    """
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise ToolFaults([Fault(given=str(path), rule="this is no text in UTF-8")]) from None
    except OSError as error:
        rule = f"cannot be read: {error.strerror or error}"
        raise ToolFaults([Fault(given=str(path), rule=rule)]) from None
    filled = "\n".join("" if _EMPTY.match(line) else line for line in text.splitlines())
    try:
        table = parsed(filled)
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"line (\d+)", str(error))
        where = Where(str(path), int(found[1]) if found else 1)
        raise ToolFaults([Fault(given="", rule=f"this is no TOML: {error}", where=where)]) from None
    return _Sheet(path=path, text=text, table=table).read()


_EMPTY: Final = re.compile(r'^\s*"?[\w.]+"?\s*=\s*(#.*)?$')


_SIZES: Final[dict[str, Sequence[float]]] = {
    "holes": HOLES,
    "cross_holes": CROSS_HOLES,
    "pegs": PEGS,
    "lengths": LENGTHS,
    "foot": PEGS[-1:],
}


@dataclass(slots=True, kw_only=True)
class _Sheet:
    """A sheet being read: what it holds, and what is wrong with it so far."""

    path: Path
    text: str
    table: Mapping[str, Any]
    faults: list[Fault] = field(default_factory=list)

    def read(self) -> Measures:
        """Read everything, or tell everything that is wrong."""
        for key in self.table:
            known = ("process", "thread", *_SIZES)
            if key not in known:
                near = nearest(key, known)
                self.fault("", key, "is not on the sheet", f"did you mean {near!r}?" if near else None)
        process = str(self.table.get("process", ""))
        if process not in PROCESSES:
            self.fault("", "process", f"must be {' or '.join(map(repr, PROCESSES))}")
        found = {section: self.sizes(section) for section in _SIZES}
        for section in ("holes", "pegs"):
            if len(found[section]) < FEWEST and not self.faults:
                rule = f"{len(found[section])} of them tell nothing; {FEWEST} are the fewest"
                self.fault("", section, rule, "measure more sizes")
        thread = self.thread()
        if self.faults:
            raise ToolFaults(self.faults)
        return Measures(process=process, thread=thread, **found)

    def sizes(self, section: str) -> dict[float, float]:
        """Read the measures of a section."""
        given = self.table.get(section, {})
        if not isinstance(given, dict):
            self.fault("", section, "must be a section", f"write [{section}] and its measures below it")
            return {}
        known = {f"{size:g}": size for size in _SIZES[section]}
        found = {}
        for key, value in given.items():
            if key not in known:
                self.fault(section, key, "is no size of the gauge", f"there is {', '.join(known)}")
            elif isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
                self.fault(section, key, f"{value!r} is no number of millimetres")
            elif abs(value - known[key]) > _MOST_OFF:
                off = abs(value - known[key])
                rule = f"{value:g} mm is {off:.2f} mm off, which no printer is: another place, or misread"
                self.fault(section, key, rule, "measure it again")
            else:
                found[known[key]] = float(value)
        return found

    def thread(self) -> tuple[int, int] | None:
        """Read which tapped holes fit."""
        given = self.table.get("thread", {})
        if not given:
            return None
        if not isinstance(given, dict):
            self.fault("", "thread", "must be a section", "write [thread] and its holes below it")
            return None
        ends = [given.get(key) for key in ("first", "last")]
        if ends[1] is None:
            ends[1] = ends[0]
        for end in ends:
            if isinstance(end, bool) or not isinstance(end, int) or not 1 <= end <= len(ROOMS):
                self.fault(
                    "thread",
                    "first",
                    f"{end!r} is no tapped hole; they are 1 to {len(ROOMS)}, by their notches",
                )
                return None
        first, last = (int(end) for end in ends if end is not None)
        if first > last:
            self.fault(
                "thread", "first", f"hole {first} cannot be the first to turn and {last} the last to hold"
            )
            return None
        return first, last

    def fault(self, section: str, key: str, rule: str, mend: str | None = None) -> None:
        """Note one thing that is wrong, with its line."""
        lines = self.text.splitlines()
        start = next((k for k, line in enumerate(lines) if section and line.startswith(f"[{section}]")), 0)
        at = next(
            (k for k in range(start, len(lines)) if re.match(rf'\s*\[?"?{re.escape(key)}\b', lines[k])), start
        )
        place = Where(str(self.path), at + 1)
        self.faults.append(Fault(feature=section or None, given=key, rule=rule, mend=mend, where=place))
