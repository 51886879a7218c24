"""Runs that are killed, stopped, out of disk or crossed by another leave whole files; the next one works."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest

from turnmodel import workflow, writing
from turnmodel.catalog.tools import assumed_tools
from turnmodel.cli.first_design import __file__ as first_design
from turnmodel.design.loading import load
from turnmodel.errors import OutputError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

pytestmark = [
    pytest.mark.skipif(sys.platform == "win32", reason="signals and limits are those of POSIX"),
    pytest.mark.filterwarnings("ignore:.*fork:DeprecationWarning"),
]

SCRIPT: Final = Path(first_design)
SHORT, LONG = {"inside_length": "30"}, {"inside_length": "40"}
SEAL: Final = Path("mockup/mockup.md")
LONGEST: Final = 600
"""No run of these takes so many seconds; one that does hangs."""


def contents(folder: Path) -> dict[Path, bytes]:
    """Read every file of a folder but those of drafts."""
    return {
        path.relative_to(folder): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and ".turnmodel-draft-" not in str(path)
    }


def drafts(folder: Path) -> list[str]:
    """List what was not finished."""
    return [path.name for path in folder.rglob(".*")]


def hold_whole(found: Mapping[Path, bytes], seal: Path, *sets: Mapping[Path, bytes]) -> None:
    """Hold each file to being one of a set, and all to being of one set where its seal is there."""
    for path, data in found.items():
        assert data in [of.get(path) for of in sets], f"{path} is torn"
    if seal in found:
        assert dict(found) in [dict(of) for of in sets], "files of two runs"


def command(*words: str, folder: Path, limit: int | None = None) -> subprocess.Popen[str]:
    """Start the program in a group of its own, its files limited to a size in bytes."""

    def limited() -> None:
        import resource

        if limit is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    return subprocess.Popen(
        [sys.executable, "-m", "turnmodel", *words],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        preexec_fn=limited,
        env={**os.environ, "PYTHONPATH": str(Path(workflow.__file__).parents[1])},
    )


def make(folder: Path, settings: Mapping[str, str], verb: str = "make") -> subprocess.Popen[str]:
    """Start writing the first design into the folder ``made``."""
    given = [f"--set={name}={value}" for name, value in settings.items()]
    return command(verb, str(SCRIPT), "--out", "made", *given, folder=folder)


def ended(run: subprocess.Popen[str]) -> None:
    """Hold a run to ending well, whatever it found of the design."""
    _, err = run.communicate(timeout=LONGEST)
    assert run.returncode in (0, 1)
    assert err == ""


@pytest.fixture(scope="module")
def mockups() -> list[Any]:
    """The mock-ups of the first design, short and long, ready to be written."""
    return [workflow.prepare_mockup(load(SCRIPT, settings)[0], assumed_tools()) for settings in (SHORT, LONG)]


def in_child(work: Callable[[], object]) -> int:
    """Do something in a copy of this process, and give its number."""
    child = os.fork()
    if child == 0:
        try:
            work()
        finally:
            os._exit(0)
    return child


def test_a_mockup_killed_at_any_move_is_never_of_two_runs(mockups: list[Any], tmp_path: Path) -> None:
    """Killed before its n-th renaming, whatever n, a run leaves whole files, sealed if of one run only."""
    wholes = []
    for made in mockups:
        writing.write_mockup(made, tmp_path / "whole")
        wholes.append(contents(tmp_path / "whole"))
        shutil.rmtree(tmp_path / "whole")
    folder = tmp_path / "made"
    real = Path.replace
    killed = 0
    for n in range(100):
        shutil.rmtree(folder, ignore_errors=True)
        writing.write_mockup(mockups[0], folder)

        def until(n: int = n) -> None:
            left = n

            def counted(self: Path, target: Path) -> Path:
                nonlocal left
                if left == 0:
                    os.kill(os.getpid(), signal.SIGKILL)
                left -= 1
                return real(self, target)

            Path.replace = counted  # type: ignore[method-assign, assignment]
            writing.write_mockup(mockups[1], folder)

        _, status = os.waitpid(in_child(until), 0)
        hold_whole(contents(folder), SEAL, *wholes)
        if not os.WIFSIGNALED(status):
            break
        killed += 1
    assert killed == 2 * len(wholes[1])  # each file is written whole, then moved
    assert contents(folder) == wholes[1]
    assert drafts(folder) == []


def test_a_mockup_killed_at_random_moments_is_never_torn(mockups: list[Any], tmp_path: Path) -> None:
    """Killed a dozen times over one folder, whole files stand there, and the next run clears up."""
    wholes = []
    for made in mockups:
        began = time.perf_counter()
        writing.write_mockup(made, tmp_path / "whole")
        took = time.perf_counter() - began
        wholes.append(contents(tmp_path / "whole"))
        shutil.rmtree(tmp_path / "whole")
    moments = random.Random(8)
    folder = tmp_path / "made"
    for k in range(12):
        child = in_child(lambda k=k: writing.write_mockup(mockups[k % 2], folder))
        time.sleep(moments.uniform(0, 1.1 * took))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        hold_whole(contents(folder), SEAL, *wholes)
    writing.write_mockup(mockups[1], folder)

    assert contents(folder) == wholes[1]
    assert drafts(folder) == []


@pytest.mark.parametrize("verb", ["mockup", pytest.param("make", marks=pytest.mark.slow)])
def test_two_runs_into_one_folder_do_not_mix(verb: str, tmp_path: Path) -> None:
    """Runs that write to one folder at once all end well, and the folder holds what one of them wrote."""
    wholes = []
    for settings in (SHORT, LONG):
        alone = tmp_path / settings["inside_length"]
        alone.mkdir()
        ended(make(alone, settings, verb))
        wholes.append(contents(alone / "made"))
    runs = [make(tmp_path, settings, verb) for settings in (SHORT, LONG, SHORT)]
    for run in runs:
        ended(run)

    assert contents(tmp_path / "made") in wholes
    assert drafts(tmp_path / "made") == []


@pytest.mark.slow
def test_make_killed_at_100_random_moments(tmp_path: Path) -> None:
    """Whenever it is killed, each file is of the run before or of this one, and the next run succeeds."""
    wholes, took = [], 0.0
    for settings in (SHORT, LONG):
        alone = tmp_path / settings["inside_length"]
        alone.mkdir()
        began = time.perf_counter()
        ended(make(alone, settings))
        took = time.perf_counter() - began
        wholes.append(contents(alone / "made"))
    moments = random.Random(8)
    folder, seal = tmp_path / "made", Path("report.json")
    shutil.copytree(tmp_path / SHORT["inside_length"] / "made", folder)
    for k in range(1, 101):
        run = make(tmp_path, (SHORT, LONG)[k % 2])
        time.sleep(moments.uniform(0, 1.1 * took))
        os.killpg(run.pid, signal.SIGKILL)
        run.communicate()
        hold_whole(contents(folder), seal, *wholes)
        if k % 20 == 0:
            ended(make(tmp_path, LONG))
            assert contents(folder) == wholes[1]
            assert drafts(folder) == []


@pytest.mark.slow
@pytest.mark.parametrize("step", ["mock-up", "papers", "page"])
def test_a_folder_removed_under_a_run_is_told(step: str, tmp_path: Path) -> None:
    """Where the folder is taken away meanwhile the run says so and leaves nothing; the next one succeeds."""
    folder = tmp_path / "made"

    def tell(begun: str) -> None:
        if begun == step:
            shutil.rmtree(folder)

    with pytest.raises(OutputError, match=r"taken away meanwhile|No such file"):
        workflow.make(SCRIPT, SHORT, folder, tell)
    assert not folder.exists()

    workflow.make(SCRIPT, SHORT, folder, lambda _: None)
    assert (folder / "report.json").exists()


@pytest.mark.parametrize(
    ("verb", "limit"),
    [
        ("mockup", 100),
        ("mockup", 300_000),
        *(pytest.param("make", n, marks=pytest.mark.slow) for n in (1_000, 650_000, 1_000_000)),
    ],
)
def test_a_full_disk_is_told_and_leaves_the_older_files(verb: str, limit: int, tmp_path: Path) -> None:
    """Where a file cannot grow the run ends with status 2 and one line, and what stood there still stands."""
    (tmp_path / "made" / "mockup").mkdir(parents=True)
    (tmp_path / "made" / "mockup" / "box.stl").write_text("older")
    run = command(verb, str(SCRIPT), "--out", "made", folder=tmp_path, limit=limit)
    out, err = run.communicate(timeout=LONGEST)

    assert (run.returncode, out) == (2, "")
    assert err.startswith("cannot write made/")
    assert err.endswith(": File too large\n")
    assert err.count("\n") == 1
    assert contents(tmp_path / "made") == {Path("mockup/box.stl"): b"older"}
    assert drafts(tmp_path) == []


ENDLESS: Final = {
    "a loop": "while True:\n        pass",
    "a loop that catches every error": (
        "while True:\n        try:\n            pass\n        except Exception:\n            pass"
    ),
    "a sleep": "import time\n    time.sleep(3600)",
    "ever more memory": "held = []\n    while True:\n        held.append(list(range(1000)))",
    "parts without end": (
        "import turnmodel as t\n    while True:\n        t.Design('a', parts=[t.Part.turned("
        "'b', material='brass', stock='12 mm', outside=[t.cylinder(9, 9)])])"
    ),
}


@pytest.mark.parametrize("name", ENDLESS)
def test_a_script_that_never_ends_is_stopped_by_ctrl_c(name: str, tmp_path: Path) -> None:
    """Ctrl-C ends the run of such a script with one word and status 130, and nothing is written."""
    (tmp_path / "endless.py").write_text(
        f'import sys\n\n\ndef design():\n    print("begun", flush=True)\n    {ENDLESS[name]}\n',
        encoding="utf-8",
    )
    run = command("make", "endless.py", "--out", "made", folder=tmp_path)
    assert run.stderr is not None
    assert run.stderr.readline() == "begun\n"
    os.killpg(run.pid, signal.SIGINT)
    out, err = run.communicate(timeout=20)

    assert (run.returncode, out, err) == (130, "", "stopped\n")
    assert not (tmp_path / "made").exists()


def test_a_script_that_fills_memory_is_told(tmp_path: Path) -> None:
    """Where there is no more memory for a script the run ends with status 2, one line, nothing written."""
    (tmp_path / "greedy.py").write_text("def design():\n    return bytearray(1 << 62)\n", encoding="utf-8")
    run = command("make", "greedy.py", "--out", "made", folder=tmp_path)
    out, err = run.communicate(timeout=LONGEST)

    assert (run.returncode, out, err) == (2, "", "greedy.py:2: MemoryError: there is not so much memory\n")
    assert not (tmp_path / "made").exists()


@pytest.mark.parametrize(
    "count", [3, pytest.param(40, marks=pytest.mark.slow)], ids=["a few times", "many times"]
)
def test_ctrl_c_leaves_nothing_half_written(count: int, tmp_path: Path) -> None:
    """Whenever it is stopped, a run leaves no draft, and of its files none or all."""
    ended(make(tmp_path, SHORT))
    whole = contents(tmp_path / "made")
    shutil.rmtree(tmp_path / "made")
    moments = random.Random(9)
    for _ in range(count):
        run = make(tmp_path, SHORT)
        time.sleep(moments.uniform(0.3, 6))  # it takes some seconds; the interpreter itself, 0.1 to start
        os.killpg(run.pid, signal.SIGINT)
        _, err = run.communicate(timeout=20)

        assert (run.returncode, err) in [(130, "stopped\n"), (0, ""), (1, "")]
        assert drafts(tmp_path) == []
        assert contents(tmp_path / "made") in ([{}, whole] if run.returncode == 130 else [whole])
        shutil.rmtree(tmp_path / "made", ignore_errors=True)
