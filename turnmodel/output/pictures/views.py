"""Pictures of an object: whole, cut open, drawn apart."""

from __future__ import annotations

import os
import pickle
import signal
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final, get_args

from turnmodel.errors import OutputError, UnknownName
from turnmodel.output.pictures.framing import View
from turnmodel.output.pictures.studio import Settings

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from turnmodel.output.pictures.closeup import CloseUp
    from turnmodel.output.pictures.lineup import LineUp
    from turnmodel.output.pictures.motion import Film
    from turnmodel.output.pictures.scene import Piece

__all__ = ["Shot", "line_up", "render", "render_set", "save"]

_WORTH_TWO: Final = 2
"""So many pictures or films are taken by two processes (house choice: a film takes many seconds)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One picture to take.

    Parameters
    ----------
    pieces : tuple of Piece
        All parts that are in it.
    view : str
        What it shows, one of `View`, [-]
    focus : CloseUp or None
        The joint that a view "close" is of

    Raises
    ------
    UnknownName
        If there is no such view.
    OutputError
        If there is nothing to show.
    """

    pieces: tuple[Piece, ...]
    view: str
    focus: CloseUp | None = None

    def __post_init__(self) -> None:
        if self.view not in get_args(View):
            raise UnknownName("view", self.view, get_args(View))
        if not any(len(piece.mesh.faces) for piece in self.pieces):
            raise OutputError(f"no picture {self.view!r}: there is no part to show")


def render(pieces: Sequence[Piece], view: str, settings: Settings | None = None) -> NDArray[np.uint8]:
    """Take one picture.

    Parameters
    ----------
    pieces : sequence of Piece
        Parts, placed in the object's frame. For "cut" their meshes are cut already, angles 270 to 360
        degrees missing (the quarter x > 0, y < 0), save bought parts, which stay whole.
    view : str
        What it shows, [-]
    settings : Settings, optional
        Size, paper and light.

    Returns
    -------
    array of uint8, shape (h, w, 4)
        Red, green, blue and opacity, sRGB, no larger than ``settings.size``, [-]

    Raises
    ------
    OutputError
        If this machine cannot render; the message says why.

    Notes
    -----
    There is no perspective. The scale bar holds along the axis where the axis lies level, and in the plane
    of the picture where a stout object leans. Same input, same picture, on one machine.
    """
    return render_set([Shot(pieces=tuple(pieces), view=view)], settings)[0]


def line_up(
    objects: Sequence[Sequence[Piece]], titles: Sequence[str], settings: Settings | None = None
) -> NDArray[np.uint8]:
    """Show several objects under each other at one scale.

    Parameters
    ----------
    objects : sequence of sequences of Piece
        The pieces of each object
    titles : sequence of str
        What is written over each, [-]
    settings : Settings, optional
        Size, paper and light; the picture is as high as the objects want

    Returns
    -------
    array of uint8, shape (h, w, 4)
        One picture, [-]

    Raises
    ------
    OutputError
        If there is nothing to show, not a title for each, or this machine cannot render.
    """
    from turnmodel.output.pictures.lineup import LineUp

    return render_set([LineUp(objects=tuple(map(tuple, objects)), titles=tuple(titles))], settings)[0]


def render_set(
    shots: Sequence[Shot | Film | LineUp], settings: Settings | None = None
) -> list[NDArray[np.uint8]]:
    """Take several pictures and films.

    The renderer runs in a process of its own, so that its crash is an error here and not the end; of many
    pictures two processes take turns, for much of the work cannot be shared out within one.

    Parameters
    ----------
    shots : sequence of Shot, Film or LineUp
        What to take.
    settings : Settings, optional
        What they have in common.

    Returns
    -------
    list of array of uint8, shape (h, w, 4)
        One a shot, as `render` gives it, [-]; one (n, h, w, 4) a film

    Raises
    ------
    OutputError
        If this machine cannot render; the message says why.
    """
    if not shots:
        return []
    chosen = settings or Settings()
    if len(shots) < _WORTH_TWO or (os.cpu_count() or 1) < 2:
        return _rendered(shots, chosen)
    with ThreadPoolExecutor(2) as pool:
        halves = list(pool.map(_rendered, (shots[::2], shots[1::2]), (chosen, chosen)))
    return [halves[k % 2][k // 2] for k in range(len(shots))]


def _rendered(shots: Sequence[Shot | Film | LineUp], settings: Settings) -> list[NDArray[np.uint8]]:
    """Have shots taken by a process of their own."""
    home = str(Path(__file__).parents[3])
    paths = [home, *filter(None, [os.environ.get("PYTHONPATH")])]
    done = subprocess.run(
        # -P: a script beside the user's design must not stand in for a library of the same name.
        [sys.executable, "-P", "-m", "turnmodel.output.pictures.worker"],
        input=pickle.dumps((tuple(shots), settings)),
        capture_output=True,
        check=False,
        env=os.environ | {"PYTHONPATH": os.pathsep.join(paths)},
    )
    try:
        answer = pickle.loads(done.stdout)
    except (EOFError, pickle.UnpicklingError):
        raise _ended(done.returncode, done.stderr.decode(errors="replace")) from None
    if isinstance(answer, OutputError):
        raise answer
    pictures: list[NDArray[np.uint8]] = answer
    return pictures


def _ended(status: int, said: str) -> OutputError:
    """Say how the renderer's process ended without an answer."""
    if status < 0:
        name = signal.Signals(-status).name
        driver = "; a machine without a graphics card needs the package libegl-mesa0 (Debian)"
        return OutputError(f"no pictures: the renderer was ended by {name}{driver * (name == 'SIGSEGV')}")
    last = said.strip().splitlines()[-1:] or ["it said nothing"]
    return OutputError(f"no pictures: the renderer ended with status {status}: {last[0].strip()}")


def save(picture: NDArray[np.uint8], path: Path) -> Path:
    """Write a picture as PNG, whole or not at all.

    Parameters
    ----------
    picture : array of uint8, shape (h, w, 4)
        As `render` gives it, [-]
    path : Path
        Where it goes; its folder stands already.

    Returns
    -------
    Path
        The same path.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    from PIL import Image

    beside = path.with_name(f".{path.name}.part")
    try:
        with beside.open("wb") as file:
            Image.fromarray(picture).save(file, format="PNG", optimize=False)
        beside.replace(path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise OutputError(f"cannot write {path}: {error.strerror or error}") from None
    return path
