"""What stands on a sheet of paper: lines, arcs, texts, arrowheads and dimensions, as plain values.

Points are (x, y) in mm on the paper, from its lower left corner, y upwards. A drawing is laid out in these
once; DXF, SVG and PDF are written from them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

from turnmodel.output.papers.lettering import ascent, descent, width

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

__all__ = [
    "LINE_WIDTHS",
    "Bend",
    "Box",
    "Detail",
    "Fill",
    "Item",
    "Layer",
    "Measured",
    "Pen",
    "Point",
    "Sheet",
    "Stroke",
    "Text",
    "arrow",
    "flat",
    "joined",
    "moved",
    "text_box",
]

Point = tuple[float, float]
"""A place on the paper, [mm]."""


class Pen(StrEnum):
    """Types of line by ISO 128-2."""

    WIDE = "continuous wide"
    NARROW = "continuous narrow"
    CENTRE = "long dashed dotted narrow"
    DASHED = "dashed narrow"


LINE_WIDTHS: Final = {Pen.WIDE: 0.5, Pen.NARROW: 0.25, Pen.CENTRE: 0.25, Pen.DASHED: 0.25}
"""Widths of the lines [mm]: the group 0,5 of ISO 128-2, wide to narrow as 2 to 1."""


class Layer(StrEnum):
    """What a line stands for, so that a reader of the DXF can tell."""

    OUTLINE = "outline"
    EDGE = "edge"
    THREAD = "thread"
    HATCH = "hatch"
    CENTRE = "centre"
    BREAK = "break"
    DIMENSION = "dimension"
    NOTE = "note"
    FRAME = "frame"
    TEMPLATE = "template"


class Box(NamedTuple):
    """An upright box on the paper, [mm]."""

    x0: float
    y0: float
    x1: float
    y1: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line between two points."""

    a: Point
    b: Point
    pen: Pen = Pen.WIDE
    layer: Layer = Layer.OUTLINE


@dataclass(frozen=True, slots=True)
class Bend:
    """An arc of a circle, counter-clockwise; radius in [mm], angles from the x axis in [degrees]."""

    center: Point
    radius: float
    start: float = 0.0
    end: float = 360.0
    pen: Pen = Pen.WIDE
    layer: Layer = Layer.OUTLINE

    @property
    def whole(self) -> bool:
        """Whether it is a whole circle."""
        return self.end - self.start >= 360 - 1e-9


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled outline: an arrowhead, or a shaded field."""

    points: tuple[Point, ...]
    layer: Layer = Layer.DIMENSION


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text: its anchor on the base line, the height of its capitals [mm]."""

    at: Point
    words: str
    height: float = 2.5
    anchor: Literal["left", "middle", "right"] = "left"
    upright: bool = False
    layer: Layer = Layer.NOTE


@dataclass(frozen=True, slots=True)
class Measured:
    """A dimension: what it measures, between which points of the drawing, and the ink that shows it.

    Parameters
    ----------
    kind : str
        "linear", "diameter", "radius", "station" or "angle"
    value : float
        What is measured, [mm] or [degrees]
    points : tuple of (float, float)
        The points of the drawing that it is measured between, [mm]
    words : str
        What is written
    ink : tuple
        Its lines, arrowheads and text
    across : bool
        Whether a linear one is measured upright on the paper
    """

    kind: Literal["linear", "diameter", "radius", "station", "angle"]
    value: float
    points: tuple[Point, ...]
    words: str
    ink: tuple[Stroke | Fill | Text | Bend, ...]
    across: bool = False


Item = Stroke | Bend | Fill | Text | Measured


class Detail(NamedTuple):
    """A view of a place enlarged: its letter, its scale [-], the front face's x and the axis's y [mm]."""

    letter: str
    scale: float
    x: float
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet of paper and what stands on it.

    Parameters
    ----------
    title : str
        What it shows
    width, height : float
        Its size, [mm]
    items : tuple
        What stands on it
    scale : float
        Length on the paper over length of the part, [-]
    unit : str
        What its lengths are written in
    stretches : tuple of (float, float, float)
        What of the part's length is drawn: first and last station, where the first is on the paper, [mm]
    details : tuple of Detail
        Where and how large a crowded place is drawn once more
    """

    title: str
    width: float
    height: float
    items: tuple[Item, ...]
    scale: float = 1.0
    unit: Literal["mm", "in"] = "mm"
    stretches: tuple[tuple[float, float, float], ...] = ()
    details: tuple[Detail, ...] = ()


def flat(items: Iterable[Item]) -> Iterator[Stroke | Bend | Fill | Text]:
    """Take dimensions apart into their ink."""
    for item in items:
        if isinstance(item, Measured):
            yield from item.ink
        else:
            yield item


def text_box(text: Text) -> Box:
    """Bound a text by the widths of its letters, descenders counted.

    Examples
    --------
    >>> box = text_box(Text((10, 10), "M8", height=3.5, anchor="middle"))
    >>> round(box.x0 + box.x1, 6), round(box.y1 - 10, 2)
    (20.0, 3.75)
    """
    long, high, low = width(text.words, text.height), ascent(text.height), descent(text.height)
    before = {"left": 0.0, "middle": long / 2, "right": long}[text.anchor]
    x, y = text.at
    if text.upright:
        return Box(x - high, y - before, x + low, y - before + long)
    return Box(x - before, y - low, x - before + long, y + high)


def arrow(tip: Point, towards: Point, length: float = 2.5) -> Fill:
    """Make a filled arrowhead of 15 degrees whose tip points in a direction; its length in [mm].

    Examples
    --------
    >>> arrow((0, 0), (1, 0)).points[0]
    (0, 0)
    """
    size = math.hypot(*towards)
    ux, uy = towards[0] / size, towards[1] / size
    half = length * math.tan(math.radians(7.5))
    back = (tip[0] - length * ux, tip[1] - length * uy)
    return Fill((tip, (back[0] - half * uy, back[1] + half * ux), (back[0] + half * uy, back[1] - half * ux)))


def joined(points: Sequence[Point], pen: Pen, layer: Layer) -> list[Stroke]:
    """Draw straight lines from point to point, those of no length left out."""
    return [Stroke(a, b, pen, layer) for a, b in pairwise(points) if math.dist(a, b) > 1e-9]


def moved(items: Iterable[Item], dx: float, dy: float) -> list[Item]:
    """Move what is drawn over the paper by (dx, dy) [mm]."""
    return [_moved(item, dx, dy) for item in items]


def _moved(item: Item, dx: float, dy: float) -> Item:
    def go(point: Point) -> Point:
        return (point[0] + dx, point[1] + dy)

    match item:
        case Stroke():
            return replace(item, a=go(item.a), b=go(item.b))
        case Bend():
            return replace(item, center=go(item.center))
        case Fill():
            return replace(item, points=tuple(map(go, item.points)))
        case Text():
            return replace(item, at=go(item.at))
    ink = tuple(_moved(part, dx, dy) for part in item.ink)
    return replace(item, points=tuple(map(go, item.points)), ink=ink)  # type: ignore[arg-type]
