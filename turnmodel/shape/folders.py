"""Files that belong together: all of them reach their folder, or none does."""

from __future__ import annotations

import os
import shutil
import signal
import sys
import tempfile
import threading
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Final

from turnmodel.errors import OutputError

if sys.platform != "win32":
    import fcntl

if TYPE_CHECKING:
    from collections.abc import Iterator
    from types import FrameType

__all__ = ["undisturbed", "written_together"]

_DRAFT: Final = ".turnmodel-draft-"
"""How the names of draft folders begin."""


@contextmanager
def written_together(folder: Path, *, last: str | None = None) -> Iterator[Path]:
    """Give an empty folder to write to, and move what was written there into place when all went well.

    Parameters
    ----------
    folder : Path
        Where the files go; made where it is not there, and taken away again if nothing comes of it
    last : str, optional
        The file, as seen from the folder, that tells that a set is whole: an older one is removed before
        anything is moved, and the new one is moved after all others

    Yields
    ------
    Path
        A folder inside, hidden, to write to

    Raises
    ------
    OutputError
        If the folder cannot be written, or was taken away meanwhile

    Notes
    -----
    Two runs may write to one folder at once: each moves its files while the other waits, so that the folder
    holds what the later one wrote. Drafts of runs that were killed are swept away by the next one. Both rest
    on locks that end with their process, however it ends; a file system without locks does without both.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as place:
    ...     with written_together(Path(place) / "made") as draft:
    ...         _ = (draft / "a.txt").write_text("whole")
    ...     [path.name for path in (Path(place) / "made").iterdir()]
    ['a.txt']
    """
    made = [place for place in (folder, *folder.parents) if not place.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _alone(folder):
            _sweep(folder)
            home = Path(tempfile.mkdtemp(prefix=_DRAFT, dir=folder))
            held = _lock(home)
        draft = home / "files"  # not the locked folder itself: sets may be written together in it again
        draft.mkdir()
    except OSError as error:
        _take_back(made)
        raise OutputError(f"cannot write into {folder}: {error.strerror or error}") from error
    begun = home.stat().st_ino
    try:
        yield draft
        with _alone(folder), undisturbed():
            _hold_same(home, begun)
            _move(draft, folder, last)
    except OutputError as error:
        raise OutputError(str(error).replace(str(draft), str(folder))) from error
    except OSError as error:
        raise OutputError(f"cannot write into {folder}: {error.strerror or error}") from error
    finally:
        shutil.rmtree(home, ignore_errors=True)
        if held is not None:
            os.close(held)
        _take_back(made)


def _hold_same(home: Path, begun: int) -> None:
    """Hold a draft to being the one that was begun: a writer makes anew what was taken away under it."""
    if not home.is_dir() or home.stat().st_ino != begun:
        raise OutputError(f"cannot write into {home.parent}: it was taken away meanwhile; run this again")


def _move(draft: Path, folder: Path, last: str | None) -> None:
    """Move every file of a draft to its place."""
    files = sorted(path.relative_to(draft) for path in draft.rglob("*") if path.is_file())
    for file in files:
        if (folder / file).is_dir():
            raise OutputError(f"cannot write {folder / file}: a folder stands there")
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
    if last is not None:
        (folder / last).unlink(missing_ok=True)
        files.sort(key=Path(last).__eq__)
    for file in files:
        (draft / file).replace(folder / file)


def _sweep(folder: Path) -> None:
    """Remove the drafts of runs that are no more."""
    for draft in folder.glob(f"{_DRAFT}*"):
        held = _lock(draft)
        if held is not None:
            shutil.rmtree(draft, ignore_errors=True)
            os.close(held)


def _take_back(made: list[Path]) -> None:
    """Remove folders, innermost first, as far as there is nothing in them."""
    with suppress(OSError):
        for place in made:
            place.rmdir()


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Wait until no other run sweeps or moves in a folder."""
    held = _lock(folder, wait=True)
    try:
        yield
    finally:
        if held is not None:
            os.close(held)


@contextmanager
def undisturbed() -> Iterator[None]:
    """Let Ctrl-C wait until what is under way is done."""
    if threading.current_thread() is not threading.main_thread():
        yield  # it interrupts the main thread alone
        return
    pressed: list[FrameType | None] = []
    before = signal.signal(signal.SIGINT, lambda _, frame: pressed.append(frame))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
        if pressed and callable(before):
            before(signal.SIGINT, pressed[0])


def _lock(folder: Path, *, wait: bool = False) -> int | None:
    """Hold a folder until the handle that this gives is closed; None where another holds it or none can."""
    if sys.platform == "win32":
        return None
    handle = None
    try:
        handle = os.open(folder, os.O_RDONLY)
        fcntl.flock(handle, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        if handle is not None:
            os.close(handle)
        return None
    return handle
