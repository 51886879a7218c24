"""The renderer's own process: shots in on standard input, pictures out on standard output."""

from __future__ import annotations

import os
import pickle
import sys
from typing import TYPE_CHECKING

from turnmodel.errors import OutputError
from turnmodel.output.pictures.lineup import LineUp, lined_up
from turnmodel.output.pictures.motion import Film, filmed
from turnmodel.output.pictures.picture import taken
from turnmodel.output.pictures.stage import stage
from turnmodel.output.pictures.views import Shot

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from turnmodel.output.pictures.stage import Take
    from turnmodel.output.pictures.studio import Settings

__all__ = ["main"]


def main() -> None:
    """Answer one set of shots with its pictures, or with the error that prevents them."""
    # Whatever the renderer prints must not run into the answer.
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    shots, settings = pickle.load(sys.stdin.buffer)
    answer = _answer(shots, settings)
    with answers:
        pickle.dump(answer, answers)


def _answer(
    shots: tuple[Shot | Film | LineUp, ...], settings: Settings
) -> list[NDArray[np.uint8]] | OutputError:
    try:
        with stage(settings) as take:
            return [_taken(shot, settings, take) for shot in shots]
    except OutputError as error:
        return error


def _taken(shot: Shot | Film | LineUp, settings: Settings, take: Take) -> NDArray[np.uint8]:
    """Take one of them by its kind."""
    match shot:
        case Film():
            return filmed(shot, settings, take)
        case LineUp():
            return lined_up(shot, settings, take)
        case Shot():
            return taken(shot.pieces, shot.view, settings, take, shot.focus)


if __name__ == "__main__":
    main()
