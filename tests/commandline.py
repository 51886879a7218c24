"""The command line run in this process, and a sound script for tests to spoil in one place."""

from __future__ import annotations

import io
import sys
from contextlib import chdir, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final
from unittest.mock import patch

from turnmodel.cli import main

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["SOUND", "Case", "Ended", "assert_refused", "run", "spoilt"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a command ended: its exit status [-], what it printed, what it complained of."""

    status: int
    out: str
    err: str


def run(*words: str, folder: Path) -> Ended:
    """Run a command in a folder."""
    out, err = io.StringIO(), io.StringIO()
    with (
        chdir(folder),
        patch.object(sys, "argv", ["turnmodel", *words]),
        redirect_stdout(out),
        redirect_stderr(err),
    ):
        try:
            main()
            status = 0
        except SystemExit as end:
            status = end.code if isinstance(end.code, int) else int(end.code is not None)
    return Ended(status=status, out=out.getvalue(), err=err.getvalue())


def spoilt(old: str, new: str) -> str:
    """Give the sound script with one text in it changed."""
    assert SOUND.count(old) == 1, f"{SOUND.count(old)} of {old!r} in the script"
    return SOUND.replace(old, new)


@dataclass(frozen=True, slots=True)
class Case:
    """A text of the sound script, what it is changed to, and the one line that must be said of it."""

    name: str
    old: str
    new: str
    says: str

    def __str__(self) -> str:
        return self.name


def assert_refused(case: Case, folder: Path) -> None:
    """Hold a spoilt script to status 2 and its one message, whether it is read only or also written from."""
    (folder / "bad.py").write_text(spoilt(case.old, case.new), encoding="utf-8")
    refused = Ended(status=2, out="", err=case.says + "\n")

    assert run("check", "bad.py", folder=folder) == refused
    assert run("mockup", "bad.py", "--out", "made", folder=folder) == refused
    assert not (folder / "made").exists()


SOUND: Final = """\
from turnmodel import *


def design(room: float = 30.0, turns: int = 2, long: bool = False) -> Design:
    box = Part.turned(
        "box",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[
            cylinder(12, 27, mark="grip"),
            shoulder("stop"),
            relief(short=True),
            thread("M10x1", 5),
        ],
        from_back=[
            drill("7 mm", depth=room),
        ],
    )
    lid = Part.turned(
        "lid",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[
            cylinder(12, 15, mark="rim"),
        ],
        from_back=[
            drill("9 mm", depth=10.5, mark="hole"),
            tap("M10x1", depth=8, lead="bottoming"),
        ],
        across=[
            cross_hole("2 mm", at=3, mark="cord"),
        ],
    )
    clip = Part.strip(
        "clip",
        material="1095 blue strip",
        thickness=0.5,
        widths=[(0, 5), (30, 4)],
        holes={"screw": (3, 2.2)},
        side=[
            straight(6),
            bend(14, radius=4),
        ],
    )
    return Design(
        "nib box",
        parts=[box, lid, clip],
        states={
            "closed": state(
                joint.screw(lid.face("back"), box.face("stop")),
                joint.seat(clip.face("screw", "under"), lid.face("cord")),
            ),
            "open": state(aside=[lid, clip]),
        },
    )
"""
"""A box, its lid and a clip of strip: sound as it stands."""
