"""Moving pictures: the object on a turntable, and put together step by step."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal, get_args

import numpy as np

from turnmodel.errors import OutputError, UnknownName
from turnmodel.output.pictures.framing import Framing, framed
from turnmodel.output.pictures.lettering import letter_size
from turnmodel.output.pictures.picture import laid_on, models_of
from turnmodel.output.pictures.scene import drawn_apart, steps_home

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from turnmodel.output.pictures.scene import Piece
    from turnmodel.output.pictures.stage import Model, Take
    from turnmodel.output.pictures.studio import Settings

    Floats = NDArray[np.float64]

__all__ = ["FRAMES_A_SECOND", "Film", "Motion", "filmed"]

Motion = Literal["turn", "assemble"]
"""On a turntable; put together in the order in which it really goes together."""

# House choices: slow enough to follow, short enough to send.
FRAMES_A_SECOND: Final = 15
_ROUND: Final = 60
"""Frames of one turn: four seconds."""
_STEP: Final = 14
"""Frames of one step of assembly."""
_REST: Final = 12
"""Frames in which it stands apart at the beginning; it stands together for twice as long."""
_TILT: Final = 14.0
"""Of the camera over a turntable, [degrees]."""
_SHARE: Final = 0.5
"""Of the size of a picture, each way: a film has many."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """One moving picture to take.

    Parameters
    ----------
    pieces : tuple of Piece
        All parts that are in it, uncut
    motion : {"turn", "assemble"}
        What happens in it, [-]

    Raises
    ------
    UnknownName
        If there is no such motion.
    OutputError
        If there is nothing to show.
    """

    pieces: tuple[Piece, ...]
    motion: Motion

    def __post_init__(self) -> None:
        if self.motion not in get_args(Motion):
            raise UnknownName("motion", self.motion, get_args(Motion))
        if not any(len(piece.mesh.faces) for piece in self.pieces):
            raise OutputError(f"no film {self.motion!r}: there is no part to show")


def filmed(film: Film, settings: Settings, take: Take) -> NDArray[np.uint8]:
    """Take a film with a function of `stage`.

    Parameters
    ----------
    film : Film
        What to take
    settings : Settings
        Of pictures; a film is half as large
    take : Take
        The stage's

    Returns
    -------
    array of uint8, shape (n, h, w, 4)
        Frames, sRGB, width and height even as encoders want them, [-]
    """
    pieces = [piece for piece in film.pieces if len(piece.mesh.faces)]
    width, height = (max(100, 2 * round(_SHARE * side / 2)) for side in settings.size)
    small = replace(settings, size=(width, height))
    turning = film.motion == "turn"
    framing, poses = _turning(pieces, small) if turning else _assembling(pieces, small)
    models: list[Model] = []
    owners: list[int] = []
    for k, piece in enumerate(pieces):
        made = models_of(piece, piece.mesh.vertices, piece.appearance.cut, framing)
        models += made
        owners += [k] * len(made)
    size = (framing.size[0] // 2 * 2, framing.size[1] // 2 * 2)
    spread = ([pose[k] for k in owners] for pose in poses)
    frames = take.reel(models, spread, size, framing.scale)
    return np.stack([laid_on(frame, small.background) for frame in frames])


def _turning(pieces: Sequence[Piece], settings: Settings) -> tuple[Framing, Iterator[list[Floats]]]:
    """Frame a turntable so that nothing leaves the picture, and turn it."""
    points = np.concatenate([piece.mesh.vertices for piece in pieces])
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    first = framed(points, "whole", settings, 0, 0)
    tilt = _about(0, math.radians(_TILT))
    axes = tilt[:3, :3] @ first.axes
    turns = [tilt @ _about(1, 2 * math.pi * k / _ROUND) @ tilt.T for k in range(_ROUND)]
    few = points[:: max(1, len(points) // 4000)] - middle
    swept = np.concatenate([few @ axes.T @ turn[:3, :3].T for turn in turns[:: _ROUND // 20]])
    letters = letter_size(settings.size)
    # Framed as what it sweeps: points that are in the camera's frame already.
    low, high = swept.min(axis=0), swept.max(axis=0)
    wide, tall = (high - low)[:2]
    scale = min(0.9 * settings.size[0] / wide, (settings.size[1] - 3 * letters) / tall)
    size = (round(min(settings.size[0], wide * scale / 0.9)), round(tall * scale + 3 * letters))
    centre = middle + np.array([0.0, (low[1] + high[1]) / 2, 0.0]) @ axes
    framing = Framing(axes=axes, centre=centre, size=size, scale=float(scale), ruler=float(scale))
    pivot = _shifted(framing.seen(middle[None])[0])
    back = _shifted(-framing.seen(middle[None])[0])
    return framing, ([pivot @ turn @ back] * len(pieces) for turn in turns)


def _assembling(pieces: Sequence[Piece], settings: Settings) -> tuple[Framing, Iterator[list[Floats]]]:
    """Frame the object drawn apart, and bring it home step by step, the last to come off first."""
    points = [piece.mesh.vertices for piece in pieces]
    away = drawn_apart(pieces)
    every = np.concatenate([*points, *(p + s for p, s in zip(points, away, strict=True))])
    letters = letter_size(settings.size)
    framing = framed(every, "apart", settings, letters, letters)

    def poses() -> Iterator[list[Floats]]:
        at = away
        yield from [_poses(at, framing)] * _REST
        for step in steps_home(pieces):
            for k in range(1, _STEP + 1):
                yield _poses(at + _eased(k / _STEP) * step, framing)
            at = at + step
        yield from [_poses(at, framing)] * (2 * _REST)

    return framing, poses()


def _poses(shifts: Floats, framing: Framing) -> list[Floats]:
    """Turn shifts in the object's frame (n, 3) [mm] into poses before the camera."""
    return [_shifted(framing.axes @ shift) for shift in shifts]


def _eased(t: float) -> float:
    """Begin and end gently."""
    return t * t * (3 - 2 * t)


def _shifted(by: Floats) -> Floats:
    matrix = np.eye(4)
    matrix[:3, 3] = by
    return matrix


def _about(axis: int, angle: float) -> Floats:
    """Turn about right (0) or up (1) by an angle [radians]."""
    c, s = math.cos(angle), math.sin(angle)
    matrix = np.eye(4)
    if axis == 0:
        matrix[1:3, 1:3] = ((c, -s), (s, c))
    else:
        matrix[0, [0, 2]], matrix[2, [0, 2]] = (c, s), (-s, c)
    return matrix
