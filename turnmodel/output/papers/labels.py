"""Sizes written over a view, each with a leader down to what it measures."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from turnmodel.design.features.dimension import Kind
from turnmodel.geometry.curve import Arc, Curve, Line, nearest_on
from turnmodel.output.papers.figures import Unit, called
from turnmodel.output.papers.ink import (
    Box,
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
from turnmodel.output.papers.lettering import descent, width
from turnmodel.output.papers.spread import spread

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.output.papers.called import Called
    from turnmodel.output.papers.view import Frame

__all__ = ["Band", "label_band"]

_CLEAR: Final = 2.5
"""How far [mm] over the outline leaders begin to bend; house choice."""
_GAP: Final = 2.0
"""Least room [mm] between two labels; house choice: more than a space is wide."""
_LEAST_SLANT, _MOST_SLANT = 2.5, 14.0
"""Height [mm] of the zone in which leaders slant; house choice."""
_TOUCH: Final = 0.6
"""Room [mm] between a leader's end and its text."""
_APART: Final = 1.2
"""How far [mm] leaders stand apart where they may choose; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Labels along one side of a view, and how far they reach up or down on the paper, [mm]."""

    items: tuple[Item, ...]
    reach: float


def label_band(
    labels: Sequence[Called],
    contour: Sequence[Curve],
    frame: Frame,
    high: float,
    within: tuple[float, float],
    unit: Unit,
    height: float,
) -> Band | None:
    """Write sizes over a view.

    Parameters
    ----------
    labels : sequence of Called
        The sizes
    contour : sequence of Line or Arc
        What bounds the part, by station and height, [mm]
    frame : Frame
        How the part lies on the paper
    high : float
        Top of the view on the paper, [mm]
    within : tuple of float
        Left and right end of the room for the labels on the paper, [mm]
    unit : Unit
        What lengths are written in
    height : float
        Height of the letters, [mm]

    Returns
    -------
    Band or None
        None where there is no room
    """
    placed = _anchored(labels, contour, frame)
    words = [called(entry.callout, unit) for entry, _ in placed]
    widths = [width(text, height) for text in words]
    stood = spread([at[0] for _, at in placed], widths, within, _GAP)
    if stood is None:
        return None
    shift = max((abs(m - at[0]) for m, (_, at) in zip(stood.middles, placed, strict=True)), default=0.0)
    slant = min(max(_LEAST_SLANT, 0.5 * shift), _MOST_SLANT)
    items: list[Item] = []
    top = high
    for (entry, at), text, middle, row in zip(placed, words, stood.middles, stood.rows, strict=True):
        base = high + _CLEAR + slant + 1.0 + _TOUCH + descent(height) + row * 2.0 * height
        letters = Text((middle, base), text, height, "middle", layer=Layer.DIMENSION)
        top = max(top, text_box(letters).y1)
        path = [at, (at[0], high + _CLEAR), (middle, high + _CLEAR + slant), (middle, _foot(letters))]
        ink: list[Stroke | Fill | Text] = [*_leader(path), letters, arrow(at, (0, -1))]
        items += ink if entry.note else [_measured(entry, at, frame, contour, text, tuple(ink))]
        if entry.virtual:
            items += _sharp_corner(entry.callout.over[0], contour, frame)
    return Band(items=tuple(items), reach=top)


def _foot(text: Text) -> float:
    box: Box = text_box(text)
    return box.y0 - _TOUCH


def _leader(path: list[Point]) -> list[Stroke]:
    """Draw a leader, in one line where it need not bend."""
    if abs(path[0][0] - path[-1][0]) < 0.05:
        path = [path[0], (path[0][0], path[-1][1])]
    return joined(path, Pen.NARROW, Layer.DIMENSION)


