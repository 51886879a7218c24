"""The command that finds what is wrong with a design."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from turnmodel.cli.options import AsJson, Script, Set, Tools, settings

__all__ = ["check"]


def check(
    script: Script,
    given: Set = None,
    tools: Tools = None,
    solid: Annotated[bool, typer.Option("--solid", help="Also hold volumes to CAD solids (slower).")] = False,
    as_json: AsJson = False,
) -> None:
    """Find what does not fit or cannot be made, worst first; exit status 1 where there is a fault."""
    from turnmodel import workflow

    _, found = workflow.check(script, settings(given), tools=tools, solids=solid)
    if as_json:
        from turnmodel.analysis.report import as_json as laid_out

        print(json.dumps(laid_out(found), indent=2))
    else:
        from turnmodel.cli.tables import console, findings_table, parts_table, states_table

        out = console()
        out.print(parts_table(found))
        out.print(states_table(found))
        if found.findings:
            out.print(findings_table(found.findings))
        out.print("sound: no fault found" if found.sound else "not sound: see the faults above")
    raise typer.Exit(0 if found.sound else 1)
