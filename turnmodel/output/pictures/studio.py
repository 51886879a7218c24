"""The room the object is photographed in: its soft boxes, and the one record of settings."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.errors import BadValue

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.output.pictures.appearance import Colour

__all__ = ["BOXES", "Settings", "SoftBox", "environment"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Everything that pictures of one set have in common.

    Parameters
    ----------
    size : tuple of int
        Largest width and height; a picture keeps one of them and is as small in the other as its object
        allows, [px]
    background : Colour or None
        Paper behind the object, sRGB, or None for a transparent picture, [-]
    samples : int
        Samples a pixel along edges, [-]
    rows : int
        Rows of the environment map, which has twice as many columns, [px]
    reflections : int
        Samples of the map that one blurred reflection is averaged from, [-]
    ink : Colour
        Lines at cut faces, scale and names, sRGB, [-]

    Raises
    ------
    BadValue
        If the size or a count is too small or too large.

    Examples
    --------
    >>> Settings(size=(800, 20))
    Traceback (most recent call last):
    ...
    turnmodel.errors.BadValue: height of a picture 20 px: lies from 100 to 8000 px
    """

    size: tuple[int, int] = (1600, 1000)
    background: Colour | None = (0.965, 0.962, 0.955)
    samples: int = 8
    rows: int = 128
    reflections: int = 256
    ink: Colour = (0.09, 0.09, 0.10)

    def __post_init__(self) -> None:
        for what, value, unit, least, most in (
            ("width of a picture", self.size[0], "px", 100, 8000),
            ("height of a picture", self.size[1], "px", 100, 8000),
            ("samples a pixel", self.samples, "-", 1, 16),
            ("rows of the environment", self.rows, "px", 16, 1024),
            ("samples of a reflection", self.reflections, "-", 1, 4096),
        ):
            if not least <= value <= most:
                rule = f"lies from {least} to {most} {unit}".rstrip(" -")
                raise BadValue(what, value, unit, rule)


@dataclass(frozen=True, slots=True, kw_only=True)
class SoftBox:
    """A bright rectangle far from the object, seen from it in a direction.

    Angles are in degrees: ``across`` counts from straight behind the camera to the right, ``above`` up from
    the horizon of that great circle, over the top at 90 and down behind the object beyond. ``wide`` and
    ``high`` are half-angles, ``soft`` the width of the fading edge; ``radiance`` is 1 for paper white [-].
    """

    across: float
    above: float
    wide: float
    high: float
    soft: float
    radiance: float


# Radiances stay low enough that bright aluminium does not burn out: the renderer clips at white.
BOXES: Final = (
    SoftBox(across=-10, above=50, wide=62, high=10, soft=18, radiance=1.50),
    SoftBox(across=10, above=-48, wide=60, high=4, soft=12, radiance=0.62),
    SoftBox(across=0, above=122, wide=66, high=6, soft=14, radiance=0.70),
    SoftBox(across=-74, above=8, wide=7, high=55, soft=12, radiance=1.30),
    SoftBox(across=76, above=8, wide=7, high=55, soft=12, radiance=0.95),
    SoftBox(across=0, above=178, wide=60, high=26, soft=30, radiance=0.66),
)
"""One wide box above, a strip below, a lid behind, a tall strip on each side of the camera, and the paper."""

_FLOOR: Final = (0.290, 0.262, 0.230)
_CEILING: Final = (0.41, 0.41, 0.42)
_LAMP: Final = (1.0, 0.985, 0.96)


def _faded(distance: NDArray[np.float64], half: float, soft: float) -> NDArray[np.float64]:
    """Fall smoothly from 1 inside half to 0 at half + soft, in degrees."""
    t = np.clip((half + soft - np.abs(distance)) / soft, 0.0, 1.0)
    faded: NDArray[np.float64] = t * t * (3 - 2 * t)
    return faded


@lru_cache(maxsize=4)
def environment(rows: int = 128) -> NDArray[np.float32]:
    """Paint the room as an equirectangular map in the camera's own frame.

    Columns run through longitude from behind the object round to behind it again; the middle of the right
    half looks at the camera. Rows run from straight up to straight down.

    Parameters
    ----------
    rows : int
        Rows of the map, [px]

    Returns
    -------
    array of float32, shape (rows, 2 rows, 3)
        Radiance, linear, read-only, [-]

    Notes
    -----
    The floor is a little warm and the ceiling a little cool: a grey floor turns brass olive in its darks.

    Examples
    --------
    >>> environment(16).shape
    (16, 32, 3)
    """
    latitude = (0.5 - (np.arange(rows) + 0.5) / rows) * np.pi
    longitude = ((np.arange(2 * rows) + 0.5) / (2 * rows) - 0.5) * 2 * np.pi
    lon, lat = np.meshgrid(longitude, latitude)
    x, y, z = np.cos(lat) * np.cos(lon), np.sin(lat), np.cos(lat) * np.sin(lon)
    across = np.degrees(np.arcsin(np.clip(x, -1, 1)))
    above = np.degrees(np.arctan2(y, z))
    height = (0.5 + 0.5 * y)[:, :, None]
    light = (1 - height) * np.array(_FLOOR) + height * np.array(_CEILING)
    for box in BOXES:
        turn = (above - box.above + 180) % 360 - 180
        mask = _faded(across - box.across, box.wide, box.soft) * _faded(turn, box.high, box.soft)
        light = light + (box.radiance * np.array(_LAMP) - light) * mask[:, :, None]
    painted: NDArray[np.float32] = light.astype(np.float32)
    painted.flags.writeable = False
    return painted
