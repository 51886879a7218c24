"""How long each command takes from nothing, beside the import of the libraries it cannot do without.

Both are compiled once before, as an installed program is; tables of ratios are of the same run.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest

from tests.benchmarks.timing import Cost, child, told

if TYPE_CHECKING:
    from pytest_benchmark.fixture import BenchmarkFixture

DESIGNS: Final = Path(__file__).parents[2] / "designs"
PEN: Final = "pocket_pen.py"

CUT: Final = "[body]\nlength = 42.82\n"
"""What was measured on a part of the pen."""

COMMANDS: Final = {
    "--help": ((), "typer"),
    "start": (("new.py",), "typer"),
    "facts": (("threads", "M10x1"), "typer"),
    "check": ((PEN,), "typer, numpy"),
    "weigh": ((PEN,), "typer, numpy"),
    "ascut": ((PEN,), "typer, numpy"),
    "vary": ((PEN, "--over", "cap_d=10:10.8:0.1"), "typer, numpy"),
    "mockup": ((PEN,), "typer, numpy, manifold3d"),
    "papers": ((PEN,), "typer, numpy, ezdxf"),
    "picture": ((PEN,), "typer, numpy, pyvista"),
    "make": ((PEN,), "typer, numpy, ezdxf, pyvista, cadquery"),
}
"""Each command on the pocket pen, and what it cannot do without."""

SLOW: Final = ("papers", "picture", "make")
"""Commands of many seconds, which are measured once."""

ROUNDS: Final = 7
"""Enough that one disturbed run does not count: the least is taken."""

MOST: Final = 2.5
"""How many times the parser's own import the help may take; house choice: it is felt as at once."""


@pytest.fixture(scope="module")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Settings under which Python keeps what it compiled, in a folder of its own."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"PYTHONPYCACHEPREFIX": str(tmp_path_factory.mktemp("compiled"))}


@pytest.mark.parametrize("command", COMMANDS)
def test_cold_start(
    benchmark: BenchmarkFixture, command: str, compiled: dict[str, str], tmp_path: Path
) -> None:
    """A command does its whole work in a process of its own; its largest memory is told beside."""
    words, needed = COMMANDS[command]
    shutil.copy(DESIGNS / PEN, tmp_path)
    if command == "ascut":
        (tmp_path / "pocket_pen.ascut.toml").write_text(CUT, encoding="utf-8")
    runs: list[Cost] = []

    def ours() -> None:
        (tmp_path / "new.py").unlink(missing_ok=True)
        runs.append(child("-m", "turnmodel", command, *words, folder=tmp_path, env=compiled))

    def floor() -> float:
        return child("-c", f"import {needed}", folder=tmp_path, env=compiled).wall

    floor()
    if command not in SLOW:
        ours()  # compiled once
    rounds = 1 if command in SLOW else ROUNDS
    plain = min(floor() for _ in range(ROUNDS))
    benchmark.pedantic(ours, rounds=rounds)

    told(benchmark, f"`turnmodel {command}`", f"`import {needed}`", plain)
    benchmark.extra_info["peak_MB"] = max(cost.peak for cost in runs)
    if command == "--help":
        assert min(cost.wall for cost in runs) < MOST * plain
