"""The command that makes a mock-up ready: what it prints, where it writes, how it ends."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from tests.commandline import SOUND, Ended, run

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the sound script and a file of tools."""
    (tmp_path / "sound.py").write_text(SOUND, encoding="utf-8")
    slugs = 'slugs = [ { material = "brass", diameter = 3, length = 3, count = 4 } ]'
    (tmp_path / "mine.toml").write_text(f'{slugs}\n[printer]\nprocess = "resin"\n', encoding="utf-8")
    return tmp_path


def test_it_writes_plates_parts_and_a_page(folder: Path) -> None:
    """Everything goes into one folder, is named, and the choice of threads is told."""
    ended = run("mockup", "sound.py", "--out", "made", folder=folder)

    assert (ended.status, ended.err) == (0, "")
    names = sorted(path.name for path in (folder / "made" / "mockup").iterdir())
    assert names == ["box.stl", "clip.stl", "lid.stl", "mockup.md", "nib-box-plate-1.3mf"]
    assert "threads: M10x1: as designed; 5.0 layers and 2.5 lines to a pitch" in ended.out
    assert "to know: clip: a stiffer stand-in of the spring" in ended.out


def test_json_is_one_object(folder: Path) -> None:
    """Numbers are not rounded, and every file is listed."""
    ended = run("mockup", "sound.py", "--out", "made", "--threads", "plain", "--json", folder=folder)
    told = json.loads(ended.out)

    assert ended.status == 0
    assert told["process"] == "filament"
    assert set(told["parts"]) == {"box", "lid", "clip"}
    assert [sorted(plate) for plate in told["plates"]] == [["box", "clip", "lid"]]
    assert len(told["files"]) == 5
    assert [(t["designation"], t["way"]) for t in told["threads"]] == [("M10x1", "as designed")]
    assert told["states"]["closed"]["metal_mass_g"] > told["states"]["closed"]["mass_g"]


def test_the_tools_choose_the_printer_and_an_option_another(folder: Path) -> None:
    """The file's own printer is resin; --process prints in filament all the same."""
    own = run("mockup", "sound.py", "--tools", "mine.toml", "--out", "made", "--json", folder=folder)
    other = run(
        "mockup", "sound.py", "--tools", "mine.toml", "--process", "filament", "--out", "made", "--json",
        folder=folder,
    )  # fmt: skip

    assert (json.loads(own.out)["process"], json.loads(other.out)["process"]) == ("resin", "filament")


def test_the_gauge_is_written_and_fitted_into_the_tools(folder: Path) -> None:
    """From the sheet that is written, filled in, to the record in the user's own file."""
    written = run("mockup", "--gauge", "--out", "gauge", folder=folder)
    assert written.status == 0
    sheet = folder / "gauge" / "gauge.toml"
    part, lines = "", []
    for line in sheet.read_text(encoding="utf-8").splitlines():
        part = line[1 : line.index("]")] if line.startswith("[") else part
        if line.startswith('"'):
            off = {"holes": -0.2, "cross_holes": -0.3, "pegs": 0.1, "lengths": 0.1, "foot": 0.5}[part]
            line += f"{float(line.split(chr(34))[1]) + off:.2f}"
        lines.append({"first = ": "first = 2", "last = ": "last = 4"}.get(line, line))
    sheet.write_text("\n".join(lines), encoding="utf-8")

    printed = run("mockup", "--fit", "gauge/gauge.toml", folder=folder)
    stored = run("mockup", "--fit", "gauge/gauge.toml", "--tools", "mine.toml", folder=folder)

    assert "hole 0.200 mm, give or take 0.004" in printed.out
    assert printed.out.endswith("for your file of tools:\n\n[printer]\n" + RECORD)
    assert stored.out.endswith("written into mine.toml\n")
    assert (folder / "mine.toml").read_text(encoding="utf-8").endswith("[printer]\n" + RECORD)


RECORD = """\
process = "filament"
hole = 0.2
cross_hole = 0.3
shaft = 0.1
depth = 0.1
foot = 0.2
thread = 0.3
"""


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("mockup", "name a design script, or write --gauge, or --fit FILE: one of them"),
        ("mockup sound.py --gauge", "name a design script, or write --gauge, or --fit FILE: one of them"),
        (
            "mockup sound.py --ballast",
            "--ballast: your tools have no slugs; list some, as turnmodel facts tools --example shows",
        ),
        ("mockup --fit none.toml", "none.toml: cannot be read: No such file or directory"),
        ("mockup soumd.py", "soumd.py: there is no such script; did you mean 'sound.py'?"),
    ],
)
def test_what_is_wrong_is_told_in_one_line(words: str, says: str, folder: Path) -> None:
    """Status 2, one line, nothing written."""
    before = sorted(folder.rglob("*"))

    assert run(*words.split(), folder=folder) == Ended(status=2, out="", err=says + "\n")
    assert sorted(folder.rglob("*")) == before


def test_parts_that_no_bed_holds_end_with_status_1(folder: Path) -> None:
    """A bed of 20 mm holds neither box nor lid; they are named, and their STL files are there."""
    (folder / "mine.toml").write_text("[printer]\nbed = [20, 20, 20]\n", encoding="utf-8")

    ended = run("mockup", "sound.py", "--tools", "mine.toml", "--out", "made", folder=folder)

    assert ended.status == 1
    assert "to know: box is larger than the bed" in ended.out
    assert (folder / "made" / "mockup" / "box.stl").exists()
