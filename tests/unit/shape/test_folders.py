"""Files that reach their folder together."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from turnmodel.errors import OutputError
from turnmodel.shape.files import written_whole
from turnmodel.shape.folders import written_together

if TYPE_CHECKING:
    from collections.abc import Callable


def contents(folder: Path) -> dict[str, str]:
    """Read every file under a folder, hidden ones as well."""
    return {p.relative_to(folder).as_posix(): p.read_text() for p in folder.rglob("*") if p.is_file()}


def put(folder: Path, text: str, *names: str, then: Callable[[Path], object] = lambda _: None) -> None:
    """Write files of one text together, and do something before they are moved."""
    with written_together(folder, last=names[0]) as draft:
        for name in names:
            (draft / name).write_text(text)
        then(draft)


def test_all_files_arrive_when_all_went_well(tmp_path: Path) -> None:
    """Files of a set stand in their folder and its folders, beside what was there, and no draft is left."""
    (tmp_path / "kept.txt").write_text("mine")
    with written_together(tmp_path) as draft:
        (draft / "parts").mkdir()
        (draft / "a.txt").write_text("new")
        (draft / "parts" / "b.txt").write_text("new")
        assert contents(tmp_path).keys() >= {"kept.txt"}
        assert not (tmp_path / "a.txt").exists()

    assert contents(tmp_path) == {"kept.txt": "mine", "a.txt": "new", "parts/b.txt": "new"}
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.txt", "kept.txt", "parts"]


@pytest.mark.parametrize("stop", [KeyboardInterrupt, ValueError, MemoryError])
def test_nothing_arrives_when_something_went_wrong(stop: type[BaseException], tmp_path: Path) -> None:
    """Whatever stops a set, the older one stands as it stood; a folder made for it is gone again."""

    def stopped(_: Path) -> None:
        raise stop

    (tmp_path / "old").mkdir()
    (tmp_path / "old" / "a.txt").write_text("old")
    for folder in (tmp_path / "old", tmp_path / "new" / "inner"):
        with pytest.raises(stop):
            put(folder, "half", "a.txt", then=stopped)

    assert contents(tmp_path) == {"old/a.txt": "old"}
    assert [p.name for p in tmp_path.iterdir()] == ["old"]


def test_sets_may_be_written_together_again(tmp_path: Path) -> None:
    """A set inside a set arrives with it, and not before it."""
    with written_together(tmp_path / "made") as outer:
        with written_together(outer / "inner") as draft:
            (draft / "a.txt").write_text("new")
        with written_together(outer) as draft:
            (draft / "b.txt").write_text("new")
        assert contents(outer) == {"inner/a.txt": "new", "b.txt": "new"}

    assert contents(tmp_path / "made") == {"inner/a.txt": "new", "b.txt": "new"}


def test_the_last_file_is_gone_while_others_move(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file that tells of a whole set is never there beside files of two sets."""
    for name in ("a.txt", "b.txt", "sealed.txt"):
        (tmp_path / name).write_text("old")
    seen: list[dict[str, str]] = []
    real = type(tmp_path).replace

    def watched(self: Path, target: Path) -> Path:
        moved = real(self, target)
        seen.append({n: t for n, t in contents(tmp_path).items() if not n.startswith(".")})
        return moved

    with written_together(tmp_path, last="sealed.txt") as draft:
        for name in ("sealed.txt", "a.txt", "b.txt"):
            (draft / name).write_text("new")
        monkeypatch.setattr(type(tmp_path), "replace", watched)

    assert [sorted(state.items()) for state in seen] == [
        [("a.txt", "new"), ("b.txt", "old")],
        [("a.txt", "new"), ("b.txt", "new")],
        [("a.txt", "new"), ("b.txt", "new"), ("sealed.txt", "new")],
    ]


