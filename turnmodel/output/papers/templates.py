"""Paper templates at true size: a strip's flat outline, wraps that mark what is cut across, saddles."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from turnmodel.design.features.across import CrossHole, CrossTap, Flat, Saddle, Slot
from turnmodel.design.ledger import mm
from turnmodel.design.part import StripPart, TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.strip import Strip, stretches
from turnmodel.output.papers.figures import Unit, size
from turnmodel.output.papers.ink import Bend, Item, Layer, Pen, Sheet, Stroke, Text, joined, moved
from turnmodel.output.papers.lettering import width
from turnmodel.output.papers.shape import below
from turnmodel.output.papers.strip_sheet import flat_outline
from turnmodel.output.papers.view import Frame, Window, laid
from turnmodel.units import inch

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.design.design import Design
    from turnmodel.design.outline import Place
    from turnmodel.design.turned import CrossCut
    from turnmodel.output.papers.ink import Point
    from turnmodel.output.papers.titles import Title

__all__ = ["PAPER_MM", "template_sheets", "wrap_length"]

PAPER_MM: Final = 0.1
"""Thickness [mm] of the paper of a wrap: 80 g/m2 office paper, common practice."""
_TAB: Final = 6.0
"""Length [mm] by which a wrap overlaps itself, to be glued; house choice."""
_MARGIN: Final = 15.0
"""Room [mm] round the sheet: more than any printer leaves blank."""
_APART: Final = 10.0
"""Room [mm] between two templates; house choice."""
_LETTERS: Final = 2.5
_CROSS: Final = 1.5
"""How far [mm] the cross of a hole's centre runs over its circle; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Template:
    """A template: its size [mm], what is drawn from its lower left corner, the lines written under it."""

    wide: float
    high: float
    items: tuple[Item, ...]
    words: tuple[str, ...]

    @property
    def room(self) -> tuple[float, float]:
        """Width and height with its words, [mm]."""
        longest = max(width(line, _LETTERS) for line in self.words)
        return max(self.wide, longest), self.high + 2.0 + 1.8 * _LETTERS * len(self.words)


def wrap_length(diameter: float) -> float:
    """Length [mm] of paper that goes once round a diameter [mm], measured where its thickness is not bent.

    Examples
    --------
    >>> round(wrap_length(10.0) / math.pi, 6)
    10.1
    """
    return math.pi * (diameter + PAPER_MM)


def template_sheets(design: Design, title: Title) -> list[Sheet]:
    """Set the templates of a design on as few sheets as they fill; none where there is nothing to mark."""
    made = [template for part in design.parts for template in _templates(part, title.unit)]
    wide, high = title.paper.value
    room = (wide - 2 * _MARGIN, high - 2 * _MARGIN - 28.0)
    pages: list[list[Item]] = []
    x = y = row = 0.0
    for template in made:
        w, h = template.room
        if w > room[0] or h > room[1]:
            continue
        if x and x + w > room[0]:
            x, y, row = 0.0, y + row + _APART, 0.0
        if not pages or y + h > room[1]:
            pages.append([])
            x = y = row = 0.0
        left, top = _MARGIN + x, high - _MARGIN - 10.0 - y
        pages[-1] += moved(template.items, left, top - template.high)
        for k, line in enumerate(template.words):
            base = top - template.high - 2.0 - _LETTERS - 1.8 * _LETTERS * k
            pages[-1].append(Text((left, base), line, _LETTERS, layer=Layer.NOTE))
        x, row = x + w + _APART, max(row, h)
    return [
        Sheet(
            title=f"{design.name}: templates",
            width=wide,
            height=high,
            items=(*items, *_head(design, title, high), *_check_lines()),
            unit="mm" if title.unit is Unit.MM else "in",
        )
        for items in pages
    ]


def _head(design: Design, title: Title, high: float) -> list[Item]:
    words = f"{design.name}, templates at true size, revision {title.revision}"
    return [Text((_MARGIN, high - _MARGIN - 3.5), words, 3.5)]


