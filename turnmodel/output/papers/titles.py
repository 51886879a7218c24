"""What stands in the title blocks of a design's sheets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from turnmodel.output.papers.figures import Unit, general_note
from turnmodel.output.papers.ink import Sheet
from turnmodel.output.papers.page import Field, Paper, Projection, page

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.output.papers.ink import Item

__all__ = ["Subject", "Title", "titled"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Title:
    """What a design's sheets share: its name, the script's revision, the paper, the unit, how many [-].

    The unit may be a part's own; the projection is one for all of them.
    """

    design: str
    revision: str
    paper: Paper
    unit: Unit
    projection: Projection = Projection.FIRST
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What one sheet shows: its name, material and stock, its mass [g]."""

    name: str
    material: str
    stock: str
    grams: float


def titled(
    items: Sequence[Item], subject: Subject, title: Title, number: int, scale: float, notes: Sequence[str]
) -> Sheet:
    """Put a frame and a title block round what is drawn.

    Parameters
    ----------
    items : sequence
        What is drawn, in the room that the page leaves
    subject : Subject
        What it shows
    title : Title
        What it shares with the others
    number : int
        Number of the sheet, [-]
    scale : float
        Length on the paper over true length, [-]
    notes : sequence of str
        Notes beside the title block

    Returns
    -------
    Sheet
        The sheet
    """
    metric = title.unit is Unit.MM
    rows = [
        [
            Field(caption="part", words=subject.name, share=0.34),
            Field(caption="object", words=title.design, share=0.34),
            Field(caption="scale", words=f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}", share=0.12),
            Field(caption="unit", words=title.unit.value, share=0.08),
            Field(caption="sheet", words=f"{number} of {title.count}", share=0.12),
        ],
        [
            Field(caption="material", words=subject.material, share=0.21),
            Field(caption="stock", words=subject.stock, share=0.15),
            Field(caption="mass", words=f"{subject.grams:.3g} g", share=0.10),
            Field(caption="sizes without a tolerance", words=general_note(title.unit), share=0.54),
        ],
        [
            Field(caption="revision", words=title.revision, share=0.18),
            Field(caption="made by", words="", share=0.26),
            Field(caption="date", words="", share=0.18),
            Field(caption="paper", words=title.paper.called, share=0.10),
            Field(caption="projection", words=title.projection.value, share=0.28),
        ],
    ]
    wide, high = title.paper.value
    unit: Literal["mm", "in"] = "mm" if metric else "in"
    drawn = (*page(title.paper, rows, notes, title.projection), *items)
    name = f"{title.design}: {subject.name}"
    return Sheet(title=name, width=wide, height=high, items=drawn, scale=scale, unit=unit)
