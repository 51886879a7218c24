"""Wrong files beside a design: tools, sizes as cut, the sheet of a gauge; and folders that cannot be."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import pytest

from tests.commandline import SOUND, Ended, run
from turnmodel.catalog.printer import printer
from turnmodel.output.mockup.gauge import sheet

if TYPE_CHECKING:
    from pathlib import Path

LONG: Final = "1" + "0" * 30
"""A number that no 64 bits hold."""

TOOLS: Final = {
    "bars =": "given.toml:1: bars =: this is no TOML: Invalid value",
    'bars = ["12 mm"\n': 'given.toml:1: bars = ["12 mm": this is no TOML: Unclosed array',
    "bars = 12": "given.toml:1: bars: 12: must be a list; write bars = [...]",
    'bars = ["12"]': "given.toml:1: bars: 12: write '12 mm' or '12 in', it may be either",
    'barz = ["12 mm"]': (
        "given.toml:1: tools: barz: this is nothing that a file of tools has; did you mean 'bars'?"
    ),
    'taps = ["M10x"]': (
        "given.toml:1: taps: M10x: write the thread and then any of taper, plug, bottoming, set, as 'M4 plug'"
    ),
    'drills = ["1 to 6"]': (
        "given.toml:1: drills: 1 to 6: write a number or a fraction and its unit, mm, um, in or thou; "
        "or '#29', 'F'"
    ),
    "parting_width = -2": "given.toml:1: parting_width: -2: must be more than 0 mm",
    f"parting_width = {LONG}": (
        f"given.toml:1: parting_width = {LONG}: this is no TOML: A number is too long"
    ),
    "bars = " + "[" * 3000: ("given.toml:1: bars = " + "[" * 53 + ": this is no TOML: It is nested too deep"),
    "[lathe]\nspeeds = []": (
        "given.toml:2: lathe.speeds: []: write [130, 300, 700] or { from = 100, to = 2500 }"
    ),
    '[printer]\nprocess = "laser"': (
        "given.toml:2: printer.process: laser: no process named 'laser'; there is 'filament', 'resin'"
    ),
    "[printer]\nbed = [1, 2]": (
        "given.toml:2: printer.bed: [1, 2]: write width, depth and height, as [180, 180, 180]"
    ),
}


@pytest.mark.parametrize("text", TOOLS, ids=lambda text: text[:40])
def test_a_wrong_file_of_tools_is_told_in_one_line(text: str, tmp_path: Path) -> None:
    """A file of tools that is wrong in one place ends with status 2 and its line, and nothing is written."""
    (tmp_path / "sound.py").write_text(SOUND, encoding="utf-8")
    (tmp_path / "given.toml").write_text(text, encoding="utf-8")
    refused = Ended(status=2, out="", err=TOOLS[text] + "\n")

    assert run("check", "sound.py", "--tools", "given.toml", folder=tmp_path) == refused
    assert run("mockup", "sound.py", "--tools", "given.toml", "--out", "made", folder=tmp_path) == refused
    assert not (tmp_path / "made").exists()


AS_CUT: Final = {
    "[box": "file: cannot be read: Expected ']' at the end of a table declaration (at end of document)",
    "[boxx]\nlength = 3": "boxx: part: there is no such part; did you mean 'box'?",
    "box = 3": "box: 3: must be a table of what was measured; write [box]",
    '[box]\nlength = "3"': "box, length: '3': write '3 mm' or '3 in', it may be either",
    "[box]\nlength = -3": "box, length: -3: must be more than 0",
    "[box]\nlength = 300": "box, length: 300 mm: the drawing gives 34.5 mm",
    "[box]\nlength = 1.36": "box, length: 1.36 mm: the drawing gives 34.5 mm; did you mean 1.36 in?",
    "[box]\nlenght = 34": ("box, lenght: measured: there is no such size or feature; did you mean 'length'?"),
    f"[box]\nlength = {LONG}": "file: cannot be read: A number is too long (at line 2, column 1)",
    "[box]\nlength = " + "[" * 3000: "file: cannot be read: It is nested too deep (at line 2, column 1)",
    "[box]\nmass = true": "box, mass: True: must be a number, or a mass with its unit",
    "[box.gripp]\ndiameter = 11.9": (
        "box, gripp: feature: there is no such size or feature; did you mean 'grip'?"
    ),
    "[box.grip]\ndiameter = 31": 'box, cylinder "grip", diameter: 31 mm: the drawing gives 12 mm',
    "[box.grip]\ndiameter = { valu = 11.9 }": (
        "box, cylinder \"grip\", diameter: 'valu': a reading has value and uncertainty"
    ),
    "[box.grip]\nradius = 5.9": (
        'box, cylinder "grip", radius: measured: the feature has no such size; there is '
        "'diameter', 'length'"
    ),
    "uncertainty = 0": "uncertainty: 0: must be more than 0",
    "[clip]\nthickness = 0.5": "clip, thickness: measured: there is no such size or feature; there is 'mass'",
}


@pytest.mark.parametrize("text", AS_CUT, ids=lambda text: text[:40])
def test_a_wrong_file_of_measured_sizes_is_told_in_one_line(text: str, tmp_path: Path) -> None:
    """Sizes as cut that are wrong in one place end every command with status 2 and the place."""
    (tmp_path / "sound.py").write_text(SOUND, encoding="utf-8")
    (tmp_path / "sound.ascut.toml").write_text(text, encoding="utf-8")
    refused = Ended(status=2, out="", err=f"sound.ascut.toml: {AS_CUT[text]}\n")

    for verb in ("check", "weigh", "ascut"):
        assert run(verb, "sound.py", folder=tmp_path) == refused


HOLES: Final = "given.toml:1: holes: 0 of them tell nothing; 3 are the fewest; measure more sizes"
FILAMENT: Final = 'process = "filament"\n'

SHEETS: Final = {
    "": "given.toml:1: process: must be 'filament' or 'resin'",
    'process = "laser"': "given.toml:1: process: must be 'filament' or 'resin'",
    FILAMENT: HOLES,
    sheet(printer("filament")): HOLES.replace(":1:", ":6:"),
    "[holes": (
        "given.toml:1: this is no TOML: Expected ']' at the end of a table declaration (at end of document)"
    ),
    f"{FILAMENT}holes = 3": (
        "given.toml:2: holes: must be a section; write [holes] and its measures below it"
    ),
    f'{FILAMENT}[holes]\n3 = "x"': "given.toml:3: holes: 3: 'x' is no number of millimetres",
    f"{FILAMENT}[holes]\n3 = 9\n4 = 3.9\n5 = 4.9": (
        "given.toml:3: holes: 3: 9 mm is 6.00 mm off, which no printer is: another place, or misread; "
        "measure it again"
    ),
    f"{FILAMENT}[holes]\n3 = {LONG}": (
        "given.toml:3: this is no TOML: A number is too long (at line 3, column 1)"
    ),
    f"{FILAMENT}[holes]\n7 = 6.9": (
        "given.toml:3: holes: 7: is no size of the gauge; there is 3, 4, 5, 6, 8, 10"
    ),
}


@pytest.mark.parametrize("text", SHEETS, ids=lambda text: text[-40:])
def test_a_wrong_sheet_of_a_gauge_is_told_in_one_line(text: str, tmp_path: Path) -> None:
    """A sheet that cannot be fitted ends with status 2 and its line, and the file of tools is as it was."""
    (tmp_path / "given.toml").write_text(text, encoding="utf-8")
    (tmp_path / "tools.toml").write_text('bars = ["12 mm"]\n', encoding="utf-8")
    ended = run("mockup", "--fit", "given.toml", "--tools", "tools.toml", folder=tmp_path)

    assert ended == Ended(status=2, out="", err=SHEETS[text] + "\n")
    assert (tmp_path / "tools.toml").read_text(encoding="utf-8") == 'bars = ["12 mm"]\n'


PLACES: Final = {
    "check sound.py --tools none.toml": (
        "none.toml: there is no such file of tools; did you mean 'nine.toml'?"
    ),
    "check sound.py --tools sketches": "sketches: cannot be read: Is a directory",
    "check sound.py --tools bytes.toml": "bytes.toml: this is no text in UTF-8",
    "mockup --fit none.toml": "none.toml: cannot be read: No such file or directory",
    "mockup --fit sketches": "sketches: cannot be read: Is a directory",
    "mockup --fit bytes.toml": "bytes.toml: this is no text in UTF-8",
    "mockup --gauge --out bytes.toml/made": "cannot write into bytes.toml/made: Not a directory",
    "papers sound.py --out bytes.toml/made": "cannot write into bytes.toml/made: Not a directory",
    "ascut sound.py": (
        "nothing is measured yet: write sound.ascut.toml beside the script, such as [box] and "
        "length = 42.85; --help tells the form"
    ),
    "ascut spoilt.py": "spoilt.ascut.toml: file: is no text in UTF-8",
    "check folded.py": "folded.ascut.toml: file: cannot be read: Is a directory",
    "facts tools bytes.toml": "bytes.toml: this is no text in UTF-8",
    "watch none.py": "none.py: there is no such script; did you mean 'sound.py'?",
    "watch sketches": "sketches: is a folder; name the script in it",
}


@pytest.mark.parametrize("words", PLACES)
def test_a_wrong_place_is_told_in_one_line(words: str, tmp_path: Path) -> None:
    """A file that is not there, a folder or no text ends with status 2 and one line; nothing is written."""
    for name in ("sound", "spoilt", "folded"):
        (tmp_path / f"{name}.py").write_text(SOUND, encoding="utf-8")
    for name in ("bytes.toml", "spoilt.ascut.toml"):
        (tmp_path / name).write_bytes(b"\xff\xfe")
    (tmp_path / "nine.toml").write_text("", encoding="utf-8")
    (tmp_path / "sketches").mkdir()
    (tmp_path / "folded.ascut.toml").mkdir()
    before = sorted(tmp_path.rglob("*"))

    assert run(*words.split(), folder=tmp_path) == Ended(status=2, out="", err=PLACES[words] + "\n")
    assert sorted(tmp_path.rglob("*")) == before
