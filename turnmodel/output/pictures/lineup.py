"""Several objects at one scale, one above the other, each under its title."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.errors import OutputError
from turnmodel.output.pictures.framing import framed
from turnmodel.output.pictures.lettering import letter_size, lettered, scale_for
from turnmodel.output.pictures.picture import laid_on, models_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.output.pictures.framing import Framing
    from turnmodel.output.pictures.scene import Piece
    from turnmodel.output.pictures.stage import Take
    from turnmodel.output.pictures.studio import Settings

__all__ = ["LineUp", "lined_up"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineUp:
    """Objects to show together.

    Parameters
    ----------
    objects : tuple of tuples of Piece
        The pieces of each
    titles : tuple of str
        What is written over each

    Raises
    ------
    OutputError
        If there is nothing to show, or not a title for each.
    """

    objects: tuple[tuple[Piece, ...], ...]
    titles: tuple[str, ...]

    def __post_init__(self) -> None:
        if not self.objects or not all(any(len(p.mesh.faces) for p in one) for one in self.objects):
            raise OutputError("no line-up: there is no part to show")
        if len(self.objects) != len(self.titles):
            raise OutputError(f"no line-up: {len(self.objects)} objects have {len(self.titles)} titles")


def lined_up(line: LineUp, settings: Settings, take: Take) -> NDArray[np.uint8]:
    """Take a line-up with a function of `stage`.

    Parameters
    ----------
    line : LineUp
        What to take
    settings : Settings
        The width holds; the height is shared, and grows where titles and objects want more
    take : Take
        The stage's

    Returns
    -------
    array of uint8, shape (h, w, 4)
        One picture, sRGB, [-]
    """
    letters = letter_size(settings.size)
    head, foot = 2.2 * letters, 2.0 * letters
    clouds = [np.concatenate([piece.mesh.vertices for piece in one]) for one in line.objects]
    each = replace(settings, size=(settings.size[0], max(100, round(settings.size[1] / len(clouds)))))
    framings = [framed(points, "whole", each, head, foot) for points in clouds]
    scale = min(framing.scale for framing in framings)
    rows = []
    for one, points, framing, title in zip(line.objects, clouds, framings, line.titles, strict=True):
        placed = _at_scale(framing, points, scale, settings.size[0], head, foot)
        models = [
            model
            for piece in one
            for model in models_of(piece, piece.mesh.vertices, piece.appearance.cut, placed)
        ]
        shot = take(models, [], placed.size, scale)
        rows.append(_titled(laid_on(shot, settings.background, lying=True), title, letters, settings))
    strip = np.zeros((round(2.8 * letters), settings.size[0], 4), np.uint8)
    rows.append(laid_on(strip, settings.background))
    page = np.concatenate(rows)
    ruler = scale * framings[0].ruler / framings[0].scale
    return lettered(page, scale_for(ruler, settings.size[0], letters), [], letters, settings.ink)


def _at_scale(
    framing: Framing, points: NDArray[np.float64], scale: float, width: int, above: float, below: float
) -> Framing:
    """Frame points [mm] at another scale [px/mm], their left ends under each other."""
    flat = points @ framing.axes.T
    low, high = flat.min(axis=0), flat.max(axis=0)
    height = round((high[1] - low[1]) * scale + above + below)
    middle = (low + high) / 2
    middle[0] = low[0] + (width / 2 - 0.05 * width) / scale
    middle[1] += (above - below) / 2 / scale
    return replace(framing, centre=middle @ framing.axes, size=(width, height), scale=scale)


def _titled(page: NDArray[np.uint8], title: str, letters: int, settings: Settings) -> NDArray[np.uint8]:
    """Write a title at the upper left."""
    from PIL import Image, ImageDraw, ImageFont

    image = Image.fromarray(page)
    ink = (*(round(255 * part) for part in settings.ink), 255)
    font = ImageFont.load_default(letters)
    ImageDraw.Draw(image).text((0.05 * page.shape[1], 1.5 * letters), title, font=font, fill=ink, anchor="ls")
    return np.asarray(image).copy()
