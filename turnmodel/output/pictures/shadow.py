"""The soft shadow where an object lies on its paper."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["contact_shadow", "shaded"]

# House choices, by eye: a large lamp above leaves a shadow that is dark only where the object touches.
_DEPTH: Final = 0.50
"""Darkness where it touches, [-]."""
_REACH: Final = 0.10
"""Height over the paper at which the shadow is gone, in heights of the object."""
_FLAT: Final = 0.045
"""Half the height of the shadow, in heights of the object."""
_MOST: Final = 0.014
"""The same in longer sides of the picture, which it never exceeds."""


def contact_shadow(opacity: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Lay a shadow under a shot.

    Parameters
    ----------
    opacity : array of uint8, shape (h, w)
        Of the object, [-]

    Returns
    -------
    array of float64, shape (h, w)
        Share of the paper's light that is taken, [-]

    Notes
    -----
    The paper is level with the lowest point; a column darkens it by how near to it the object comes there.

    Examples
    --------
    >>> shot = np.zeros((400, 400), np.uint8)
    >>> shot[50:300, 100:300] = 255
    >>> taken = contact_shadow(shot)
    >>> bool(taken[300, 200] > 0.3), bool(taken[50, 200] < 0.01)
    (True, True)
    """
    solid = opacity > 127
    height, width = solid.shape
    if not solid.any():
        return np.zeros((height, width))
    rows = np.flatnonzero(solid.any(axis=1))
    tall, floor = float(np.ptp(rows)) + 1, int(rows[-1])
    lowest = height - 1 - np.argmax(solid[::-1], axis=0)
    spread = min(_FLAT * tall, _MOST * max(solid.shape))
    lift = np.where(solid.any(axis=0), floor - lowest, np.inf)
    column = np.exp(-lift / (_REACH * tall))
    column = _blurred(column, spread)
    down = np.arange(height) - floor
    row = np.exp(-0.5 * (down / spread) ** 2)
    taken: NDArray[np.float64] = _DEPTH * row[:, None] * column[None, :]
    return taken


def _blurred(line: NDArray[np.float64], sigma: float) -> NDArray[np.float64]:
    """Blur a line of pixels by a Gaussian of this deviation [px]."""
    reach = max(1, round(3 * sigma))
    weight = np.exp(-0.5 * (np.arange(-reach, reach + 1) / max(sigma, 1e-6)) ** 2)
    padded = np.pad(line, reach)
    return np.convolve(padded, weight / weight.sum(), mode="valid")


def shaded(paper: NDArray[np.float64], opacity: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Give the paper's light (h, w, 3) [-] under an object of this opacity (h, w) [-]."""
    lit: NDArray[np.float64] = paper * (1 - contact_shadow(opacity))[:, :, None]
    return lit
