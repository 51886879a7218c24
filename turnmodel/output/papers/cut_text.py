"""The cut sheet without a page: as plain text for the terminal, and as a piece of HTML."""

from __future__ import annotations

import textwrap
from html import escape
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from turnmodel.output.papers.cut_entries import Entry, Grid, Words

__all__ = ["cut_html", "cut_text"]

_WIDE: Final = 96
"""Columns of a terminal that are used; house choice."""
_VERB: Final = 18
"""Column at which the text of a step begins."""


def cut_text(words: Words) -> str:
    """Write a cut sheet as plain text.

    Parameters
    ----------
    words : Words
        The sheet

    Returns
    -------
    str
        Lines of 96 letters at the most
    """
    lines = [f"{words.part}: cut sheet", *(f"{caption}: {text}" for caption, text in words.facts)]
    for note in words.notes:
        lines += textwrap.wrap(note, _WIDE)
    for section in words.sections:
        lines += ["", section.title.upper()]
        for entry in section.entries:
            lines += _entry(entry)
        if section.grid is not None:
            lines += _grid(section.grid)
    return "\n".join(lines) + "\n"


def _entry(entry: Entry) -> list[str]:
    head = f"{entry.number:>3} {entry.verb.upper()}"
    speed = f" [{entry.turns} turns a minute]" if entry.turns else ""
    listed = textwrap.wrap(
        entry.text + speed,
        _WIDE,
        initial_indent=head.ljust(_VERB),
        subsequent_indent=" " * _VERB,
    )
    if entry.readings:
        listed += textwrap.wrap(
            entry.readings, _WIDE, initial_indent=" " * _VERB, subsequent_indent=" " * _VERB
        )
    if entry.grid is not None:
        listed += _grid(entry.grid)
    for caution in entry.cautions:
        listed += textwrap.wrap(
            f"! {caution}", _WIDE, initial_indent=" " * _VERB, subsequent_indent=" " * (_VERB + 2)
        )
    return listed


def _grid(grid: Grid) -> list[str]:
    rows = [grid.headings, *grid.rows]
    widths = [max(len(row[n]) for row in rows) for n in range(len(grid.headings))]
    return [
        " " * _VERB + "  ".join(cell.rjust(wide) for cell, wide in zip(row, widths, strict=True))
        for row in rows
    ]


def cut_html(words: Words) -> str:
    """Write a cut sheet as a section of HTML, without any style of its own.

    Parameters
    ----------
    words : Words
        The sheet

    Returns
    -------
    str
        A ``section`` with a list of steps that can be ticked off
    """
    lines = [f'<section class="cut-sheet"><h2>{escape(words.part)}: cut sheet</h2><dl>']
    lines += [f"<dt>{escape(caption)}</dt><dd>{escape(text)}</dd>" for caption, text in words.facts]
    lines.append("</dl>")
    lines += [f"<p>{escape(note)}</p>" for note in words.notes]
    for section in words.sections:
        lines.append(f"<h3>{escape(section.title)}</h3>")
        if section.why:
            lines.append(f"<p>{escape(section.why)}</p>")
        first = section.entries[0].number if section.entries else 1
        lines.append(f'<ol start="{first}">')
        lines += [_item(entry) for entry in section.entries]
        lines.append("</ol>")
        if section.grid is not None:
            lines.append(_html_grid(section.grid))
    return "\n".join([*lines, "</section>\n"])


def _item(entry: Entry) -> str:
    speed = f" <small>{escape(entry.turns)} turns a minute</small>" if entry.turns else ""
    readings = f"<br>{escape(entry.readings)}" if entry.readings else ""
    grid = _html_grid(entry.grid) if entry.grid is not None else ""
    cautions = "".join(f'<p class="caution">{escape(caution)}</p>' for caution in entry.cautions)
    label = f'<label><input type="checkbox"> <b>{escape(entry.verb)}</b> {escape(entry.text)}</label>'
    return f"<li>{label}{speed}{readings}{grid}{cautions}</li>"


def _html_grid(grid: Grid) -> str:
    head = "".join(f"<th>{escape(cell)}</th>" for cell in grid.headings)
    rows = "".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in grid.rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
