"""The file of tools is read whole, or refused with everything that is wrong with it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from turnmodel.catalog.drills import drill
from turnmodel.catalog.tapping import tap_drill
from turnmodel.catalog.threads import thread
from turnmodel.catalog.tool_facts import tool_facts
from turnmodel.catalog.toolbox import (
    OwnedBar,
    Speeds,
    drills_about,
    least_bar,
    nearest_thread,
    owned_drill,
    owned_leads,
    owned_reamer,
)
from turnmodel.catalog.tools import assumed_tools, example_tools, find_tools, read_tools
from turnmodel.errors import ToolFaults

if TYPE_CHECKING:
    from pathlib import Path

FULL = """
drills = ["metric 1-3 by 0.5", "number 29-30", "letter E-F", "fraction 1/16-1/8 by 1/64", "2.5 mm long"]
reamers = [3, "1/8 in"]
taps = ["M4 set", "M6x0.75 plug bottoming", "1/4-20 UNC", "M8x1 LH taper", "M5 C"]
dies = ["M4", "M6x0.75 short"]
bars = ["10 mm", { size = "1/2 in", length = "12 in", material = "brass" }]
parting_width = "1/16 in"

[flutes]
"2.5 mm" = 40

[lathe]
swing = 250
spindle_bore = "1 in"
between_centres = 500
speeds = [130, 300, 700]
dial_division = 0.02
cross_dial_reads = "diameter"

[printer]
line = 0.5

[limits]
overhang = 4
"""


def written(folder: Path, text: str, name: str = "tools.toml") -> Path:
    """Write a file of tools."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def told(folder: Path, text: str) -> list[str]:
    """List what is wrong with a file, without its folder."""
    path = written(folder, text)
    with pytest.raises(ToolFaults) as refused:
        read_tools(path)
    return [str(fault).removeprefix(f"{path}:") for fault in refused.value.faults]


def test_a_full_file_is_read(tmp_path):
    """Each kind of tool, in each way of writing it."""
    tools = read_tools(written(tmp_path, FULL))

    assert [d.name for d in tools.drills] == [
        "1 mm", "1.5 mm", "1/16 in", "5/64 in", "2 mm", "3/32 in", "2.5 mm", "2.5 mm long", "7/64 in", "3 mm",
        "1/8 in", "#30", "#29", "E", "F",
    ]  # fmt: skip
    assert tools.reamers == pytest.approx((3.0, 3.175))
    assert [(str(t.thread), t.lead) for t in tools.taps] == [
        ("M4x0.7", "taper"),
        ("M4x0.7", "plug"),
        ("M4x0.7", "bottoming"),
        ("M6x0.75", "plug"),
        ("M6x0.75", "bottoming"),
        ("1/4-20 UNC", "plug"),
        ("M8x1 LH", "taper"),
        ("M5x0.8", "form C"),
    ]
    assert [(str(d.thread), d.lead) for d in tools.dies] == [("M4x0.7", "standard"), ("M6x0.75", "short")]
    assert tools.bars == (
        OwnedBar(diameter=10.0),
        OwnedBar(diameter=12.7, length=pytest.approx(304.8), material="CW614N"),
    )
    assert tools.parting_width == pytest.approx(1.5875)
    assert (tools.lathe.swing, tools.lathe.over_cross_slide) == (250.0, None)
    assert tools.lathe.spindle_bore == pytest.approx(25.4)
    assert tools.lathe.speeds == Speeds(steps=(130.0, 300.0, 700.0))
    assert tools.lathe.cross_dial_reads == "diameter"
    assert tools.printer.line == 0.5
    assert dict(tools.limits) == {"overhang": 4.0}
    assert tools.assumed == ()


def test_flutes_that_differ_count(tmp_path):
    """The drill keeps its diameter, and its length says where it comes from."""
    path = written(tmp_path, FULL)
    (found,) = (d for d in read_tools(path).drills if d.name == "2.5 mm")

    assert (found.flute, found.diameter) == (40.0, 2.5)
    assert found.length_source.work == str(path)


def test_what_a_file_leaves_out_is_assumed_and_named(tmp_path):
    """A file of one key takes the rest from the small-shop set; an empty list means that there is none."""
    tools = read_tools(written(tmp_path, "dies = []\n[lathe]\nspindle_bore = 16"))

    assert tools.assumed == ("drills", "reamers", "taps", "parting_width", "printer")
    assert tools.dies == ()
    assert tools.drills == assumed_tools().drills
    assert tools.lathe == replace(assumed_tools().lathe, spindle_bore=16.0)


