"""The letters of the papers: one free typeface, shipped with the program, whose widths are known exactly."""

from __future__ import annotations

import functools
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

__all__ = ["FAMILY", "ascent", "descent", "font", "font_size", "font_subset", "shown", "width", "wrapped"]

FAMILY: Final = "DejaVu Sans Condensed"
"""Name of the typeface; its file lies beside this one, with its licence."""

_FILE: Final = "DejaVuSansCondensed.ttf"
_HIGH: Final = 1.07
"""Height of brackets and the diameter sign over that of capitals [-], read off the letters."""
_LOW: Final = 0.33
"""Depth of descenders under the base line, over the height of capitals [-], read off the letters."""


@functools.cache
def font() -> TTFont:
    """Open the typeface."""
    from fontTools.ttLib import TTFont

    return TTFont(files("turnmodel.output.papers").joinpath(_FILE).open("rb"), lazy=True)


@functools.cache
def _measures() -> tuple[dict[int, str], Any, float, float]:
    """Glyph of each letter, advances, units in an em, height of capitals."""
    opened = font()
    return opened.getBestCmap(), opened["hmtx"], opened["head"].unitsPerEm, float(opened["glyf"]["H"].yMax)


def shown(words: str) -> str:
    """Put a box in the place of letters that the typeface has not."""
    letters = _measures()[0]
    return "".join(c if ord(c) in letters else "□" for c in words)


@functools.lru_cache(maxsize=4096)
def width(words: str, height: float) -> float:
    """Measure a line of text whose capitals have a height [mm]; the width in [mm].

    Examples
    --------
    >>> round(width("00", 2.5) / width("0", 2.5), 9)
    2.0
    """
    letters, advances, _, capital = _measures()
    return float(sum(advances[letters[ord(c)]][0] for c in shown(words)) / capital * height)


def wrapped(words: str, height: float, long: float) -> list[str]:
    """Break words into lines no longer than a length [mm]; capitals have a height [mm], a long word a line.

    Examples
    --------
    >>> wrapped("turn to the shoulder", 2.5, width("turn to the", 2.5))
    ['turn to the', 'shoulder']
    """
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if width(longer, height) <= long or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def font_size(height: float) -> float:
    """Size of the em [mm] at which capitals have a height [mm]."""
    _, _, em, capital = _measures()
    return height * em / capital


def ascent(height: float) -> float:
    """How far letters rise over the base line at a height of capitals, both [mm]."""
    return _HIGH * height


def descent(height: float) -> float:
    """How far letters reach under the base line at a height of capitals, both [mm]."""
    return _LOW * height


def font_subset(words: str) -> bytes:
    """Cut the typeface down to the letters of some words, keeping the numbers of its glyphs."""
    from io import BytesIO

    from fontTools import subset
    from fontTools.ttLib import TTFont

    options = subset.Options()
    options.retain_gids = True
    options.hinting = False
    options.layout_features = []
    options.name_IDs = [1, 2, 6]
    options.notdef_outline = True
    options.recalc_timestamp = False
    options.drop_tables += ["GPOS", "GSUB", "GDEF", "kern"]
    with files("turnmodel.output.papers").joinpath(_FILE).open("rb") as file:
        opened = TTFont(file, recalcTimestamp=False)
        cut = subset.Subsetter(options)
        cut.populate(text=shown(words) + "□ ")
        cut.subset(opened)
        out = BytesIO()
        opened.save(out)
    return out.getvalue()
