"""Read the file in which somebody lists their tools."""

from __future__ import annotations

import functools
import re
import tomllib
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, TypeVar

from turnmodel.catalog.drills import Drill, drill
from turnmodel.catalog.printer import Printer, printer, read_figure
from turnmodel.catalog.table import DATA
from turnmodel.catalog.toml import parsed
from turnmodel.catalog.tool_names import (
    read_bar,
    read_dial,
    read_dies,
    read_drills,
    read_length,
    read_number,
    read_slug,
    read_speeds,
    read_taps,
)
from turnmodel.catalog.toolbox import Lathe, Toolbox
from turnmodel.errors import BadText, BadValue, Fault, ToolFaults, TurnmodelError, Where, nearest
from turnmodel.source import Source

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from pathlib import Path

__all__ = ["ASSUMED", "FILE_NAME", "assumed_tools", "example_tools", "find_tools", "read_tools"]

T = TypeVar("T")

ASSUMED: Final = "assumed small-shop set"
"""Origin of the tools where there is no file."""

_SHOWN: Final = 60
"""Letters of a line of a file that a message shows: the line stays one line of a terminal."""

FILE_NAME: Final = "tools.toml"
"""Name of the file beside a design or in the user's configuration folder."""


def find_tools(script: Path, given: Path | None = None) -> Toolbox:
    """Find the tools that a design is made with.

    Parameters
    ----------
    script : Path
        The design's script
    given : Path or None
        A file that was named; else ``tools.toml`` beside the script or in the user's configuration folder

    Returns
    -------
    Toolbox
        The tools; the assumed set where there is no file

    Raises
    ------
    ToolFaults
        With everything that is wrong with the file
    """
    if given is not None:
        return read_tools(given)
    beside = script.parent / FILE_NAME
    if beside.is_file():
        return read_tools(beside)
    import platformdirs

    own = platformdirs.user_config_path("turnmodel", appauthor=False) / FILE_NAME
    return read_tools(own) if own.is_file() else assumed_tools()


def example_tools() -> str:
    """Give a commented file of tools to begin from: the assumed set.

    Examples
    --------
    >>> example_tools().partition(".")[0]
    '# The tools at your lathe'
    """
    return _EXAMPLE.read_text(encoding="utf-8")


@functools.cache
def assumed_tools() -> Toolbox:
    """Give the common small-shop set that is assumed where there is no file: a house choice.

    Examples
    --------
    >>> assumed_tools().origin, assumed_tools().lathe.swing
    ('assumed small-shop set', 180.0)
    """
    made = read_tools(_EXAMPLE)
    return replace(made, origin=ASSUMED, assumed=tuple(_assumed()))


def read_tools(path: Path) -> Toolbox:
    """Read a file of tools.

    Parameters
    ----------
    path : Path
        The file, in TOML [1]_

    Returns
    -------
    Toolbox
        The tools; what the file leaves out is taken from the assumed set, and ``assumed`` names it

    Raises
    ------
    ToolFaults
        With everything that is wrong with the file, each with its line and the nearest right thing

    References
    ----------
    .. [1] TOML v1.0.0.
    """
    text, given = _parsed(path)
    page = _Page(path=path, text=text, table={**_assumed(), **given})
    page.hold_keys(given, _KEYS, "tools")
    drills = page.listed("drills", read_drills)
    made = Toolbox(
        origin=str(path),
        assumed=tuple(key for key in _assumed() if key not in given),
        bars=page.listed("bars", lambda entry: (read_bar(entry),)),
        drills=_fluted(page, drills),
        reamers=page.listed("reamers", lambda entry: (read_length(entry),)),
        taps=page.listed("taps", read_taps),
        dies=page.listed("dies", read_dies),
        parting_width=page.read("parting_width", page.table["parting_width"], read_length) or 0.0,
        lathe=_lathe(page),
        printer=_printer(page),
        slugs=page.listed("slugs", lambda entry: (read_slug(entry),)),
        limits=MappingProxyType(page.figures("limits", read_number)),
    )
    if page.faults:
        raise ToolFaults(sorted(page.faults, key=lambda fault: fault.where.line if fault.where else 0))
    return made


_EXAMPLE: Final = DATA / "tools.toml"
_KEYS: Final = (
    "bars",
    "dies",
    "drills",
    "flutes",
    "lathe",
    "limits",
    "parting_width",
    "printer",
    "reamers",
    "slugs",
    "taps",
)
_LATHE_KEYS: Final = (
    "between_centres",
    "cross_dial_reads",
    "dial_division",
    "over_cross_slide",
    "speeds",
    "spindle_bore",
    "swing",
)


@functools.cache
def _assumed() -> Mapping[str, Any]:
    """Read the assumed set as it is written."""
    return tomllib.loads(_EXAMPLE.read_text(encoding="utf-8"))


def _parsed(path: Path) -> tuple[str, dict[str, Any]]:
    """Read a file as far as TOML goes."""
    try:
        text = path.read_text(encoding="utf-8")
        return text, parsed(text)
    except FileNotFoundError:
        near = nearest(
            path.name, [p.name for p in path.parent.glob("*.toml")] if path.parent.is_dir() else []
        )
        mend = f"did you mean {near!r}?" if near else "print one with: turnmodel facts tools --example"
        fault = Fault(given=str(path), rule="there is no such file of tools", mend=mend)
    except tomllib.TOMLDecodeError as error:
        found = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)", str(error))
        lines = text.rstrip().split("\n")
        line = int(found[1]) if found and found[1] else len(lines)
        written = lines[min(line, len(lines)) - 1].strip()[:_SHOWN]
        rule = f"this is no TOML: {str(error).partition(' (at ')[0]}"
        fault = Fault(given=written, rule=rule, where=Where(str(path), line))
    except UnicodeDecodeError:
        fault = Fault(given=str(path), rule="this is no text in UTF-8")
    except OSError as error:
        fault = Fault(given=str(path), rule=f"cannot be read: {error.strerror or error}")
    raise ToolFaults([fault]) from None


