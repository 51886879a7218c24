"""A picture of what an object weighs: each state cut along its axis, its balance point, each part's share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from turnmodel.output.charts.canvas import GRID, INK, fill, sheet
from turnmodel.output.charts.section import Outline, sections

if TYPE_CHECKING:
    from pathlib import Path

    from matplotlib.axes import Axes

    from turnmodel.analysis.weighing import StateWeighed, Weighed
    from turnmodel.design.design import Design

__all__ = ["balance_mark", "draw_parts", "draw_weights"]

_WIDE = 8.0  # in
_MOST_HIGH = 5.0  # in, for one state
_LEAST_SHARE = 4.0  # % of the mass under which a part's share is too narrow to letter


def draw_weights(design: Design, found: Weighed, path: Path) -> Path:
    """Draw every state with its balance point and the share of each part.

    Parameters
    ----------
    design : Design
        The design
    found : Weighed
        What it weighs
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
    inks = {name: fill(k) for k, name in enumerate(found.parts)}
    outlines = {state: sections(design, state) for state in found.states}
    every = [p for parts in outlines.values() for part in parts.values() for outline in part for p in outline]
    low, high = min(z for z, _ in every), max(z for z, _ in every)
    tall = max(abs(h) for _, h in every)
    margin = (high - low) * 0.03
    stretch, drop = (low - margin, high + margin), 1.45 * tall
    height = min(_WIDE * 2.7 * tall / (stretch[1] - stretch[0]), _MOST_HIGH)
    count = len(found.states)
    with sheet(path, _WIDE, count * (height + 0.9)) as figure:
        rows = figure.subplots(2 * count, 1, height_ratios=[height, 0.45] * count)
        for k, (state, weighed) in enumerate(found.states.items()):
            drawing, bar = rows[2 * k], rows[2 * k + 1]
            draw_parts(drawing, outlines[state], inks)
            _draw_balance(drawing, weighed, drop)
            drawing.set(xlim=stretch, ylim=(-1.1 * drop, 1.1 * tall), aspect="equal", anchor="W")
            drawing.set_title(f"{found.design}, {state}", loc="left", fontweight="bold", fontsize=10)
            drawing.axis("off")
            _draw_shares(bar, weighed, inks)
    return path


def draw_parts(axes: Axes, parts: dict[str, list[Outline]], inks: dict[str, str]) -> None:
    """Fill the outlines of parts, each in its own ink, what is inside it left open."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path as Outlines

    for name, outlines in parts.items():
        whole = Outlines.make_compound_path(*(Outlines([*o, o[0]], closed=True) for o in outlines if o))
        axes.add_patch(PathPatch(whole, facecolor=inks[name], edgecolor=INK, linewidth=0.5))


def balance_mark(axes: Axes, z: float, height: float, size: float) -> None:
    """Draw the quartered disc of a centre of mass at station z and a height, all [mm]."""
    from matplotlib.patches import Circle, Wedge

    axes.add_patch(Circle((z, height), size, facecolor="white", edgecolor=INK, linewidth=0.9, zorder=5))
    for begin in (0, 180):
        axes.add_patch(Wedge((z, height), size, begin, begin + 90, facecolor=INK, edgecolor="none", zorder=6))


def _draw_balance(axes: Axes, weighed: StateWeighed, drop: float) -> None:
    """Mark the balance point, and tell it from the front of the object."""
    weight = weighed.weight
    axes.plot([weight.front, weight.back], [0, 0], color=INK, linewidth=0.4, dashes=(12, 3, 2, 3))
    axes.plot([weight.front, weight.front], [0, -drop], color=INK, linewidth=0.5)
    axes.plot([weight.balance, weight.balance], [0, -drop], color=INK, linewidth=0.5)
    axes.annotate(
        "", (weight.balance, -0.93 * drop), (weight.front, -0.93 * drop),
        arrowprops={"arrowstyle": "<|-|>", "color": INK, "linewidth": 0.5, "shrinkA": 0, "shrinkB": 0},
    )  # fmt: skip
    balance_mark(axes, weight.balance, 0.0, min(0.16 * drop, 0.025 * weight.length))
    text = f"{weight.balance - weight.front:.1f} mm, {weight.share:.0f} % of {weight.length:.1f} mm"
    axes.text(weight.balance + 0.15 * drop, -0.93 * drop, f"{text};  {weight.mass:.1f} g", va="center")


def _draw_shares(axes: Axes, weighed: StateWeighed, inks: dict[str, str]) -> None:
    """Lay the parts' shares of the mass end to end."""
    start = 0.0
    for name, share in weighed.shares.items():
        axes.barh(0, share, left=start, color=inks[name], edgecolor="white", linewidth=0.8)
        if share >= _LEAST_SHARE:
            axes.text(start + share / 2, 0, f"{name}\n{share:.0f} %", ha="center", va="center", fontsize=7.5)
        start += share
    small = [f"{name} {share:.1f} %" for name, share in weighed.shares.items() if share < _LEAST_SHARE]
    axes.set(xlim=(0, 100), ylim=(-0.5, 0.5), yticks=[], xticks=[])
    axes.set_xlabel(", ".join(small), loc="right", fontsize=7.5, labelpad=2)
    for edge in axes.spines.values():
        edge.set_color(GRID)
