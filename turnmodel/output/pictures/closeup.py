"""The close-ups of a state: where to look to see each joint cut open."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.design.joint import Screw, Spring
from turnmodel.design.surface import surface

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from turnmodel.design.design import Design
    from turnmodel.design.face import Face
    from turnmodel.design.joint import Joint
    from turnmodel.output.pictures.scene import Piece

__all__ = ["CloseUp", "close_ups"]

_REACH: Final = 0.8
"""A close-up reaches this far from its joint either way, in diameters of the object there (house choice)."""

_LEAST: Final = 0.35
"""The same at the least, so that something of what lies round a joint shows (house choice)."""


_EDGE: Final = 0.25
"""What shows behind each face of a spring, in the same measure (house choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseUp:
    """A joint to look at: its parts, and what is to be seen of it.

    ``low`` and ``high`` are the corners of a box in the object's frame [mm]; on the axis, of the box round a
    cylinder.
    """

    name: str
    parts: tuple[str, ...]
    low: tuple[float, float, float]
    high: tuple[float, float, float]
    on_axis: bool = False

    @property
    def corners(self) -> NDArray[np.float64]:
        """Points (n, 3) that a picture of it must hold, [mm]."""
        x, y, z = zip(self.low, self.high, strict=True)
        if not self.on_axis:
            return np.array([(a, b, c) for a in x for b in y for c in z])
        turn = np.linspace(0, 2 * math.pi, 48)
        rim = x[1] * np.column_stack([np.cos(turn), np.sin(turn)])
        return np.concatenate([np.column_stack([rim, np.full(len(turn), c)]) for c in z])


def close_ups(design: Design, state: str, pieces: Sequence[Piece]) -> tuple[CloseUp, ...]:
    """Find where to look for each joint of a state.

    Parameters
    ----------
    design : Design
        The design
    state : str
        Name of the state
    pieces : sequence of Piece
        Its pieces, as `turnmodel.output.pictures.pieces.pieces` gives them

    Returns
    -------
    tuple of CloseUp
        One a pair of parts, in the order of the joints
    """
    seen = {piece.name: piece for piece in pieces}
    found: dict[tuple[str, ...], CloseUp] = {}
    for joint in design.poses[state].joints:
        names = _tied(joint)
        if all(name in seen for name in names) and frozenset(names) not in map(frozenset, found):
            at = [_stands(design, face, seen[face.part]) for face in (joint.fixed, joint.moving)]
            met = at if isinstance(joint, Spring) else at[:1]  # a spring's faces are its own length apart
            found[names] = _looked_at(names, np.array(met), [seen[name] for name in names], pieces)
    return tuple(found.values())


def _stands(design: Design, face: Face, piece: Piece) -> NDArray[np.float64]:
    """Point (3,) where the middle of a face is in the object's frame, [mm]."""
    frame, placed = np.array(surface(design.part(face.part), face).frame), np.array(piece.frame)
    at: NDArray[np.float64] = placed[:3, :3] @ frame[:3, 3] + placed[:3, 3]
    return at


def _tied(joint: Joint) -> tuple[str, ...]:
    """Name the parts that a joint ties, the one that holds the thread last."""
    if isinstance(joint, Screw) and joint.into is not None:
        return (joint.moving.part, joint.fixed.part, joint.into.name)
    return (joint.moving.part, joint.fixed.part)


def _looked_at(
    names: tuple[str, ...], faces: NDArray[np.float64], tied: Sequence[Piece], pieces: Sequence[Piece]
) -> CloseUp:
    """Lay a box round what two parts have in common, near their faces at the points (k, 3), [mm]."""
    first, last = faces.min(axis=0), faces.max(axis=0)
    at = (first + last) / 2
    low = np.max([piece.mesh.vertices.min(axis=0) for piece in tied], axis=0)
    high = np.min([piece.mesh.vertices.max(axis=0) for piece in tied], axis=0)
    low, high = np.minimum(low, first), np.maximum(high, last)
    wide = float(max(high[0] - low[0], high[1] - low[1]))
    on_axis = abs(low[0] + high[0]) < 0.1 * wide and abs(low[1] + high[1]) < 0.1 * wide
    if on_axis:
        every = np.concatenate([piece.mesh.vertices for piece in pieces])
        near = np.abs(every[:, 2] - at[2]) < _REACH * wide
        radius = float(np.hypot(*every[near][:, :2].T).max()) if near.any() else wide / 2
        radius = min(radius, _REACH * wide)
        low[:2], high[:2] = -radius, radius
        wide = 2 * radius
    middle = np.clip((low + high) / 2, at - _LEAST * wide, at + _LEAST * wide)
    reach = np.clip((high - low) / 2 + 0.15 * wide, _LEAST * wide, _REACH * wide)
    if on_axis:
        middle[:2], reach[:2] = 0.0, wide / 2
    edge = _EDGE * wide if len(faces) > 1 else 0.0
    lowest, highest = np.minimum(middle - reach, first - edge), np.maximum(middle + reach, last + edge)
    return CloseUp(
        name=" and ".join(names[:2]),
        parts=names,
        low=(float(lowest[0]), float(lowest[1]), float(lowest[2])),
        high=(float(highest[0]), float(highest[1]), float(highest[2])),
        on_axis=bool(on_axis),
    )
