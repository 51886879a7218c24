"""Read what somebody writes of a tool: one text or figure, one record or several."""

from __future__ import annotations

import functools
import math
import re
from fractions import Fraction
from typing import TYPE_CHECKING, Final, Literal

from turnmodel.catalog.bars import bar_size
from turnmodel.catalog.drills import Drill, drill, standard_drills
from turnmodel.catalog.materials import material
from turnmodel.catalog.run_outs import die_lead, tap_lead
from turnmodel.catalog.threads import Thread, thread
from turnmodel.catalog.toolbox import OwnedBar, OwnedDie, OwnedSlug, OwnedTap, Speeds
from turnmodel.errors import BadText, UnknownName
from turnmodel.units import length

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = [
    "read_bar",
    "read_dial",
    "read_dies",
    "read_drills",
    "read_length",
    "read_number",
    "read_slug",
    "read_speeds",
    "read_taps",
]


def read_length(value: object) -> float:
    """Read a length: a number of millimetres, or a text with its unit."""
    found = length(value) if isinstance(value, str) else read_number(value)
    if not found > 0:
        raise BadText("length", str(value), "must be more than 0 mm")
    return found


def read_number(value: object) -> float:
    """Read a finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise BadText("number", str(value), "write a finite number without quotes")
    return float(value)


def _text(value: object, example: str) -> str:
    """Read a text."""
    if not isinstance(value, str):
        raise BadText("name", str(value), f"write it in quotes, as {example!r}")
    return " ".join(value.split())


def read_bar(entry: object) -> OwnedBar:
    """Read a bar: its size alone, or with length and material."""
    row = entry if isinstance(entry, dict) else {"size": entry}
    for key in row:
        if key not in ("length", "material", "size"):
            raise UnknownName("figure of a bar", key, ("size", "length", "material"))
    return OwnedBar(
        diameter=bar_size(_text(row.get("size"), "10 mm")).diameter,
        length=read_length(row["length"]) if "length" in row else None,
        material=material(_text(row["material"], "brass")).name if "material" in row else None,
    )


_SLUG_KEYS: Final = ("count", "diameter", "hole", "length", "material")


def read_slug(entry: object) -> OwnedSlug:
    """Read an end of rod or a washer."""
    example = '{ material = "silver steel", diameter = 3, length = 12, count = 4 }'
    if not isinstance(entry, dict):
        raise BadText("slug", str(entry), f"write {example}")
    for key in entry:
        if key not in _SLUG_KEYS:
            raise UnknownName("figure of a slug", key, _SLUG_KEYS)
    if missing := [key for key in ("material", "diameter", "length") if key not in entry]:
        raise BadText("slug", str(entry), f"{' and '.join(missing)} left out; write {example}")
    diameter, hole = read_length(entry["diameter"]), read_length(entry["hole"]) if "hole" in entry else 0.0
    count = read_number(entry.get("count", 1))
    if hole >= diameter:
        raise BadText("slug", str(entry), f"its hole is less than its diameter, {diameter:g} mm")
    if count < 1 or count != int(count):
        raise BadText("slug", str(entry), "a count is a whole number, 1 or more")
    return OwnedSlug(
        material=material(_text(entry["material"], "silver steel")).name,
        diameter=diameter,
        length=read_length(entry["length"]),
        hole_d=hole,
        count=int(count),
    )


def read_taps(entry: object) -> Iterable[OwnedTap]:
    """Read the taps of a thread."""
    size, leads = _sized(entry, "tap", ("taper", "plug", "bottoming", "set"), forms="abcde")
    if "set" in leads:
        leads = ["taper", "plug", "bottoming"]
    return [OwnedTap(thread=size, lead=tap_lead(lead).kind) for lead in leads or ["plug"]]


def read_dies(entry: object) -> Iterable[OwnedDie]:
    """Read the dies of a thread."""
    size, leads = _sized(entry, "die", ("standard", "short", "reversed"))
    return [OwnedDie(thread=size, lead=die_lead(lead).kind) for lead in leads or ["standard"]]


def _sized(entry: object, tool: str, words: tuple[str, ...], forms: str = "") -> tuple[Thread, list[str]]:
    """Read a thread and the leads that follow it, by a word or the letter of a form."""
    text = _text(entry, f"M4 {words[1]}")
    size: list[str] = text.split()
    leads: list[str] = []
    while size and size[-1].casefold() in (*words, *forms):
        leads.insert(0, size.pop().casefold())
    try:
        return thread(" ".join(size)), leads
    except BadText:
        rule = f"write the thread and then any of {', '.join(words)}, as 'M4 {words[1]}'"
        raise BadText(tool, text, rule) from None


_METRIC_SET: Final = re.compile(r"metric ([\d.]+) ?- ?([\d.]+) by ([\d.]+)")
_NUMBER_SET: Final = re.compile(r"numbers? #?(\d{1,3}) ?- ?#?(\d{1,3})")
_LETTER_SET: Final = re.compile(r"letters? ([a-z]) ?- ?([a-z])")
_FRACTION_SET: Final = re.compile(r"fractions? (\d+/\d+) ?- ?(\d+/\d+|1) by (\d+/\d+)")
_SETS: Final = "'metric 1-10 by 0.1', 'number 1-60', 'letter A-Z', 'fraction 1/16-1/2 by 1/64'"
_MOST: Final = 1000
"""Sizes in a set: more than the tables have."""


def read_drills(entry: object) -> Iterable[Drill]:
    """Read a set of drills, or a drill."""
    text = _text(entry, "2.5 mm")
    low = text.casefold()
    if found := _METRIC_SET.fullmatch(low):
        sizes = _steps(text, *found.groups())
        return _of_kind(text, "metric", [f"{float(size):g} mm" for size in sizes])
    if found := _NUMBER_SET.fullmatch(low):
        return _of_kind(text, "number", [f"#{n}" for n in range(int(found[1]), int(found[2]) + 1)])
    if found := _LETTER_SET.fullmatch(low):
        return _of_kind(
            text, "letter", [chr(n) for n in range(ord(found[1].upper()), ord(found[2].upper()) + 1)]
        )
    if found := _FRACTION_SET.fullmatch(low):
        return _of_kind(text, "fraction", [f"{size} in" for size in _steps(text, *found.groups())])
    if low.startswith(("metric", "number", "letter", "fraction")) and "-" in low:
        raise BadText("set of drills", text, f"write it as one of {_SETS}")
    return [drill(text)]


def _steps(text: str, low: str, high: str, step: str) -> list[Fraction]:
    """List the sizes of a set."""
    try:
        first, last, by = Fraction(low), Fraction(high), Fraction(step)
    except (ValueError, ZeroDivisionError):
        raise BadText("set of drills", text, f"write it as one of {_SETS}") from None
    if not (0 < first <= last and by > 0 and (last - first) / by < _MOST):
        raise BadText("set of drills", text, "it runs up, from a size above zero by a step above zero")
    return [first + n * by for n in range(int((last - first) / by) + 1)]


def _of_kind(text: str, kind: str, names: list[str]) -> list[Drill]:
    """Find drills of one kind by their names."""
    table = _by_name()[kind]
    for name in names:
        if name not in table and kind == "metric":
            raise UnknownName("metric drill", name, table)
        if name not in table:
            first, *_, last = table
            raise BadText("set of drills", text, f"there is no {name}: {kind} drills are {first} to {last}")
    if not names:
        raise BadText("set of drills", text, "it runs up, from its first size to its last")
    return [table[name] for name in names]


@functools.cache
def _by_name() -> dict[str, dict[str, Drill]]:
    """Index the standard drills by kind and name."""
    found: dict[str, dict[str, Drill]] = {}
    for each in standard_drills():
        found.setdefault(each.kind, {})[each.name] = each
    return found


def read_speeds(value: object) -> Speeds:
    """Read the speeds: a list of steps, or from and to."""
    if isinstance(value, dict) and set(value) == {"from", "to"}:
        steps, stepless = [value["from"], value["to"]], True
    elif isinstance(value, list) and value:
        steps, stepless = value, False
    else:
        raise BadText("speeds", str(value), "write [130, 300, 700] or { from = 100, to = 2500 }")
    found = [read_number(step) for step in steps]
    if found != sorted(set(found)) or not found[0] > 0:
        raise BadText("speeds", str(value), "they are above zero and rise, slowest first")
    return Speeds(steps=tuple(found), stepless=stepless)


def read_dial(value: object) -> Literal["radius", "diameter"]:
    """Read what the cross slide's dial reads."""
    match value:
        case "radius" | "diameter":
            return value
    raise UnknownName("reading of a dial", str(value), ("radius", "diameter"))
