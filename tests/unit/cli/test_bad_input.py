"""Wrong options, wrong files, and several faults at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

from tests.commandline import SOUND, Ended, run, spoilt


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the sound script, and files that are no scripts."""
    (tmp_path / "sound.py").write_text(SOUND, encoding="utf-8")
    (tmp_path / "latin.py").write_bytes(b"# caf\xe9\n")
    (tmp_path / "zeros.py").write_bytes(b"# \0\n")
    (tmp_path / "sketches").mkdir()
    return tmp_path


OPTIONS: Final = {
    "check soumd.py": "soumd.py: there is no such script; did you mean 'sound.py'?",
    "weigh soumd.py": "soumd.py: there is no such script; did you mean 'sound.py'?",
    "check elsewhere/pen.py": "elsewhere/pen.py: there is no such script",
    "check sketches": "sketches: is a folder; name the script in it",
    "check latin.py": "latin.py: is no text in UTF-8; save it as UTF-8",
    "check zeros.py": "zeros.py: is no text: it holds null bytes",
    "check sound.py --set rooom=3": "--set rooom: sound.py has no parameter 'rooom'; did you mean 'room'?",
    "check sound.py --set height=3": (
        "--set height: sound.py has no parameter 'height'; it has: room, turns, long"
    ),
    "check sound.py --set room=wide": "--set room=wide: must be a number, such as 30.0",
    "check sound.py --set room=nan": "--set room=nan: must be a number, such as 30.0",
    "check sound.py --set room=-inf": "--set room=-inf: must be a number, such as 30.0",
    "check sound.py --set turns=2.5": "--set turns=2.5: must be a whole number, such as 2",
    "check sound.py --set long=maybe": "--set long=maybe: must be true or false, such as False",
    "check sound.py --set room": "--set room: must be NAME=VALUE, such as --set cap_wall=1.2",
    "check sound.py --set =5": "--set =5: must be NAME=VALUE, such as --set cap_wall=1.2",
    "check sound.py --set room=1 --set room=2": "--set room: given twice, as 1 and 2",
    "check sound.py --set room=-5": (
        "sound.py:16: box, drill (from back 1): depth -5 mm: must be more than 0 mm; did you mean 5 mm?"
    ),
    "weigh sound.py --compare brass,": "no material named ''",
    "facts gears": (
        "no kind of fact named 'gears'; did you mean 'bars'? there is 'threads', 'drills', 'materials', "
        "'bars', 'refills', 'finishes', 'fits', 'reliefs', 'rules', 'tools'"
    ),
    "facts drills #99": "no drill named '#99'; did you mean '#9'?",
    "facts materials bras": "no material named 'bras'; did you mean 'brass'?",
    "facts bars thick": (
        "cannot read bar 'thick': write a number or a fraction and its unit, mm, um, in or thou"
    ),
    "start sound.py": "sound.py is there already; choose another name",
    "start new.txt": "new.txt: a script's name ends in .py; write new.py",
    "start .": ".: a script's name ends in .py; write my_object.py",
    "start elsewhere/new.py": "cannot write elsewhere/new.py: No such file or directory",
}


@pytest.mark.parametrize("words", OPTIONS)
def test_a_wrong_option_is_told_in_one_line(words: str, folder: Path) -> None:
    """A wrong option or file ends with status 2 and one line that says what would be right."""
    before = sorted(folder.rglob("*"))

    assert run(*words.split(), folder=folder) == Ended(status=2, out="", err=OPTIONS[words] + "\n")
    assert sorted(folder.rglob("*")) == before


USAGE: Final = {
    "check": "Missing argument 'DESIGN.py'.",
    "chekc sound.py": "No such command 'chekc'. Did you mean 'check'?",
    "check sound.py --sett room=3": "No such option: --sett",
    "mockup sound.py --out latin.py": "dir 'latin.py' is a file.",
    "picture sound.py --out latin.py": "dir 'latin.py' is a file.",
    "make sound.py --out latin.py": "dir 'latin.py' is a file.",
}


@pytest.mark.parametrize("words", USAGE)
def test_a_wrong_command_line_shows_how_it_is_used(words: str, folder: Path) -> None:
    """A command line that cannot be parsed ends with status 2, how it is used, and what is wrong."""
    before = sorted(folder.rglob("*"))
    ended = run(*words.split(), folder=folder)

    assert (ended.status, ended.out) == (2, "")
    assert ended.err.startswith("Usage: turnmodel")
    assert USAGE[words] in ended.err
    assert sorted(folder.rglob("*")) == before


