"""Every sheet of every design: clear, readable, printed in black with letters that are text."""

from __future__ import annotations

import functools
import io
import re
import shutil
import subprocess
import zlib
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest

from turnmodel import Part, bar, cylinder
from turnmodel.design.loading import load
from turnmodel.output.papers.clash import clashes
from turnmodel.output.papers.drawings import drawings
from turnmodel.output.papers.dxf import dxf
from turnmodel.output.papers.figures import Unit
from turnmodel.output.papers.ink import (
    LINE_WIDTHS,
    Bend,
    Fill,
    Layer,
    Pen,
    Sheet,
    Stroke,
    Text,
    flat,
    text_box,
)
from turnmodel.output.papers.page import Paper
from turnmodel.output.papers.part_sheet import part_sheet
from turnmodel.output.papers.pdf import pdf
from turnmodel.output.papers.spread import spread
from turnmodel.output.papers.svg import svg
from turnmodel.output.papers.templates import wrap_length
from turnmodel.output.papers.titles import Title

DESIGNS = sorted((Path(__file__).parents[3] / "designs").glob("*.py"))
SVG = "{http://www.w3.org/2000/svg}"


@functools.cache
def sheets(path: Path, paper: Paper = Paper.A4, unit: Unit | None = None) -> tuple[Sheet, ...]:
    """Draw a design."""
    design, _ = load(path)
    return drawings(design, revision="0000000", paper=paper, unit=unit)


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_no_text_meets_another_or_a_line(path: Path, paper: Paper, unit: Unit) -> None:
    """On no sheet does a text lie on another or under a line, nor anything beyond the frame."""
    for sheet in sheets(path, paper, unit):
        assert clashes(sheet.items) == [], sheet.title
        boxes = [text_box(item) for item in flat(sheet.items) if isinstance(item, Text)]
        assert min(box.x0 for box in boxes) > 10
        assert min(box.y0 for box in boxes) > 10
        assert max(box.x1 for box in boxes) < sheet.width - 10
        assert max(box.y1 for box in boxes) < sheet.height - 10


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_letters_can_be_read_at_arms_length(path: Path) -> None:
    """Sizes are 2.5 mm high or more, captions 1.8 mm: the least of ISO 3098-1."""
    for sheet in sheets(path):
        for text in (item for item in flat(sheet.items) if isinstance(item, Text)):
            assert text.height >= (2.5 if text.layer is Layer.DIMENSION else 1.8)


def test_lines_have_the_widths_of_the_standard() -> None:
    """Wide lines are 0.5 mm and narrow ones half as wide: line group 0,5 of ISO 128-2 (from memory)."""
    assert LINE_WIDTHS[Pen.WIDE] == 0.5
    assert {width for pen, width in LINE_WIDTHS.items() if pen is not Pen.WIDE} == {0.25}


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_a_sheet_is_the_same_to_the_byte(path: Path) -> None:
    """The same design gives the same PDF, DXF and SVG."""
    first, again = sheets(path), sheets.__wrapped__(path)

    assert pdf(first) == pdf(again)
    assert [dxf(sheet) for sheet in first[:2]] == [dxf(sheet) for sheet in again[:2]]
    assert [svg(sheet) for sheet in first[:2]] == [svg(sheet) for sheet in again[:2]]


@pytest.mark.parametrize(("paper", "points"), [(Paper.A4, (841.89, 595.276)), (Paper.LETTER, (792.0, 612.0))])
def test_a_page_has_the_size_of_its_paper(paper: Paper, points: tuple[float, float]) -> None:
    """A4 lying is 297 x 210 mm (ISO 216), Letter 11 x 8.5 in (ANSI/ASME Y14.1), in points of 1/72 in."""
    data = pdf(sheets(DESIGNS[0], paper))

    found = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", data)
    assert len(found) == len(sheets(DESIGNS[0], paper))
    for wide, high in found:
        assert (float(wide), float(high)) == pytest.approx(points, abs=0.01)


