"""Proof that a drawing is clear: no text on another, no line through a text."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from turnmodel.output.papers.ink import Bend, Box, Fill, Item, Stroke, Text, flat, text_box

if TYPE_CHECKING:
    from collections.abc import Iterable

    from turnmodel.output.papers.ink import Point

__all__ = ["Clash", "clashes"]

_GRAZE = 0.05
"""How far [mm] a line may reach into a text's box, whose corners are empty: under half a line's width."""


class Clash(NamedTuple):
    """A text, and the text or the line that lies on it."""

    text: Text
    other: Text | Stroke | Bend | Fill


def clashes(items: Iterable[Item]) -> list[Clash]:
    """Find every text that another text or a line touches.

    Examples
    --------
    >>> label = Text((0, 0), "M8")
    >>> len(clashes([label, Stroke((-5, 1), (50, 1))])), len(clashes([label, Stroke((-5, -3), (50, -3))]))
    (1, 0)
    """
    ink = list(flat(items))
    texts = [(text, _shrunk(text_box(text))) for text in ink if isinstance(text, Text)]
    found = []
    for k, (text, box) in enumerate(texts):
        found += [Clash(text, other) for other, around in texts[k + 1 :] if _meet(box, around)]
        for item in ink:
            if not isinstance(item, Text) and any(_crosses(a, b, box) for a, b in _segments(item)):
                found.append(Clash(text, item))
    return found


def _shrunk(box: Box) -> Box:
    return Box(box.x0 + _GRAZE, box.y0 + _GRAZE, box.x1 - _GRAZE, box.y1 - _GRAZE)


def _meet(a: Box, b: Box) -> bool:
    return a.x0 < b.x1 and b.x0 < a.x1 and a.y0 < b.y1 and b.y0 < a.y1


def _segments(item: Stroke | Bend | Fill) -> list[tuple[Point, Point]]:
    """Take a line, an arc or a filled outline for straight pieces, an arc by chords of 5 degrees."""
    match item:
        case Stroke():
            return [(item.a, item.b)]
        case Fill():
            return list(zip(item.points, (*item.points[1:], item.points[0]), strict=True))
    count = max(1, math.ceil((item.end - item.start) / 5))
    angles = [math.radians(item.start + k * (item.end - item.start) / count) for k in range(count + 1)]
    (x, y), r = item.center, item.radius
    points = [(x + r * math.cos(a), y + r * math.sin(a)) for a in angles]
    return list(pairwise(points))


def _crosses(a: Point, b: Point, box: Box) -> bool:
    """Whether a straight piece passes through a box: clipped by its four sides in turn (Liang and Barsky)."""
    low, high = 0.0, 1.0
    for start, end, least, most in ((a[0], b[0], box.x0, box.x1), (a[1], b[1], box.y0, box.y1)):
        run = end - start
        if run == 0:
            if not least < start < most:
                return False
            continue
        first, last = sorted(((least - start) / run, (most - start) / run))
        low, high = max(low, first), min(high, last)
        if low >= high:
            return False
    return True
