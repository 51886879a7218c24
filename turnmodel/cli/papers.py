"""The command that writes the papers for the workshop."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from turnmodel.cli.options import Out, Script, Set, Tools, progress, settings

__all__ = ["papers"]


class Units(StrEnum):
    """What lengths may be written in."""

    MM = "mm"
    INCH = "in"


class Papers(StrEnum):
    """Sizes of paper."""

    A4 = "a4"
    LETTER = "letter"


Count = Annotated[int, typer.Option("--count", min=1, help="How many objects the bars are for.")]


def papers(
    script: Script,
    given: Set = None,
    tools: Tools = None,
    out: Out = None,
    units: Annotated[
        Units | None,
        typer.Option("--units", help="What lengths are written in; left out, what each bar is named in."),
    ] = None,
    paper: Annotated[Papers, typer.Option("--paper", help="Size of the sheets.")] = Papers.A4,
    count: Count = 1,
) -> None:
    """Write drawings, paper templates, a cut sheet for every part, and the buying list."""
    from turnmodel import workflow, writing
    from turnmodel.catalog.tools import find_tools
    from turnmodel.design.loading import load
    from turnmodel.output.papers.figures import Unit
    from turnmodel.output.papers.page import Paper

    folder = workflow.folder_for(script, out)
    with progress() as tell:
        tell("building")
        design, parameters = load(script, settings(given))
        tell("drawing")
        revision, size = writing.revision(script, parameters), Paper[paper.name]
        unit = None if units is None else Unit(units.value)
        written = writing.write_papers(design, revision, folder, paper=size, unit=unit)
        tell("planning")
        owned = find_tools(script, tools)
        written += writing.write_cut_sheets(
            design, revision, folder, owned, paper=size, unit=unit, count=count
        )
    for path in written:
        print(path)