def test_a_folder_in_the_place_of_a_file_is_told_before_anything_moves(tmp_path: Path) -> None:
    """A file whose place is taken by a folder stops the set while the older one still stands."""
    (tmp_path / "a.txt").write_text("old")
    (tmp_path / "b.txt").mkdir()
    with pytest.raises(OutputError) as told:
        put(tmp_path, "new", "a.txt", "b.txt")

    assert str(told.value) == f"cannot write {tmp_path / 'b.txt'}: a folder stands there"
    assert contents(tmp_path) == {"a.txt": "old"}


@pytest.mark.parametrize("way", ["removed", "moved"])
def test_a_folder_taken_away_meanwhile_is_told(way: str, tmp_path: Path) -> None:
    """No part of a set arrives in a folder that was removed, or moved, while the set was written."""
    folder = tmp_path / "made"

    def taken_away(draft: Path) -> None:
        if way == "removed":
            shutil.rmtree(folder)
        else:
            folder.rename(tmp_path / "elsewhere")
        with written_whole(draft / "b.txt") as beside:
            beside.write_text("new")

    with pytest.raises(OutputError) as told:
        put(folder, "new", "a.txt", then=taken_away)

    assert str(told.value) == f"cannot write into {folder}: it was taken away meanwhile; run this again"
    assert not folder.exists()


def test_two_sets_at_once_do_not_mix(tmp_path: Path) -> None:
    """Of sets that are written to one folder at once, one stands there whole."""

    def write(text: str) -> None:
        for _ in range(20):
            put(tmp_path, text, *(f"{k}.txt" for k in range(8)))

    runs = [threading.Thread(target=write, args=(text,)) for text in "abcd"]
    for run in runs:
        run.start()
    for run in runs:
        run.join()

    left = contents(tmp_path)
    assert sorted(left) == [f"{k}.txt" for k in range(8)]
    assert len(set(left.values())) == 1


def test_ctrl_c_waits_until_a_set_is_in_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Pressed while files are moved it interrupts after the last of them, and works as before then."""
    real = Path.replace

    def pressed(self: Path, target: Path) -> Path:
        signal.raise_signal(signal.SIGINT)
        return real(self, target)

    monkeypatch.setattr(Path, "replace", pressed)
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        with pytest.raises(KeyboardInterrupt):
            put(tmp_path, "new", "a.txt", "b.txt", "c.txt")
        after = signal.getsignal(signal.SIGINT)
    finally:
        signal.signal(signal.SIGINT, before)

    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.txt", "b.txt", "c.txt"]
    assert after is signal.default_int_handler


KILLED = """
import os, pathlib, signal, sys
from turnmodel.shape.folders import written_together
with written_together(pathlib.Path(sys.argv[1])) as draft:
    (draft / "a.txt").write_text("half")
    print("ready", flush=True)
    os.kill(os.getpid(), signal.SIGKILL if sys.argv[2] == "killed" else signal.SIGSTOP)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="locks of folders are of POSIX")
@pytest.mark.parametrize("end", ["killed", "asleep"])
def test_drafts_of_killed_runs_are_swept_and_no_others(end: str, tmp_path: Path) -> None:
    """The next set removes the draft of a run that was killed, and leaves that of one that takes long."""
    with subprocess.Popen(
        [sys.executable, "-c", KILLED, str(tmp_path), end], stdout=subprocess.PIPE, text=True
    ) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == "ready\n"
        if end == "killed":
            run.wait()
        else:
            time.sleep(0.1)
        before = [p.name for p in tmp_path.iterdir()]
        put(tmp_path, "new", "b.txt")
        after = sorted(p.name for p in tmp_path.iterdir())
        run.kill()

    assert len(before) == 1
    assert after == (["b.txt"] if end == "killed" else [*before, "b.txt"])


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written_is_told(tmp_path: Path) -> None:
    """A folder without the right to write into it is told in one line."""
    tmp_path.chmod(0o500)
    with pytest.raises(OutputError, match=r"^cannot write into .*: Permission denied$"):
        put(tmp_path, "new", "a.txt")
