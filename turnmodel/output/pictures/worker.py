"""The renderer's own process: shots in on standard input, pictures out on standard output."""

from __future__ import annotations

import os
import pickle
import sys
from typing import TYPE_CHECKING

from turnmodel.errors import OutputError
from turnmodel.output.pictures.picture import taken
from turnmodel.output.pictures.stage import stage

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from turnmodel.output.pictures.studio import Settings
    from turnmodel.output.pictures.views import Shot

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


def _answer(shots: tuple[Shot, ...], settings: Settings) -> list[NDArray[np.uint8]] | OutputError:
    try:
        with stage(settings) as take:
            return [taken(shot.pieces, shot.view, settings, take) for shot in shots]
    except OutputError as error:
        return error


if __name__ == "__main__":
    main()
