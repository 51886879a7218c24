"""Cut sheets on the page: steps to tick off as they are done, and cautions before all of them."""

from __future__ import annotations

import hashlib
from collections import Counter
from typing import TYPE_CHECKING

from turnmodel.output.page.markup import Markup, joined, tag
from turnmodel.output.page.sections import Section, table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.output.page.content import CutSheet, CutStep, Stage, Table

__all__ = ["cautions", "cut_sheets", "tick_keys"]


def cautions(said: Sequence[str]) -> Section:
    """List what to beware of in all work."""
    listed = tag("ul", joined(tag("li", text) for text in said), class_="beware")
    return Section("Beware", listed if said else Markup(""))


def cut_sheets(design: str, sheets: Sequence[CutSheet]) -> Section:
    """Show every part's cut sheet with its tick boxes."""
    return Section("Cut sheets", joined(_sheet(design, sheet) for sheet in sheets))


def _sheet(design: str, sheet: CutSheet) -> Markup:
    """Fold a sheet under its part's name and how far it is done."""
    keys = iter(tick_keys(design, sheet))
    head = tag("summary", tag("h3", sheet.part), tag("span", "", class_="done", data_done=""))
    notes = [tag("p", note, class_="note") for note in (sheet.blank, *sheet.notes)]
    stages = [_stage(stage, keys) for stage in sheet.stages]
    clear = tag(
        "button", "Clear ticks", type="button", data_clear="", aria_label=f"Clear the ticks of {sheet.part}"
    )
    return tag("details", head, *notes, *stages, clear, class_="cut-sheet", data_sheet="")


def _stage(stage: Stage, keys: Iterator[str]) -> Markup:
    """Show steps that belong together."""
    lines = [tag("h4", stage.title)]
    if stage.why:
        lines.append(tag("p", stage.why, class_="note"))
    lines.append(tag("ol", joined(_step(step, next(keys)) for step in stage.steps)))
    if stage.table:
        lines.append(_grid(stage.title, stage.table))
    return tag("div", joined(lines), class_="stage")


def tick_keys(design: str, sheet: CutSheet) -> tuple[str, ...]:
    """Name each step for as long as it says the same: a design that is rebuilt keeps its ticks.

    Parameters
    ----------
    design : str
        Name of the design
    sheet : CutSheet
        The sheet

    Returns
    -------
    tuple of str
        A key for each step, all different
    """
    seen: Counter[str] = Counter()
    keys = []
    for step in (step for stage in sheet.stages for step in stage.steps):
        said = "\n".join((design, sheet.part, step.verb, step.text))
        seen[said] += 1
        digest = hashlib.sha256(f"{said}\n{seen[said]}".encode()).hexdigest()[:16]
        keys.append(f"turnmodel {digest}")
    return tuple(keys)


def _step(step: CutStep, key: str) -> Markup:
    label = tag(
        "label",
        tag("input", type="checkbox", data_tick=key, autocomplete="off"),
        tag("span", tag("b", step.verb), " ", step.text),
    )
    lines = [label]
    lines += [tag("p", note, class_="note") for note in step.notes]
    lines += [tag("p", tag("b", "Beware:"), " ", said, class_="beware") for said in step.cautions]
    if step.table:
        lines.append(_grid(step.verb, step.table))
    return tag("li", joined(lines))


def _grid(title: str, grid: Table) -> Markup:
    return table(f"{title}: table", grid.heads, grid.rows, "n" * len(grid.heads))
