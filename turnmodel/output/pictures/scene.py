"""What stands before the camera: pieces in the object's frame, and how they are drawn apart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.geometry.frame import IDENTITY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from turnmodel.geometry.frame import Matrix
    from turnmodel.output.pictures.appearance import Appearance
    from turnmodel.shape.lathe import Mesh

__all__ = ["Knurled", "Piece", "drawn_apart", "steps_home"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Knurled:
    """A knurl on a piece: stations in its own frame and its pitch, [mm]."""

    start: float
    end: float
    pitch: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One part, placed in the object's frame: z along the axis from the front, x and y across it.

    Parameters
    ----------
    name : str
        Name beside the part where it is drawn apart, [-]
    mesh : Mesh
        Its surface; faces tagged as cut caps are painted flat and outlined, [mm]
    appearance : Appearance
        Colour in the light and on the cut, [-]
    moves : tuple of (float, float, float)
        How it moves in each step of taking the object apart, zeros where it stays, [mm]
    foot : tuple of float or None
        Where it meets what carries it, to which a line leads back; None for the middle of its box, [mm]
    frame : tuple of 4 rows
        The part's own frame in the object's, which the lines of its finish follow
    round : bool
        Whether it is turned, and not bent from strip, [-]
    knurls : tuple of Knurled
        Where it is knurled
    """

    name: str
    mesh: Mesh
    appearance: Appearance
    moves: tuple[tuple[float, float, float], ...] = ()
    foot: tuple[float, float, float] | None = None
    frame: Matrix = IDENTITY
    round: bool = True
    knurls: tuple[Knurled, ...] = ()


def drawn_apart(pieces: Sequence[Piece]) -> NDArray[np.float64]:
    """Tell where each piece stands when all are drawn apart.

    Parameters
    ----------
    pieces : sequence of Piece
        The object as put together

    Returns
    -------
    array of float64, shape (len(pieces), 3)
        Shift of each piece, [mm]
    """
    return np.array([np.sum(piece.moves or np.zeros((1, 3)), axis=0) for piece in pieces]).reshape(-1, 3)


def steps_home(pieces: Sequence[Piece]) -> list[NDArray[np.float64]]:
    """List the steps in which pieces drawn apart come home, the one that was drawn off first the last.

    Parameters
    ----------
    pieces : sequence of Piece
        The object as put together

    Returns
    -------
    list of array, shape (n, 3)
        What each step adds to the shifts; all steps together bring every piece home, [mm]
    """
    count = max((len(piece.moves) for piece in pieces), default=0)
    steps = [
        -np.array([piece.moves[k] if piece.moves else (0, 0, 0) for piece in pieces]) for k in range(count)
    ]
    return [step for step in reversed(steps) if step.any()]
