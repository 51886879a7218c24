"""What is written on drawings: sizes in either unit, threads, fits, bends, notes, the parts list."""

from __future__ import annotations

from pathlib import Path

import pytest

from turnmodel import Design, Part, bar, bend, bore, cylinder, drill, joint, shoulder, straight, tap, thread
from turnmodel.design.loading import load
from turnmodel.output.papers.drawings import drawings
from turnmodel.output.papers.figures import Unit, general_note, size
from turnmodel.output.papers.ink import Sheet, Text, flat

DESIGNS = Path(__file__).parents[3] / "designs"


def words(sheet: Sheet) -> list[str]:
    """List what is written on a sheet."""
    return [item.words for item in flat(sheet.items) if isinstance(item, Text)]


def drawn(name: str, unit: Unit | None = None) -> dict[str, list[str]]:
    """Draw a design of the folder, and list what is written by sheet."""
    design, _ = load(DESIGNS / f"{name}.py")
    return {
        sheet.title.rpartition(": ")[2]: words(sheet)
        for sheet in drawings(design, revision="abc1234", unit=unit)
    }


@pytest.mark.parametrize(
    ("length", "unit", "text"),
    [
        (7.0, Unit.MM, "7"),
        (7.015, Unit.MM, "7.015"),
        (1.23456, Unit.MM, "1.23"),
        (0.0, Unit.MM, "0"),
        (12.7, Unit.INCH, ".500"),
        (11.1125, Unit.INCH, ".4375"),
        (54.864, Unit.INCH, "2.160"),
    ],
)
def test_a_size_is_written_as_the_trade_writes_it(length: float, unit: Unit, text: str) -> None:
    """Millimetres to the hundredth, inches to the thousandth, one place more where the size ends there."""
    assert size(length, unit) == text


def test_general_tolerances_are_those_of_the_standard() -> None:
    """ISO 2768-1:1989, table 1, class m: 0.1 mm to 6, 0.2 mm to 30, 0.3 mm to 120."""
    assert general_note(Unit.MM) == "ISO 2768-m: to 6 ±0.1, to 30 ±0.2, to 120 ±0.3"


def test_a_design_is_drawn_in_the_unit_of_its_bars_or_as_asked() -> None:
    """Inch bar gives inch drawings with the drills by their names; --units turns either way."""
    inches, metric = drawn("field_pen"), drawn("field_pen", Unit.MM)

    assert "#37 drill ⌀.104" in inches["section"]
    assert "third angle" in inches["section"]
    assert "#37 drill ⌀2.64" in metric["section"]
    assert "first angle" in metric["section"]
    assert (
        "⌀.315" in drawn("pocket_pen", Unit.INCH)["body"] or "⌀.394" in drawn("pocket_pen", Unit.INCH)["body"]
    )


def test_a_set_of_drawings_has_one_projection() -> None:
    """A part from metric bar among parts from inch bar has its own unit, but not a projection of its own."""
    parts = [
        Part.turned(name, material="brass", stock=bar(stock), outside=[cylinder(9, 20)])
        for name, stock in (("body", "1/2 in"), ("pin", "10 mm"))
    ]
    design = Design("object", parts=parts, joints=[joint.seat(parts[1].face("front"), parts[0].face("back"))])
    sheets = [words(sheet) for sheet in drawings(design, revision="0")[:3]]

    assert [{"in", "mm"} & set(found) for found in sheets] == [{"in"}, {"in"}, {"mm"}]
    assert all("third angle" in found for found in sheets)


def test_a_press_fit_has_limits_in_numbers() -> None:
    """A hole of 7 mm is H7, +0.015/0 by ISO 286-1; its shaft is told over the hole as made."""
    found = drawn("needle_case")

    assert "⌀7 H7 +0.015/0" in found["tube"]
    assert any(text.startswith("⌀7.015, hole +0.015/") for text in found["foot"])
    assert "Shafts: over the hole as it was made." in found["foot"]


def test_a_thread_against_a_shoulder_tells_its_run_out() -> None:
    """A thread with no relief behind it says how far it may run out; classes are 6g and 6H by default."""
    pin = Part.turned(
        "pin",
        material="brass",
        stock=bar("12 mm"),
        outside=[thread("M6", 10), shoulder("stop"), cylinder(10, 5)],
        from_back=[drill("3.3 mm", depth=10), tap("M4", depth=6)],
    )
    (_, sheet) = drawings(Design("pins", parts=[pin]), revision="0")

    assert any(text.startswith("M6×1-6g, run-out ") for text in words(sheet))
    assert "M4×0.7-6H" in words(sheet)


def test_the_whole_lists_every_part() -> None:
    """The list of parts has each once, with material, stock and mass; balloons carry its numbers."""
    found = drawn("pocket_pen")["whole"]

    for name in ("body", "plug", "cap", "spacer", "clip", "screw", "ink"):
        assert found.count(name) == 1
    assert "strip 0.5 mm" in found
    assert "refill D" in found
    assert all(found.count(str(n)) == 2 or str(n) == "1" for n in range(1, 8))
    assert "1095 blue strip" in found


def test_a_strip_tells_widths_bends_and_thickness() -> None:
    """Bends are told by angle, way and radius inside; stations count along the flat strip."""
    clip = Part.strip(
        "clip",
        material="1095 blue strip",
        thickness=0.5,
        widths=[(0, 5), (32, 4)],
        corner=1.0,
        holes={"screw": (3, 2.2)},
        side=[straight(6), bend(-90, radius=2), straight(10)],
    )
    (_, sheet, *_) = drawings(Design("clips", parts=[clip]), revision="0")

    told = words(sheet)
    assert {"5 wide", "4 wide", "⌀2.2", "bend 90° down, R2", "0.5 thick", "3", "6", "32"} <= set(told)


def test_a_plain_pair_has_no_fit() -> None:
    """Only what is pressed has limits: a seat tells none."""
    tube = Part.turned(
        "tube", material="brass", stock="12 mm", outside=[cylinder(12, 20)], from_back=[bore(7, depth=9)]
    )
    foot = Part.turned(
        "foot",
        material="brass",
        stock="12 mm",
        outside=[cylinder(6.9, 5), shoulder("under"), cylinder(12, 4)],
    )
    pair = Design("pair", parts=[tube, foot], joints=[joint.seat(foot.face("under"), tube.face("back"))])

    assert not any("H7" in text for sheet in drawings(pair, revision="0") for text in words(sheet))
