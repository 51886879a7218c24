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
        "nothing is measured yet: write box.ascut.toml beside the script, such as [box] and length = 42.85; "
        "--help tells the form\n"
    )
    helped = " ".join(run("ascut", "--help", folder=folder).out.split())
    assert 'under [case."liner seat"], depth = 34.6 of a feature' in helped

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


POT = """\
from turnmodel import *


def design() -> Design:
    pot = Part.turned(
        "pot", material="CW614N", stock=bar("12 mm"), outside=[cylinder(12, 30)],
        from_front=[bore(8, depth=20, mark="floor")],
    )
    core = Part.turned("core", material="CW614N", stock=bar("8 mm"), outside=[cylinder(7.8, 19)])
    plug = Part.turned(
        "plug", material="CW614N", stock=bar("12 mm"),
        outside=[cylinder(12, 3), shoulder("under"), cylinder(7.8, 0.8)],
    )
    boot = Part.turned(
        "boot", material="CW614N", stock=bar("16 mm"), outside=[cylinder(16, 8)],
        from_front=[bore(12.1, depth=5, mark="floor")],
    )
    return Design(
        "pot", parts=[pot, core, plug, boot],
        joints=[
            joint.seat(core.face("back"), pot.face("floor")),
            joint.seat(plug.face("under"), pot.face("front")),
        ],
        states={
            "shod": state(joint.seat(boot.face("floor"), pot.face("back"))),
            "bare": state(aside=boot),
        },
    )
"""


def test_what_is_found_alike_in_two_states_is_told_once(tmp_path: Path) -> None:
    """A bore 0.5 mm short lifts the core into the plug, all three cut: one line, with both states."""
    (tmp_path / "pot.py").write_text(POT, encoding="utf-8")
    cut = "[pot.floor]\ndepth = 19.5\n[core]\nlength = 19\n[plug]\nlength = 3.8\n[boot]\nlength = 8\n"
    (tmp_path / "pot.ascut.toml").write_text(cut, encoding="utf-8")
    told = [line for line in run("ascut", "pot.py", folder=tmp_path).out.splitlines() if "fill" in line]

    assert len(told) == 1
    assert told[0].startswith("fault: shod: core and plug fill the same")
    assert told[0].endswith("in shod and bare")