def test_the_example_is_the_assumed_set(tmp_path):
    """Whoever begins from it strikes out what is not there; nothing of it is then assumed."""
    tools = read_tools(written(tmp_path, example_tools()))

    assert replace(tools, origin="", assumed=()) == replace(assumed_tools(), origin="", assumed=())
    assert tools.assumed == ()


@pytest.mark.parametrize("size", [str(tap.thread) for tap in assumed_tools().taps if tap.lead == "plug"])
def test_every_assumed_tap_has_its_drill_and_its_die(size):
    """What the set taps it can drill for, and can screw into."""
    tools = assumed_tools()

    assert owned_drill(tools, tap_drill(thread(size)).drill.diameter) is not None
    assert owned_leads(tools.dies, thread(size)) == ("standard",)


RISES = "it runs up, from a size above zero by a step above zero"
SETS = "write it as one of 'metric 1-10 by 0.1', 'number 1-60', 'letter A-Z', 'fraction 1/16-1/2 by 1/64'"
LEADS = "write the thread and then any of taper, plug, bottoming, set, as 'M4 plug'"
NOTHING = "this is nothing that a file of tools has"

FAULTS = {
    'drils = ["#29"]': f"1: tools: drils: {NOTHING}; did you mean 'drills'?",
    'drills = ["3.12 mm"]': "1: drills: 3.12 mm: no drill named '3.12 mm'; did you mean '3.1 mm'?",
    'drills = "#29"': "1: drills: #29: must be a list; write drills = [...]",
    'drills = ["metric 10-1 by 0.1"]': f"1: drills: metric 10-1 by 0.1: {RISES}",
    'drills = ["metric 1-10 by 0"]': f"1: drills: metric 1-10 by 0: {RISES}",
    'drills = ["metric 1.1.1-10 by 1"]': f"1: drills: metric 1.1.1-10 by 1: {SETS}",
    'drills = ["number 60-1"]': "1: drills: number 60-1: it runs up, from its first size to its last",
    'drills = ["number 1-99"]': "1: drills: number 1-99: there is no #81: number drills are #80 to #1",
    'drills = ["letters A to Z-"]': f"1: drills: letters A to Z-: {SETS}",
    "drills = [29]": "1: drills: 29: write it in quotes, as '2.5 mm'",
    'taps = ["M6x0.7 plg"]': f"1: taps: M6x0.7 plg: {LEADS}",
    'taps = ["99BA"]': "1: taps: 99BA: no thread named '99BA'; did you mean '9BA'?",
    "dies = ['M4 blunt']": (
        "1: dies: M4 blunt: write the thread and then any of standard, short, reversed, as 'M4 short'"
    ),
    "reamers = [-3]": "1: reamers: -3: must be more than 0 mm",
    'reamers = ["3"]': "1: reamers: 3: write '3 mm' or '3 in', it may be either",
    "parting_width = nan": "1: parting_width: nan: write a finite number without quotes",
    "flutes = 3": "1: flutes: 3: must be a section; write [flutes] and its values below it",
    "[lathe]\nswinge = 180": f"2: lathe: swinge: {NOTHING}; did you mean 'swing'?",
    "[lathe]\nspeeds = 300": "2: lathe.speeds: 300: write [130, 300, 700] or { from = 100, to = 2500 }",
    "[limits]\noverhang = 'four'": "2: limits.overhang: four: write a finite number without quotes",
    "taps = [\n'M4'\n": "2: 'M4': this is no TOML: Unclosed array",
    "bars = [{ size = '10 mm', lenght = 3 }]": (
        "1: bars: {'size': '10 mm', 'lenght': 3}: no figure of a bar named 'lenght'; did you mean 'length'?"
    ),
    "bars = [{ size = '9 mm', material = 'brasss' }]": (
        "1: bars: {'size': '9 mm', 'material': 'brasss'}: no material named 'brasss'; did you mean 'brass'?"
    ),
    'drills = ["#29"]\n[flutes]\n"2.5 mm" = 40': (
        "3: flutes: 2.5 mm: is not among the drills; add '2.5 mm' to drills"
    ),
    "[lathe]\nspeeds = [300, 130]": (
        "2: lathe.speeds: [300, 130]: they are above zero and rise, slowest first"
    ),
    "[lathe]\ncross_dial_reads = 'radios'": (
        "2: lathe.cross_dial_reads: radios: no reading of a dial named 'radios'; did you mean 'radius'?"
    ),
}


@pytest.mark.parametrize("text", FAULTS)
def test_a_fault_is_told_with_its_line_and_the_nearest_right_thing(tmp_path, text):
    """One line of the message for what is wrong, and no other."""
    assert told(tmp_path, text) == [FAULTS[text]]


