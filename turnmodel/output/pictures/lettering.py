"""What is written into a finished picture: the length scale, and names that do not overlap."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from turnmodel.output.pictures.appearance import Colour

__all__ = ["Label", "Scale", "labels_spread", "letter_size", "lettered", "scale_for"]

SCALE_SHARE: Final = 0.34
"""The scale bar is at most this share of the picture's width (house choice)."""

_FIGURE: Final = 2.6
"""Room of a figure of three digits with air beside it, in heights of letters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A bar of equal divisions: their length [mm], how many, and how long one is in the picture [px]."""

    division: float
    count: int
    pixels: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A name, the place (x, y) it points down to and, once spread, where its middle stands, all in [px]."""

    text: str
    x: float
    y: float
    at: float = 0.0


def letter_size(size: tuple[int, int]) -> int:
    """Choose the height of letters [px] for a picture of this largest size [px]."""
    # A very flat or very narrow picture must still hold the object beside its lettering.
    return max(9, round(min(max(size) / 72, min(size) / 16)))


def scale_for(pixels_per_mm: float, width: int, height: int) -> Scale:
    """Choose the scale bar: divisions of 1, 2 or 5 by a power of ten, up to five of them.

    Parameters
    ----------
    pixels_per_mm : float
        Length of a millimetre in the picture, [px/mm]
    width : int
        Width of the picture, [px]
    height : int
        Height of letters, [px]

    Returns
    -------
    Scale
        About a third of the picture's width long at most, its figures clear of each other.

    Examples
    --------
    >>> scale_for(12.0, 1600, 22)
    Scale(division=10.0, count=4, pixels=120.0)
    """
    room = SCALE_SHARE * width / pixels_per_mm
    power = 10.0 ** (math.floor(math.log10(room)) - 1)
    least = max(room / 6, _FIGURE * height / pixels_per_mm)
    division = next(step * power for step in (1, 2, 5, 10, 20, 50, 100) if least <= step * power)
    return Scale(
        division=division,
        count=max(1, min(5, math.floor(room / division + 1e-9))),
        pixels=division * pixels_per_mm,
    )


def _font(height: int) -> Any:
    """Load the letters that come with the imaging library: the same on every machine."""
    from PIL import ImageFont

    return ImageFont.load_default(height)


def labels_spread(labels: Sequence[Label], height: int, width: int) -> list[Label]:
    """Move labels sideways by as little as leaves no two over each other, all inside the picture.

    Parameters
    ----------
    labels : sequence of Label
        In any order.
    height : int
        Height of letters, [px]
    width : int
        Width of the picture, [px]

    Returns
    -------
    list of Label
        From left to right; where all cannot stand side by side, in even steps.
    """
    font = _font(height)
    ordered = sorted(labels, key=lambda label: label.x)
    wide = [font.getlength(label.text) + 0.9 * height for label in ordered]
    # Labels that touch move as one group, to the mean of where its members want to be.
    groups: list[tuple[float, list[int]]] = []
    for i, label in enumerate(ordered):
        left, members = label.x - wide[i] / 2, [i]
        while True:
            span = sum(wide[k] for k in members)
            left = min(max(left, 0.0), max(width - span, 0.0))
            if not groups or groups[-1][0] + sum(wide[k] for k in groups[-1][1]) <= left:
                break
            members = groups.pop()[1] + members
            starts = np.cumsum([0.0, *(wide[k] for k in members[:-1])])
            wanted = [ordered[k].x - wide[k] / 2 - start for k, start in zip(members, starts, strict=True)]
            left = float(np.mean(wanted))
        groups.append((left, members))
    placed: list[Label] = []
    for left, members in groups:
        room = min(1.0, width / sum(wide[k] for k in members))
        for k in members:
            placed.append(replace(ordered[k], at=left + room * wide[k] / 2))
            left += room * wide[k]
    return placed


def lettered(
    picture: NDArray[np.uint8],
    scale: Scale,
    labels: Sequence[Label],
    height: int,
    ink: Colour,
    halo: Colour | None = None,
) -> NDArray[np.uint8]:
    """Write the scale bar at the lower left and the labels over their places.

    Parameters
    ----------
    picture : array of uint8, shape (h, w, 4)
        Left as it is, [-]
    scale : Scale
        The bar.
    labels : sequence of Label
        As `labels_spread` gives them.
    height : int
        Height of letters, [px]
    ink : Colour
        Colour of all of it, sRGB, [-]
    halo : Colour or None
        Paper that is left round it where it may run over the object, sRGB, [-]

    Returns
    -------
    array of uint8, shape (h, w, 4)
        A new picture.
    """
    from PIL import Image, ImageDraw

    page = Image.fromarray(picture)
    draw = ImageDraw.Draw(page)
    font = _font(height)
    colour = (*(round(255 * part) for part in ink), 255)
    thin = max(1, round(height / 14))
    plate = None if halo is None else (*(round(255 * part) for part in halo), 215)
    if plate is not None:
        width = 2.2 * height + scale.count * scale.pixels + 3.6 * height
        page.alpha_composite(_plate(page.size, [(0, page.height - 2.9 * height, width, page.height)], plate))
    _draw_scale(draw, scale, page.size, height, font, colour, thin)
    foot = max(1.9 * height, min((label.y for label in labels), default=0.0) - 2.4 * height)
    if plate is not None:
        half = [font.getlength(label.text) / 2 + 0.35 * height for label in labels]
        boxes = [
            (label.at - wide, foot - 1.05 * height, label.at + wide, foot + 0.45 * height)
            for label, wide in zip(labels, half, strict=True)
        ]
        page.alpha_composite(_plate(page.size, boxes, plate))
    for label in labels:
        draw.text((label.at, foot), label.text, font=font, fill=colour, anchor="ms")
    if labels:
        _draw_leaders(page, labels, foot + 0.45 * height, height, colour)
    return np.asarray(page).copy()


def _plate(size: tuple[int, int], boxes: Sequence[tuple[float, float, float, float]], colour: Any) -> Any:
    """Lay paper, not quite opaque, where something is to be written."""
    from PIL import Image, ImageDraw

    layer = Image.new("RGBA", size)
    draw = ImageDraw.Draw(layer)
    for left, top, right, low in boxes:
        draw.rounded_rectangle((left, top, right, low), radius=(low - top) / 5, fill=colour)
    return layer


def _draw_leaders(page: Any, labels: Sequence[Label], start: float, height: int, colour: Any) -> None:
    """Draw a thin line from each label down to a dot at its place, smooth where it slants."""
    from PIL import Image, ImageDraw

    fine = 4
    mask = Image.new("L", (fine * page.width, fine * page.height))
    draw = ImageDraw.Draw(mask)
    thick, dot = max(fine, round(fine * height / 18)), fine * height / 7
    for label in labels:
        x, y = fine * label.x, fine * label.y
        draw.line([(fine * label.at, fine * start), (x, y)], fill=255, width=thick)
        draw.ellipse([x - dot, y - dot, x + dot, y + dot], fill=255)
    mask = mask.resize(page.size, Image.Resampling.BOX)
    page.alpha_composite(
        Image.composite(Image.new("RGBA", page.size, colour), Image.new("RGBA", page.size), mask)
    )


def _draw_scale(
    draw: Any, scale: Scale, size: tuple[int, int], height: int, font: Any, colour: Any, thin: int
) -> None:
    """Draw the bar: divisions filled and open in turn, with a figure at each end of one."""
    left, bar = 2.2 * height, max(3, round(height / 3.2))
    foot = size[1] - 0.9 * height
    for k in range(scale.count):
        x0, x1 = left + k * scale.pixels, left + (k + 1) * scale.pixels
        box = [(round(x0), round(foot - bar)), (round(x1), round(foot))]
        draw.rectangle(box, fill=colour if k % 2 == 0 else None, outline=colour, width=thin)
    for k in range(scale.count + 1):
        text = f"{k * scale.division:g}"
        x = left + k * scale.pixels
        draw.text((x, foot - bar - 0.5 * height), text, font=font, fill=colour, anchor="ms")
    half = font.getlength(f"{scale.count * scale.division:g}") / 2
    x = left + scale.count * scale.pixels + half + 0.35 * height
    draw.text((x, foot - bar - 0.5 * height), "mm", font=font, fill=colour, anchor="ls")
