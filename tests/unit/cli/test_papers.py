"""The command that writes the papers."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Final

from tests.commandline import SOUND, run

ROOT: Final = Path(__file__).parents[3]


def test_papers_writes_one_pdf_and_every_sheet_twice(tmp_path: Path) -> None:
    """Drawings come as one PDF, and each sheet as DXF and as SVG; the files are named as they are written."""
    (tmp_path / "thing.py").write_text(SOUND, encoding="utf-8")

    ended = run("papers", "thing.py", "--out", "made", folder=tmp_path)

    named = [tmp_path / line for line in ended.out.splitlines()]
    assert ended.status == 0, ended.err
    assert all(path.is_file() for path in named)
    assert sum(path.suffix == ".pdf" for path in named) >= 1
    dxf, svg = ({p.stem for p in named if p.suffix == ending} for ending in (".dxf", ".svg"))
    assert dxf == svg
    assert "01-whole" in dxf


def test_the_same_script_gives_the_same_papers(tmp_path: Path) -> None:
    """Two processes that number their texts differently write the same bytes."""
    (tmp_path / "thing.py").write_text(SOUND, encoding="utf-8")
    made = []
    for seed in "12":
        words = [sys.executable, "-m", "turnmodel", "papers", "thing.py", "--out", seed]
        env = os.environ | {"PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)}
        subprocess.run(words, cwd=tmp_path, env=env, check=True, capture_output=True)
        folder = tmp_path / seed
        made.append({p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()})

    assert len(made[0]) > 9
    assert made[0] == made[1]


def test_a_revision_follows_the_parameters(tmp_path: Path) -> None:
    """The same script with another parameter has another revision, and the same one the same."""
    from turnmodel.writing import revision

    script = tmp_path / "thing.py"
    script.write_text(SOUND, encoding="utf-8")

    assert revision(script, {"length": 30.0}) == revision(script, {"length": 30.0})
    assert revision(script, {"length": 30.0}) != revision(script, {"length": 31.0})
    assert len(revision(script, {})) == 7


def test_an_unknown_paper_is_refused(tmp_path: Path) -> None:
    """A paper or a unit that there is not is told with those there are, and nothing is written."""
    (tmp_path / "thing.py").write_text(SOUND, encoding="utf-8")

    for words in (("--paper", "a5"), ("--units", "furlongs")):
        ended = run("papers", "thing.py", *words, folder=tmp_path)
        assert ended.status == 2
        assert "Traceback" not in ended.err
    assert not (tmp_path / "renders").exists()
