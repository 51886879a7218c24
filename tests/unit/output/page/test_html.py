"""The page as text: whole, escaped, and closed to the network."""

from __future__ import annotations

import base64
import hashlib
import itertools
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.unit.output.page.page_of import SHEET, content_of
from turnmodel.output.page.content import Content, Picture
from turnmodel.output.page.cutsheets import tick_keys
from turnmodel.output.page.html import page

if TYPE_CHECKING:
    from collections.abc import Iterator

DESIGNS = Path(__file__).parents[4] / "designs"

VOID = {"br", "img", "input", "link", "meta"}

MOST_BYTES = 8e6
"""The page of the pocket pen stays under this (the size asked for)."""

PICTURES_BYTES = 2e6
"""Pictures of a pen, twelve of 1600 px: kept free for them."""


class Elements(HTMLParser):
    """The elements of a page, and whether each that is opened is closed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        self.found.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Close the element that was opened last."""
        assert self.open.pop() == tag

    def all(self, *names: str) -> Iterator[dict[str, str | None]]:
        """List the attributes of elements by name."""
        return (attributes for name, attributes in self.found if name in names)


@pytest.fixture(scope="module")
def content() -> Content:
    """Gather the pocket pen's page."""
    return content_of(DESIGNS / "pocket_pen.py")


def test_the_page_is_whole(content: Content) -> None:
    """Every element is closed, every name is there once, every link and label leads somewhere."""
    read = Elements(page(content))
    names = [attributes["id"] for _, attributes in read.found if "id" in attributes]

    assert read.open == []
    assert len(names) == len(set(names))
    targets = {f"#{name}" for name in names}
    assert {link["href"] for link in read.all("a")} <= targets
    assert {one["aria-labelledby"] for one in read.all("section")} <= set(names)


def test_every_picture_has_its_text(content: Content) -> None:
    """Pictures, drawings and balance drawings say what they show; heads follow one another by rank."""
    text = page(content)
    read = Elements(text)

    assert all(image["alt"] for image in read.all("img"))
    assert len(list(read.all("img"))) == 2
    assert text.count("<title>closed, cut along its axis: 46.") == 1
    ranks = [int(name[1]) for name, _ in read.found if re.fullmatch(r"h\d", name)]
    assert ranks[0] == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(ranks))


def test_nothing_is_fetched(content: Content) -> None:
    """No address of a network is on the page but the name of a vocabulary, and its policy allows none."""
    text = page(content)
    policy = next(
        meta["content"] or "" for meta in Elements(text).all("meta") if meta.get("http-equiv") is not None
    )

    assert set(re.findall(r"\b(?:https?|wss?|ftp)://[^\s\"'<>]*", text)) == set()
    assert policy.startswith("default-src 'none';")
    for kind in ("style", "script"):
        inside = re.findall(rf"<{kind}>(.*?)</{kind}>", text, re.DOTALL)
        digests = [base64.b64encode(hashlib.sha256(one.encode()).digest()).decode() for one in inside]
        assert [f"{kind}-src 'sha256-{digest}'" in policy for digest in digests] == [True]


def test_what_a_script_says_is_text_and_no_more(content: Content) -> None:
    """Names and messages with signs of HTML in them are shown as they are written."""
    evil = '<img src=x onerror=alert(1)> & "M8"'
    report = {**content.report, "design": evil, "parameters": {evil: evil}}
    report["findings"] = [{**found, "message": evil, "mend": evil} for found in content.report["findings"]]
    shown = replace(content, report=report, pictures=[Picture(title=evil, alt=evil, data=b"\x89PNG")])
    read = Elements(page(replace(shown, cautions=[evil])))

    assert all((image["src"] or "").startswith("data:") for image in read.all("img"))
    assert not any(name.startswith("on") for _, attributes in read.found for name in attributes)
    assert read.open == []


def test_what_is_not_given_has_no_heading(content: Content) -> None:
    """Without pictures, drawings, cut sheets and cautions nothing is said of them."""
    text = page(replace(content, pictures=[], drawings=[], sheets=[], cautions=[]))
    heads = re.findall(r"<h2[^>]*>([^<]*)", text)

    assert heads == ["Findings", "Weight and balance", "Parts"]


def test_a_step_keeps_its_tick_as_long_as_it_says_the_same() -> None:
    """Equal steps have keys of their own; a changed step has a new one, the others keep theirs."""
    before = tick_keys("pen", SHEET)
    stage = SHEET.stages[0]
    steps = (stage.steps[0], replace(stage.steps[1], text="2.1 mm."), stage.steps[2])
    after = tick_keys("pen", replace(SHEET, stages=(replace(stage, steps=steps),)))

    assert len(set(before)) == 3
    assert [a == b for a, b in zip(before, after, strict=True)] == [True, False, True]
    assert not set(before) & set(tick_keys("other pen", SHEET))


def test_the_same_content_gives_the_same_text(content: Content) -> None:
    """The page has no date and no chance in it."""
    assert page(content) == page(content_of(DESIGNS / "pocket_pen.py"))


def test_the_page_is_small(content: Content) -> None:
    """Without its pictures the pocket pen's page leaves them room under what it may weigh."""
    assert len(page(content).encode()) < MOST_BYTES - PICTURES_BYTES
