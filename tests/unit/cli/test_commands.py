"""Each command on the first design: how it ends, what it prints, how wide."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import TYPE_CHECKING, Any, Final

import pytest

from tests.commandline import SOUND, Ended, run, spoilt
from turnmodel.catalog.facts import KINDS

if TYPE_CHECKING:
    from pathlib import Path

WIDEST = 100
"""Columns of people's tables: what fits a terminal beside a drawing, house choice."""

HEAVY = (
    "OCP",
    "cadquery",
    "ezdxf",
    "manifold3d",
    "matplotlib",
    "pyvista",
    "scipy",
    "trimesh",
    "vtk",
    "vtkmodules",
)
"""What checking must not pay for."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the first design, as the program itself writes it, and one more."""
    assert run("start", "box.py", folder=tmp_path).status == 0
    (tmp_path / "sound.py").write_text(SOUND, encoding="utf-8")
    return tmp_path


def widest(text: str) -> int:
    """Columns of the widest line."""
    return max(len(line) for line in text.splitlines())


def as_json(*words: str, folder: Path) -> Any:
    """Run a command and read the one object that it prints."""
    ended = run(*words, "--json", folder=folder)
    assert ended.err == ""
    return json.loads(ended.out)


def test_a_started_script_is_sound(folder: Path) -> None:
    """What `start` writes can be checked as it stands: status 0, no fault."""
    ended = run("check", "box.py", folder=folder)

    assert (ended.status, ended.err) == (0, "")
    assert ended.out.rstrip().endswith("sound: no fault found")


def test_start_says_what_to_do_next(tmp_path: Path) -> None:
    """`start` names the script it wrote and the command that looks at it; it has a name of its own."""
    assert run("start", folder=tmp_path) == Ended(
        status=0, out="wrote my_object.py; look at it with: turnmodel check my_object.py\n", err=""
    )
    assert (tmp_path / "my_object.py").exists()


def test_a_fault_of_the_design_ends_with_status_1(folder: Path) -> None:
    """Parts that run into each other are a finding, not an error: status 1, the fault on top."""
    text = spoilt('lid.face("cord"))', 'lid.face("cord"), gap=-0.4)')
    (folder / "clash.py").write_text(text, encoding="utf-8")
    ended = run("check", "clash.py", folder=folder)
    found = as_json("check", "clash.py", folder=folder)

    assert (ended.status, ended.err) == (1, "")
    assert ended.out.rstrip().endswith("not sound: see the faults above")
    assert found["findings"][0]["severity"] == "fault"
    assert found["findings"][0]["rule"] == "interference"


KEYS: Final = {
    "": {"design", "parameters", "parts", "states", "findings"},
    "parts": {"volume_mm3", "mass_g", "balance_mm", "length_mm", "material", "stock", "witnesses"},
    "witnesses": {"exact_mm3", "mesh_mm3", "solid_mm3", "bound"},
    "states": {"mass_g", "balance_mm", "length_mm", "interference", "clearance"},
    "interference": {"parts", "volume_mm3"},
    "clearance": {"parts", "least_mm"},
    "findings": {
        "rule", "severity", "parts", "state", "value", "limit", "unit", "message", "mend", "source",
        "feature", "station_mm",
    },
}  # fmt: skip
"""The keys of every object that `check --json` prints."""


@pytest.mark.parametrize("name", ["box.py", "sound.py", "clash.py"])
def test_check_prints_one_object_with_just_its_keys(name: str, folder: Path) -> None:
    """`check --json` has the keys it promises, in every object of it, and no others."""
    text = spoilt('lid.face("cord"))', 'lid.face("cord"), gap=-0.4)')
    (folder / "clash.py").write_text(text, encoding="utf-8")
    found = as_json("check", name, folder=folder)

    assert set(found) == KEYS[""]
    for part in found["parts"].values():
        assert set(part) == KEYS["parts"]
        assert set(part["witnesses"]) == KEYS["witnesses"]
    for state in found["states"].values():
        assert set(state) == KEYS["states"]
        assert all(set(entry) == KEYS["interference"] for entry in state["interference"])
        assert all(set(entry) == KEYS["clearance"] for entry in state["clearance"])
    assert found["findings"]
    assert all(set(finding) == KEYS["findings"] for finding in found["findings"])


def test_check_gives_numbers_as_they_are(folder: Path) -> None:
    """JSON's numbers are not rounded: a lid of 15 mm, a box of 27 + 2.5 + 5 mm, their weights in the sum."""
    found = as_json("check", "box.py", folder=folder)
    masses = [part["mass_g"] for part in found["parts"].values()]

    assert [part["length_mm"] for part in found["parts"].values()] == [34.5, 15.0]
    assert found["states"]["closed"]["mass_g"] == pytest.approx(sum(masses), rel=1e-12)
    assert found["states"]["closed"]["length_mm"] == pytest.approx(27 + 15)
    assert found["parameters"] == {"inside_length": 30.0}


@pytest.mark.parametrize("command", ["check", "weigh"])
@pytest.mark.parametrize("script", ["box.py", "sound.py"])
def test_tables_fit_their_width(command: str, script: str, folder: Path) -> None:
    """People's tables are no wider than a hundred columns."""
    ended = run(command, script, folder=folder)

    assert (ended.status, ended.err) == (0, "")
    assert widest(ended.out) <= WIDEST


