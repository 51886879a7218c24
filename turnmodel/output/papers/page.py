"""The page: its size, its frame, its title block by ISO 7200, the sign of its projection by ISO 5456-2."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Final

from turnmodel.output.papers.ink import Bend, Box, Item, Layer, Pen, Stroke, Text, joined, moved
from turnmodel.output.papers.lettering import width, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Field", "Paper", "Projection", "page", "room"]

_FILING: Final = 20.0
"""Left margin [mm], wide enough to file the sheet, ISO 5457:1999, clause 4.1."""
_MARGIN: Final = 10.0
"""Other margins [mm], ISO 5457:1999, clause 4.1."""
_ROW: Final = 10.5
"""Height [mm] of a row of the title block; house choice."""
_ROWS: Final = 3
_NOTES: Final = 0.3
"""Share of the width left of the title block that notes have; house choice."""
_CAPTION: Final = 1.8
"""Height [mm] of captions, the least of ISO 3098-1."""
_SIZES: Final = (3.5, 2.5, 1.8)
"""Heights of lettering [mm], ISO 3098-1."""


class Paper(Enum):
    """A size of paper, lying: width and height [mm]."""

    A4 = (297.0, 210.0)
    LETTER = (279.4, 215.9)

    @property
    def called(self) -> str:
        """Its name on the sheet."""
        return "A4" if self is Paper.A4 else "Letter"


class Projection(Enum):
    """Which way views are laid round the front view, ISO 5456-2."""

    FIRST = "first angle"
    THIRD = "third angle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A field of the title block: its caption, what stands in it, its share of the width [-]."""

    caption: str
    words: str
    share: float


def room(paper: Paper) -> Box:
    """Give what is left of a sheet for drawing, [mm]."""
    wide, high = paper.value
    return Box(_FILING, _MARGIN + _ROWS * _ROW, wide - _MARGIN, high - _MARGIN)


def page(
    paper: Paper, rows: Sequence[Sequence[Field]], notes: Sequence[str], projection: Projection
) -> list[Item]:
    """Draw the frame, the title block and the notes of a sheet.

    Parameters
    ----------
    paper : Paper
        The size
    rows : sequence of sequence of Field
        Rows of the title block from above; the shares of each add up to 1
    notes : sequence of str
        Lines of notes
    projection : Projection
        Whose sign stands in the last field of the last row

    Returns
    -------
    list
        What is drawn
    """
    wide, high = paper.value
    left, right, bottom = _FILING, wide - _MARGIN, _MARGIN
    split = left + _NOTES * (right - left)
    top = bottom + _ROWS * _ROW
    corners = [
        (left, bottom),
        (right, bottom),
        (right, high - _MARGIN),
        (left, high - _MARGIN),
        (left, bottom),
    ]
    items: list[Item] = [*joined(corners, Pen.WIDE, Layer.FRAME)]
    items += joined([(left, top), (right, top)], Pen.WIDE, Layer.FRAME)
    items += joined([(split, bottom), (split, top)], Pen.WIDE, Layer.FRAME)
    for k, row in enumerate(rows):
        y = top - (k + 1) * _ROW
        if k < len(rows) - 1:
            items += joined([(split, y), (right, y)], Pen.NARROW, Layer.FRAME)
        x = split
        for n, field in enumerate(row):
            long = field.share * (right - split)
            if n:
                items += joined([(x, y), (x, y + _ROW)], Pen.NARROW, Layer.FRAME)
            items += _filled(field, Box(x, y, x + long, y + _ROW))
            x += long
    sign = _sign(projection)
    items += moved(sign, right - 22.0, bottom + _ROW / 2 - 0.6)
    items += _notes(notes, Box(left, bottom, split, top))
    return items


def _filled(field: Field, box: Box) -> list[Item]:
    """Write a field: its caption above, what stands in it below, as large as it fits."""
    items: list[Item] = [Text((box.x0 + 1.2, box.y1 - 1.2 - _CAPTION), field.caption, _CAPTION)]
    if field.words:
        room_for = box.x1 - box.x0 - 2.4
        height = next((h for h in _SIZES if width(field.words, h) <= room_for), _SIZES[-1])
        items.append(Text((box.x0 + 1.2, box.y0 + 1.9), field.words, height))
    return items


def _notes(notes: Sequence[str], box: Box) -> list[Item]:
    """Write the notes, one under the other, broken where they are too long."""
    height = _SIZES[1]
    lines = [line for note in notes for line in wrapped(note, height, box.x1 - box.x0 - 4.0)]
    step = min(1.75 * height, (box.y1 - box.y0 - 4.0) / max(len(lines), 1))
    if step < 1.5 * height:
        height = _SIZES[2]
        lines = [line for note in notes for line in wrapped(note, height, box.x1 - box.x0 - 4.0)]
        step = 1.6 * height
    return [
        Text((box.x0 + 2.0, box.y1 - 2.0 - height - k * step), line, height) for k, line in enumerate(lines)
    ]


def _sign(projection: Projection) -> list[Item]:
    """Draw the truncated cone from the side and from its end, 20 mm wide, its axis at 0."""
    small, large, long, apart = 1.6, 3.2, 7.0, 11.0
    ends = [(0.0, small), (long, large), (long, -large), (0.0, -small), (0.0, small)]
    side: list[Item] = [*joined(ends, Pen.NARROW, Layer.FRAME)]
    side.append(Stroke((-1.5, 0.0), (long + 1.5, 0.0), Pen.CENTRE, Layer.CENTRE))
    end: list[Item] = [
        Bend((0.0, 0.0), small, pen=Pen.NARROW, layer=Layer.FRAME),
        Bend((0.0, 0.0), large, pen=Pen.NARROW, layer=Layer.FRAME),
        Stroke((-large - 1.0, 0.0), (large + 1.0, 0.0), Pen.CENTRE, Layer.CENTRE),
        Stroke((0.0, -large - 1.0), (0.0, large + 1.0), Pen.CENTRE, Layer.CENTRE),
    ]
    if projection is Projection.FIRST:  # what is seen from the left stands on the right
        return [*moved(side, 1.0, 0.0), *moved(end, 1.0 + long / 2 + apart, 0.0)]
    return [*moved(end, 4.0, 0.0), *moved(side, 12.0, 0.0)]
