"""The command that writes the papers for the workshop."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from turnmodel.cli.options import Out, Script, Set, progress, settings

__all__ = ["papers"]


class Units(StrEnum):
    """What lengths may be written in."""

    MM = "mm"
    INCH = "in"


class Papers(StrEnum):
    """Sizes of paper."""

    A4 = "a4"
    LETTER = "letter"


def papers(
    script: Script,
    given: Set = None,
    out: Out = None,
    units: Annotated[
        Units | None,
        typer.Option("--units", help="What lengths are written in; left out, what each bar is named in."),
    ] = None,
    paper: Annotated[Papers, typer.Option("--paper", help="Size of the sheets.")] = Papers.A4,
) -> None:
    """Write drawings of the whole and of every part, and paper templates: PDF, DXF and SVG."""
    from turnmodel import workflow
    from turnmodel.design.loading import load
    from turnmodel.output.papers.figures import Unit
    from turnmodel.output.papers.page import Paper

    folder = workflow.folder_for(script, out)
    with progress() as tell:
        tell("building")
        design, parameters = load(script, settings(given))
        tell("drawing")
        written = workflow.write_papers(
            design,
            workflow.revision(script, parameters),
            folder,
            paper=Paper[paper.name],
            unit=None if units is None else Unit(units.value),
        )
    for path in written:
        print(path)
