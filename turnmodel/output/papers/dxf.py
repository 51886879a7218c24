"""Write a sheet as DXF, its dimensions as dimension entities: the only door to ezdxf."""

from __future__ import annotations

import io
import math
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from ezdxf import options, units  # type: ignore[attr-defined]
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from turnmodel.output.papers.ink import LINE_WIDTHS, Bend, Fill, Layer, Measured, Pen, Stroke, Text
from turnmodel.output.papers.pdf import DASHES
from turnmodel.units import inch

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ezdxf.document import Drawing
    from ezdxf.layouts.base import BaseLayout
    from ezdxf.layouts.layout import Modelspace

    from turnmodel.output.papers.ink import Sheet

__all__ = ["dxf"]

_STYLE: Final = "letters"
_FONT: Final = "DejaVuSansCondensed.ttf"
_LINETYPES: Final = {Pen.CENTRE: "CENTRE", Pen.DASHED: "DASHED"}
_ANCHORS: Final = {
    "left": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "right": TextEntityAlignment.RIGHT,
}
_SIGNS: Final = {"⌀": "%%c", "°": "%%d", "±": "%%p"}
"""Signs that every CAD program draws whatever its typeface has."""


def dxf(sheet: Sheet) -> str:
    """Write a sheet as DXF.

    Parameters
    ----------
    sheet : Sheet
        The sheet, drawn at its size on paper, in mm

    Returns
    -------
    str
        The file's text (AutoCAD 2010 DXF); the same sheet always gives the same text

    Notes
    -----
    A dimension is one entity with its points, its value and its own picture, so that a program that does not
    draw dimensions afresh shows the very sheet.
    """
    with _fixed_dates():
        doc = new("R2010", units=units.MM)
        in_mm = inch if sheet.unit == "in" else 1.0
        _tables(doc, 1 / (sheet.scale * in_mm))
        for name, words in (("title", sheet.title), ("scale", f"{sheet.scale:g}"), ("unit", sheet.unit)):
            doc.header.custom_vars.append(name, words)
        for n, stretch in enumerate(sheet.stretches, 1):
            doc.header.custom_vars.append(f"stretch {n}", " ".join(map(repr, stretch)))
        for detail in sheet.details:
            told = f"{detail.scale:g} {detail.x!r} {detail.y!r}"
            doc.header.custom_vars.append(f"detail {detail.letter}", told)
        space = doc.modelspace()
        for item in sheet.items:
            if isinstance(item, Measured):
                _dimension(doc, space, item, in_mm)
            else:
                _draw(space, item)
        for kind in sorted(doc.entitydb.dxf_types_in_use()):  # the library itself takes them in any order
            doc.classes.add_class(kind)
        out = io.StringIO()
        doc.write(out)
    return out.getvalue()


@contextmanager
def _fixed_dates() -> Iterator[None]:
    """Let the library write no dates and no random identities."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _tables(doc: Drawing, factor: float) -> None:
    """Set up line types, layers, the typeface, and dimensions that measure a factor [-] of the paper."""
    for pen, name in _LINETYPES.items():
        dashes = DASHES[pen]
        pattern = [sum(dashes), *(d if k % 2 == 0 else -d for k, d in enumerate(dashes))]
        doc.linetypes.add(name, pattern, description=str(pen))
    doc.styles.add(_STYLE, font=_FONT)
    for layer in Layer:
        doc.layers.add(str(layer))
    style: Any = doc.dimstyles.get("Standard")
    style.dxf.dimtxsty = _STYLE
    style.dxf.dimlfac = factor
    style.dxf.dimtxt = 3.5
    style.dxf.dimasz = 2.5


def _common(layer: Layer, pen: Pen) -> dict[str, Any]:
    return {
        "layer": str(layer),
        "lineweight": round(100 * LINE_WIDTHS[pen]),
        "linetype": _LINETYPES.get(pen, "CONTINUOUS"),
    }


def _draw(space: BaseLayout, item: Stroke | Bend | Fill | Text) -> None:
    """Draw plain ink."""
    match item:
        case Stroke():
            space.add_line(item.a, item.b, dxfattribs=_common(item.layer, item.pen))
        case Bend() if item.whole:
            space.add_circle(item.center, item.radius, dxfattribs=_common(item.layer, item.pen))
        case Bend():
            attribs = _common(item.layer, item.pen)
            space.add_arc(item.center, item.radius, item.start, item.end, dxfattribs=attribs)
        case Fill():
            hatch = space.add_hatch(color=7, dxfattribs={"layer": str(item.layer)})
            hatch.paths.add_polyline_path(item.points, is_closed=True)
        case Text():
            words = "".join(_SIGNS.get(c, c) for c in item.words)
            text = space.add_text(
                words, height=item.height, rotation=90 if item.upright else 0,
                dxfattribs={"layer": str(item.layer), "style": _STYLE},
            )  # fmt: skip
            text.set_placement(item.at, align=_ANCHORS[item.anchor])


def _dimension(doc: Drawing, space: Modelspace, item: Measured, in_mm: float) -> None:
    """Draw a dimension: its ink in a block of its own, what it measures in the entity."""
    block = doc.blocks.new_anonymous_block(type_char="D")
    for bit in item.ink:
        _draw(block, bit)
    letters = next(bit for bit in item.ink if isinstance(bit, Text))
    attribs: dict[str, Any] = {
        "layer": str(Layer.DIMENSION),
        "geometry": block.name,
        "dimstyle": "Standard",
        "text": "".join(_SIGNS.get(c, c) for c in item.words),
        "text_midpoint": letters.at,
        "actual_measurement": item.value / in_mm,
    }
    first, last = item.points[0], item.points[-1]
    match item.kind:
        case "linear" | "diameter":
            attribs |= {"dimtype": 32, "defpoint": letters.at, "defpoint2": first, "defpoint3": last}
            attribs["angle"] = 90.0 if item.kind == "diameter" or item.across else 0.0
        case "radius":
            attribs |= {"dimtype": 36, "defpoint": first, "defpoint4": last}
        case "station":
            attribs |= {"dimtype": 32 + 6 + 64, "defpoint": first, "defpoint2": last, "defpoint3": letters.at}
        case "angle":
            attribs |= {
                "dimtype": 34,
                "defpoint2": (first[0], 0.0),
                "defpoint3": (last[0], 0.0),
                "defpoint4": first,
                "defpoint": last,
                "defpoint5": letters.at,
                "actual_measurement": math.radians(item.value),
            }
    space.new_entity("DIMENSION", attribs)