def _check_lines() -> list[Item]:
    """Draw lines of known length, to see that the printer did not scale the page."""
    items: list[Item] = [
        Text(
            (_MARGIN, _MARGIN + 16.0),
            "Print at 100 %, then measure these lines before you trust a template:",
            _LETTERS,
        )
    ]
    for y, long, step, words in ((8.0, 100.0, 10.0, "100 mm"), (0.0, 4 * inch, inch / 2, "4 in")):
        x0, y0 = _MARGIN, _MARGIN + y
        items.append(Stroke((x0, y0), (x0 + long, y0), Pen.NARROW, Layer.TEMPLATE))
        for k in range(round(long / step) + 1):
            tall = 3.0 if k in (0, round(long / step)) else 1.5
            at = x0 + k * step
            items.append(Stroke((at, y0), (at, y0 + tall), Pen.NARROW, Layer.TEMPLATE))
        items.append(Text((x0 + long + 3.0, y0), words, _LETTERS))
    return items


def _templates(part: object, unit: Unit) -> Iterator[_Template]:
    """Make the templates of a part."""
    if isinstance(part, StripPart):
        yield _flat(part)
    if not isinstance(part, TurnedPart):
        return
    made = built(part)
    assert isinstance(made, Turned)
    marked: dict[str, list[CrossCut]] = {}
    places = {}
    for cut in made.across:
        if isinstance(cut.feature, Saddle):
            yield _saddle(part, made, cut, unit)
        elif (place := _ground(made, cut)) is not None:
            places[place.title] = place
            marked.setdefault(place.title, []).append(cut)
    for key, cuts in marked.items():
        yield _wrap(part, places[key], cuts, unit)


def _ground(made: Turned, cut: CrossCut) -> Place | None:
    """Find the straight length that a feature is marked on."""
    at = _middle(cut)
    for place in made.outside:
        if place.curves and place.start <= at <= place.end:
            (_, r0), (_, r1) = place.curves[0].start, place.curves[-1].end
            return place if abs(r0 - r1) < 1e-9 else None
    return None


def _middle(cut: CrossCut) -> float:
    feature = cut.feature
    if isinstance(feature, Flat | Slot):
        return mm(feature.at) + mm(feature.length) / 2
    return mm(feature.at) if isinstance(feature, CrossHole | CrossTap) else 0.0


def _wrap(part: TurnedPart, place: Place, cuts: Sequence[CrossCut], unit: Unit) -> _Template:
    """Draw a wrap round a straight length, what is cut across marked on it."""
    d = 2 * place.curves[0].start[1]
    long, high = wrap_length(d), place.end - place.start
    seam = _seam([angle for cut in cuts for angle in _angles(cut)])
    items = _blank(long, high)
    for cut in cuts:
        for angle in _angles(cut):
            x = ((angle - seam) % 360.0) / 360.0 * long
            items += _mark(cut, x, place.start, d, long)
    words = (
        f"{part.name}: wrap round ⌀{size(d, unit)}, lower edge at station {size(place.start, unit)}",
        "(the end towards the front face), the tab under the other end",
    )
    return _Template(wide=long + _TAB, high=high, items=tuple(items), words=words)


def _seam(angles: Sequence[float]) -> float:
    """Angle [degrees] in the middle of the widest room between marks, where the wrap may begin."""
    marks = sorted({angle % 360.0 for angle in angles})
    rooms = [(b - a, (a + b) / 2) for a, b in pairwise([*marks, marks[0] + 360.0])]
    return max(rooms)[1]


def _angles(cut: CrossCut) -> list[float]:
    """Angles round the axis [degrees] at which a feature meets the surface."""
    feature = cut.feature
    angle = float(getattr(feature, "angle", 0.0))
    if isinstance(feature, Flat):
        count = int(feature.count)
        return [angle + k * 360.0 / count for k in range(count)]
    both = isinstance(feature, CrossHole | CrossTap) and feature.through
    both = both or (isinstance(feature, Slot) and mm(feature.depth) >= 2 * cut.surface_r)
    return [angle, angle + 180.0] if both else [angle]


