"""The pictures of a design: which there are, by what name, and in what file each is kept."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.output.pictures.closeup import close_ups
from turnmodel.output.pictures.film import write_gif, write_mp4
from turnmodel.output.pictures.motion import FRAMES_A_SECOND, Film
from turnmodel.output.pictures.pieces import pieces
from turnmodel.output.pictures.views import Shot, render_set, save

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    import numpy as np
    from numpy.typing import NDArray

    from turnmodel.design.design import Design
    from turnmodel.output.pictures.studio import Settings

__all__ = ["USUAL", "VIEWS", "album", "save_album"]

VIEWS: Final = ("whole", "cut", "apart", "close", "ruler", "turn", "assemble")
"""What can be drawn of a design."""

USUAL: Final = ("whole", "cut", "apart", "close")
"""What is drawn where nothing else is asked for."""


def album(
    design: Design,
    named: Callable[[str], str],
    views: Sequence[str] = USUAL,
    settings: Settings | None = None,
) -> dict[str, NDArray[np.uint8]]:
    """Take the pictures of a design, all in one room.

    Parameters
    ----------
    design : Design
        The design
    named : callable
        Makes a name of the script's safe as a file's
    views : sequence of str
        Any of `VIEWS`. States are drawn each; a joint from near in the first state that has it; moving
        pictures and the one beside a ruler are of the first state
    settings : Settings, optional
        Size, paper and light

    Returns
    -------
    dict
        Name of the file without its ending to the picture (h, w, 4) or the frames (n, h, w, 4), [-]

    Raises
    ------
    OutputError
        If this machine cannot render; the message says why.
    """
    shots: dict[str, Shot | Film] = {}
    seen: set[frozenset[str]] = set()
    for number, state in enumerate(design.states):
        whole = pieces(design, state)
        opened = pieces(design, state, cut=True) if {"cut", "close"} & set(views) else ()
        for view in views:
            name = f"{named(state)}-{view}"
            if view == "close":
                for joint in close_ups(design, state, opened):
                    if frozenset(joint.parts) not in seen:
                        seen.add(frozenset(joint.parts))
                        shots[f"{name}-{named(joint.name)}"] = Shot(pieces=opened, view=view, focus=joint)
            elif view in ("turn", "assemble"):
                if number == 0:
                    shots[name] = Film(pieces=whole, motion="turn" if view == "turn" else "assemble")
            elif view != "ruler" or number == 0:
                shots[name] = Shot(pieces=opened if view == "cut" else whole, view=view)
    return dict(zip(shots, render_set(list(shots.values()), settings), strict=True))


def save_album(taken: Mapping[str, NDArray[np.uint8]], folder: Path) -> list[Path]:
    """Write pictures as PNG, moving ones as GIF and as MP4.

    Parameters
    ----------
    taken : mapping
        As `album` gives it
    folder : Path
        Where they go; it stands already

    Returns
    -------
    list of Path
        The files

    Raises
    ------
    OutputError
        If one cannot be written.
    """
    written = []
    for name, picture in taken.items():
        if picture.ndim == 4:
            written.append(write_gif(picture, folder / f"{name}.gif", FRAMES_A_SECOND))
            written.append(write_mp4(picture, folder / f"{name}.mp4", FRAMES_A_SECOND))
        else:
            written.append(save(picture, folder / f"{name}.png"))
    return written
