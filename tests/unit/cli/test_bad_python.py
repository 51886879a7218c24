"""Scripts that Python itself cannot run, or that give no design."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import pytest

from tests.commandline import Case, assert_refused

if TYPE_CHECKING:
    from pathlib import Path

RIM: Final = 'cylinder(12, 15, mark="rim"),'
GRIP: Final = 'cylinder(12, 27, mark="grip"),'
DRILL: Final = 'drill("7 mm", depth=room),'
SCREW: Final = 'joint.screw(lid.face("back"), box.face("stop")),'

CASES: Final = (
    Case(
        "syntax",
        GRIP,
        'cylinder(12, 27, mark="grip"',
        "bad.py:14: \"],\": closing parenthesis ']' does not match opening parenthesis '(' on line 10",
    ),
    Case(
        "indentation",
        "    clip = Part.strip(",
        "  clip = Part.strip(",
        'bad.py:34: "clip = Part.strip(": unindent does not match any outer indentation level',
    ),
    Case(
        "no design",
        "def design(",
        "def desing(",
        "bad.py: it has no function design(); rename desing() to design()",
    ),
    Case(
        "nothing like design",
        "def design(",
        "def main(",
        "bad.py: it has no function design(); write def design() -> Design: ...",
    ),
    Case(
        "parameter without a default",
        "room: float = 30.0",
        "room: float",
        "bad.py:4: parameter room of design(): every parameter needs a default; write room: float = ...",
    ),
    Case(
        "returns nothing",
        "return Design(",
        "Design(",
        "bad.py:4: design() returned nothing: it must return a Design; end it with return Design(...)",
    ),
    Case(
        "returns a part",
        "return Design(",
        "return box\n    Design(",
        "bad.py:4: design() returned TurnedPart: it must return a Design; end it with return Design(...)",
    ),
    Case(
        "division by zero",
        "box = Part.turned(",
        "room / (turns - 2)\n    box = Part.turned(",
        "bad.py:5: ZeroDivisionError: float division by zero",
    ),
    Case(
        "key",
        "box = Part.turned(",
        '{}["room"]\n    box = Part.turned(',
        "bad.py:5: KeyError: there is no key 'room'",
    ),
    Case(
        "import of a name",
        "from turnmodel import *",
        "from turnmodel import *\nfrom turnmodel import cilinder",
        "bad.py:2: ImportError: cannot import name 'cilinder' from 'turnmodel'; did you mean 'cylinder'?",
    ),
    Case(
        "import of a module",
        "from turnmodel import *",
        "from turnmodel import *\nimport turnmodell",
        "bad.py:2: ModuleNotFoundError: No module named 'turnmodell'; did you mean 'turnmodel'?",
    ),
    Case(
        "name",
        GRIP,
        'cilinder(12, 27, mark="grip"),',
        "bad.py:10: NameError: name 'cilinder' is not defined; did you mean 'cylinder'?",
    ),
    Case(
        "attribute",
        SCREW,
        'joint.skrew(lid.face("back"), box.face("stop")),',
        "bad.py:50: AttributeError: module 'turnmodel.design.joint' has no attribute 'skrew'; did you "
        "mean 'screw'?",
    ),
    Case(
        "missing value",
        RIM,
        'cylinder(12, mark="rim"),',
        "bad.py:24: cylinder(...): lacks length; write cylinder(diameter, length)",
    ),
    Case(
        "wrong word",
        RIM,
        'cylinder(12, lenght=15, mark="rim"),',
        "bad.py:24: cylinder(...): has no 'lenght'; did you mean 'length'?",
    ),
    Case(
        "too many values",
        RIM,
        'cylinder(12, 15, "rim"),',
        "bad.py:24: cylinder(...): too many values without a name; write cylinder(diameter, length), "
        "the rest by name",
    ),
    Case(
        "value twice",
        RIM,
        "cylinder(12, 15, length=15),",
        "bad.py:24: cylinder(...): length is given twice; write cylinder(diameter, length)",
    ),
    Case(
        "missing material",
        '"lid",\n        material="CW614N",',
        '"lid",',
        "bad.py:19: Part.turned(...): lacks material; write Part.turned(name, material=..., stock=..., "
        "outside=...)",
    ),
    Case(
        "missing face",
        SCREW,
        'joint.screw(lid.face("back")),',
        "bad.py:50: joint.screw(...): lacks fixed; write joint.screw(moving, fixed)",
    ),
    Case(
        "exit",
        "box = Part.turned(",
        "raise SystemExit(0)\n    box = Part.turned(",
        "bad.py:5: script: it ends the program; let design() return instead",
    ),
    Case(
        "recursion",
        "box = Part.turned(",
        "def again():\n        return again()\n    again()\n    box = Part.turned(",
        "bad.py:6: script: it calls itself without end",
    ),
    Case(
        "bare length",
        "box = Part.turned(",
        'bar("7").diameter\n    box = Part.turned(',
        "bad.py:5: cannot read bar '7': write '7 mm' or '7 in', it may be either",
    ),
    Case(
        "sum of text and number",
        DRILL,
        'drill("7 mm", depth="30 mm" + 3),',
        'bad.py:16: TypeError: can only concatenate str (not "int") to str',
    ),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_mistake_in_python_is_told_in_plain_words(case: Case, tmp_path: Path) -> None:
    """What Python cannot run is told in one line, with the line of the script and the nearest right thing."""
    assert_refused(case, tmp_path)
