"""Tools, limits and acceptances from the command line."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from tests.commandline import SOUND, Ended, run
from turnmodel.analysis.rules import RULES
from turnmodel.catalog.tools import assumed_tools, example_tools


def findings(*words: str, folder) -> dict[str, list[dict]]:
    """Check a script and list its findings by rule."""
    (folder / "box.py").write_text(SOUND, encoding="utf-8")
    told = json.loads(run("check", "box.py", "--json", *words, folder=folder).out)
    by_rule: dict[str, list[dict]] = {}
    for finding in told["findings"]:
        by_rule.setdefault(finding["rule"], []).append(finding)
    return by_rule


@pytest.fixture(autouse=True)
def _nobody(monkeypatch, tmp_path):
    """Keep the tools of whoever runs the tests out of them."""
    monkeypatch.setattr("platformdirs.user_config_path", lambda *_, **__: tmp_path / "none")


def test_without_a_file_it_is_said(tmp_path):
    """The assumed set is a note, once."""
    (note,) = findings(folder=tmp_path)["tools assumed"]

    assert (note["severity"], note["parts"]) == ("note", [])
    assert note["message"] == "no tools file: a common small-shop set is assumed"


def test_a_file_beside_the_design_is_used(tmp_path):
    """What it leaves out is said, and its limit holds."""
    (tmp_path / "tools.toml").write_text("[limits]\noverhang = 1\n", encoding="utf-8")
    found = findings(folder=tmp_path)

    assert found["tools assumed"][0]["message"].startswith("tools.toml leaves out drills")
    assert {finding["limit"] for finding in found["overhang"]} == {1.0}


def test_a_named_file_goes_before_it(tmp_path):
    """``--tools`` names the file; the full example assumes nothing."""
    (tmp_path / "tools.toml").write_text("[limits]\noverhang = 1\n", encoding="utf-8")
    (tmp_path / "mine.toml").write_text(example_tools(), encoding="utf-8")

    assert "tools assumed" not in findings("--tools", "mine.toml", folder=tmp_path)


def test_a_wrong_file_ends_with_its_faults(tmp_path):
    """Status 2 and each fault in its line; a limit of no rule is a fault of the file."""
    (tmp_path / "box.py").write_text(SOUND, encoding="utf-8")
    (tmp_path / "mine.toml").write_text('drills = ["3.12 mm"]\ndies = 3\n', encoding="utf-8")

    assert run("check", "box.py", "--tools", "mine.toml", folder=tmp_path) == Ended(
        status=2,
        out="",
        err="mine.toml:1: drills: 3.12 mm: no drill named '3.12 mm'; did you mean '3.1 mm'?\n"
        "mine.toml:2: dies: 3: must be a list; write dies = [...]\n",
    )
    (tmp_path / "mine.toml").write_text("[limits]\noverhangs = 4\n", encoding="utf-8")
    assert run("check", "box.py", "--tools", "mine.toml", folder=tmp_path).err == (
        "mine.toml, limits: 'overhangs': no rule named 'overhangs'; did you mean 'overhang'?\n"
    )


@pytest.mark.parametrize("command", ["check", "make"])
def test_a_file_that_is_not_there_writes_nothing(tmp_path, command):
    """Status 2, one line, no folder."""
    (tmp_path / "box.py").write_text(SOUND, encoding="utf-8")
    ended = run(command, "box.py", "--tools", "none.toml", folder=tmp_path)

    assert (ended.status, ended.out) == (2, "")
    assert ended.err == (
        "none.toml: there is no such file of tools; print one with: turnmodel facts tools --example\n"
    )
    assert not (tmp_path / "renders").exists()


def test_the_example_is_printed_whole(tmp_path):
    """As it can be written to a file and read again."""
    assert run("facts", "tools", "--example", folder=tmp_path) == Ended(status=0, out=example_tools(), err="")
    assert run("facts", "drills", "--example", folder=tmp_path).status == 2


def test_every_rule_is_listed(tmp_path):
    """With sentence, limit, severity and source; one by its name; an unknown one with the nearest."""
    told = json.loads(run("facts", "rules", "--json", folder=tmp_path).out)
    assert [rule["name"] for rule in told] == [rule.name for rule in RULES]

    listed = run("facts", "rules", folder=tmp_path).out
    assert all(len(line) <= 100 for line in listed.splitlines())
    assert "support beyond three diameters" in run("facts", "rules", "overhang", folder=tmp_path).out
    assert run("facts", "rules", "overhangs", folder=tmp_path) == Ended(
        status=2, out="", err="no rule named 'overhangs'; did you mean 'overhang'?\n"
    )


def test_tools_are_listed(tmp_path):
    """Those that are found, or those of a file."""
    assert "any usual round" in run("facts", "tools", folder=tmp_path).out
    (tmp_path / "mine.toml").write_text("dies = ['M4']\n", encoding="utf-8")
    (told,) = json.loads(run("facts", "tools", "mine.toml", "--json", folder=tmp_path).out)
    assert told["facts"]["dies"] == "M4x0.7"
    assert (
        run("facts", "tool", folder=tmp_path).err == "no kind of fact named 'tool'; did you mean 'tools'?\n"
    )


def test_the_users_folder_is_asked_only_when_needed():
    """A file beside the design is read without the library that knows the platform's folders."""
    program = (
        "import sys; from pathlib import Path; from turnmodel.catalog.tools import find_tools\n"
        "find_tools(Path('x.py'), Path(sys.argv[1])); assert 'platformdirs' not in sys.modules"
    )
    from turnmodel.catalog.table import DATA

    subprocess.run([sys.executable, "-c", program, str(DATA / "tools.toml")], check=True)
    assert assumed_tools().drills
