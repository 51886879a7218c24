"""The part of the command that varies: it finds the parameters that meet a target."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import typer

from turnmodel.cli.options import progress

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

__all__ = ["told_target"]


def told_target(
    path: Path,
    over: Sequence[str],
    wanted: Sequence[str],
    fixed: Mapping[str, str],
    tools: Path | None,
    *,
    as_json: bool,
) -> None:
    """Seek the values and tell them; exit status 1 where they do not meet every target."""
    from turnmodel.analysis.goals import bounds, targets
    from turnmodel.analysis.target import aim
    from turnmodel.analysis.variants import axes
    from turnmodel.catalog.tools import find_tools
    from turnmodel.cli.tables import console, table
    from turnmodel.design.loading import design_of, read_script
    from turnmodel.output.charts.variation import label

    script = read_script(path)
    between = bounds(axes(over, script.parameters))
    design, _ = design_of(script, fixed)
    goals = targets(wanted, design)
    with progress(quiet=as_json) as tell:
        found = aim(script, between, goals, fixed=fixed, tools=find_tools(path, tools), tell=tell)
    if as_json:
        laid_out = {
            "design": design.name,
            "settings": dict(found.settings),
            "figures": dict(found.figures),
            "met": found.met,
            "reach": {name: list(ends) for name, ends in found.reach.items()},
            "stops": list(found.stops),
        }
        print(json.dumps(laid_out, indent=2))
        raise typer.Exit(0 if found.met else 1)
    out = console()
    out.print("met" if found.met else "not met: this is the nearest")
    made = table("parameters", [("parameter", "left"), ("value", "right"), ("between", "right")])
    for name, value in found.settings.items():
        made.add_row(name.replace("_", " "), f"{value:.6f}", f"{between[name][0]:g} and {between[name][1]:g}")
    out.print(made)
    made = table(
        "targets", [("figure", "left"), ("target", "right"), ("found", "right"), ("within reach", "right")]
    )
    for goal in goals:
        figure, ends = found.figures[goal.name], found.reach.get(goal.name)
        made.add_row(
            label(goal.name),
            f"{goal.relation} {goal.value:g}",
            "" if figure is None else f"{figure:.6f}" if isinstance(figure, float) else f"{figure}",
            f"{ends[0]:.3f} to {ends[1]:.3f}" if ends else "",
        )
    out.print(made)
    for stop in found.stops:
        out.print(f"stopped by: {stop}")
    words = " ".join(f"--set {name}={value!r}" for name, value in found.settings.items())
    out.print(f"to go on with these: {words}")
    raise typer.Exit(0 if found.met else 1)