def test_every_fault_is_told_at_once(tmp_path):
    """In the order of their lines."""
    text = "taps = ['M4x']\ndies = ['M5x']\n[lathe]\nswing = 0\n[limits]\nx = true\n"

    assert [fault.partition(":")[0] for fault in told(tmp_path, text)] == ["1", "2", "4", "6"]


def test_a_file_that_is_not_there_is_told(tmp_path):
    """With the nearest that is, or how to begin one."""
    written(tmp_path, "", "tool.toml")
    with pytest.raises(ToolFaults, match=r"there is no such file of tools; did you mean 'tool\.toml'\?"):
        read_tools(tmp_path / "tools.toml")
    with pytest.raises(ToolFaults, match="print one with: turnmodel facts tools --example"):
        read_tools(tmp_path / "none" / "tools.toml")
    with pytest.raises(ToolFaults, match="cannot be read"):
        read_tools(tmp_path)


def test_a_file_that_is_no_text_is_told(tmp_path):
    """Bytes that are no UTF-8 are refused."""
    path = tmp_path / "tools.toml"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(ToolFaults, match="no text in UTF-8"):
        read_tools(path)


def test_tools_are_found_in_their_order(tmp_path, monkeypatch):
    """The file that is named, else the one beside the design, else the user's own, else the assumed set."""
    own, beside = tmp_path / "config", tmp_path / "designs"
    own.mkdir()
    beside.mkdir()
    monkeypatch.setattr("platformdirs.user_config_path", lambda *_, **__: own)
    script = beside / "pen.py"
    assert find_tools(script) == assumed_tools()

    written(own, FULL)
    assert find_tools(script).origin == str(own / "tools.toml")
    written(beside, FULL)
    assert find_tools(script).origin == str(beside / "tools.toml")
    named = written(tmp_path, FULL, "mine.toml")
    assert find_tools(script, named).origin == str(named)


def test_a_drill_is_found_by_its_reach():
    """Of one diameter the shortest that reaches, else the longest there is."""
    tools = replace(assumed_tools(), drills=(drill("2.5 mm"), drill("2.5 mm long")))

    assert owned_drill(tools, 2.5, 20.0) == drill("2.5 mm")
    assert owned_drill(tools, 2.5, 40.0) == drill("2.5 mm long")
    assert owned_drill(tools, 2.5, 400.0) == drill("2.5 mm long")
    assert owned_drill(tools, 2.6) is None


def test_neighbours_are_found():
    """The drills about a diameter, the ends of the crib, the nearest thread of a hand, the least bar."""
    tools = replace(assumed_tools(), drills=(drill("2 mm"), drill("3 mm")))
    assert drills_about(tools, 2.4) == (drill("2 mm"), drill("3 mm"))
    assert drills_about(tools, 1.0) == (None, drill("2 mm"))
    assert drills_about(tools, 3.0) == (drill("3 mm"), drill("3 mm"))

    assert nearest_thread(tools.taps, thread("M8x1 LH")) is None
    assert nearest_thread(tools.taps, thread("M7.5x1")) == thread("M8x1")
    assert owned_reamer(tools, 3.175)
    assert not owned_reamer(tools, 3.2)

    rack = [
        OwnedBar(diameter=12.0, length=50.0),
        OwnedBar(diameter=16.0, material="303"),
        OwnedBar(diameter=20.0),
    ]
    assert least_bar(rack, 11.0, 40.0, "303") == rack[0]
    assert least_bar(rack, 11.0, 60.0, "303") == rack[1]
    assert least_bar(rack, 11.0, 60.0, "CW614N") == rack[2]
    assert least_bar(rack, 21.0, 10.0, "303") is None


def test_a_speed_is_set_under_the_one_wanted():
    """Steps give the next below, stepless ones what is asked within their ends."""
    assert [Speeds(steps=(130, 300, 700)).under(n) for n in (50, 130, 699, 5000)] == [130, 130, 300, 700]
    assert [Speeds(steps=(100, 2500), stepless=True).under(n) for n in (50, 699, 5000)] == [100, 699, 2500]


def test_tools_are_told_as_they_are(tmp_path):
    """Each kind in its line, sets of taps as sets."""
    rows = dict(tool_facts(read_tools(written(tmp_path, FULL))).rows)

    assert rows["assumed"] == "nothing"
    assert rows["bars"] == "round 10 mm; CW614N 12.7 mm, 304.8 mm long"
    assert rows["taps"] == "M4x0.7 set, M6x0.75 plug bottoming, 1/4-20 UNC plug, M8x1 LH taper, M5x0.8 form C"
    assert rows["dies"] == "M4x0.7, M6x0.75 short"
    assert rows["limits of your own"] == "overhang 4"
