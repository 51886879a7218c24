"""Names that no table has, and numbers that are none."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import pytest

from tests.commandline import Case, assert_refused

if TYPE_CHECKING:
    from pathlib import Path

RIM: Final = 'cylinder(12, 15, mark="rim"),'
THREAD: Final = 'thread("M10x1", 5),'
DRILL: Final = 'drill("7 mm", depth=room),'
TAP: Final = 'tap("M10x1", depth=8, lead="bottoming"),'
CORD: Final = 'cross_hole("2 mm", at=3, mark="cord"),'

CASES: Final = (
    Case(
        "unknown thread",
        THREAD,
        'thread("M10x0.8y", 5),',
        "bad.py:13: box, thread (outside 4): size 'M10x0.8y': write for example 'M10x0.75', '1/4-20 "
        "UNC', '2BA' or 'ME 1/4-40'",
    ),
    Case(
        "unknown thread of a series",
        THREAD,
        'thread("3/8-25 UNF", 5),',
        "bad.py:13: box, thread (outside 4): size '3/8-25 UNF': there is no such thread; did you mean "
        "'3/8-24 UNF'?",
    ),
    Case(
        "unknown drill",
        DRILL,
        'drill("#99", depth=room),',
        "bad.py:16: box, drill (from back 1): size '#99': there is no such drill; did you mean '#9'?",
    ),
    Case(
        "drill of no unit",
        DRILL,
        'drill("7", depth=room),',
        "bad.py:16: box, drill (from back 1): size '7': write '#7' for the number drill or '7 mm'",
    ),
    Case(
        "negative drill",
        DRILL,
        "drill(-7, depth=room),",
        "bad.py:16: box, drill (from back 1): drill -7 mm: must be more than 0 mm and finite",
    ),
    Case(
        "infinite drill",
        DRILL,
        'drill(float("inf"), depth=room),',
        "bad.py:16: box, drill (from back 1): drill inf mm: must be more than 0 mm and finite",
    ),
    Case(
        "empty text",
        DRILL,
        'drill("", depth=room),',
        "bad.py:16: box, drill (from back 1): size '': write a number or a fraction and its unit, mm, "
        "um, in or thou; or '#29', 'F'",
    ),
    Case(
        "unknown material",
        '"box",\n        material="CW614N"',
        '"box",\n        material="CW641N"',
        "bad.py:5: box: material 'CW641N': there is no such material; did you mean 'CW614N'?",
    ),
    Case(
        "material without quotes",
        '"box",\n        material="CW614N"',
        '"box",\n        material=614',
        'bad.py:5: box: material 614: must be a text in quotes, such as "CW614N"',
    ),
    Case(
        "unknown lead",
        TAP,
        'tap("M10x1", depth=8, lead="sharp"),',
        "bad.py:28: lid, tap (from back 2): lead 'sharp': there is no such kind of tap; there is "
        "'taper', 'plug', 'second', 'bottoming', 'bottom', 'form A', 'A', 'form B', 'B', 'form C', "
        "'C', 'form D', 'D', 'form E', 'E'",
    ),
    Case(
        "bar as a number",
        'stock=bar("12 mm"),\n        outside=[\n            cylinder(12, 27',
        "stock=bar(12),\n        outside=[\n            cylinder(12, 27",
        'bad.py:8: box, stock: size 12: must be a text in quotes, such as "12 mm"',
    ),
    Case(
        "stock as a number",
        'stock=bar("12 mm"),\n        outside=[\n            cylinder(12, 27',
        "stock=12,\n        outside=[\n            cylinder(12, 27",
        'bad.py:5: box, stock: 12: must be a bar, such as bar("12 mm")',
    ),
    Case(
        "unknown refill",
        "parts=[box",
        'parts=[bought("ink", refill="D9", mass=1), box',
        "bad.py:47: ink: refill 'D9': there is no such refill; did you mean 'D'?",
    ),
    Case(
        "refill and no mass",
        "parts=[box",
        'parts=[bought("ink", outside=[cylinder(3, 60)]), box',
        "bad.py:47: ink: no mass: a bought part needs the mass it was weighed at; give mass=... in g",
    ),
    Case(
        "mass below zero",
        "parts=[box",
        'parts=[bought("ink", refill="D", mass=-1.5), box',
        "bad.py:47: ink: mass -1.5 g: must be more than 0 g; did you mean 1.5 g?",
    ),
    Case(
        "negative length",
        RIM,
        'cylinder(12, -15, mark="rim"),',
        'bad.py:24: lid, cylinder "rim": length -15 mm: must be more than 0 mm; did you mean 15 mm?',
    ),
    Case(
        "zero diameter",
        RIM,
        'cylinder(0, 15, mark="rim"),',
        'bad.py:24: lid, cylinder "rim": diameter 0 mm: must be more than 0 mm',
    ),
    Case(
        "NaN",
        RIM,
        'cylinder(12, float("nan"), mark="rim"),',
        'bad.py:24: lid, cylinder "rim": length nan mm: must be finite',
    ),
    Case(
        "infinite",
        RIM,
        'cylinder(float("inf"), 15, mark="rim"),',
        'bad.py:24: lid, cylinder "rim": diameter inf mm: must be finite',
    ),
    Case(
        "too many digits",
        RIM,
        'cylinder(12, 10**400, mark="rim"),',
        'bad.py:24: lid, cylinder "rim": length inf mm: must be finite',
    ),
    Case(
        "too long",
        RIM,
        'cylinder(12, 15e9, mark="rim"),',
        'bad.py:24: lid, cylinder "rim": length 1.5e+10 mm: 10000 mm is the longest there is',
    ),
    Case(
        "too fine",
        RIM,
        'cylinder(12, 1e-7, mark="rim"),',
        'bad.py:24: lid, cylinder "rim": length 1e-07 mm: 0.001 mm is the finest there is',
    ),
    Case(
        "text for a number",
        RIM,
        'cylinder("twelve", 15, mark="rim"),',
        "bad.py:24: lid, cylinder \"rim\": diameter 'twelve': write a number or a fraction and its "
        "unit, mm, um, in or thou",
    ),
    Case(
        "bare decimal",
        RIM,
        'cylinder("12.0", 15, mark="rim"),',
        "bad.py:24: lid, cylinder \"rim\": diameter '12.0': write '12.0 mm' or '12.0 in', it may be either",
    ),
    Case(
        "decimal comma",
        RIM,
        'cylinder("12,0 mm", 15, mark="rim"),',
        "bad.py:24: lid, cylinder \"rim\": diameter '12,0 mm': write the decimal sign as a point",
    ),
    Case(
        "unknown unit",
        RIM,
        'cylinder("12 cm", 15, mark="rim"),',
        "bad.py:24: lid, cylinder \"rim\": diameter '12 cm': the unit is mm, um, in or thou",
    ),
    Case(
        "None for a number",
        RIM,
        'cylinder(12, [15], mark="rim"),',
        'bad.py:24: lid, cylinder "rim": length [15]: must be a length: a number of mm, or a text with '
        "its unit such as '3/8 in'",
    ),
    Case(
        "true for a number",
        RIM,
        'cylinder(12, True, mark="rim"),',
        'bad.py:24: lid, cylinder "rim": length True: must be a length: a number of mm, or a text with '
        "its unit such as '3/8 in'",
    ),
    Case(
        "angle as text",
        CORD,
        'cross_hole("2 mm", at=3, angle="90", mark="cord"),',
        "bad.py:31: lid, cross hole \"cord\": angle '90': must be a number of degrees",
    ),
    Case(
        "chamfer of 90 degrees",
        RIM,
        'cylinder(12, 15, mark="rim", front=chamfer(0.3, angle=90)),',
        'bad.py:24: lid, cylinder "rim", chamfer: angle 90 degrees: must lie between 0 and 90 degrees',
    ),
    Case(
        "number for an edge",
        RIM,
        'cylinder(12, 15, mark="rim", edges=0.3),',
        'bad.py:24: lid, cylinder "rim": edge 0.3: must be a chamfer or a fillet; write chamfer(0.3)',
    ),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_wrong_name_or_number_is_told_once(case: Case, tmp_path: Path) -> None:
    """A wrong name or number is refused with the part, the feature, what was given, the rule and its line."""
    assert_refused(case, tmp_path)
