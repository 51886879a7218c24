"""Charts of variants: figures over parameters, and a line-up of objects at one scale."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from turnmodel.output.charts.canvas import GRID, fill, sheet
from turnmodel.output.charts.section import sections
from turnmodel.output.charts.weights import balance_mark, draw_parts

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from matplotlib.axes import Axes

    from turnmodel.analysis.variation import Row
    from turnmodel.analysis.weight import StateWeight
    from turnmodel.design.design import Design

__all__ = ["Stood", "draw_line_up", "draw_variation", "label"]

_WRONG: Final = "#b03a2e"
_LEVELS: Final = 8  # values of a second parameter up to which each has a line of its own
_WIDE: Final = 8.0  # in


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """A variant that stands in a line-up: what is said of it, the design, its weight in the state shown."""

    title: str
    design: Design
    weight: StateWeight


def label(name: str) -> str:
    """Say a figure's name as people do.

    Examples
    --------
    >>> label("states.open.balance_mm"), label("parts.cap.mass_g"), label("faults")
    ('open, balance mm', 'cap, mass g', 'faults')
    """
    kind, _, rest = name.partition(".")
    of, _, word = rest.rpartition(".")
    return f"{of}, {word.replace('_', ' ')}" if kind in ("states", "parts") and of else name.replace("_", " ")


def draw_variation(rows: Sequence[Row], title: str, path: Path) -> Path:
    """Draw each figure over each parameter; variants with faults are marked.

    Parameters
    ----------
    rows : sequence of Row
        The variants
    title : str
        What stands above it
    path : Path
        File to write, .png, .svg or .pdf

    Returns
    -------
    Path
        The file

    Raises
    ------
    OptionError
        If there is no such kind of picture
    OutputError
        If it cannot be written
    """
    parameters = list(rows[0].settings)
    whole = [row for row in rows if row.broken is None]
    names = [name for name in (whole[0].figures if whole else {}) if name != "faults"] or ["faults"]
    with sheet(path, max(3.6 * len(parameters), 5.0), 2.2 * len(names) + 0.4) as figure:
        figure.suptitle(title, x=0.01, ha="left", fontweight="bold", fontsize=10)
        grid = figure.subplots(len(names), len(parameters), squeeze=False, sharex="col", sharey="row")
        for j, name in enumerate(names):
            for k, parameter in enumerate(parameters):
                axes = grid[j][k]
                _plot(axes, whole, parameter, name, [p for p in parameters if p != parameter])
                axes.grid(color=GRID, linewidth=0.6)
                axes.set_axisbelow(True)
                if k == 0:
                    axes.set_ylabel(label(name))
                if j == len(names) - 1:
                    axes.set_xlabel(parameter.replace("_", " "))
    return path


def _plot(axes: Axes, rows: Sequence[Row], parameter: str, name: str, others: Sequence[str]) -> None:
    """Draw a figure over a parameter: a line for each setting of another, dots where there are many."""
    families: dict[tuple[str, ...], list[Row]] = {}
    for row in rows:
        families.setdefault(tuple(row.settings[p] for p in others), []).append(row)
    lines = len(families) <= _LEVELS
    said: dict[tuple[float, float], str] = {}
    for k, (values, family) in enumerate(families.items()):
        x = [_number(row.settings[parameter]) for row in family]
        y = [_figure(row, name) for row in family]
        ink = fill(k) if lines else fill(1)
        axes.plot(x, y, color=ink, linewidth=1.2 if lines else 0, marker="o", markersize=2.5)
        if lines and len(families) > 1 and math.isfinite(y[-1]):
            words = zip(others, values, strict=True)
            said[x[-1], y[-1]] = ", ".join(f"{other.replace('_', ' ')} {value}" for other, value in words)
    low, high = axes.get_ylim()
    heights = sorted(y for _, y in said)
    # Lines that run together are not told apart by letters on top of each other.
    if len(heights) == len(families) and all(b - a > (high - low) / 25 for a, b in pairwise(heights)):
        for at, text in said.items():
            axes.annotate(text, at, xytext=(4, 0), textcoords="offset points", fontsize=6.5, va="center")
    wrong = [r for r in rows if r.figures.get("faults")]
    axes.plot(
        [_number(r.settings[parameter]) for r in wrong], [_figure(r, name) for r in wrong],
        color=_WRONG, marker="x", markersize=5, linewidth=0, label="with faults",
    )  # fmt: skip
    if wrong:
        axes.legend(frameon=False, fontsize=7)


def _figure(row: Row, name: str) -> float:
    """Tell a figure; no number where there is none."""
    value = row.figures[name]
    return math.nan if value is None else value


def _number(text: str) -> Any:
    """Read a setting as a number where it is one."""
    try:
        return float(text)
    except ValueError:
        return text


def draw_line_up(variants: Sequence[Stood], state: str, path: Path) -> Path:
    """Draw variants under each other at one scale, cut along the axis, with their balance points.

    Parameters
    ----------
    variants : sequence of Stood
        From the top down
    state : str
        The state they are shown in
    path : Path
        File to write, .png, .svg or .pdf

    Returns
    -------
    Path
        The file

    Raises
    ------
    OptionError
        If there is no such kind of picture
    OutputError
        If it cannot be written
    """
    drawn = [sections(one.design, state) for one in variants]
    every = [p for parts in drawn for part in parts.values() for outline in part for p in outline]
    low, high = min(z for z, _ in every), max(z for z, _ in every)
    bottom, top = min(h for _, h in every), max(h for _, h in every)
    margin = 0.03 * (high - low)
    height = _WIDE * (top - bottom + 2 * margin) / (high - low + 2 * margin)
    inks: Mapping[str, str] = {part.name: fill(k) for k, part in enumerate(variants[0].design.parts)}
    with sheet(path, _WIDE, len(variants) * (height + 0.35)) as figure:
        rows = figure.subplots(len(variants), 1, squeeze=False)
        for axes, one, parts in zip(rows[:, 0], variants, drawn, strict=True):
            draw_parts(axes, parts, dict(inks))
            balance_mark(axes, one.weight.balance, 0.0, 0.022 * (high - low))
            axes.set(
                xlim=(low - margin, high + margin),
                ylim=(bottom - margin, top + margin),
                aspect="equal",
                anchor="W",
            )
            axes.axis("off")
            axes.set_title(one.title, loc="left", fontsize=9)
    return path
