"""A machine that cannot draw: it is told why in one line, and everything but pictures works."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT: Final = Path(__file__).parents[3]
FIRST: Final = ROOT / "turnmodel" / "cli" / "first_design.py"

BARE: Final = """
import ctypes
import os

found = ctypes.CDLL

def bare(name, *args, **named):
    if name == "libEGL.so.1":
        raise OSError("libEGL.so.1: cannot open shared object file: No such file or directory")
    return found(name, *args, **named)

ctypes.CDLL = bare
os.environ.pop("DISPLAY", None)
"""
"""Read by every Python that starts with it on its path: the renderer's library is not to be found."""

SAID: Final = (
    "no pictures: this machine has no libEGL.so.1; "
    "install the package libegl1 (Debian: apt install libegl1)\n"
)


@pytest.fixture
def headless(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run a command on the first design as on a machine without a screen and without EGL."""
    if not sys.platform.startswith("linux"):
        pytest.skip("other systems bring their renderer with them")
    (tmp_path / "bare").mkdir()
    (tmp_path / "bare" / "sitecustomize.py").write_text(BARE, encoding="utf-8")
    env = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")}
    env["PYTHONPATH"] = os.pathsep.join([str(tmp_path / "bare"), str(ROOT)])

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "turnmodel", *words],
            cwd=tmp_path,
            env=env,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )

    return run


def test_make_goes_on_without_pictures(
    headless: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    """`make` writes all the rest, the report too, says what to install, and ends as the design deserves."""
    done = headless("make", str(FIRST), "--out", "made")
    written = {path.suffix for path in (tmp_path / "made").rglob("*") if path.is_file()}

    assert (done.returncode, done.stderr) == (0, SAID)
    assert done.stdout.rstrip().endswith("written to made")
    assert written >= {".stl", ".3mf", ".step", ".pdf", ".svg", ".dxf", ".html", ".json"}
    assert ".png" not in written
    assert json.loads((tmp_path / "made" / "report.json").read_text(encoding="utf-8"))["design"] == "nib box"


def test_pictures_say_what_is_missing(
    headless: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    """`picture` is refused in one line that names the package, and leaves no folder behind."""
    done = headless("picture", str(FIRST), "--out", "made")

    assert (done.returncode, done.stdout, done.stderr) == (2, "", SAID)
    assert not (tmp_path / "made").exists()


@pytest.mark.parametrize("command", ["check", "weigh", "papers", "mockup"])
def test_the_rest_needs_no_renderer(
    command: str, headless: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    """Commands that draw nothing do not notice."""
    words = ("--out", "made") if command in ("papers", "mockup") else ()
    done = headless(command, str(FIRST), *words)

    assert (done.returncode, done.stderr) == (0, "")
