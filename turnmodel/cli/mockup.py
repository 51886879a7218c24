"""The command that makes a plastic mock-up ready for the printer."""

from __future__ import annotations

import json
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from turnmodel.cli.options import AsJson, Out, Set, Tools, progress, settings
from turnmodel.errors import OptionError

if TYPE_CHECKING:
    from rich.table import Table

    from turnmodel.output.mockup.calibration import Calibration
    from turnmodel.output.mockup.printing import Prepared

__all__ = ["mockup"]


class Process(StrEnum):
    """How the printer prints."""

    FILAMENT = "filament"
    RESIN = "resin"


class Way(StrEnum):
    """How threads are printed that are too fine."""

    FINE = "fine"
    COARSE = "coarse"
    PLAIN = "plain"


class Side(StrEnum):
    """Which way thin walls are made thicker."""

    IN = "in"
    OUT = "out"


def mockup(
    script: Annotated[
        Path | None,
        typer.Argument(metavar="DESIGN.py", help="The design script; none with --gauge or --fit."),
    ] = None,
    given: Set = None,
    tools: Tools = None,
    out: Out = None,
    process: Annotated[
        Process | None, typer.Option(help="For another printer than that of your tools.")
    ] = None,
    threads: Annotated[
        Way, typer.Option(help="Threads too fine to print: as they are, at a coarser pitch, or plain bores.")
    ] = Way.COARSE,
    thicken: Annotated[
        Side | None, typer.Option(help="Make walls thick enough, by smaller holes or larger outsides.")
    ] = None,
    ballast: Annotated[
        bool, typer.Option("--ballast", help="Place the slugs of your tools so that it balances as in metal.")
    ] = False,
    dummies: Annotated[bool, typer.Option("--dummies", help="Print bought parts too.")] = False,
    gauge: Annotated[
        bool, typer.Option("--gauge", help="Write the gauge to print, and the sheet for its measures.")
    ] = False,
    fit: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="A filled-in sheet: tell the printer's figures; into --tools FILE."
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Write parts to print, ready on the plate; exit status 1 where they would not go together."""
    from turnmodel import workflow, writing
    from turnmodel.catalog.printer import printer
    from turnmodel.catalog.tools import find_tools

    if sum((script is not None, gauge, fit is not None)) != 1:
        raise OptionError("name a design script, or write --gauge, or --fit FILE: one of them")
    if fit is not None:
        _print_fit(*workflow.fit_gauge(fit, tools), tools, as_json=as_json)
        return
    if script is None:
        chosen = printer(process) if process else find_tools(Path("design.py"), tools).printer
        for path in writing.write_gauge(chosen, out or Path("renders") / "gauge"):
            print(path)
        return
    from turnmodel.design.loading import load

    with progress(quiet=as_json) as tell:
        tell("building")
        design, _ = load(script, settings(given))
        tell("preparing")
        made = workflow.prepare_mockup(
            design,
            find_tools(script, tools),
            process=process.value if process else None,
            way=threads.value,
            thicken=thicken.value if thicken else None,
            ballast=ballast,
            dummies=dummies,
        )
        tell("writing")
        written = writing.write_mockup(made, workflow.folder_for(script, out))
    if as_json:
        from turnmodel.output.mockup.telling import as_json as laid_out

        print(json.dumps({**laid_out(made), "files": [str(path) for path in written]}, indent=2))
    else:
        _print_made(made)
        for path in written:
            print(path)
    raise typer.Exit(1 if made.mockup.clashes or made.too_large else 0)


def _print_made(made: Prepared) -> None:
    from turnmodel.cli.tables import console
    from turnmodel.output.mockup.telling import ballast_told, felt_told, thread_told, warned

    out = console()
    out.print(_parts(made))
    out.print(_feel(made))
    for heading, lines in (
        ("threads", [thread_told(cut, made) for cut in made.mockup.threads]),
        ("feel", [felt_told(felt) for felt in made.felt]),
        ("ballast", ballast_told(made)),
        ("to know", warned(made)),
    ):
        for line in lines:
            out.print(f"{heading}: {line}", markup=False)


def _parts(made: Prepared) -> Table:
    from turnmodel.cli.tables import table
    from turnmodel.output.mockup.telling import roof_told

    laid = table(
        f"{made.mockup.metal.name}: on the plate",
        [
            ("part", "left"),
            ("stands on", "left"),
            ("size mm", "left"),
            ("facets", "right"),
            ("support", "left"),
        ],
    )
    for part in made.standing:
        size = " x ".join(f"{side:.1f}" for side in part.size)
        support = "; ".join(map(roof_told, part.roofs)) or "none"
        laid.add_row(part.name, part.on, size, str(part.facets), support)
    return laid


def _feel(made: Prepared) -> Table:
    from turnmodel.cli.tables import table

    laid = table(
        "feel",
        [
            ("state", "left"),
            ("metal g", "right"),
            ("mock-up g", "right"),
            ("metal balances mm", "right"),
            ("mock-up balances mm", "right"),
        ],
    )
    for felt in made.felt:
        figures = (felt.metal_mass, felt.mass, felt.metal_balance, felt.balance)
        laid.add_row(felt.state, *(f"{figure:.2f}" for figure in figures))
    return laid


def _print_fit(found: Calibration, text: str, tools: Path | None, *, as_json: bool) -> None:
    """Print what the gauge says, and the record or where it was written."""
    if as_json:
        estimates = {e.name: {"value_mm": e.value, "error_mm": e.error} for e in found.estimates}
        scale = {"scale": found.scale, "scale_error": found.scale_error, "scatter_mm": found.scatter}
        print(json.dumps({"process": found.process, "estimates": estimates, **scale}, indent=2))
        return
    for estimate in found.estimates:
        print(estimate)
    print(f"single measures scatter by {found.scatter:.3f} mm")
    if found.scaled:
        print(
            f"everything is {100 * found.scale:+.2f} % in size, give or take {100 * found.scale_error:.2f}: "
            "set the scale of the program that slices, and print the gauge again"
        )
    print(
        f"written into {tools}" if tools else f"\nfor your file of tools:\n\n{text}",
        end="\n" if tools else "",
    )
