"""The object beside a steel ruler of our own drawing, so that its size is seen at once."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from turnmodel.output.pictures.framing import framed, looking

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.output.pictures.framing import Framing
    from turnmodel.output.pictures.studio import Settings

__all__ = ["beside_ruler", "ruler_length", "with_ruler"]

# All of it is a house choice: a plain rule, divided in millimetres along the edge next to the object.
WIDE: Final = 9.0
"""Width of the ruler, [mm]."""
_GAP: Final = 2.0
"""Between the object and the ruler, [mm]."""
_TICKS: Final = ((10, 3.8), (5, 2.9), (1, 1.9))
"""Lengths of the lines at tens, fives and ones, [mm]."""
_FIGURE: Final = 2.6
"""Height of a figure, [mm]."""
_MARGIN: Final = 3.0
"""Of the ruler before its zero and behind its last line, [mm]."""
_STEEL: Final = ((0.86, 0.87, 0.88), (0.70, 0.71, 0.73))
"""Upper and lower edge, sRGB."""


def ruler_length(object_length: float) -> int:
    """Choose how much of a ruler lies there: tens of millimetres, longer than the object by 5 at least [mm].

    Examples
    --------
    >>> ruler_length(75.2)
    90
    """
    return 10 * math.ceil((object_length + 5) / 10)


def beside_ruler(points: NDArray[np.float64], settings: Settings, above: float) -> Framing:
    """Frame points [mm] and the ruler below them; ``above`` is left free over them [px]."""
    axes, _ = looking(points, "ruler")
    flat = points @ axes.T
    # A millimetre of the axis, which does not lie quite across the view, is less in the picture.
    unit = float(axes[0, 2])
    zero = points[:, 2].min() * unit
    ends = zero - _MARGIN * unit, zero + (ruler_length(float(np.ptp(points[:, 2]))) + _MARGIN) * unit
    foot = flat[:, 1].min() - (_GAP + WIDE) * unit
    corners = np.array([(x, foot, 0.0) for x in ends]) @ axes
    framing = framed(points, "ruler", settings, above, above, focus=np.concatenate([points, corners]))
    return replace(framing, ruler=framing.scale * unit)


def _axis_ends(points: NDArray[np.float64], framing: Framing) -> NDArray[np.float64]:
    """Give the pixels at which the axis enters and leaves an object."""
    ends = np.array([(0.0, 0.0, points[:, 2].min()), (0.0, 0.0, points[:, 2].max())])
    return framing.pixels(ends)[:, 0]


def with_ruler(
    page: NDArray[np.uint8],
    points: NDArray[np.float64],
    framing: Framing,
    settings: Settings,
) -> NDArray[np.uint8]:
    """Draw the ruler under the object, its zero where the axis enters it.

    Parameters
    ----------
    page : array of uint8, shape (h, w, 4)
        The picture, [-]
    points : array, shape (n, 3)
        Vertices of the object, [mm]
    framing : Framing
        Gives the pixels a millimetre
    settings : Settings
        Gives the ink

    Returns
    -------
    array of uint8, shape (h, w, 4)
        A new picture
    """
    from PIL import Image

    left, right = _axis_ends(points, framing)
    floor = float(framing.pixels(points)[:, 1].max())
    unit = framing.ruler
    count = ruler_length((right - left) / unit)
    fine = 3
    drawn = _drawn(count, unit * fine, settings)
    size = (max(1, round(drawn.width / fine)), max(1, round(drawn.height / fine)))
    small = drawn.resize(size, Image.Resampling.LANCZOS)
    sheet = Image.fromarray(page).copy()
    corner = (round(left - _MARGIN * unit), round(floor + _GAP * unit))
    sheet.alpha_composite(small, (max(0, corner[0]), min(corner[1], sheet.height - 2)))
    return np.asarray(sheet).copy()


def _drawn(count: int, unit: float, settings: Settings) -> Any:
    """Draw so many millimetres of ruler at a scale [px/mm]."""
    from PIL import Image, ImageDraw, ImageFont

    width, height = round((count + 2 * _MARGIN) * unit), round(WIDE * unit)
    upper, lower = np.array(_STEEL)
    share = np.linspace(0, 1, height)[:, None, None]
    steel = np.broadcast_to((1 - share) * upper + share * lower, (height, width, 3))
    face = Image.fromarray(np.round(255 * steel).astype(np.uint8)).convert("RGBA")
    mask = Image.new("L", (width, height))
    ImageDraw.Draw(mask).rounded_rectangle((0, 0, width - 1, height - 1), radius=0.8 * unit, fill=255)
    face.putalpha(mask)
    draw = ImageDraw.Draw(face)
    ink = (*(round(255 * part) for part in settings.ink), 255)
    font = ImageFont.load_default(max(6, round(_FIGURE * unit)))
    for mark in range(count + 1):
        x = (_MARGIN + mark) * unit
        long = next(length for step, length in _TICKS if mark % step == 0)
        draw.line([(x, 0), (x, long * unit)], fill=ink, width=max(2, round(0.16 * unit)))
        if mark % 10 == 0:
            draw.text((x, 7.2 * unit), f"{mark}", font=font, fill=ink, anchor="ms")
    draw.text(((_MARGIN + 5) * unit, 7.2 * unit), "mm", font=font, fill=ink, anchor="ms")
    return face