def test_a_setting_reaches_the_design(folder: Path) -> None:
    """--set changes a parameter, and the parts that hang on it."""
    found = as_json("check", "box.py", "--set", "inside_length=40", folder=folder)

    assert found["parameters"] == {"inside_length": 40.0}
    assert found["parts"]["box"]["length_mm"] == 44.5


def test_weigh_agrees_with_check(folder: Path) -> None:
    """Both commands tell the same masses, lengths and points of balance."""
    weighed, checked = (as_json(command, "box.py", folder=folder) for command in ("weigh", "check"))

    for kind, keys in (
        ("parts", ("mass_g", "balance_mm")),
        ("states", ("mass_g", "balance_mm", "length_mm")),
    ):
        assert set(weighed[kind]) == set(checked[kind])
        for name, entry in weighed[kind].items():
            assert [entry[key] for key in keys] == [checked[kind][name][key] for key in keys]


def test_names_are_printed_as_they_are_written(folder: Path) -> None:
    """A name with brackets or colons in it is no markup of the terminal's."""
    name = "lid [/b] [red] :bee:"
    (folder / "named.py").write_text(SOUND.replace('"lid"', f'"{name}"'), encoding="utf-8")
    ended = run("check", "named.py", folder=folder)

    assert (ended.status, ended.err) == (0, "")
    assert name in ended.out


def test_a_terminal_without_a_letter_is_given_its_number(folder: Path) -> None:
    """Where the terminal cannot show a letter of a name, the table is printed all the same."""
    text = SOUND.replace('"lid"', '"\N{LATIN CAPITAL LETTER O WITH STROKE}3"')
    (folder / "named.py").write_text(text, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "turnmodel", "check", "named.py"],
        cwd=folder,
        env=os.environ | {"PYTHONIOENCODING": "ascii"},
        capture_output=True,
        encoding="ascii",
        check=False,
    )

    assert (done.returncode, done.stderr) == (0, "")
    assert "\\xd83" in done.stdout


@pytest.mark.parametrize("kind", [*KINDS, "rules"])
def test_facts_lists_a_kind_and_tells_of_one(kind: str, folder: Path) -> None:
    """Of every kind of fact there is a list that fits, and of a name in it the figures with their source."""
    name = {"fits": "H7/g6 12 mm", "reliefs": "M10x1"}.get(kind)
    name = name or as_json("facts", kind, folder=folder)[0]["name"]
    listed, told = run("facts", kind, folder=folder), run("facts", kind, name, folder=folder)
    (fact,) = as_json("facts", kind, name, folder=folder)

    assert (listed.status, listed.err, told.status, told.err) == (0, "", 0, "")
    assert max(widest(listed.out), widest(told.out)) <= WIDEST
    assert kind == "rules" or "source: " in told.out
    assert set(fact) == {"name", "facts", "sources"}
    assert fact["facts"]
    assert kind == "rules" or fact["sources"]


def test_the_example_of_tools_can_be_used(folder: Path) -> None:
    """The file of tools that `facts` prints is one that `check` and `facts` read."""
    example = run("facts", "tools", "--example", folder=folder)
    (folder / "crib.toml").write_text(example.out, encoding="utf-8")
    checked = run("check", "box.py", "--tools", "crib.toml", folder=folder)
    told = run("facts", "tools", "crib.toml", folder=folder)

    assert (example.status, example.err, checked.err, told.status) == (0, "", "", 0)
    assert "no tools file" not in checked.out
    assert widest(told.out) <= WIDEST


def test_the_mock_up_is_written_into_its_folder_alone(folder: Path) -> None:
    """Every file of the mock-up is in the folder it was asked into; what it tells fits its width."""
    before = set(folder.iterdir())
    ended = run("mockup", "box.py", "--out", "made", folder=folder)

    assert (ended.status, ended.err) == (0, "")
    assert widest(ended.out) <= WIDEST
    assert set(folder.iterdir()) - before == {folder / "made"}
    assert {path.suffix for path in (folder / "made").rglob("*.*")} >= {".stl", ".3mf"}


def test_help_lists_the_commands(tmp_path: Path) -> None:
    """The help names every command, and each command has a help of its own."""
    ended = run("--help", folder=tmp_path)

    assert ended.status == 0
    for command in ("make", "check", "weigh", "picture", "mockup", "facts", "start"):
        assert f"\n  {command} " in ended.out
        assert run(command, "--help", folder=tmp_path).status == 0


@pytest.mark.parametrize("command", ["check", "weigh"])
def test_checking_loads_no_heavy_library(command: str, folder: Path) -> None:
    """Neither a CAD kernel nor a renderer, a plotter or a library of meshes is loaded to check or weigh."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "turnmodel", command, "box.py"],
        cwd=folder,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    loaded = {line.rpartition("|")[2].strip().partition(".")[0] for line in done.stderr.splitlines()}

    assert done.returncode == 0, done.stderr
    assert "turnmodel" in loaded
    assert loaded.isdisjoint(HEAVY)
