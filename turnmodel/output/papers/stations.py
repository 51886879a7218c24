"""Stations and depths written under a view: each counted from its face, no chain of lengths anywhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.output.papers.figures import Unit, called
from turnmodel.output.papers.ink import (
    Bend,
    Fill,
    Item,
    Layer,
    Measured,
    Pen,
    Point,
    Stroke,
    Text,
    arrow,
    joined,
    text_box,
)
from turnmodel.output.papers.labels import Band
from turnmodel.output.papers.lettering import ascent, descent, width
from turnmodel.output.papers.spread import spread

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.output.papers.called import Called
    from turnmodel.output.papers.view import Frame

__all__ = ["station_band"]

_CLEAR: Final = 2.5
"""How far [mm] under the outline extension lines begin to bend; house choice."""
_GAP: Final = 1.2
"""Least room [mm] between two figures; house choice."""
_ARROW: Final = 2.5
"""Length [mm] of the arrowheads; house choice."""
_HEAD: Final = 2.5
"""Room [mm] over the line that the figures stand at; house choice."""
_TEXT_OFF: Final = 2.0
"""Room [mm] between that line and the figures; house choice."""
_ROWS_APART: Final = 4.0
"""Room [mm] between the figures of one row and the line of the next; house choice."""
_LEAST_SLANT, _MOST_SLANT = 2.5, 12.0
"""Height [mm] of the zone in which extension lines slant; house choice."""
_OFF: Final = 0.8
"""Room [mm] between an outline and an extension line that begins at it, ISO 129-1."""
_OUT: Final = 8.0
"""How far [mm] the line of a detail runs on towards its face; house choice."""
_RING: Final = 0.9
"""Radius [mm] of the circle at the face that stations are counted from, as ISO 129-1 has it for running
dimensions."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """A figure under the view: where its line starts, its row, and the size it stands for, none at a face."""

    start: Point
    row: int
    called: Called | None = None


def station_band(
    stations: Sequence[Called],
    length: float,
    front_r: float,
    frame: Frame,
    low: float,
    within: tuple[float, float],
    unit: Unit,
    height: float,
    *,
    detail: bool = False,
) -> Band | None:
    """Write stations and depths under a view, those from the front face nearer than those from the back.

    Parameters
    ----------
    stations : sequence of Called
        Them, in stations
    length : float
        Length of the part, [mm]
    front_r : float
        Where the line of the front face begins: distance from the axis, [mm]
    frame : Frame
        How the part lies on the paper
    low : float
        Bottom of the view on the paper, [mm]
    within : tuple of float
        Left and right end of the room on the paper, [mm]
    unit : Unit
        What lengths are written in
    height : float
        Height of the figures, [mm]
    detail : bool
        Whether the view shows a place over the axis only, and the faces lie outside it

    Returns
    -------
    Band or None
        None where there is no room
    """
    marks = [] if detail else [_Mark(start=_foot(frame, (0.0, front_r), inside=False), row=0)]
    side = 1 if detail else -1
    for entry in stations:
        start = _foot(frame, entry.callout.over[0], inside=entry.inside or detail, side=side)
        marks.append(_Mark(start=start, row=int(entry.from_back), called=entry))
    if not detail and any(entry.from_back for entry in stations):
        at = next(e.callout.over[0] for e in stations if abs(e.callout.value - length) < 1e-6)
        marks.append(_Mark(start=_foot(frame, at, inside=False), row=1))
    front = [] if detail else marks[:1]
    marks = [*front, *sorted(marks[len(front) :], key=lambda mark: (mark.start[0], mark.called is None))]
    thick = ascent(height) + descent(height)
    anchors = [mark.start[0] for mark in marks]
    rows = [mark.row for mark in marks]
    stood = spread(anchors, [thick] * len(marks), within, _GAP, rows)
    if stood is None:
        return None
    shift = max((abs(x - m.start[0]) for x, m in zip(stood.middles, marks, strict=True)), default=0.0)
    slant = min(max(_LEAST_SLANT, 0.5 * shift), _MOST_SLANT)
    words = [called(m.called.callout, unit) if m.called else "0" for m in marks]
    longest = max((width(w, height) for w, r in zip(words, rows, strict=True) if r == 0), default=0.0)
    first = low - _CLEAR - slant - _HEAD
    levels = (first, first - _TEXT_OFF - longest - _ROWS_APART)
    items: list[Item] = []
    bottom = first
    for mark, x, text in zip(marks, stood.middles, words, strict=True):
        level = levels[mark.row]
        letters = Text(
            (x + (ascent(height) - descent(height)) / 2, level - _TEXT_OFF),
            text, height, "right", upright=True, layer=Layer.DIMENSION,
        )  # fmt: skip
        bottom = min(bottom, text_box(letters).y0)
        path = [mark.start, (mark.start[0], low - _CLEAR), (x, low - _CLEAR - slant), (x, level - 1.0)]
        if abs(x - mark.start[0]) < 0.05:
            path = [mark.start, (mark.start[0], level - 1.0)]
        ink: list[Stroke | Fill | Text | Bend] = [*joined(path, Pen.NARROW, Layer.DIMENSION), letters]
        if mark.called is None:
            items += [*ink, Bend((x, level), _RING, pen=Pen.NARROW, layer=Layer.DIMENSION)]
            continue
        ink.append(arrow((x, level), (-1 if mark.row else 1, 0), _ARROW))
        face = frame.point((length if mark.row else 0.0, 0.0))
        place = mark.called.callout.over[0]
        at = frame.point((place[0], side * place[1]))
        items.append(Measured("station", mark.called.callout.value, (face, at), text, tuple(ink)))
    for row, level in enumerate(levels):
        ends = [x for x, mark in zip(stood.middles, marks, strict=True) if mark.row == row]
        if detail and ends:  # the line runs on to its face, which is not shown
            away = -_OUT if row == 0 else _OUT
            ends += [(min(ends) if row == 0 else max(ends)) + away]
        if len(ends) > 1:
            ring = (0.0, 0.0) if detail else (_RING, 0.0) if row == 0 else (0.0, -_RING)
            ends = [min(ends) + ring[0], max(ends) + ring[1]]
            items += joined([(ends[0], level), (ends[1], level)], Pen.NARROW, Layer.DIMENSION)
    return Band(items=tuple(items), reach=bottom)


def _foot(frame: Frame, place: Point, *, inside: bool, side: int = -1) -> Point:
    """Where an extension line begins: at a hole's corner, or just off the outline."""
    x, y = frame.point((place[0], side * place[1]))
    return x, y - (0.0 if inside else _OFF)
