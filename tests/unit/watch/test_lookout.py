"""Changes of files are seen, and only changes."""

from __future__ import annotations

import os
import time
from typing import TYPE_CHECKING

from turnmodel.watch.lookout import Lookout

if TYPE_CHECKING:
    from pathlib import Path

LOOKS = 3
"""Looks within which a change that has come to rest is told: it is seen, it stands, it is told."""


def told(lookout: Lookout) -> int:
    """Look a few times and count how often a change is told."""
    return sum(lookout.changed() for _ in range(LOOKS))


def test_a_save_is_told_once(tmp_path: Path) -> None:
    """A file that was written is told of, and then no more."""
    file = tmp_path / "pen.py"
    file.write_text("1")
    lookout = Lookout([file])
    assert told(lookout) == 0

    file.write_text("2")

    assert told(lookout) == 1
    assert told(lookout) == 0


def test_a_save_without_a_change_is_not_told(tmp_path: Path) -> None:
    """A file that is written as it was has not changed."""
    file = tmp_path / "pen.py"
    file.write_text("1")
    lookout = Lookout([file])

    file.write_text("1")
    os.utime(file, (0, 0))

    assert told(lookout) == 0


def test_a_save_in_pieces_is_told_when_it_has_come_to_rest(tmp_path: Path) -> None:
    """While a file still moves nothing is told of it."""
    file = tmp_path / "pen.py"
    file.write_text("1")
    lookout = Lookout([file])
    for piece in ("2", "2 + ", "2 + 3"):
        file.write_text(piece)
        assert not lookout.changed()

    assert told(lookout) == 1


def test_a_change_under_the_same_time_and_size_is_seen(tmp_path: Path) -> None:
    """A second save within the clock's step, as long as the first, is not missed."""
    file = tmp_path / "pen.py"
    file.write_text("1")
    lookout = Lookout([file])
    now = time.time_ns()
    file.write_text("2")
    os.utime(file, ns=(now, now))
    assert told(lookout) == 1

    file.write_text("3")
    os.utime(file, ns=(now, now))

    assert told(lookout) == 1


def test_files_that_go_and_come_are_told(tmp_path: Path) -> None:
    """A file that is deleted, made anew, or replaced by another has changed."""
    file, other = tmp_path / "pen.py", tmp_path / "pen.py~"
    file.write_text("1")
    lookout = Lookout([file])

    file.unlink()
    assert told(lookout) == 1
    file.write_text("1")
    assert told(lookout) == 1
    other.write_text("2")
    other.replace(file)
    assert told(lookout) == 1


def test_files_are_followed_from_when_they_are_named(tmp_path: Path) -> None:
    """A file that is named later is looked at from then on, there or not."""
    lookout = Lookout([tmp_path / "pen.py"])
    lookout.follow([tmp_path / "sizes.py"])
    assert told(lookout) == 0

    (tmp_path / "sizes.py").write_text("WALL = 1")

    assert told(lookout) == 1
    assert lookout.paths == {tmp_path / "pen.py", tmp_path / "sizes.py"}