def _anchored(labels: Sequence[Called], contour: Sequence[Curve], frame: Frame) -> list[tuple[Called, Point]]:
    """Choose where each leader meets the part, far from others and from upright lines; left to right."""
    uprights = [frame.x(c.start[0]) for c in contour if abs(c.start[0] - c.end[0]) < 1e-9]
    taken: list[float] = []
    found: list[tuple[Called, Point]] = []
    fixed = [entry for entry in labels if entry.callout.over[0][0] == entry.callout.over[1][0]]
    free = [entry for entry in labels if entry not in fixed]
    for entry in fixed:
        x, y = frame.point(entry.callout.over[0])
        taken.append(x)
        found.append((entry, (x, y)))
    free.sort(key=lambda e: frame.x(e.callout.over[1][0]) - frame.x(e.callout.over[0][0]))
    for entry in free:
        (z0, r0), (z1, r1) = entry.callout.over
        shares = [k / 40 for k in range(2, 39)]
        choices = [(z0 + t * (z1 - z0), r0 + t * (r1 - r0)) for t in shares]
        choices = [p for p in choices if frame.shows(p[0])] or choices
        choices = [p for p in choices if _bounds(contour, p)] or choices
        best = max(choices, key=lambda p: _freedom(frame.x(p[0]), taken, uprights, frame, entry))
        x, y = frame.point(best)
        taken.append(x)
        found.append((entry, (x, y)))
    return sorted(found, key=lambda pair: pair[1])


def _bounds(contour: Sequence[Curve], point: Point) -> bool:
    """Whether the outline that is drawn passes a point: a flat may have taken it away."""
    return any(math.dist(nearest_on(c, point), point) < 1e-6 for c in contour)


def _freedom(
    x: float, taken: Sequence[float], uprights: Sequence[float], frame: Frame, entry: Called
) -> float:
    """How free a leader stands at x, [mm]: away from others up to a few mm, then near the middle."""
    ends = [frame.x(z) for z, _ in entry.callout.over]
    others = min((abs(x - t) for t in taken), default=99.0)
    lines = min((abs(x - u) for u in uprights), default=99.0)
    middle = abs(x - sum(ends) / 2) / (abs(ends[1] - ends[0]) + 1e-9)
    return min(others, 4 * _APART) + min(lines, _APART) - middle


def _sharp_corner(corner: Point, contour: Sequence[Curve], frame: Frame) -> list[Stroke]:
    """Draw a corner that is rounded off where its sides would meet."""
    blunt = min(
        (c for c in contour if _slopes(c)),
        key=lambda c: math.dist(nearest_on(c, corner), corner),
        default=None,
    )
    if blunt is None:
        return []
    tip = frame.point(corner)
    found = []
    for end in (blunt.start, blunt.end):
        foot = frame.point(end)
        size = math.dist(foot, tip)
        if size > 0.05:
            over = (tip[0] + (tip[0] - foot[0]) / size, tip[1] + (tip[1] - foot[1]) / size)
            found.append(Stroke(foot, over, Pen.NARROW, Layer.DIMENSION))
    return found


def _slopes(curve: Curve) -> bool:
    level = abs(curve.start[1] - curve.end[1]) < 1e-9 or abs(curve.start[0] - curve.end[0]) < 1e-9
    return isinstance(curve, Arc) or not level


def _measured(
    entry: Called,
    at: Point,
    frame: Frame,
    contour: Sequence[Curve],
    words: str,
    ink: tuple[Stroke | Fill | Text, ...],
) -> Measured:
    """Make the dimension that a callout stands for."""
    callout = entry.callout
    kind: Literal["linear", "diameter", "radius", "station", "angle"] = "diameter"
    points: tuple[Point, ...] = (at, (at[0], 2 * frame.y - at[1]))
    place = ((callout.over[0][0] + callout.over[1][0]) / 2, (callout.over[0][1] + callout.over[1][1]) / 2)
    beside = min(
        (c for c in contour if _slopes(c)), key=lambda c: math.dist(nearest_on(c, place), place), default=None
    )
    match callout.kind:
        case Kind.RADIUS if isinstance(beside, Arc):
            kind, points = "radius", (frame.point(beside.center), at)
        case Kind.CHAMFER | Kind.ANGLE | Kind.HALF_ANGLE if isinstance(beside, Line):
            kind = "linear" if callout.kind is Kind.CHAMFER else "angle"
            points = (frame.point(beside.start), frame.point(beside.end))
        case Kind.CROSS:
            kind = "linear"
    return Measured(kind, callout.value, points, words, ink)