@pytest.mark.parametrize("verb", ["mockup", "picture", "make"])
def test_a_folder_under_a_file_cannot_be_written(verb: str, folder: Path) -> None:
    """Where no folder can be made the command says so, with status 2 and nothing written."""
    before = sorted(folder.rglob("*"))
    ended = run(verb, "sound.py", "--out", "latin.py/made", folder=folder)

    assert ended == Ended(status=2, out="", err="cannot write into latin.py/made: Not a directory\n")
    assert sorted(folder.rglob("*")) == before


MANY: Final = {
    'cylinder(12, 27, mark="grip"),': 'cylinder(12, -27, mark="grip"),',
    'drill("7 mm", depth=room),': 'drill("#99", depth=room),',
    "cylinder(12, 15,": "cylinder(13, 15,",
    'cross_hole("2 mm", at=3,': 'cross_hole("2 mm", at=15,',
    "straight(6),": "straight(0),",
    "bend(14, radius=4),": "bend(14, radius='4'),",
}
"""Six faults in three parts, two in each."""


def test_every_fault_of_a_script_is_told_at_once(tmp_path: Path) -> None:
    """Six faults in three parts give six lines, each with its own line of the script, and no seventh."""
    text = SOUND
    for old, new in MANY.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    (tmp_path / "bad.py").write_text(text, encoding="utf-8")

    assert run("check", "bad.py", folder=tmp_path) == Ended(
        status=2,
        out="",
        err=(
            'bad.py:10: box, cylinder "grip": length -27 mm: must be more than 0 mm; did you mean 27 mm?\n'
            "bad.py:16: box, drill (from back 1): size '#99': there is no such drill; did you mean '#9'?\n"
            'bad.py:24: lid, cylinder "rim": diameter 13 mm: is wider than its bar, 12 mm; '
            "turn it to 12 mm or less, or take a thicker bar\n"
            'bad.py:31: lid, cross hole "cord": from 14 to 16 mm: lies past the end of the part, '
            "15 mm long; move it 1 mm\n"
            "bad.py:41: clip, straight (side 1): length 0 mm: must be more than 0 mm\n"
            "bad.py:42: clip, bend (side 2): radius '4': write '4 mm' or '4 in', it may be either\n"
        ),
    )


def test_a_wrong_joint_is_told_beside_a_wrong_part(tmp_path: Path) -> None:
    """A face that is not there is told even where another part has a fault of its own."""
    text = spoilt("straight(6),", "straight(-6),").replace('box.face("stop")', 'box.face("stopp")')
    (tmp_path / "bad.py").write_text(text, encoding="utf-8")
    ended = run("check", "bad.py", folder=tmp_path)

    assert ended.err.splitlines() == [
        "bad.py:41: clip, straight (side 1): length -6 mm: must be more than 0 mm; did you mean 6 mm?",
        "bad.py:50: lid, screw on box: face \"stopp\": there is no such face of box; did you mean 'stop'?",
    ]


def test_the_sound_script_is_sound(folder: Path) -> None:
    """The script that these tests spoil is accepted as it stands, so that each spoils it in one way only."""
    ended = run("check", "sound.py", folder=folder)

    assert (ended.status, ended.err) == (0, "")


ENDLESS: Final = "    def again():\n        return again()\n    again()\n"
"""A call that leaves nothing out: Python 3.13.0 does not count those whose defaults are filled in."""

PROCESSES: Final = {
    "an unknown thread": ('thread("M10x1", 5)', 'thread("M10x", 5)', "bad.py:13: box, thread (outside 4)"),
    "endless recursion": ("    box = Part", f"{ENDLESS}    box = Part", "bad.py:6: script"),
    "an exit": ("    box = Part", "    raise SystemExit\n    box = Part", "bad.py:5: script"),
}


@pytest.mark.parametrize("name", PROCESSES)
def test_the_program_itself_ends_with_status_2(name: str, tmp_path: Path) -> None:
    """In a process of its own a bad script ends with status 2, one line and no traceback."""
    old, new, says = PROCESSES[name]
    (tmp_path / "bad.py").write_text(spoilt(old, new), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "turnmodel", "make", "bad.py", "--out", "made"],
        cwd=tmp_path,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )

    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(says)
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "made").exists()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
@pytest.mark.parametrize("words", ["check sound.py", "facts threads", "weigh --help"])
def test_an_answer_that_cannot_be_written_is_told(words: str, folder: Path) -> None:
    """Where the standard output takes no more the program ends with status 2 and says so in one line."""
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "turnmodel", *words.split()],
            cwd=folder,
            stdout=full,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            check=False,
        )

    said = "cannot write the answer: No space left on device\n"
    assert (done.returncode, done.stderr) == (2, said)
