"""What the page shows of a design, gathered from every room of the output."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final
from xml.etree import ElementTree

from turnmodel.analysis.plan.cautions import FIRST
from turnmodel.analysis.plan.planner import cut_plans
from turnmodel.analysis.report import as_json
from turnmodel.analysis.words import listed
from turnmodel.output.charts.section import sections
from turnmodel.output.page.content import Content, CutSheet, CutStep, Drawing, Picture, Stage, Table
from turnmodel.output.page.gltf import Look
from turnmodel.output.page.model import model, told_apart
from turnmodel.output.papers.cut_entries import cut_words
from turnmodel.output.pictures.pieces import part_appearance

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from turnmodel.analysis.report import Report
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.output.papers.cut_entries import Entry, Grid, Words

__all__ = ["gathered", "looks"]

_VIEWS: Final = {
    "whole": "whole",
    "cut": "cut open",
    "apart": "pulled apart",
    "close": "cut open, close up",
    "ruler": "beside a ruler",
}
"""What the views of an album show."""


def looks(design: Design) -> dict[str, Look]:
    """Tell how each part of a design answers the light."""
    seen = {part.name: part_appearance(part) for part in design.parts}
    return {
        name: Look(
            base=a.base,
            metallic=a.metallic,
            roughness=a.roughness,
            cut=a.cut,
            lines="rings" if a.lines == "knurl" else a.lines,
        )
        for name, a in seen.items()
    }


def gathered(
    design: Design, report: Report, tools: Toolbox, folder: Path, named: Callable[[str], str]
) -> Content:
    """Gather what the page shows; pictures and drawings are those in a folder, as far as they are there.

    Parameters
    ----------
    design : Design
        The design
    report : Report
        What is known of it
    tools : Toolbox
        The tools it is made with
    folder : Path
        Where its pictures are, and in ``drawings`` its drawings as SVG
    named : callable
        What made the names of states safe as those of files

    Returns
    -------
    Content
        For `turnmodel.output.page.html.page`
    """
    seen = looks(design)
    plans = cut_plans(design, tools)
    return Content(
        report=as_json(report),
        model=model(design, seen),
        outlines={state: sections(design, state) for state in design.states},
        inks={name: look.cut for name, look in told_apart(seen).items()},
        pictures=_pictures(design, folder, named),
        drawings=_drawings(folder / "drawings"),
        sheets=[_sheet(cut_words(plan, tools)) for plan in plans.values()],
        cautions=[FIRST] if plans else [],
    )


def _pictures(design: Design, folder: Path, named: Callable[[str], str]) -> list[Picture]:
    """Take the pictures of every state, view by view, and say what each shows by the name of its file."""
    found = []
    for view, shown in _VIEWS.items():
        for state in design.states:
            start = f"{named(state)}-{view}"
            for path in sorted(folder.glob(f"{start}*.png")):
                rest = path.stem.removeprefix(start).replace("-", " ").strip()
                title = ", ".join(filter(None, (state, shown, rest)))
                parts = f": {listed(list(design.poses[state].parts))}" if view == "apart" else ""
                alt = f"{design.name}, {title}{parts}"
                found.append(Picture(title=title, alt=alt, data=path.read_bytes()))
    return found


def _drawings(folder: Path) -> list[Drawing]:
    """Take the drawings, which have their titles inside; templates are printed elsewhere, true to size."""
    found = []
    for path in sorted(folder.glob("*.svg")):
        text = path.read_text(encoding="utf-8")
        title = ElementTree.fromstring(text).findtext("{http://www.w3.org/2000/svg}title") or path.stem
        if not title.endswith(": templates"):
            found.append(Drawing(title=title, alt=f"Drawing with sizes, {title}", svg=text))
    return found


def _sheet(words: Words) -> CutSheet:
    """Lay a cut sheet out for the page; what is said first of all work is said once for all sheets."""
    return CutSheet(
        part=words.part,
        blank="; ".join(f"{name} {value}" for name, value in words.facts),
        notes=tuple(note for note in words.notes if note != FIRST),
        stages=tuple(
            Stage(
                title=section.title,
                why=section.why,
                steps=tuple(_step(entry) for entry in section.entries),
                table=_table(section.grid),
            )
            for section in words.sections
        ),
    )


def _step(entry: Entry) -> CutStep:
    return CutStep(
        verb=entry.verb,
        text=entry.text,
        notes=tuple(filter(None, (entry.turns and f"{entry.turns} rpm", entry.readings))),
        cautions=entry.cautions,
        table=_table(entry.grid),
    )


def _table(grid: Grid | None) -> Table | None:
    return None if grid is None else Table(heads=grid.headings, rows=grid.rows)
