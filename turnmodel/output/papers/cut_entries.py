"""A cut sheet as words: sections of numbered entries, which paper, terminal and page all show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.cautions import FIRST
from turnmodel.analysis.plan.dial import divisions
from turnmodel.analysis.plan.lengths import Lengths
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.finishes import temper_colours
from turnmodel.catalog.materials import material
from turnmodel.units import inch

if TYPE_CHECKING:
    from turnmodel.analysis.plan.lengths import Unit
    from turnmodel.analysis.plan.steps import Plan, Step
    from turnmodel.catalog.toolbox import Lathe, Toolbox

__all__ = ["Entry", "Grid", "Section", "Words", "cut_words"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A table: its headings and its rows."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A step: its number [-], its verb, what to do, how fast, its readings, what to beware of."""

    number: int
    verb: str
    text: str
    turns: str
    readings: str
    grid: Grid | None
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Steps that belong together: their title, and a line that says why."""

    title: str
    why: str
    entries: tuple[Entry, ...]
    grid: Grid | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Everything that stands on a cut sheet."""

    part: str
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    sections: tuple[Section, ...]


_UNITS: Final = {"mm": "mm", "in": "inches"}

_WHY: Final = "One setting: what is cut in it runs true together."


def cut_words(plan: Plan, tools: Toolbox) -> Words:
    """Put a plan into words.

    Parameters
    ----------
    plan : Plan
        The plan
    tools : Toolbox
        The tools it was made with, whose dial is read

    Returns
    -------
    Words
        Its sections, numbered through
    """
    say, lathe = Lengths(plan.unit), tools.lathe
    metal = material(plan.part.material)
    number = 0
    sections = []
    for k, setting in enumerate(plan.settings):
        title = f"From the bar, {setting.out} end out" if k == 0 else f"Turned round, {setting.out} end out"
        entries = _entries(setting.steps, number, say, tools)
        number += len(entries)
        sections.append(Section(title=title, why=_WHY, entries=entries))
    for bench in plan.bench:
        entries = _entries(bench.steps, number, say, tools)
        number += len(entries)
        heated = any(step.verb is Verb.HEAT for step in bench.steps)
        title = bench.title[0].upper() + bench.title[1:]
        sections.append(Section(title=title, why="", entries=entries, grid=_colours() if heated else None))
    notes = [FIRST]
    if plan.settings:
        notes.append(
            f"Sizes in {_UNITS[plan.unit]}; stations count from the faced end that stands out. Dial: a "
            f"division is {_division(lathe, plan.unit)} of {lathe.cross_dial_reads}, counted from where the "
            "tool first touches. Measure before the last cut of every size. Of two speeds begin with the "
            "slower."
        )
    else:
        notes.append(f"Sizes in {_UNITS[plan.unit]}.")
    if plan.missing:
        notes.append(f"To be had first: {', '.join(map(str, plan.missing))}.")
    facts = (
        ("material", metal.title if metal.title.startswith(metal.name) else f"{metal.name}, {metal.title}"),
        ("stock", plan.blank.stock),
        ("uses", f"{say.rough(plan.blank.takes)} {plan.unit}"),
        ("tools", tools.origin),
    )
    return Words(part=plan.part.name, facts=facts, notes=tuple(notes), sections=tuple(sections))


def _division(lathe: Lathe, unit: Unit) -> str:
    """Write what a division of the dial means."""
    if unit == "in":
        return f"{lathe.dial_division / inch:.4f}".removeprefix("0").rstrip("0") + " in"
    return f"{lathe.dial_division:g} mm"


def _entries(steps: tuple[Step, ...], number: int, say: Lengths, tools: Toolbox) -> tuple[Entry, ...]:
    """Number the steps of a section; a caution is told where it first applies."""
    told: set[str] = set()
    found = []
    for k, step in enumerate(steps, number + 1):
        fresh = [c.text for c in step.cautions if c.text not in told]
        told.update(fresh)
        found.append(
            Entry(
                number=k,
                verb=str(step.verb),
                text=_sentence(step.text),
                turns=str(step.turns) if step.turns else "",
                readings=_readings(step, say),
                grid=_table(step, say, tools),
                cautions=tuple(fresh),
            )
        )
    return tuple(found)


def _sentence(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def _readings(step: Step, say: Lengths) -> str:
    """Write the dial of each cut, and the diameter that it leaves."""
    if not step.passes:
        return ""
    return "dial " + ", ".join(f"{p.dial:g} (⌀{say.fine(p.diameter)})" for p in step.passes)


def _table(step: Step, say: Lengths, tools: Toolbox) -> Grid | None:
    """Write a curve as a table, the dial set to 0 where the tool touches the widest of it."""
    if step.table is None:
        return None
    wide = step.table.widest_d
    rows = tuple(
        (say(s.advance), say.fine(round(s.diameter, 2)), f"{_dial(wide, s.diameter, tools):.0f}")
        for s in step.table.steps
    )
    return Grid(headings=("from face", "⌀", "dial"), rows=rows)


def _dial(wide: float, diameter: float, tools: Toolbox) -> float:
    return divisions((wide - diameter) / 2, tools.lathe)


def _colours() -> Grid:
    """Write the temper colours with the spread between works."""
    return Grid(
        headings=("colour", "°C"),
        rows=tuple((c.name, f"{min(c.heats):.0f} to {max(c.heats):.0f}") for c in temper_colours()),
    )
