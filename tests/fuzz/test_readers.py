"""No text that people write makes a reader fail otherwise than by an error of our own."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.fuzz.readers import FILES, TEXTS, held_file, hold

if TYPE_CHECKING:
    from pathlib import Path

ODD = (
    "", " ", "\0", "\x85", "\u2028", "٣ mm", "½ in", "1/0 in", "1e999", "1e-999 mm", "-0", "nan", "inf",
    "0x10", "M" * 5000, "9" * 5000, "1/" * 3000, "(" * 3000,
)  # fmt: skip
"""Texts on which readers are apt to fail."""

ODD_FILES = (
    b"", b"\xff\xfe", b"\xef\xbb\xbf", b"\0", b"a = " + b"[" * 5000, b"a = " + b"9" * 5000, b"{" * 5000,
    b"[" * 99_999 + b"1" + b"]" * 99_999, b"[box]\nmass = 1e999", b"[box]\nlength = 1" + b"0" * 400,
    b"[box]\nlength = -1" + b"0" * 400, b"uncertainty = 1" + b"0" * 400,
    b"parting_width = 1" + b"0" * 400,
    b"[printer]\nline_width = 1" + b"0" * 400, b"[holes]\n3 = 1" + b"0" * 400, b"box = 1979-05-27",
    b"[box]\nlength = 1979-05-27", b"[[box]]\nlength = 1", b"\r", b"a = 1\r\nb = ",
    b"a.b.c" + b".d" * 4000 + b" = 1",
)  # fmt: skip
"""Files on which readers are apt to fail."""


def mutated(known: tuple[str, ...]) -> st.SearchStrategy[str]:
    """Draw pieces of known texts, of others and of anything, one behind the other."""
    pieces = st.sampled_from(known).flatmap(
        lambda text: st.tuples(st.integers(0, len(text)), st.integers(0, len(text))).map(
            lambda cut: text[min(cut) : max(cut)]
        )
    )
    return st.lists(
        st.sampled_from(known) | pieces | st.text(max_size=8) | st.sampled_from(ODD[:14]), max_size=4
    ).map("".join)


@pytest.mark.parametrize("name", TEXTS)
@pytest.mark.parametrize("text", ODD, ids=ascii)
def test_an_odd_text_is_read_or_refused(name: str, text: str) -> None:
    """Texts apt to break readers give a value or an error of our own."""
    hold(TEXTS[name][0], text)


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("data", ODD_FILES, ids=lambda data: ascii(data)[:20])
def test_an_odd_file_is_read_or_refused(name: str, data: bytes, tmp_path: Path) -> None:
    """Files apt to break readers give a value or an error of our own."""
    held_file(FILES[name][0], data, tmp_path)


@pytest.mark.parametrize("name", TEXTS)
@given(data=st.data())
def test_any_text_is_read_or_refused(name: str, data: st.DataObject) -> None:
    """Pieces of known texts, put together anyhow, give a value or an error of our own."""
    read, known = TEXTS[name]
    hold(read, data.draw(mutated(known)))


@pytest.mark.parametrize("name", FILES)
@given(data=st.data())
def test_any_file_is_read_or_refused(
    name: str, data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Lines of known files, changed and put together anyhow, give a value or an error of our own."""
    read, known = FILES[name]
    lines = tuple(line for text in known for line in text.splitlines(keepends=True))
    text = data.draw(st.lists(mutated(lines), max_size=12).map("\n".join) | mutated(known))
    held_file(read, text.encode("utf-8", "surrogatepass"), tmp_path_factory.getbasetemp())