def test_a_page_is_black_and_its_letters_are_text_in_an_embedded_face() -> None:
    """Every page sets black once and no other colour, shows text, and embeds its only typeface."""
    data = pdf(sheets(DESIGNS[0]))
    streams = [zlib.decompress(s) for s in re.findall(rb"stream\n(.*?)\nendstream", data, re.DOTALL)]
    pages = [s for s in streams if s.startswith(b"0 G 0 g")]

    assert len(pages) == len(sheets(DESIGNS[0]))
    for page in pages:
        assert b" Tj" in page
        assert re.findall(rb"\b(?:RG|rg|k|K|g|G)\b", page) == [b"G", b"g"]
    assert data.count(b"/FontFile2") == 1
    assert data.count(b"/ToUnicode") == 1


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler-utils")
def test_another_reader_finds_the_text_and_the_typeface(tmp_path: Path) -> None:
    """Poppler reads the words off a page, and finds the typeface embedded and mapped to Unicode."""
    path = tmp_path / "drawing.pdf"
    path.write_bytes(pdf(sheets(next(p for p in DESIGNS if p.stem == "pocket_pen"))))

    def told(program: str, *words: str) -> str:
        return subprocess.run([program, *words], capture_output=True, text=True, check=True).stdout

    words = told("pdftotext", str(path), "-")
    assert "M8×0.75-6g" in words
    assert "⌀2.5 drill" in words
    row = told("pdffonts", str(path)).splitlines()[2].split()
    assert row[-5:-2] == ["yes", "yes", "yes"]


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_a_dxf_has_no_faults_and_real_dimensions(path: Path) -> None:
    """The library that reads it finds no error; every label that measures is a DIMENSION with its picture."""
    for sheet in sheets(path):
        document = ezdxf.read(io.StringIO(dxf(sheet)))
        assert not document.audit().has_errors
        for entity in document.modelspace().query("DIMENSION"):
            assert len(document.blocks.get(entity.dxf.geometry)) > 1


@pytest.mark.parametrize("path", DESIGNS[:2], ids=lambda path: path.stem)
def test_an_svg_shows_the_same_ink(path: Path) -> None:
    """An SVG is true to size and has one element for each line, arrowhead and text."""
    for sheet in sheets(path):
        root = ElementTree.fromstring(svg(sheet))
        ink = list(flat(sheet.items))
        assert root.get("width") == f"{sheet.width:g}mm"
        assert len(root.findall(f"{SVG}text")) == sum(isinstance(i, Text) for i in ink)
        assert len(root.findall(f"{SVG}path")) == sum(isinstance(i, Stroke | Bend | Fill) for i in ink)


def test_a_clash_is_seen() -> None:
    """A line through a text and a text on another are found, so that the proof beside this one can fail."""
    label = Text((50, 50), "M8", 3.5)

    assert clashes([label, Stroke((40, 51), (60, 51))])
    assert clashes([label, Text((53, 51), "12", 3.5)])
    assert clashes([label, Bend((50, 50), 2.0)])
    assert not clashes([label, Stroke((40, 47), (60, 47))])


def test_a_large_part_is_drawn_smaller() -> None:
    """A part of 200 by 300 mm is drawn at a scale of reduction."""
    title = Title(design="object", revision="0", paper=Paper.A4, unit=Unit.MM)
    wide = Part.turned("drum", material="brass", stock=bar("200 mm"), outside=[cylinder(200, 300)])

    assert part_sheet(wide, title, 1).scale <= 0.5


def test_labels_in_two_rows_leave_room_for_leaders() -> None:
    """A leader of the farther row stands half a gap clear of the nearer labels."""
    stood = spread([10, 12, 14, 16], [20, 20, 20, 20], (0, 60), 2.0)

    assert stood is not None
    assert stood.count > 1
    near = [(m - 10, m + 10) for m, row in zip(stood.middles, stood.rows, strict=True) if row == 0]
    far = [m for m, row in zip(stood.middles, stood.rows, strict=True) if row > 0]
    assert all(not (a - 1 + 1e-6 < m < b + 1 - 1e-6) for m in far for a, b in near)


def test_a_wrap_meets_itself() -> None:
    """Paper bends about its middle: once round 10 mm it is pi times 10.1 mm long."""
    assert wrap_length(10.0) == pytest.approx(31.730, abs=5e-4)


def test_templates_carry_lines_to_measure() -> None:
    """A sheet of templates has a line of 100 mm and one of 4 in, drawn at true size."""
    page = sheets(next(p for p in DESIGNS if p.stem == "pocket_pen"))[-1]
    lengths = [
        abs(item.b[0] - item.a[0])
        for item in page.items
        if isinstance(item, Stroke) and item.layer is Layer.TEMPLATE and item.a[1] == item.b[1]
    ]

    assert pytest.approx(100.0) in lengths
    assert pytest.approx(101.6) in lengths
