"""What the page is made of, as plain values: nothing here knows how any of it was made."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

__all__ = ["Content", "CutSheet", "CutStep", "Drawing", "Outline", "Picture", "Stage", "Table"]

Outline = list[tuple[float, float]]
"""A closed outline of points (station, distance from the axis), [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture: its title, what it shows to somebody who cannot see it, and its file, PNG."""

    title: str
    alt: str
    data: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing on a sheet: its title, what it shows, and its text as SVG."""

    title: str
    alt: str
    svg: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A small table below a step: its heads and its rows."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutStep:
    """A step of a cut sheet: what is done in a word, to which numbers, and what to beware of."""

    verb: str
    text: str
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    table: Table | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """Steps that belong together, and why: what is done in one setting, or at the bench."""

    title: str
    steps: tuple[CutStep, ...]
    why: str = ""
    table: Table | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CutSheet:
    """The steps that make a part, what it is made from, and what holds for the whole sheet."""

    part: str
    blank: str
    stages: tuple[Stage, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """Everything that stands on the page.

    Parameters
    ----------
    report : mapping
        The report, as ``check --json`` prints it
    model : bytes
        The object as binary glTF, a scene for each state
    outlines : mapping
        State's name to part's name to the outlines of its section where it stands, [mm]
    inks : mapping
        Part's name to its colour in a section, sRGB from 0 to 1, [-]
    pictures, drawings, sheets : sequence
        What there is of them; a heading with nothing under it is left out
    cautions : sequence of str
        What to beware of in all work, the most general first
    """

    report: Mapping[str, Any]
    model: bytes
    outlines: Mapping[str, Mapping[str, Sequence[Outline]]]
    inks: Mapping[str, tuple[float, float, float]]
    pictures: Sequence[Picture] = field(default=())
    drawings: Sequence[Drawing] = field(default=())
    sheets: Sequence[CutSheet] = field(default=())
    cautions: Sequence[str] = field(default=())
