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

NO_GL: Final = (
    BARE
    + """
import sys

class NoKernel:
    def find_spec(name, path=None, target=None):
        if name == "OCP":
            raise ImportError("libGL.so.1: cannot open shared object file: No such file or directory")

sys.meta_path.insert(0, NoKernel)
"""
)
"""As above, and the library that the CAD kernel is linked against is not to be found either."""

NO_SOLIDS: Final = (
    "no solids: this machine has no libGL.so.1; install the package libgl1 (Debian: apt install libgl1)\n"
)
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
    env = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")}
    env["PYTHONPATH"] = os.pathsep.join([str(tmp_path / "bare"), str(ROOT)])

    def run(*words: str, bare: str = BARE) -> subprocess.CompletedProcess[str]:
        (tmp_path / "bare" / "sitecustomize.py").write_text(bare, encoding="utf-8")
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


def test_make_goes_on_without_solids(
    headless: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    """Where the CAD kernel cannot be loaded either, `make` leaves out STEP files too, and says why."""
    done = headless("make", str(FIRST), "--out", "made", bare=NO_GL)
    written = {path.suffix for path in (tmp_path / "made").rglob("*") if path.is_file()}

    assert (done.returncode, done.stderr) == (0, NO_SOLIDS + SAID)
    assert written >= {".stl", ".3mf", ".pdf", ".svg", ".dxf", ".html", ".json"}
    assert not written & {".png", ".step"}


def test_a_third_witness_that_cannot_be_called_is_told(
    headless: Callable[..., subprocess.CompletedProcess[str]],
) -> None:
    """`check --solid` is refused in one line without the CAD kernel; `check` does not notice."""
    refused = headless("check", str(FIRST), "--solid", bare=NO_GL)
    plain = headless("check", str(FIRST), bare=NO_GL)

    assert (refused.returncode, refused.stdout, refused.stderr) == (2, "", NO_SOLIDS)
    assert (plain.returncode, plain.stderr) == (0, "")


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
