"""The command that tells what a measured part changes."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import typer

from turnmodel.cli.options import AsJson, Script, Set, Tools, progress, settings
from turnmodel.errors import OptionError

if TYPE_CHECKING:
    from rich.console import Console

    from turnmodel.analysis.ascut import AsCut

__all__ = ["ascut"]


def ascut(script: Script, given: Set = None, tools: Tools = None, as_json: AsJson = False) -> None:
    """Tell what the sizes measured on cut parts change, and what to change on those not yet cut.

    Sizes are written into NAME.ascut.toml beside the script: under [case], length = 42.85 or mass = 30.2 of a
    part; under [case."liner seat"], depth = 34.6 of a feature, by its mark or as findings call it.
    """
    from turnmodel.analysis.ascut import as_json as laid_out
    from turnmodel.analysis.ascut import compared
    from turnmodel.catalog.tools import find_tools
    from turnmodel.design.as_cut import as_cut_file, table_of
    from turnmodel.design.loading import design_of, read_script

    read = read_script(script)
    drawn, _ = design_of(read, settings(given), drawn=True)
    cut, _ = design_of(read, settings(given))
    if not any(part.measured for part in cut.parts):
        name = drawn.parts[0].name
        raise OptionError(
            f"nothing is measured yet: write {as_cut_file(script).name} beside the script, "
            f"such as {table_of(name)} and length = 42.85; --help tells the form"
        )
    with progress(quiet=as_json) as tell:
        tell("comparing with the drawing")
        found = compared(drawn, cut, find_tools(script, tools))
    if as_json:
        print(json.dumps(laid_out(found), indent=2))
    else:
        _tell(found)
    raise typer.Exit(0 if not found.answers else 1)


def _tell(found: AsCut) -> None:
    """Print what changed, what moved, and what to do."""
    from turnmodel.cli.tables import console, table

    out = console()
    made = table(f"{found.design}: as cut", [("part", "left"), ("measured", "left")])
    for part, readings in found.words.items():
        for k, reading in enumerate(readings):
            made.add_row(part if k == 0 else "", reading)
    out.print(made)
    if found.moved:
        made = table(
            "what moved", [("", "left"), ("drawn", "right"), ("as cut", "right"), ("", "right"), ("", "left")]
        )
        for moved in found.moved:
            change = moved.after - moved.before
            made.add_row(
                moved.what, f"{moved.before:.3f}", f"{moved.after:.3f}", f"{change:+.3f}", moved.unit
            )
        out.print(made)
    _tell_scales(found, out)
    for answer in found.answers:
        finding = answer.finding
        state = f"{finding.state}: " if finding.state else ""
        out.print(f"{finding.severity}: {state}{finding.message}")
        if answer.mend is not None:
            out.print(f"  mended by {answer.mend}")
        else:
            cut = [part for part in finding.parts if part in found.measured] or list(found.measured)
            leave = "make" if finding.severity == "fault" else "leave it so, or make"
            out.print(f"  no one size of a part not yet cut mends it: {leave} {' or '.join(cut)} again")
    if not found.answers:
        out.print("nothing else must change")


def _tell_scales(found: AsCut, out: Console) -> None:
    """Print the masses, and what could explain a difference."""
    for scales in found.scales:
        off = scales.measured - scales.computed
        text = f"{scales.part}: {scales.measured:.2f} g on the scales, {scales.computed:.2f} g from its sizes"
        if abs(off) <= scales.uncertainty:
            out.print(f"{text}: they agree")
            continue
        out.print(f"{text}: {off:+.2f} g")
        for dimension, value in scales.suspects:
            out.print(f"  explained if {dimension} were {value:.2f} mm, not {dimension.value:.2f}")
        if not scales.suspects:
            out.print("  no one size not measured explains it: weigh again, or look at the material")