def _mark(cut: CrossCut, x: float, start: float, d: float, long: float) -> list[Item]:
    """Mark a feature at a place round the wrap."""
    feature = cut.feature
    if isinstance(feature, CrossHole | CrossTap):
        y, r = mm(feature.at) - start, feature.diameter / 2
        reach = r + _CROSS
        return [
            Bend((x, y), r, pen=Pen.NARROW, layer=Layer.TEMPLATE),
            Stroke((x - reach, y), (x + reach, y), Pen.NARROW, Layer.TEMPLATE),
            Stroke((x, y - reach), (x, y + reach), Pen.NARROW, Layer.TEMPLATE),
        ]
    if isinstance(feature, Flat):
        across = mm(feature.across)
        low = across / 2 if int(feature.count) % 2 == 0 else across - d / 2
        half = math.acos(min(1.0, low / (d / 2))) / (2 * math.pi) * long
    elif isinstance(feature, Slot):
        half = math.asin(min(1.0, mm(feature.width) / d)) / (2 * math.pi) * long
    else:
        return []
    y0 = mm(feature.at) - start
    y1 = y0 + mm(feature.length)
    corners = [(x - half, y0), (x + half, y0), (x + half, y1), (x - half, y1), (x - half, y0)]
    middle = Stroke((x, y0 - _CROSS), (x, y1 + _CROSS), Pen.CENTRE, Layer.TEMPLATE)
    return [*joined(corners, Pen.NARROW, Layer.TEMPLATE), middle]


def _blank(long: float, high: float) -> list[Item]:
    """Draw the edges of a wrap and its tab."""
    corners = [(0.0, 0.0), (long, 0.0), (long, high), (0.0, high), (0.0, 0.0)]
    tab = [(long, 0.0), (long + _TAB, 0.0), (long + _TAB, high), (long, high)]
    return [*joined(corners, Pen.NARROW, Layer.TEMPLATE), *joined(tab, Pen.DASHED, Layer.TEMPLATE)]


def _saddle(part: TurnedPart, made: Turned, cut: CrossCut, unit: Unit) -> _Template:
    """Draw a wrap whose upper edge is the saddle's rim, unrolled."""
    feature = cut.feature
    assert isinstance(feature, Saddle)
    last = next(place for place in reversed(made.outside) if place.curves)
    r, seat = last.curves[-1].end[1], mm(feature.diameter) / 2
    bottom = made.length - (seat - math.sqrt(seat**2 - r**2))
    long = wrap_length(2 * r)
    points: list[Point] = []
    for degrees in range(0, 361, 2):
        off = r * math.sin(math.radians(degrees))
        points.append((degrees / 360.0 * long, bottom + seat - math.sqrt(seat**2 - off**2) - last.start))
    low = points[0][1]
    sides = [(0.0, low), (0.0, 0.0), (long, 0.0), (long, low)]
    tab = [(long, 0.0), (long + _TAB, 0.0), (long + _TAB, low), (long, low)]
    items = [
        *joined(sides, Pen.NARROW, Layer.TEMPLATE),
        *(Stroke(a, b, Pen.NARROW, Layer.TEMPLATE) for a, b in pairwise(points)),
        *joined(tab, Pen.DASHED, Layer.TEMPLATE),
    ]
    words = (
        f"{part.name}: wrap round ⌀{size(2 * r, unit)}, lower edge at station {size(last.start, unit)},",
        f"file to the wave: saddle for ⌀{size(mm(feature.diameter), unit)}",
    )
    return _Template(wide=long + _TAB, high=made.length - last.start, items=tuple(items), words=words)


def _flat(part: StripPart) -> _Template:
    """Draw a strip's flat outline with its holes and bends."""
    made = built(part)
    assert isinstance(made, Strip)
    upper = flat_outline(made)
    half = max(p[1] for c in upper for p in (c.start, c.end))
    frame = Frame(scale=1.0, windows=(Window(z0=0.0, z1=made.length, x0=0.0),), y=half)
    items: list[Item] = [
        line for c in (*upper, *map(below, upper)) for line in laid(c, frame, Pen.NARROW, Layer.TEMPLATE)
    ]
    for along, d in made.holes:
        reach = d / 2 + _CROSS
        items += [
            Bend((along, half), d / 2, pen=Pen.NARROW, layer=Layer.TEMPLATE),
            Stroke((along - reach, half), (along + reach, half), Pen.NARROW, Layer.TEMPLATE),
            Stroke((along, half - reach), (along, half + reach), Pen.NARROW, Layer.TEMPLATE),
        ]
    for stretch in (s for s in stretches(made) if s.turn):
        for along in (stretch.start, stretch.end):
            items.append(Stroke((along, 0.0), (along, 2 * half), Pen.DASHED, Layer.TEMPLATE))
    words = (f"{part.name}: flat outline, to stick on the strip;", "bends between the dashed lines")
    return _Template(wide=made.length, high=2 * half, items=tuple(items), words=words)
