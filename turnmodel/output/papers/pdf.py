"""Write sheets as PDF: black lines, true size, letters as text in an embedded typeface."""

from __future__ import annotations

import math
import zlib
from typing import TYPE_CHECKING, Final

from turnmodel.output.papers.ink import LINE_WIDTHS, Bend, Fill, Pen, Stroke, Text, flat
from turnmodel.output.papers.lettering import font, font_size, font_subset, shown

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from turnmodel.output.papers.ink import Item, Point, Sheet

__all__ = ["DASHES", "pdf"]

_POINTS: Final = 72 / 25.4
"""Points of PDF in a millimetre."""

DASHES: Final = {Pen.CENTRE: (6.0, 1.0, 0.5, 1.0), Pen.DASHED: (3.0, 0.75)}
"""Dashes and gaps [mm] of the narrow lines: 24, 3, 0.5 and 3 widths, 12 and 3, ISO 128-2."""

_NAME: Final = "TURNMD+DejaVuSansCondensed"


def pdf(sheets: Sequence[Sheet]) -> bytes:
    """Write sheets as one document, a sheet a page.

    Parameters
    ----------
    sheets : sequence of Sheet
        The sheets

    Returns
    -------
    bytes
        The document; the same sheets always give the same bytes

    Notes
    -----
    PDF 1.7 (ISO 32000-1): one TrueType face as a composite font with identity encoding and a map to Unicode,
    so that text can be searched and copied. Every ink is black.
    """
    letters = "".join(
        dict.fromkeys(c for sheet in sheets for item in flat(sheet.items) for c in _words(item))
    )
    objects: list[bytes] = []

    def add(body: bytes) -> int:
        objects.append(body)
        return len(objects)

    face = _font_objects(letters, add)
    pages_number = len(objects) + 2 * len(sheets) + 1
    kids = []
    for sheet in sheets:
        content = add(_stream("\n".join(_drawn(sheet.items)).encode("ascii")))
        size = f"0 0 {_n(sheet.width * _POINTS)} {_n(sheet.height * _POINTS)}"
        kids.append(
            add(
                f"<< /Type /Page /Parent {pages_number} 0 R /MediaBox [{size}] /Contents {content} 0 R "
                f"/Resources << /Font << /F1 {face} 0 R >> >> >>".encode("ascii")
            )
        )
    listed = " ".join(f"{kid} 0 R" for kid in kids)
    pages = add(f"<< /Type /Pages /Kids [{listed}] /Count {len(kids)} >>".encode("ascii"))
    catalog = add(f"<< /Type /Catalog /Pages {pages} 0 R >>".encode("ascii"))
    title = add(
        b"<< /Title " + _text_string(sheets[0].title if sheets else "") + b" /Producer (turnmodel) >>"
    )
    return _document(objects, catalog, title)


def _words(item: Item) -> str:
    return shown(item.words) if isinstance(item, Text) else ""


