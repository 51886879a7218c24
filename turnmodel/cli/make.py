"""The command that writes everything there is to a design."""

from __future__ import annotations

import json
import sys

import typer

from turnmodel.cli.options import AsJson, Out, Script, Set, Tools, progress, settings

__all__ = ["make"]


def make(
    script: Script, given: Set = None, tools: Tools = None, out: Out = None, as_json: AsJson = False
) -> None:
    """Write pictures, meshes, solids and the report into one folder."""
    from turnmodel import workflow

    folder = workflow.folder_for(script, out)
    lacking: list[str] = []
    with progress(quiet=as_json) as tell:
        found = workflow.make(script, settings(given), folder, tell, tools=tools, lack=lacking.append)
    if as_json:
        from turnmodel.analysis.report import as_json as laid_out

        print(json.dumps(laid_out(found), indent=2))
    else:
        from turnmodel.cli.tables import console, findings_table, parts_table, states_table

        terminal = console()
        terminal.print(parts_table(found))
        terminal.print(states_table(found))
        if found.findings:
            terminal.print(findings_table(found.findings))
        terminal.print(f"written to {folder}")
    for line in lacking:
        print(line, file=sys.stderr)
    raise typer.Exit(0 if found.sound else 1)
