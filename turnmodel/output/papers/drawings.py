"""Every drawing of a design: the whole, each part that is made, the templates."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from turnmodel.design.part import StripPart, TurnedPart
from turnmodel.output.papers.figures import Unit, part_unit
from turnmodel.output.papers.fitted import fitted
from turnmodel.output.papers.page import Paper, Projection
from turnmodel.output.papers.part_sheet import part_sheet
from turnmodel.output.papers.strip_sheet import strip_sheet
from turnmodel.output.papers.templates import template_sheets
from turnmodel.output.papers.titles import Title
from turnmodel.output.papers.whole_sheet import whole_sheet

if TYPE_CHECKING:
    from turnmodel.design.design import Design
    from turnmodel.output.papers.ink import Sheet

__all__ = ["design_unit", "drawings"]


def design_unit(design: Design) -> Unit:
    """Choose the unit of a design's papers: inches where the first of its bars is named in inches."""
    first = next((part for part in design.parts if isinstance(part, TurnedPart)), None)
    return Unit.MM if first is None else part_unit(first)


def drawings(
    design: Design, *, revision: str, paper: Paper | None = None, unit: Unit | None = None
) -> tuple[Sheet, ...]:
    """Draw a design.

    Parameters
    ----------
    design : Design
        The design
    revision : str
        What tells this version of the script from another
    paper : Paper, optional
        Size of the sheets; left out, A4
    unit : Unit, optional
        What lengths are written in; left out, what each part's bar is named in

    Returns
    -------
    tuple of Sheet
        The whole, the parts in their order, the templates

    Raises
    ------
    BadValue
        If something does not fit on a sheet at any scale
    """
    made = [part for part in design.parts if isinstance(part, TurnedPart | StripPart)]
    whole = unit or design_unit(design)
    shared = Title(
        design=design.name,
        revision=revision,
        paper=paper or Paper.A4,
        unit=whole,
        # Common practice: first angle where millimetres are at home, third where inches are.
        projection=Projection.FIRST if whole is Unit.MM else Projection.THIRD,
        count=len(made) + 1,
    )
    sheets = [whole_sheet(design, shared, 1)]
    for number, part in enumerate(made, 2):
        own = shared if unit or isinstance(part, StripPart) else replace(shared, unit=part_unit(part))
        draw = (
            part_sheet(part, own, number, fitted(design, part, own.unit))
            if isinstance(part, TurnedPart)
            else strip_sheet(part, own, number)
        )
        sheets.append(draw)
    return (*sheets, *template_sheets(design, shared))
