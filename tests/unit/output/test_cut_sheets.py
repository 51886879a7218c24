"""Cut sheets and buying lists of every design: on the page, nothing on anything, real text."""

from __future__ import annotations

import functools
import zlib
from html.parser import HTMLParser
from itertools import combinations, pairwise
from pathlib import Path

import pytest

from turnmodel import writing
from turnmodel.analysis.plan.buying import buying_list
from turnmodel.analysis.plan.planner import cut_plans
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.loading import load
from turnmodel.output.papers.buying_sheet import buying_sheet, buying_text
from turnmodel.output.papers.cut_entries import cut_words
from turnmodel.output.papers.cut_sheet import cut_sheet
from turnmodel.output.papers.cut_text import cut_html, cut_text
from turnmodel.output.papers.ink import Text, flat, text_box
from turnmodel.output.papers.page import Paper
from turnmodel.output.papers.pdf import pdf

SCRIPTS = sorted((Path(__file__).parents[3] / "designs").glob("*.py"))
TOOLS = assumed_tools()

every_script = pytest.mark.parametrize("script", SCRIPTS, ids=[path.stem for path in SCRIPTS])
every_paper = pytest.mark.parametrize("paper", list(Paper), ids=[paper.name for paper in Paper])


@functools.cache
def planned(script):
    """A script's design and its plans."""
    design = load(script)[0]
    return design, cut_plans(design, TOOLS)


def sheets(script, paper):
    """Every page of a design's cut sheets and buying list."""
    design, plans = planned(script)
    pages = [s for plan in plans.values() for s in cut_sheet(plan, TOOLS, paper, design.name, "abc")]
    return [*pages, *buying_sheet(buying_list(design, plans, TOOLS, 3), paper, "abc")]


@every_paper
@every_script
def test_texts_stand_on_the_page_and_clear_of_each_other(script, paper):
    """Boxes of the letters, descenders counted, lie within the margins and do not overlap."""
    for sheet in sheets(script, paper):
        boxes = [text_box(item) for item in flat(sheet.items) if isinstance(item, Text)]
        for box in boxes:
            assert box.x0 >= 19.9
            assert box.x1 <= sheet.width - 9.9
            assert box.y0 >= 9.9
            assert box.y1 <= sheet.height - 9.0
        for a, b in combinations(boxes, 2):
            apart = a.x1 <= b.x0 + 0.01 or b.x1 <= a.x0 + 0.01 or a.y1 <= b.y0 + 0.3 or b.y1 <= a.y0 + 0.3
            assert apart, sheet.title


@every_script
def test_every_step_stands_on_the_sheet(script):
    """Its number and its verb, in the order of the plan."""
    design, plans = planned(script)
    for plan in plans.values():
        pages = cut_sheet(plan, TOOLS, Paper.A4, design.name, "abc")
        words = [item.words for page in pages for item in flat(page.items) if isinstance(item, Text)]
        told = [pair for pair in pairwise(words) if pair[0].isdecimal() and pair[1].isupper()]
        verbs = [(str(number), str(step.verb).upper()) for number, step in enumerate(plan.steps, 1)]
        assert [pair for pair in told if pair in verbs] == verbs
        assert words.count(f"{plan.part.name}: cut sheet") == len(pages)


@every_script
def test_the_pdf_has_text_in_an_embedded_face(script):
    """The face is in the file, with its map to Unicode, and every page shows text in it and no colour."""
    pages = sheets(script, Paper.A4)
    data = pdf(pages)
    assert data.count(b"/Type /Page ") == len(pages)
    assert b"/FontFile2" in data
    assert b"/ToUnicode" in data
    streams = [part.partition(b"endstream")[0] for part in data.split(b"stream\n")[1::2]]
    drawn = [zlib.decompress(s) for s in streams if s[:1] == b"x"]
    written = [d for d in drawn if b" Tj ET" in d]
    assert len(written) == len(pages)
    assert not any(b" rg" in d or b" RG" in d for d in written)


@every_script
def test_plain_text_fits_a_terminal(script):
    """No line is longer than 96 letters, and every step is there."""
    for plan in planned(script)[1].values():
        text = cut_text(cut_words(plan, TOOLS))
        assert max(map(len, text.splitlines())) <= 96
        assert f"{len(plan.steps):>3} FINISH" in text


class Balanced(HTMLParser):
    """Follows tags and keeps what is open."""

    def __init__(self):
        super().__init__()
        self.open = []

    def handle_starttag(self, tag, attrs):
        """Open a tag; some have no end."""
        if tag not in ("input", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        """Close the last that is open."""
        assert self.open.pop() == tag


@every_script
def test_the_page_gets_whole_tags(script):
    """Every tag is closed, and each step can be ticked."""
    for plan in planned(script)[1].values():
        text = cut_html(cut_words(plan, TOOLS))
        reader = Balanced()
        reader.feed(text)
        assert reader.open == []
        assert text.count('type="checkbox"') == len(plan.steps)


@every_script
def test_the_buying_list_names_every_bar(script):
    """Each size and material of bar, and that nothing is missing of the assumed tools."""
    design, plans = planned(script)
    text = buying_text(buying_list(design, plans, TOOLS))
    for plan in plans.values():
        assert plan.blank.stock in text
    assert "tools that are missing\n  none" in text


def test_the_command_writes_them(tmp_path):
    """PDF and plain text of both, beside the drawings."""
    design, _ = planned(SCRIPTS[0])
    written = writing.write_cut_sheets(design, "abc", tmp_path, TOOLS, count=2)
    assert sorted(path.name for path in written) == [
        "field-pen-buying-list.pdf",
        "field-pen-buying-list.txt",
        "field-pen-cut-sheets.pdf",
        "field-pen-cut-sheets.txt",
    ]
    assert "buying list for 2" in written[-1].read_text(encoding="utf-8")
