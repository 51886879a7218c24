"""What stands before the camera: pieces in the object's frame, and how they are drawn apart."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.errors import BadValue
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
    pull : tuple of float
        Direction in which the part is drawn out, a unit vector, or zeros for one that stays, [-]
    carrier : str or None
        Name of the piece that takes this one along when it is drawn out, [-]
    foot : tuple of float or None
        Where it meets its carrier, from which a line leads back to it; None for the middle of its box, [mm]
    frame : tuple of 4 rows
        The part's own frame in the object's, which the lines of its finish follow
    round : bool
        Whether it is turned, and not bent from strip, [-]
    knurls : tuple of Knurled
        Where it is knurled
    turn_off : int
        Which in the order of taking apart it is, 0 for one that stays, [-]

    Raises
    ------
    BadValue
        If the pull is neither of length 1 nor of length 0.
    """

    name: str
    mesh: Mesh
    appearance: Appearance
    pull: tuple[float, float, float] = (0.0, 0.0, 0.0)
    carrier: str | None = None
    foot: tuple[float, float, float] | None = None
    frame: Matrix = IDENTITY
    round: bool = True
    knurls: tuple[Knurled, ...] = ()
    turn_off: int = 0

    def __post_init__(self) -> None:
        length = math.hypot(*self.pull)
        if min(length, abs(length - 1)) > 1e-6:
            raise BadValue(f"pull of {self.name}", length, "-", "is a direction of length 1, or 0 to stay")


def drawn_apart(pieces: Sequence[Piece], gap: float) -> NDArray[np.float64]:
    """Find how far each piece moves so that no two boxes overlap.

    Pieces that stay come first, then those drawn out along the axis, the nearest to come free first, then
    those drawn out across it. Each moves along its pull by the least distance that clears all before it.

    Parameters
    ----------
    pieces : sequence of Piece
        The object as put together.
    gap : float
        Space left between boxes, [mm]

    Returns
    -------
    array of float64, shape (len(pieces), 3)
        Shift of each piece, [mm]
    """
    if not pieces:
        return np.zeros((0, 3))
    low = np.array([piece.mesh.vertices.min(axis=0) for piece in pieces])
    high = np.array([piece.mesh.vertices.max(axis=0) for piece in pieces])
    pull = np.array([piece.pull for piece in pieces], dtype=np.float64)
    number = {piece.name: i for i, piece in enumerate(pieces)}
    shift = np.zeros_like(pull)

    def rank(i: int) -> tuple[int, float]:
        """Put what stays before what goes along the axis before what goes across it."""
        kind = 0 if not pull[i].any() else 1 if abs(pull[i, 2]) > 0.5 else 2
        leading = np.where(pull[i] > 0, high[i], low[i])
        return kind, float(pull[i] @ leading)

    placed: list[int] = []
    for i in sorted(range(len(pieces)), key=rank):
        carrier = number.get(pieces[i].carrier or "")
        if carrier is not None and carrier in placed:
            shift[i] = shift[carrier]
        if pull[i].any():
            others = [(low[j] + shift[j], high[j] + shift[j]) for j in placed]
            shift[i] += pull[i] * _travel(low[i] + shift[i], high[i] + shift[i], pull[i], others, gap)
        placed.append(i)
    return shift


def steps_home(pieces: Sequence[Piece], away: NDArray[np.float64]) -> list[NDArray[np.float64]]:
    """Split the way home of pieces drawn apart into steps, the one that was drawn off first the last.

    Parameters
    ----------
    pieces : sequence of Piece
        The object as put together, each after its carrier in the order in which it comes apart
    away : array, shape (n, 3)
        Shift of each piece where it stands apart, [mm]

    Returns
    -------
    list of array, shape (n, 3)
        What each step adds to the shifts; all steps together bring every piece home, [mm]
    """
    number = {piece.name: i for i, piece in enumerate(pieces)}
    carriers = [number.get(piece.carrier or "") for piece in pieces]

    def carried(i: int, by: int) -> bool:
        """Tell whether a piece goes along with another."""
        seen: set[int] = set()
        at: int | None = i
        while at is not None and at not in seen:
            if at == by:
                return True
            seen.add(at)
            at = carriers[at]
        return False

    steps = []
    for i in sorted(range(len(pieces)), key=lambda k: -pieces[k].turn_off):
        base = carriers[i]
        own = away[i] - (away[base] if base is not None else 0.0)
        if np.linalg.norm(own) > 0:
            moves = np.array([carried(k, i) for k in range(len(pieces))])
            steps.append(-own * moves[:, None])
    return steps


def _travel(
    low: NDArray[np.float64],
    high: NDArray[np.float64],
    pull: NDArray[np.float64],
    others: Sequence[tuple[NDArray[np.float64], NDArray[np.float64]]],
    gap: float,
) -> float:
    """Find the least distance along pull at which a box stands a gap clear of every other."""
    distance = 0.0
    moved = True
    while moved:
        moved = False
        for other_low, other_high in others:
            near, far = low + distance * pull - gap, high + distance * pull + gap
            if (near < other_high - 1e-9).all() and (far > other_low + 1e-9).all():
                ahead = np.where(pull > 0, other_high - near, far - other_low)
                distance += float(min(ahead[k] / abs(pull[k]) for k in range(3) if abs(pull[k]) > 1e-9))
                moved = True
    return distance
