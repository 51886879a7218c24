"""What a material looks like: its colour in the light, and the tint of its cut faces."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from turnmodel.errors import BadValue, UnknownName

if TYPE_CHECKING:
    from turnmodel.catalog.finishes import Finish
    from turnmodel.output.pictures.lay import Lines

__all__ = ["APPEARANCES", "Appearance", "Colour", "appearance", "finished"]

Colour = tuple[float, float, float]
"""Red, green and blue, sRGB, each from 0 to 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Appearance:
    """How a surface answers the light.

    Parameters
    ----------
    base : Colour
        Colour of the surface, sRGB, [-]
    metallic : float
        1 for a metal, whose reflections take its colour; 0 for anything else, [-]
    roughness : float
        0 for a mirror, 1 for chalk, [-]
    cut : Colour
        Flat tint of the faces where the object is cut open, sRGB, [-]
    lines : str
        Fine lines that its making left, one of `turnmodel.output.pictures.lay.Lines`, [-]

    Raises
    ------
    BadValue
        If a figure lies outside 0 to 1.

    Examples
    --------
    >>> Appearance(base=(0.8, 0.6, 0.24), metallic=1, roughness=30, cut=(0.9, 0.8, 0.5))
    Traceback (most recent call last):
    ...
    turnmodel.errors.BadValue: roughness 30: lies from 0 to 1
    """

    base: Colour
    metallic: float
    roughness: float
    cut: Colour
    lines: Lines = "plain"

    def __post_init__(self) -> None:
        named = [("metallic", self.metallic), ("roughness", self.roughness)]
        named += [("base colour", part) for part in self.base]
        named += [("cut colour", part) for part in self.cut]
        for what, value in named:
            if not 0 <= value <= 1:
                raise BadValue(what, value, "-", "lies from 0 to 1")


def _metal(base: Colour, roughness: float, cut: Colour) -> Appearance:
    return Appearance(base=base, metallic=1.0, roughness=roughness, cut=cut, lines="rings")


def _plain(base: Colour, roughness: float, cut: Colour) -> Appearance:
    return Appearance(base=base, metallic=0.0, roughness=roughness, cut=cut)


# Chosen by eye under the studio's light (house choice): as-turned surfaces, told apart by hue first and
# lightness second. The measured reflectance of a metal looks washed out in so bright a room.
APPEARANCES: Final[dict[str, Appearance]] = {
    "brass": _metal((0.86, 0.62, 0.23), 0.30, (0.91, 0.77, 0.46)),
    "bronze": _metal((0.69, 0.45, 0.22), 0.32, (0.86, 0.67, 0.42)),
    "copper": _metal((0.80, 0.43, 0.28), 0.30, (0.92, 0.62, 0.48)),
    "aluminium": _metal((0.82, 0.83, 0.84), 0.42, (0.82, 0.85, 0.88)),
    "steel": _metal((0.58, 0.59, 0.60), 0.32, (0.70, 0.73, 0.77)),
    "stainless": _metal((0.66, 0.65, 0.63), 0.28, (0.78, 0.79, 0.79)),
    "spring steel": replace(_metal((0.13, 0.16, 0.27), 0.30, (0.45, 0.52, 0.68)), lines="plain"),
    "titanium": _metal((0.54, 0.51, 0.48), 0.38, (0.74, 0.70, 0.67)),
    "plastic": _plain((0.88, 0.87, 0.83), 0.40, (0.93, 0.92, 0.88)),
    "ebonite": _plain((0.03, 0.03, 0.03), 0.30, (0.36, 0.34, 0.33)),
    "printed": replace(_plain((0.82, 0.21, 0.02), 0.60, (0.95, 0.62, 0.42)), lines="layers"),
    "resin": _plain((0.04, 0.26, 0.30), 0.25, (0.52, 0.70, 0.72)),
    "wood": _plain((0.38, 0.20, 0.09), 0.60, (0.78, 0.62, 0.46)),
    "ink refill": _plain((0.05, 0.11, 0.34), 0.35, (0.55, 0.62, 0.80)),
    "bought": _plain((0.36, 0.40, 0.36), 0.50, (0.70, 0.74, 0.70)),
}
"""One appearance a family of materials, and what is bought."""


def appearance(family: str) -> Appearance:
    """Look up the appearance of a family of materials.

    Parameters
    ----------
    family : str
        Name of the family, as in the catalogue of materials, [-]

    Returns
    -------
    Appearance
        Its colours and how it reflects.

    Raises
    ------
    UnknownName
        If no family has that name.

    Examples
    --------
    >>> appearance("brass").metallic
    1.0
    >>> appearance("brasso")
    Traceback (most recent call last):
    ...
    turnmodel.errors.UnknownName: no appearance of a material family named 'brasso'; did you mean 'brass'?
    """
    try:
        return APPEARANCES[family]
    except KeyError:
        raise UnknownName("appearance of a material family", family, APPEARANCES) from None


def finished(seen: Appearance, family: str, finish: Finish) -> Appearance:
    """Give a material the look of a finish.

    Parameters
    ----------
    seen : Appearance
        The material's own
    family : str
        Its family; spring steel is shown blued unless its finish says otherwise, [-]
    finish : Finish
        How the surface is left

    Returns
    -------
    Appearance
        With the film's colour where there is one; what is cut shows the metal below it

    Examples
    --------
    >>> from turnmodel.catalog.finishes import finish
    >>> finished(appearance("brass"), "brass", finish("polished")).lines
    'plain'
    """
    bare = replace(APPEARANCES["steel"], cut=seen.cut) if family == "spring steel" else seen
    match finish.kind:
        case "polished":
            return replace(bare, roughness=0.10, lines="plain")
        case "brushed":
            return replace(bare, roughness=0.40, lines="along")
        case "blasted":
            return replace(bare, roughness=0.72, lines="plain")
        case "printed":
            return replace(bare, lines="layers")
        case "blued" | "anodised":
            film = finish.colour or bare.base
            return replace(bare, base=film, roughness=0.24 if finish.kind == "blued" else 0.40, lines="plain")
        case _:
            return replace(bare, lines="rings")
