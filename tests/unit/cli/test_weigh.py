"""The command that weighs: its tables, its JSON, its picture, and what it refuses."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from tests.commandline import SOUND, Ended, run

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the sound script in it."""
    (tmp_path / "box.py").write_text(SOUND, encoding="utf-8")
    return tmp_path


def test_tables_fit_a_hundred_columns(folder: Path) -> None:
    """Parts, states and other materials side by side are told in tables no wider than 100 columns."""
    ended = run("weigh", "box.py", "--compare", "brass,aluminium,titanium,resin", folder=folder)

    assert ended.status == 0
    assert max(map(len, ended.out.splitlines())) <= 100
    assert all(word in ended.out for word in ("swarf %", "g.cm2", "titanium"))


def test_json_holds_the_same_figures(folder: Path) -> None:
    """One object, numbers not rounded; a part in another material weighs by its density."""
    plain = json.loads(run("weigh", "box.py", "--json", folder=folder).out)
    other = json.loads(run("weigh", "box.py", "--json", "--material", "lid=6061-T6", folder=folder).out)

    ratio = other["parts"]["lid"]["mass_g"] / plain["parts"]["lid"]["mass_g"]
    assert ratio == pytest.approx(2.70 / 8.47)
    assert other["states"]["open"] == plain["states"]["open"]


def test_a_picture_is_the_same_every_time(folder: Path) -> None:
    """The same design gives the same picture, byte for byte."""
    for name in ("a.svg", "b.svg"):
        assert run("weigh", "box.py", "--picture", name, folder=folder).status == 0

    assert (folder / "a.svg").read_bytes() == (folder / "b.svg").read_bytes()
    assert b"nib box, closed" in (folder / "a.svg").read_bytes()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--material", "lid"), "--material lid: must be PART=NAME, such as --material cap=6061-T6"),
        (
            ("--material", "lid=brass", "--material", "lid=303"),
            "--material lid: given twice, as brass and 303",
        ),
        (("--material", "led=brass"), "--material led=brass: no part named 'led'; did you mean 'lid'?"),
        (("--compare", "brass,,303"), "no material named ''"),
        (
            ("--picture", "out.gif"),
            "out.gif: a chart is written as .png, .svg, .pdf; name it out.png",
        ),
    ],
)
def test_wrong_words_are_refused_in_one_line(folder: Path, words: tuple[str, ...], says: str) -> None:
    """Status 2, one line, nothing written."""
    before = sorted(folder.iterdir())

    assert run("weigh", "box.py", *words, folder=folder) == Ended(status=2, out="", err=says + "\n")
    assert sorted(folder.iterdir()) == before
