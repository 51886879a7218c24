"""Where the camera stands, and how large the picture is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.output.pictures.studio import Settings

__all__ = ["Framing", "View", "framed", "looking"]

View = Literal["whole", "cut", "apart", "close", "ruler"]
"""The object; a quarter cut out; pulled apart; a joint from near, cut open; the object beside a ruler."""

FILL: Final = 0.90
"""Share of the picture's width that a long object fills (house choice)."""

_AIR: Final = 0.04
"""Share of the greatest height left free between object and lettering (house choice)."""

SLIMMEST: Final = 4.0
"""Widest picture in heights: a slimmer one is a line on the page (house choice)."""

STOUT: Final = 1.6
"""An object shorter than this many diameters leans instead of lying (house choice)."""

# Angles in degrees, chosen by eye.
_SWING_LYING: Final = 17.0
"""Of the camera toward the front of an object that lies."""
_SWING_LEANING: Final = -28.0
"""Of the camera toward the back of an object that leans."""
_LEAN: Final = 62.0
"""Of the axis of a leaning object from level, in the picture."""
_RAISED: Final = 27.0
"""Of the camera over the lower plane of a cut."""
_STANDING_OUT: Final = 50.0
"""Of what stands out from the axis over the line of sight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Framing:
    """A camera without perspective: the turn into its frame, the picture's size, and its scale.

    ``axes`` has the picture's right, up and toward-the-camera as rows, in the object's frame; ``centre`` is
    the point of the object's frame [mm] seen in the middle of the picture, ``size`` [px]; ``scale`` counts
    pixels a mm across the line of sight, ``ruler`` those a mm of the scale bar, which is a mm of the axis
    where the axis lies level.
    """

    axes: NDArray[np.float64]
    centre: NDArray[np.float64]
    size: tuple[int, int]
    scale: float
    ruler: float

    def seen(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn points (n, 3) of the object's frame [mm] into the camera's: right, up, toward it [mm]."""
        turned: NDArray[np.float64] = (points - self.centre) @ self.axes.T
        return turned

    def pixels(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Project points (n, 3) of the object's frame [mm] to pixels (n, 2), right and down."""
        flat = self.seen(points)[:, :2] * (self.scale, -self.scale)
        placed: NDArray[np.float64] = flat + np.array(self.size) / 2
        return placed


def looking(points: NDArray[np.float64], view: str) -> tuple[NDArray[np.float64], bool]:
    """Choose the camera's axes for what it is to show.

    A long object lies with its front to the left, the camera swung 17 degrees toward the front. A stout one
    leans on its front, seen a little from its back. A cut object turns the missing quarter, x > 0 and y < 0,
    to the camera; one that is not cut turns to it whatever stands out from the axis.

    Parameters
    ----------
    points : array, shape (n, 3)
        Vertices in the object's frame, [mm]
    view : str
        What the picture shows, [-]

    Returns
    -------
    tuple of array, shape (3, 3), and bool
        Right, up and toward as rows, and whether the axis lies level in the picture.
    """
    low, high = points.min(axis=0), points.max(axis=0)
    across = max(high[0] - low[0], high[1] - low[1])
    lying = view == "ruler" or bool(high[2] - low[2] >= STOUT * across)
    bearing = math.radians(-_RAISED)
    beside = (high + low)[:2] / 2
    if view not in ("cut", "close") and math.hypot(*beside) > 0.02 * across:
        # What stands out shows three-quarter: half way between facing the camera and the top.
        bearing = math.atan2(beside[1], beside[0]) + math.radians(_STANDING_OUT)
    swing = math.radians(_SWING_LYING if lying else _SWING_LEANING)
    axis = np.array([0.0, 0.0, 1.0])
    level = np.array([math.cos(bearing), math.sin(bearing), 0.0])
    toward = math.cos(swing) * level - math.sin(swing) * axis
    right = math.cos(swing) * axis + math.sin(swing) * level
    up = np.cross(toward, right)
    if not lying:
        turn = math.radians(_LEAN)
        right, up = (
            math.cos(turn) * right - math.sin(turn) * up,
            math.sin(turn) * right + math.cos(turn) * up,
        )
    return np.array([right, up, toward]), lying


def framed(
    points: NDArray[np.float64],
    view: str,
    settings: Settings,
    above: float,
    below: float,
    focus: NDArray[np.float64] | None = None,
) -> Framing:
    """Frame points so that they fill the picture, with strips left free above and below.

    Parameters
    ----------
    points : array, shape (n, 3)
        Vertices in the object's frame, [mm]
    view : str
        What the picture shows, one of `View`, [-]
    settings : Settings
        Gives the largest size.
    above, below : float
        Strips for lettering, [px]
    focus : array, shape (m, 3), optional
        Points of a close-up, which alone must be in the picture, [mm]

    Returns
    -------
    Framing
        As wide as the settings allow for a long object, as high as they allow for a stout one.
    """
    axes, lying = looking(points, view)
    flat = (points if focus is None else focus) @ axes.T
    low, high = flat.min(axis=0), flat.max(axis=0)
    wide, tall = np.maximum(high - low, 1e-6)[:2]
    most_wide, most_tall = settings.size
    margin = _AIR * most_tall
    free = most_tall - above - below - margin
    scale = float(min(FILL * most_wide / wide, free / tall))
    width = most_wide
    height = int(np.clip(round(tall * scale + above + below + margin), most_wide / SLIMMEST, most_tall))
    if wide * scale < FILL * most_wide:
        width = int(min(most_wide, max(round(wide * scale / FILL), 0.75 * height)))
    middle = (low + high) / 2
    # The strips above and below differ, so the object's middle is not quite the picture's.
    middle[1] += (above - below) / 2 / scale
    return Framing(
        axes=axes,
        centre=middle @ axes,
        size=(width, height),
        scale=scale,
        ruler=scale * (math.cos(math.radians(_SWING_LYING)) if lying else 1.0),
    )
