"""Follow what a script imports from beside itself, and forget it so that it is read again."""

from __future__ import annotations

import importlib
import sys
import sysconfig
from contextlib import contextmanager
from importlib.abc import MetaPathFinder
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from types import ModuleType

__all__ = ["followed", "forget"]

_OURS = Path(__file__).resolve().parents[1]
_STANDARD = sysconfig.get_path("stdlib")  # asked for now: it may import something itself


@contextmanager
def followed(folder: Path) -> Iterator[set[Path]]:
    """Note the files of a folder that imports are sought in, be they there or not.

    Parameters
    ----------
    folder : Path
        The script's folder, in which its imports are sought first

    Yields
    ------
    set of Path
        The files; grows with every module that is imported for the first time
    """
    note = _Note(folder.resolve())
    sys.meta_path.insert(0, note)
    try:
        yield note.sought
    finally:
        sys.meta_path.remove(note)


def forget(folder: Path) -> None:
    """Forget the modules that were read from a folder, save those that are installed in it."""
    folder = folder.resolve()
    for name, module in list(sys.modules.items()):
        file = getattr(module, "__file__", None)
        if isinstance(file, str) and _own(Path(file).resolve(), folder):
            del sys.modules[name]
    importlib.invalidate_caches()


class _Note(MetaPathFinder):
    """Finds nothing itself, and notes where the others will look."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.sought: set[Path] = set()

    def find_spec(self, name: str, path: Sequence[str] | None, _target: ModuleType | None = None) -> None:
        """Note the files that the module may be read from."""
        last = name.rpartition(".")[2]
        for place in [Path(p).resolve() for p in path] if path is not None else [self.folder]:
            files = (place / f"{last}.py", place / last / "__init__.py")
            self.sought.update(file for file in files if _own(file, self.folder))


def _own(file: Path, folder: Path) -> bool:
    """Whether a file is the user's own: in the folder, neither installed there nor a part of this program."""
    return (
        file.is_relative_to(folder)
        and not {"site-packages", "dist-packages"} & {*file.parts}
        and not file.is_relative_to(_STANDARD)
        and not file.is_relative_to(_OURS)
    )
