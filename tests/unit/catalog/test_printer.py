"""The record of a printer: its defaults and their sources, what it refuses, and how a file gives it."""

from __future__ import annotations

from dataclasses import fields

import pytest

from turnmodel.catalog.printer import PROCESSES, Printer, printer, printer_sources
from turnmodel.catalog.tools import read_tools
from turnmodel.errors import BadValue, ToolFaults, UnknownName
from turnmodel.source import Basis


@pytest.mark.parametrize("process", PROCESSES)
def test_every_default_has_a_source(process):
    """Each figure that is assumed is common practice or a house choice, and says which."""
    sources = printer_sources(process)

    assert set(sources) == {entry.name for entry in fields(Printer)} - {"process"}
    assert {source.basis for source in sources.values()} <= {Basis.PRACTICE, Basis.HOUSE}


def test_defaults_make_the_fits_of_common_practice():
    """In filament 0.2 to 0.3 mm a side slide and 0.1 to 0.15 are pressed (common practice)."""
    made = printer("filament")

    assert 0.2 <= (made.hole + made.shaft + made.slide) / 2 <= 0.3
    assert 0.1 <= (made.hole + made.shaft) / 2 <= 0.15 + 1e-9
    assert 0.3 <= made.thread <= 0.5


@pytest.mark.parametrize(
    ("figures", "says"),
    [
        ({"layer": 0.0}, "layer 0 mm: must be more than 0 mm"),
        ({"thread": -0.1}, "thread -0.1 mm: must not be below 0 mm"),
        ({"hole": 2.0}, "hole 2 mm: an allowance is within 1.5 mm either way; measure the gauge again"),
        ({"hole": -2.0}, "hole -2 mm: an allowance is within 1.5 mm either way; measure the gauge again"),
        ({"overhang": 90.0}, "overhang 90 degrees: lies between 0 and 90 degrees"),
        ({"bed": (100.0, 0.0, 100.0)}, "bed 0 mm: must be more than 0 mm"),
        (
            {"foot": float("nan")},
            "foot nan mm: an allowance is within 1.5 mm either way; measure the gauge again",
        ),
    ],
)
def test_a_figure_out_of_its_range_is_refused(figures, says):
    """The message has the figure, the rule, and what to do."""
    with pytest.raises(BadValue) as caught:
        printer("filament", **figures)
    assert str(caught.value) == says


def test_an_unknown_process_is_told_with_those_there_are():
    """A near miss is named."""
    with pytest.raises(UnknownName, match="no process named 'resn'; did you mean 'resin'"):
        printer("resn")


def test_a_file_of_tools_gives_a_printer(tmp_path):
    """What it says is taken, lengths with their units too; the rest is common practice for its process."""
    path = tmp_path / "tools.toml"
    path.write_text(
        '[printer]\nprocess = "resin"\nhole = "0.003 in"\nbed = [120, 68, 150]\n', encoding="utf-8"
    )

    made = read_tools(path).printer

    assert (made.process, made.bed, made.layer) == ("resin", (120, 68, 150), printer("resin").layer)
    assert made.hole == pytest.approx(0.0762)


def test_slugs_come_from_the_file_of_tools(tmp_path):
    """Rod and washer, with how many there are."""
    path = tmp_path / "tools.toml"
    path.write_text(
        "slugs = [\n"
        '  { material = "silver steel", diameter = 3, length = "1/2 in", count = 4 },\n'
        '  { material = "brass", diameter = 8, hole = 4.2, length = 1.5 },\n'
        "]\n",
        encoding="utf-8",
    )

    rod, washer = read_tools(path).slugs

    assert (rod.diameter, rod.length, rod.hole_d, rod.count) == (3, 12.7, 0, 4)
    assert (washer.material, washer.hole_d, washer.count) == ("CW614N", 4.2, 1)


SLUG = '{ material = "silver steel", diameter = 3, length = 12, count = 4 }'
WIDE = {"material": "brass", "diameter": 3, "length": 4, "hole": 5}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            "[printer]\nlayr = 0.2\n",
            "tools.toml:2: printer.layr: 0.2: no figure of a printer named 'layr'; did you mean 'layer'?",
        ),
        (
            "[printer]\nlayer = true\n",
            "tools.toml:2: printer.layer: True: write a number without quotes, or a length with its unit",
        ),
        ("[printer]\nlayer = -0.2\n", "tools.toml:2: printer.layer: -0.2: must be more than 0 mm"),
        (
            "[printer]\nbed = 180\n",
            "tools.toml:2: printer.bed: 180: write width, depth and height, as [180, 180, 180]",
        ),
        (
            "slugs = [ { diameter = 3 } ]\n",
            "tools.toml:1: slugs: {'diameter': 3}: material and length left out; write " + SLUG,
        ),
        (
            'slugs = [ { material = "brass", diameter = 3, length = 4, hole = 5 } ]\n',
            f"tools.toml:1: slugs: {WIDE}: its hole is less than its diameter, 3 mm",
        ),
    ],
)
def test_what_is_wrong_in_the_file_is_told_with_its_line(text, says, tmp_path):
    """The key, what was given, the rule, the nearest right thing."""
    path = tmp_path / "tools.toml"
    path.write_text(text, encoding="utf-8")

    with pytest.raises(ToolFaults) as caught:
        read_tools(path)
    assert str(caught.value).replace(f"{tmp_path}/", "") == says
