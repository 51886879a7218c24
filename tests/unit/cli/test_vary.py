"""The command that varies: table, CSV, JSON, chart, line-up, target, and what it refuses."""

from __future__ import annotations

import csv
import json
from typing import TYPE_CHECKING

import pytest

from tests.commandline import SOUND, Ended, run

if TYPE_CHECKING:
    from pathlib import Path

OVER = ("vary", "box.py", "--over", "room=20:26:2", "--columns", "parts.box.mass_g,states.open.balance_mm")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the sound script in it."""
    (tmp_path / "box.py").write_text(SOUND, encoding="utf-8")
    return tmp_path


def test_the_table_tells_every_variant(folder: Path) -> None:
    """One row a variant, within 100 columns; usual figures where none are asked for."""
    ended = run(*OVER, folder=folder)
    usual = run("vary", "box.py", "--over", "room=20,21", folder=folder)

    assert ended.status == 0
    assert "nib box: 4 variants" in ended.out
    assert "faults" in usual.out
    assert max(map(len, (ended.out + usual.out).splitlines())) <= 100


def test_csv_and_json_hold_the_same_figures(folder: Path) -> None:
    """Numbers not rounded; a variant that cannot be built has its reason and no figures."""
    words = ("--over", "room=20,90", "--columns", "parts.box.mass_g")
    assert run("vary", "box.py", *words, "--csv", "out.csv", folder=folder).status == 0
    laid_out = json.loads(run("vary", "box.py", *words, "--json", folder=folder).out)
    with (folder / "out.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))

    first, broken = laid_out["variants"]
    assert float(rows[0]["parts.box.mass_g"]) == first["figures"]["parts.box.mass_g"]
    assert rows[1]["parts.box.mass_g"] == ""
    assert rows[1]["broken"] == broken["broken"] != ""


def test_a_script_that_is_broken_itself_is_varied(folder: Path) -> None:
    """Where the script's own numbers cannot be built, those that can still have their figures."""
    broken = SOUND.replace("room: float = 30.0", "room: float = 90.0")
    (folder / "box.py").write_text(broken, encoding="utf-8")
    laid_out = json.loads(run(*OVER, "--json", folder=folder).out)
    none = run("vary", "box.py", "--over", "room=80,90", folder=folder)

    assert all(variant["broken"] is None for variant in laid_out["variants"])
    assert none.status == 2
    assert "comes out of the far end" in none.err


def test_samples_are_the_same_for_the_same_seed(folder: Path) -> None:
    """The chance has a start; another start gives others."""
    words = (
        "vary",
        "box.py",
        "--over",
        "room=20:26",
        "--samples",
        "5",
        "--columns",
        "parts.box.mass_g",
        "--json",
    )
    one, same = run(*words, folder=folder).out, run(*words, folder=folder).out

    assert one == same
    assert run(*words, "--seed", "1", folder=folder).out != one


def test_chart_and_line_up_are_drawn(folder: Path) -> None:
    """Both are pictures; the line-up names the rows that stand in it."""
    ended = run(*OVER, "--chart", "c.svg", "--line-up", "l.svg", "--pick", "1,3", folder=folder)

    assert ended.status == 0
    assert "written to c.svg" in ended.out
    assert "parts.box" not in (folder / "c.svg").read_text(encoding="utf-8")
    assert "box, mass g" in (folder / "c.svg").read_text(encoding="utf-8")
    drawn = (folder / "l.svg").read_text(encoding="utf-8")
    assert "1: room 20" in drawn
    assert "3: room 24" in drawn
    assert "2: room" not in drawn


def test_a_target_is_met_or_refused(folder: Path) -> None:
    """Status 0 and the values where it is met, 1 and the reason where it is not."""
    words = ("vary", "box.py", "--over", "room=20:26", "--target")
    met = json.loads(run(*words, "parts.box.mass_g=22", "--json", folder=folder).out)
    missed = run(*words, "parts.box.mass_g=99", folder=folder)

    assert met["met"] is True
    assert met["figures"]["parts.box.mass_g"] == pytest.approx(22, abs=1e-6)
    assert missed.status == 1
    assert "not met: this is the nearest" in missed.out
    assert "stopped by: room stands at its lower bound, 20" in missed.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            (),
            "--over: name a parameter to vary, as --over NAME=FROM:TO:STEP; there is room, turns, long",
        ),
        (
            ("--over", "room=20:26"),
            "--over room=20:26: a range takes a step, or --samples N",
        ),
        (
            ("--over", "room=20,21", "--set", "room=22"),
            "--set room: is varied by --over as well; drop one of the two",
        ),
        (
            ("--over", "room=20,21", "--columns", "fault"),
            "--columns fault: nib box has no such figure; did you mean 'faults'?",
        ),
        (
            ("--over", "room=20,21", "--columns", "faults", "--line-up", "l.png", "--pick", "3"),
            "--pick 3: must be numbers of rows from 1 to 2, such as 1,5,9",
        ),
        (
            ("--over", "room=20,21", "--columns", "parts.box.mass_g", "--chart", "c.jpg"),
            "c.jpg: a chart is written as .png, .svg, .pdf; name it c.png",
        ),
        (
            ("--over", "room=20,21", "--pick", "1"),
            "--pick 1: say where they are to stand, as --line-up FILE.png",
        ),
        (
            ("--over", "room=20:26", "--target", "faults=0", "--csv", "out.csv"),
            "--csv: has no meaning beside --target; drop one of the two",
        ),
        (
            ("--over", "room=20,21,20"),
            "--over room=20,21,20: 20 stands there twice",
        ),
        (
            ("--over", "room=x,21"),
            "--over room=x,21: x is no number, such as 30.0",
        ),
    ],
)
def test_wrong_words_are_refused_in_one_line(folder: Path, words: tuple[str, ...], says: str) -> None:
    """Status 2 and one line."""
    assert run("vary", "box.py", *words, folder=folder) == Ended(status=2, out="", err=says + "\n")