def _document(objects: Sequence[bytes], catalog: int, info: int) -> bytes:
    """Lay the objects one after the other, with the table of where each begins."""
    out = bytearray(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
    starts = []
    for number, body in enumerate(objects, 1):
        starts.append(len(out))
        out += f"{number} 0 obj\n".encode("ascii") + body + b"\nendobj\n"
    table = len(out)
    out += f"xref\n0 {len(objects) + 1}\n0000000000 65535 f \n".encode("ascii")
    out += b"".join(f"{start:010d} 00000 n \n".encode("ascii") for start in starts)
    out += f"trailer\n<< /Size {len(objects) + 1} /Root {catalog} 0 R /Info {info} 0 R >>\n".encode("ascii")
    out += f"startxref\n{table}\n%%EOF\n".encode("ascii")
    return bytes(out)


def _stream(data: bytes, extra: str = "") -> bytes:
    packed = zlib.compress(data, 9)
    head = f"<< /Length {len(packed)} /Filter /FlateDecode {extra}>>\nstream\n".encode("ascii")
    return head + packed + b"\nendstream"


def _text_string(words: str) -> bytes:
    return b"<" + ("\ufeff" + words).encode("utf-16-be").hex().encode("ascii") + b">"


def _font_objects(letters: str, add: object) -> int:
    """Embed the letters that are used; the number of the font's object."""
    assert callable(add)
    opened = font()
    em = opened["head"].unitsPerEm
    glyphs = {c: opened.getGlyphID(opened.getBestCmap()[ord(c)]) for c in sorted(set(letters) | {"□"})}
    data = font_subset(letters)
    file = add(_stream(data, f"/Length1 {len(data)} "))
    head, hhea = opened["head"], opened["hhea"]
    box = " ".join(str(round(v * 1000 / em)) for v in (head.xMin, head.yMin, head.xMax, head.yMax))
    descriptor = add(
        f"<< /Type /FontDescriptor /FontName /{_NAME} /Flags 4 /FontBBox [{box}] /ItalicAngle 0 "
        f"/Ascent {round(hhea.ascent * 1000 / em)} /Descent {round(hhea.descent * 1000 / em)} "
        f"/CapHeight 729 /StemV 80 /FontFile2 {file} 0 R >>".encode("ascii")
    )
    names = opened.getGlyphOrder()
    advances = " ".join(
        f"{glyph} [{round(opened['hmtx'][names[glyph]][0] * 1000 / em)}]" for glyph in sorted(glyphs.values())
    )
    below = add(
        f"<< /Type /Font /Subtype /CIDFontType2 /BaseFont /{_NAME} /CIDSystemInfo << /Registry (Adobe) "
        f"/Ordering (Identity) /Supplement 0 >> /FontDescriptor {descriptor} 0 R /W [{advances}] "
        f"/CIDToGIDMap /Identity >>".encode("ascii")
    )
    pairs = [f"<{glyph:04x}> <{ord(c):04x}>" for c, glyph in glyphs.items()]
    blocks = [pairs[k : k + 100] for k in range(0, len(pairs), 100)]
    ranges = "\n".join(f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar" for block in blocks)
    to_unicode = add(
        _stream(
            "/CIDInit /ProcSet findresource begin 12 dict begin begincmap "
            "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def "
            "/CMapName /Adobe-Identity-UCS def /CMapType 2 def\n"
            f"1 begincodespacerange <0000> <ffff> endcodespacerange\n{ranges}\n"
            "endcmap CMapName currentdict /CMap defineresource pop end end".encode("ascii")
        )
    )
    number = add(
        f"<< /Type /Font /Subtype /Type0 /BaseFont /{_NAME} /Encoding /Identity-H "
        f"/DescendantFonts [{below} 0 R] /ToUnicode {to_unicode} 0 R >>".encode("ascii")
    )
    assert isinstance(number, int)
    return number


def _n(value: float) -> str:
    """Write a number of points to the ten-thousandth: a length is kept to a micrometre."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _p(point: Point) -> str:
    return f"{_n(point[0] * _POINTS)} {_n(point[1] * _POINTS)}"


def _drawn(items: Iterable[Item]) -> list[str]:
    """Write what is drawn as operators: all in black, round ends and corners."""
    lines = ["0 G 0 g 1 J 1 j"]
    pen: Pen | None = None
    letters = font().getBestCmap()
    for item in flat(items):
        if isinstance(item, Stroke | Bend) and item.pen is not pen:
            pen = item.pen
            dashes = " ".join(_n(d * _POINTS) for d in DASHES.get(pen, ()))
            lines.append(f"{_n(LINE_WIDTHS[pen] * _POINTS)} w [{dashes}] 0 d")
        match item:
            case Stroke():
                lines.append(f"{_p(item.a)} m {_p(item.b)} l S")
            case Bend():
                lines += _arc(item)
            case Fill():
                first, *rest = item.points
                lines.append(f"{_p(first)} m " + " ".join(f"{_p(p)} l" for p in rest) + " f")
            case Text():
                code = "".join(f"{font().getGlyphID(letters[ord(c)]):04x}" for c in shown(item.words))
                lines.append(
                    f"BT /F1 {_n(font_size(item.height) * _POINTS)} Tf {_matrix(item)} Tm <{code}> Tj ET"
                )
    return lines


def _matrix(text: Text) -> str:
    """Turn and place a text."""
    from turnmodel.output.papers.lettering import width

    before = {"left": 0.0, "middle": 0.5, "right": 1.0}[text.anchor] * width(text.words, text.height)
    x, y = text.at
    if text.upright:
        return f"0 1 -1 0 {_p((x, y - before))}"
    return f"1 0 0 1 {_p((x - before, y))}"


def _arc(bend: Bend) -> list[str]:
    """Draw an arc by Bezier curves of at most 30 degrees: within 2e-7 of the radius, by their known error."""
    (x, y), r = bend.center, bend.radius
    count = max(1, math.ceil((bend.end - bend.start) / 30))
    step = math.radians(bend.end - bend.start) / count
    pull = 4 / 3 * math.tan(step / 4) * r
    angle = math.radians(bend.start)
    text = [f"{_p((x + r * math.cos(angle), y + r * math.sin(angle)))} m"]
    for _ in range(count):
        c0, s0 = math.cos(angle), math.sin(angle)
        angle += step
        c1, s1 = math.cos(angle), math.sin(angle)
        first = (x + r * c0 - pull * s0, y + r * s0 + pull * c0)
        second = (x + r * c1 + pull * s1, y + r * s1 - pull * c1)
        text.append(f"{_p(first)} {_p(second)} {_p((x + r * c1, y + r * s1))} c")
    return [" ".join(text) + (" s" if bend.whole else " S")]
