"""What the project's pages say: commands run, snippets are the program's, links lead to files."""

from __future__ import annotations

import ast
import inspect
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest

import turnmodel
from tests.commandline import run

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT: Final = Path(__file__).parents[2]
README: Final = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS: Final = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FIRST: Final = ROOT / "turnmodel" / "cli" / "first_design.py"


def blocks(text: str, kind: str) -> list[str]:
    """List the fenced blocks of a kind."""
    fenced = re.findall(r"^```(\w*)\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    return [inside for name, inside in fenced if name == kind]


def shell_lines(text: str) -> Iterator[list[str]]:
    """Split the lines of shell blocks that call turnmodel into words, without their comments."""
    for block in blocks(text, "sh"):
        for line in block.splitlines():
            if line.startswith("turnmodel "):
                yield shlex.split(line, comments=True)


def bare(source: str) -> str:
    """Give a script without docstrings and `__all__`, in one form."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.FunctionDef):
            node.body = [
                item
                for item in node.body
                if not (isinstance(item, ast.Expr) and isinstance(item.value, ast.Constant))
                and not (isinstance(item, ast.Assign) and ast.unparse(item.targets[0]) == "__all__")
            ]
    return ast.unparse(tree)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the script that the README begins with, as `start` writes it."""
    assert run("start", "nib_box.py", folder=tmp_path).status == 0
    return tmp_path


def test_the_readme_shows_the_script_that_start_writes() -> None:
    """The snippet of the README is the first design, but for what only files need."""
    (snippet,) = blocks(README, "python")

    assert bare(snippet) == bare(FIRST.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "words",
    [
        pytest.param(words[1:], marks=[pytest.mark.slow] if words[1] in ("make", "picture") else [])
        for words in (*shell_lines(README), *shell_lines(DEVELOPERS))
    ],
    ids=" ".join,
)
def test_a_command_of_the_pages_runs(words: list[str], folder: Path) -> None:
    """A line that a reader copies ends well and complains of nothing."""
    ended = run(*words, folder=folder)

    assert (ended.status, ended.err) == (0, "")


def test_a_fault_is_told_as_the_readme_says(folder: Path) -> None:
    """The change that the README proposes gives the very line that it prints."""
    (answer,) = blocks(README, "")
    changed = re.search(r"^Say `(drill\(.*?\))`", README, re.MULTILINE)
    assert changed
    script = folder / "nib_box.py"
    text = script.read_text(encoding="utf-8")
    plain = 'drill("7 mm", depth=inside_length)'
    assert text.count(plain) == 1
    script.write_text(text.replace(plain, changed[1]), encoding="utf-8")

    assert run("check", "nib_box.py", folder=folder).err == answer


def commands() -> dict[str, str]:
    """Read the table of commands: name to what is said of it."""
    section = README.split("## Commands")[1].split("\n## ")[0]
    return dict(re.findall(r"^\| `([a-z]+)` \| (.+) \|$", section, re.MULTILINE))


def test_the_readme_lists_the_commands(tmp_path: Path) -> None:
    """The table has every command of the help, and no other; each option that it names is there."""
    listed = run("--help", folder=tmp_path).out.split("Commands:")[1]

    assert set(commands()) == set(re.findall(r"^  ([a-z]+) ", listed, re.MULTILINE))
    for command, said in commands().items():
        told = run(command, "--help", folder=tmp_path).out
        for option in re.findall(r"--[a-z][a-z-]*", said):
            assert re.search(rf"^  {option}\b", told, re.MULTILINE), (command, option)


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", "CHANGELOG.md"])
def test_links_lead_to_files(page: str) -> None:
    """Every picture and page of the project that is linked is in the project."""
    links = re.findall(r"\]\(([^)\s]+)\)", (ROOT / page).read_text(encoding="utf-8"))
    missing = [link for link in links if "://" not in link and not (ROOT / link).is_file()]

    assert not missing


def test_files_that_the_readme_names_are_there() -> None:
    """Every demo design is in the table of designs, and no other."""
    named = set(re.findall(r"^\| `(designs/\w+\.py)` \|", README, re.MULTILINE))

    assert named == {f"designs/{path.name}" for path in (ROOT / "designs").glob("*.py")}


TESTING: Final = re.findall(r"^\| `((?:[A-Z_]+=\w+ )?python -m pytest[^`]*)` \|", DEVELOPERS, re.MULTILINE)


@pytest.mark.parametrize("line", TESTING)
def test_a_way_to_test_is_understood(line: str) -> None:
    """Pytest takes the options that developers are told, of a small file; the folders named are there."""
    words = shlex.split(line)
    env = dict(os.environ)
    while "=" in words[0]:
        name, _, value = words.pop(0).partition("=")
        env[name] = value
    folders = [word for word in words[3:] if word.startswith("tests")]
    options = [word for word in words[3:] if word not in folders]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *options, "--collect-only", "-q", "tests/unit/test_units.py"],
        cwd=ROOT,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode in (0, 5), done.stdout + done.stderr  # 5: none of that file is chosen
    assert all((ROOT / folder).is_dir() for folder in folders)


@pytest.mark.parametrize("name", turnmodel.__all__)
def test_a_public_name_is_documented(name: str) -> None:
    """What a script may import tells what it is; a class or function, also what it is given."""
    thing = getattr(turnmodel, name)
    if isinstance(thing, float):
        source = (ROOT / "turnmodel" / "units.py").read_text(encoding="utf-8")
        assert re.search(rf'^{name}\b.*\n"""', source, re.MULTILINE)
        return
    told = inspect.getdoc(thing) or ""

    assert told
    if not inspect.ismodule(thing):
        assert "Parameters\n----------" in told
