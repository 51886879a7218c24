"""The command that weighs a design."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from turnmodel.cli.options import AsJson, Script, Set, settings
from turnmodel.errors import OptionError

if TYPE_CHECKING:
    from rich.table import Table

    from turnmodel.analysis.weighing import Weighed
    from turnmodel.analysis.weight import StateWeight

__all__ = ["weigh"]


def weigh(
    script: Script,
    given: Set = None,
    materials: Annotated[
        list[str] | None,
        typer.Option("--material", metavar="PART=NAME", help="Another material for a part; may be repeated."),
    ] = None,
    compare: Annotated[
        str | None,
        typer.Option(metavar="NAME,NAME", help="The turned parts in each of some materials, side by side."),
    ] = None,
    picture: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Draw the states and their balance points: .png, .svg or .pdf."),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Tell mass, balance and inertia by part and state."""
    from turnmodel.analysis.weighing import as_json as laid_out
    from turnmodel.analysis.weighing import compared, weighed
    from turnmodel.design.loading import load
    from turnmodel.output.charts.canvas import picture_kind

    if picture is not None:
        picture_kind(picture)
    design, _ = load(script, settings(given))
    taken = _materials(materials)
    found = weighed(design, taken)
    others = [] if compare is None else [name.strip() for name in compare.split(",")]
    beside = compared(design, others, taken) if others else {}
    if picture is not None:
        from turnmodel.output.charts.weights import draw_weights

        draw_weights(design, found, picture)
    if as_json:
        whole = laid_out(found)
        if beside:
            whole["compared"] = {
                name: {s: {"mass_g": w.mass, "balance_mm": w.balance} for s, w in states.items()}
                for name, states in beside.items()
            }
        print(json.dumps(whole, indent=2))
        return
    from turnmodel.cli.tables import console

    out = console()
    out.print(_parts(found))
    out.print(_states(found))
    if beside:
        out.print(_side_by_side(beside))
    for name, part in found.parts.items():
        if part.weight.estimated:
            out.print(f"~ {name} is not weighed yet: weigh yours and write bought({name!r}, ..., mass=...)")
    if any(part.cut for part in found.parts.values()):
        out.print("* as it was cut and measured")
    if picture is not None:
        out.print(f"drawn in {picture}")


def _materials(given: list[str] | None) -> dict[str, str]:
    """Split PART=NAME."""
    found: dict[str, str] = {}
    for text in given or []:
        part, equals, name = (piece.strip() for piece in text.partition("="))
        if not (part and equals and name):
            raise OptionError(f"--material {text}: must be PART=NAME, such as --material cap=6061-T6")
        if part in found:
            raise OptionError(f"--material {part}: given twice, as {found[part]} and {name}")
        found[part] = name
    return found


def _parts(found: Weighed) -> Table:
    from turnmodel.cli.tables import table

    made = table(
        f"{found.design}: parts",
        [
            ("part", "left"),
            ("material", "left"),
            ("mass g", "right"),
            ("least g", "right"),
            ("most g", "right"),
            ("balance mm", "right"),
            ("length mm", "right"),
            ("bar g", "right"),
            ("swarf %", "right"),
        ],
    )
    for name, part in found.parts.items():
        mark = "~" if part.weight.estimated else ""
        made.add_row(
            f"{name} *" if part.cut else name,
            part.material,
            f"{mark}{part.weight.mass:.2f}",
            f"{part.range.low:.2f}",
            f"{part.range.high:.2f}",
            f"{part.weight.balance:.2f}",
            f"{part.weight.length:.2f}",
            f"{part.blank.mass:.2f}" if part.blank else "",
            f"{part.blank.swarf:.0f}" if part.blank else "",
        )
    return made


def _states(found: Weighed) -> Table:
    from turnmodel.cli.tables import counted_from, table

    made = table(
        "states",
        [
            ("state", "left"),
            ("mass g", "right"),
            ("least g", "right"),
            ("most g", "right"),
            ("balance mm", "right"),
            ("% of length", "right"),
            ("length mm", "right"),
            ("off axis", "right"),
            ("swing g.cm2", "right"),
            ("spin g.cm2", "right"),
        ],
    )
    for name, state in found.states.items():
        weight = state.weight
        made.add_row(
            name,
            f"{weight.mass:.2f}",
            f"{state.range.low:.1f}",
            f"{state.range.high:.1f}",
            f"{weight.balance:.2f}",
            f"{weight.share:.1f}",
            f"{weight.length:.2f}",
            f"{weight.off_axis:.3f}",
            f"{weight.swing / 100:.1f}",
            f"{weight.spin / 100:.2f}",
        )
    made.caption = counted_from(next(iter(found.parts)), [state.weight for state in found.states.values()])
    return made


def _side_by_side(beside: dict[str, dict[str, StateWeight]]) -> Table:
    from turnmodel.cli.tables import table

    made = table(
        "in other materials: mass g, balance mm", [("state", "left"), *((n, "right") for n in beside)]
    )
    for state in next(iter(beside.values())):
        cells = (f"{of[state].mass:.2f}, {of[state].balance:.2f}" for of in beside.values())
        made.add_row(state, *cells)
    return made