@dataclass(slots=True, kw_only=True)
class _Page:
    """A file being read: what it holds, and what is wrong with it so far."""

    path: Path
    text: str
    table: Mapping[str, Any]
    faults: list[Fault] = field(default_factory=list)

    def fault(self, key: str, given: str, rule: str, mend: str | None = None) -> None:
        """Note one thing that is wrong, with the line it is likeliest on."""
        last = re.escape(key.partition(".")[2] or key)
        from_line = self._line(rf"^\s*\[?[\"']?{last}[\"']?\s*[=\]]") or 1
        at = self._line(re.escape(given), from_line) or from_line
        place = Where(str(self.path), at)
        self.faults.append(Fault(feature=key, given=given, rule=rule, mend=mend, where=place))

    def _line(self, pattern: str, start: int = 1) -> int | None:
        """Find the first line from one on that is no comment and has a pattern."""
        for number, line in enumerate(self.text.splitlines(), start=1):
            if number >= start and not line.lstrip().startswith("#") and re.search(pattern, line):
                return number
        return None

    def hold_keys(self, given: Iterable[str], known: tuple[str, ...], kind: str) -> None:
        """Hold keys to those there are."""
        for key in given:
            if key not in known:
                near = nearest(key, known)
                self.fault(
                    kind,
                    key,
                    "this is nothing that a file of tools has",
                    f"did you mean {near!r}?" if near else f"there is {', '.join(known)}",
                )

    def read(self, key: str, value: object, reader: Callable[[Any], T]) -> T | None:
        """Read one value; None where it is wrong."""
        try:
            return reader(value)
        except TurnmodelError as error:
            rule = error.rule if isinstance(error, BadText) else str(error)
            self.fault(key, str(value), rule)
        return None

    def listed(self, key: str, reader: Callable[[Any], Iterable[T]]) -> tuple[T, ...]:
        """Read a list, each entry giving some of what is listed."""
        entries = self.table.get(key, [])
        if not isinstance(entries, list):
            self.fault(key, str(entries), "must be a list", f"write {key} = [...]")
            return ()
        return tuple(item for entry in entries for item in self.read(key, entry, reader) or ())

    def figures(self, key: str, reader: Callable[[Any], float]) -> dict[str, float]:
        """Read a section of figures, leaving out those that are wrong."""
        read = {name: self.read(f"{key}.{name}", value, reader) for name, value in self.section(key).items()}
        return {name: value for name, value in read.items() if value is not None}

    def section(self, key: str) -> dict[str, Any]:
        """Take a section."""
        found = self.table.get(key, {})
        if isinstance(found, dict):
            return found
        self.fault(key, str(found), "must be a section", f"write [{key}] and its values below it")
        return {}


def _fluted(page: _Page, drills: tuple[Drill, ...]) -> tuple[Drill, ...]:
    """Put drills in order, each once, with the flutes that somebody measured."""
    owned = {each.name: each for each in sorted(drills, key=lambda each: each.diameter)}
    for key, flute in page.figures("flutes", read_length).items():
        named = page.read("flutes", key, drill)
        if named is None:
            continue
        if named.name not in owned:
            page.fault("flutes", key, "is not among the drills", f"add {named.name!r} to drills")
            continue
        source = Source(work=str(page.path), place="flutes")
        owned[named.name] = replace(owned[named.name], flute=flute, length_source=source)
    return tuple(owned.values())


def _lathe(page: _Page) -> Lathe:
    """Read the lathe; the assumed one stands in for what is left out, and for what is noted as wrong."""
    given = page.section("lathe")
    assumed = _assumed()["lathe"]
    page.hold_keys(given, _LATHE_KEYS, "lathe")
    row = {**assumed, **given}
    if "swing" in given:  # a lathe of another swing has another slide
        row["over_cross_slide"] = given.get("over_cross_slide")

    def read(key: str, reader: Callable[[Any], T]) -> T:
        found = page.read(f"lathe.{key}", row[key], reader)
        return reader(assumed[key]) if found is None else found

    return Lathe(
        swing=read("swing", read_length),
        over_cross_slide=None if row["over_cross_slide"] is None else read("over_cross_slide", read_length),
        spindle_bore=read("spindle_bore", read_length),
        between_centres=read("between_centres", read_length),
        speeds=read("speeds", read_speeds),
        dial_division=read("dial_division", read_length),
        cross_dial_reads=read("cross_dial_reads", read_dial),
    )


def _printer(page: _Page) -> Printer:
    """Read the printer; common practice for its process stands in for what is left out, or noted as wrong."""
    given = page.section("printer")
    read = {
        key: page.read(f"printer.{key}", value, functools.partial(read_figure, key))
        for key, value in given.items()
    }
    known = {key: value for key, value in read.items() if value is not None}
    try:
        return printer(**known)
    except BadValue as error:
        page.fault(f"printer.{error.what}", str(given.get(error.what, "")), error.rule, error.mend)
    return printer()
