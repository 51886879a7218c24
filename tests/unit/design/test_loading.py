"""Scripts run, their parameters set, and what they may and may not touch."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import pytest

from turnmodel.design.loading import load, read_script
from turnmodel.errors import OptionError, ScriptError

if TYPE_CHECKING:
    from pathlib import Path

BODY = """
    rod = Part.turned("rod", material="CW614N", stock="12 mm", outside=[cylinder(8, length)])
    return Design("rod", parts=[rod])
"""
SCRIPT = f"""
from turnmodel import Design, Part, cylinder


def design(length: float = 20, count: int = 2, long: bool = False, alloy: str = "brass"):{BODY}"""


@pytest.fixture
def script(tmp_path: Path) -> Path:
    """A script of one rod with a parameter of each kind."""
    path = tmp_path / "rod.py"
    path.write_text(SCRIPT, encoding="utf-8")
    return path


def test_parameters_are_those_of_the_function(script: Path) -> None:
    """Every argument of design() is a parameter; a whole number as a float's default is a float."""
    parameters = read_script(script).parameters

    assert dict(parameters) == {"length": 20.0, "count": 2, "long": False, "alloy": "brass"}
    assert isinstance(parameters["length"], float)


def test_a_design_is_built_with_the_parameters_that_are_set(script: Path) -> None:
    """A setting changes the part; the values it was built with come back."""
    design, values = load(script, {"length": "31.5"})

    assert design.parts[0].length == 31.5
    assert values == {"length": 31.5, "count": 2, "long": False, "alloy": "brass"}


READ = {
    ("length", "12"): 12.0,
    ("length", "1e1"): 10.0,
    ("count", "3"): 3,
    ("long", "yes"): True,
    ("long", "FALSE"): False,
    ("long", "0"): False,
    ("alloy", "303"): "303",
}


@pytest.mark.parametrize(("name", "text"), READ)
def test_a_setting_is_read_by_the_kind_of_its_default(name: str, text: str, script: Path) -> None:
    """A text is read as the kind of value that the parameter has."""
    value = load(script, {name: text})[1][name]

    assert value == READ[name, text]
    assert type(value) is type(READ[name, text])


@pytest.mark.parametrize(
    ("name", "text"), [("length", "3/8"), ("count", "2.0"), ("long", "2"), ("Length", "3")]
)
def test_a_setting_of_another_kind_is_refused(name: str, text: str, script: Path) -> None:
    """What cannot be read as the parameter's kind is refused before the design is built."""
    with pytest.raises(OptionError, match=rf"^--set {name}"):
        load(script, {name: text})


def test_a_script_may_import_what_lies_beside_it(tmp_path: Path) -> None:
    """A file beside the script is found while it runs, and the path is as before afterwards."""
    (tmp_path / "sizes_of_the_rod.py").write_text("LENGTH = 17.0\n", encoding="utf-8")
    path = tmp_path / "rod.py"
    path.write_text(
        f"from sizes_of_the_rod import LENGTH\n{SCRIPT.replace('= 20', '= LENGTH')}", encoding="utf-8"
    )
    before = list(sys.path)

    assert load(path)[1]["length"] == 17.0
    assert sys.path == before


def test_a_script_may_be_called_as_a_library_is(tmp_path: Path) -> None:
    """A script named json.py neither hides the library nor stays loaded."""
    path = tmp_path / "json.py"
    path.write_text(SCRIPT, encoding="utf-8")
    before = set(sys.modules)
    load(path)

    assert sys.modules["json"].__file__ != str(path)
    assert not {name for name in set(sys.modules) - before if "json" in name}


def test_a_script_may_hold_records_of_its_own(tmp_path: Path) -> None:
    """A dataclass whose annotations are texts finds its module."""
    path = tmp_path / "rod.py"
    path.write_text(
        "from __future__ import annotations\nfrom dataclasses import dataclass\n"
        + SCRIPT
        + "\n@dataclass\nclass Size:\n    d: float = 1.0\n",
        encoding="utf-8",
    )

    assert load(path)[0].name == "rod"


def test_what_a_script_prints_stays_off_the_output(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A script's own prints go to the error stream, so that --json stays one object."""
    path = tmp_path / "rod.py"
    path.write_text(f"print('reading')\n{SCRIPT}".replace(":\n    rod", ":\n    print('building')\n    rod"))
    load(path)
    seen = capsys.readouterr()

    assert (seen.out, seen.err) == ("", "reading\nbuilding\n")


def test_a_fault_in_a_file_beside_the_script_names_the_line_that_called_it(tmp_path: Path) -> None:
    """An error from a helper file is told at the script's own line that led to it."""
    (tmp_path / "halves_of_the_rod.py").write_text("def half(x):\n    return x / 0\n", encoding="utf-8")
    path = tmp_path / "rod.py"
    path.write_text("from halves_of_the_rod import half\nLENGTH = half(3)\n" + SCRIPT, encoding="utf-8")
    with pytest.raises(ScriptError) as refused:
        load(path)

    assert str(refused.value) == f"{path}:2: ZeroDivisionError: division by zero"


def test_an_error_inside_the_program_is_owned_up_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the program itself fails under a script, the message says whose fault it may be."""
    path = tmp_path / "rod.py"
    path.write_text(SCRIPT, encoding="utf-8")
    monkeypatch.setattr("turnmodel.design.design.agreed", None)
    with pytest.raises(ScriptError) as refused:
        load(path)

    fault = refused.value.fault
    assert fault.where is not None
    assert (fault.where.file, fault.where.line) == (
        str(path),
        SCRIPT[: SCRIPT.index("return")].count("\n") + 1,
    )
    assert fault.mend == "where that line is right, this is a fault of turnmodel: report it with your script"
