"""Write a sheet as SVG: black lines, true size, letters as text in an embedded typeface."""

from __future__ import annotations

import base64
import math
from typing import TYPE_CHECKING, Final
from xml.sax.saxutils import escape, quoteattr

from turnmodel.output.papers.ink import LINE_WIDTHS, Bend, Fill, Pen, Stroke, Text, flat
from turnmodel.output.papers.lettering import FAMILY, font_size, font_subset, shown, width
from turnmodel.output.papers.pdf import DASHES

if TYPE_CHECKING:
    from turnmodel.output.papers.ink import Point, Sheet

__all__ = ["svg"]

_ANCHORS: Final = {"left": "start", "middle": "middle", "right": "end"}


def svg(sheet: Sheet) -> str:
    """Write a sheet as a page of SVG 1.1 in mm.

    Parameters
    ----------
    sheet : Sheet
        The sheet

    Returns
    -------
    str
        The file's text; the same sheet always gives the same text
    """
    ink = list(flat(sheet.items))
    wide, high = _n(sheet.width), _n(sheet.height)
    letters = "".join(dict.fromkeys(c for item in ink if isinstance(item, Text) for c in shown(item.words)))
    face = base64.b64encode(font_subset(letters)).decode("ascii")
    box = f'viewBox="0 0 {wide} {high}"'
    pens = "".join(f".{pen.name.lower()}{{{_style(pen)}}}" for pen in Pen)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" {box}>',
        f"<title>{escape(sheet.title)}</title>",
        f'<style>@font-face{{font-family:"{FAMILY}";src:url(data:font/ttf;base64,{face})}}',
        f"path{{fill:none;stroke:#000;stroke-linecap:round;stroke-linejoin:round}}{pens}",
        f'.fill{{fill:#000;stroke:none}}text{{font-family:"{FAMILY}",sans-serif;fill:#000}}</style>',
        f'<rect width="{wide}" height="{high}" fill="#fff"/>',
        *(_drawn(item, sheet.height) for item in ink),
        "</svg>\n",
    ]
    return "\n".join(lines)


def _style(pen: Pen) -> str:
    dashes = " ".join(_n(d) for d in DASHES.get(pen, ()))
    return f"stroke-width:{LINE_WIDTHS[pen]}" + (f";stroke-dasharray:{dashes}" if dashes else "")


def _n(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _drawn(item: Stroke | Bend | Fill | Text, high: float) -> str:
    """Write a bit of ink; SVG counts downwards from the upper edge."""

    def p(point: Point) -> str:
        return f"{_n(point[0])} {_n(high - point[1])}"

    match item:
        case Stroke():
            return f'<path class="{item.pen.name.lower()}" d="M{p(item.a)}L{p(item.b)}"/>'
        case Fill():
            return f'<path class="fill" d="M{"L".join(p(point) for point in item.points)}Z"/>'
        case Bend():
            (x, y), r = item.center, item.radius
            middle = (item.start + item.end) / 2
            ends = [
                (x + r * math.cos(a), y + r * math.sin(a))
                for a in map(math.radians, (item.start, middle, item.end))
            ]
            # Two halves, so that no end of a whole circle meets its start.
            arcs = "".join(f"A{_n(r)} {_n(r)} 0 0 0 {p(end)}" for end in ends[1:])
            return f'<path class="{item.pen.name.lower()}" d="M{p(ends[0])}{arcs}"/>'
    words = shown(item.words)
    left, low = p(item.at).split()
    turn = f' transform="rotate(-90 {p(item.at)})"' if item.upright else ""
    return (
        f'<text x="{left}" y="{low}" font-size={quoteattr(_n(font_size(item.height)))} '
        f'text-anchor="{_ANCHORS[item.anchor]}" textLength="{_n(width(words, item.height))}" '
        f'lengthAdjust="spacingAndGlyphs"{turn}>{escape(words)}</text>'
    )
