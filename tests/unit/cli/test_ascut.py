"""The command that tells what a measured part changes."""

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


def test_it_tells_what_was_measured_and_what_moved(folder: Path) -> None:
    """The lid cut short: it stands elsewhere, weighs less, and check and weigh know of it."""
    (folder / "box.ascut.toml").write_text("[lid]\nlength = 14.9\nmass = 9.0\n", encoding="utf-8")
    ended = run("ascut", "box.py", folder=folder)
    told = json.loads(run("ascut", "box.py", "--json", folder=folder).out)
    weighed = json.loads(run("weigh", "box.py", "--json", folder=folder).out)
    checked = json.loads(run("check", "box.py", "--json", folder=folder).out)

    assert "length 14.900 mm, drawn 15.000 (-0.100)" in ended.out
    assert max(map(len, ended.out.splitlines())) <= 100
    assert "closed: lid stands at" in [moved["what"] for moved in told["moved"]]
    assert weighed["parts"]["lid"]["mass_g"] == 9.0
    assert "lid *" in run("weigh", "box.py", folder=folder).out
    assert checked["parts"]["lid"]["length_mm"] == pytest.approx(14.9)
    assert sum(f["rule"] == "as cut" for f in checked["findings"]) == 2


def test_nothing_measured_is_said(folder: Path) -> None:
    """Without the file there is one line that tells how to begin."""
    says = (
        "nothing is measured yet: write box.ascut.toml beside the script, such as [box] and length = 42.85\n"
    )

    assert run("ascut", "box.py", folder=folder) == Ended(status=2, out="", err=says)


def test_a_wrong_file_is_refused_by_every_command(folder: Path) -> None:
    """All of its faults at once, by check as well."""
    (folder / "box.ascut.toml").write_text("[led]\nmass = 1\n[box]\nmass = 0\n", encoding="utf-8")
    says = (
        "box.ascut.toml: led: part: there is no such part; did you mean 'lid'?\n"
        "box.ascut.toml: box, mass: 0: must be more than 0\n"
    )

    for command in ("ascut", "check", "weigh"):
        assert run(command, "box.py", folder=folder) == Ended(status=2, out="", err=says)


def test_a_file_that_is_no_toml_is_refused(folder: Path) -> None:
    """One line with the place."""
    (folder / "box.ascut.toml").write_text("[box\n", encoding="utf-8")

    assert run("ascut", "box.py", folder=folder).err.startswith("box.ascut.toml: file: cannot be read: ")
