"""How a surface is left: the names of finishes, what they are for, and the temper colours of steel."""

from __future__ import annotations

import functools
import math
import tomllib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal, get_args

from turnmodel.catalog.table import DATA, folded
from turnmodel.errors import BadText, BadValue, UnknownName
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["Finish", "Kind", "Temper", "finish", "finishes", "temper_colours"]

Kind = Literal["turned", "polished", "brushed", "blasted", "blued", "anodised", "printed"]
"""How the surface came to be."""

Colour = tuple[float, float, float]

_METALS: Final = (
    "brass", "bronze", "copper", "aluminium", "steel", "stainless", "spring steel", "titanium",
)  # fmt: skip
_TAKEN: Final[dict[str, tuple[str, ...]]] = {
    "blasted": _METALS,
    "blued": ("steel", "spring steel"),
    "anodised": ("aluminium",),
}
"""Families of materials that take a finish; common practice. One that is not listed goes on any."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """A finish by its name.

    Parameters
    ----------
    name : str
        Such as ``"polished"``, ``"blued 290"``, ``"anodised red"``
    kind : str
        How the surface came to be, one of `Kind`
    colour : tuple of 3 floats or None
        The film's colour, sRGB; None where the material shows, [-]
    heat : float or None
        To what heat steel was let down, [°C]
    families : tuple of str
        Families of materials that take it; none for any
    sources : tuple of Source
        What is meant by it, and where its colour comes from
    """

    name: str
    kind: Kind
    colour: Colour | None = None
    heat: float | None = None
    families: tuple[str, ...] = ()
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Temper:
    """A temper colour of clean carbon steel, and the heats at which works see it.

    Parameters
    ----------
    name : str
        What it is called
    heats : tuple of float
        One heat a work, those that name none left out, [°C]
    colour : tuple of 3 floats
        sRGB, chosen by eye, [-]
    sources : tuple of Source
        The works, in the order of the heats
    """

    name: str
    heats: tuple[float, ...]
    colour: Colour
    sources: tuple[Source, ...]

    @property
    def heat(self) -> float:
        """The middle between the lowest and the highest heat, [°C]."""
        return (min(self.heats) + max(self.heats)) / 2


@functools.cache
def _table() -> Mapping[str, Any]:
    with (DATA / "finishes.toml").open("rb") as file:
        return tomllib.load(file)


def _source(row: Mapping[str, str]) -> Source:
    return Source(work=row["work"], place=row["place"], basis=Basis(row["basis"]))


def _colour(given: list[float]) -> Colour:
    red, green, blue = given
    return (red, green, blue)


@functools.cache
def temper_colours() -> tuple[Temper, ...]:
    """List the temper colours, the coolest first.

    Examples
    --------
    >>> [(t.name, min(t.heats), max(t.heats)) for t in temper_colours()][-2]
    ('dark blue', 290, 302)
    """
    works = [_source(row) for row in _table()["temper"]["work"]]
    found = []
    for row in _table()["temper"]["colour"]:
        seen = [(heat, work) for heat, work in zip(row["heats"], works, strict=True) if not math.isnan(heat)]
        found.append(
            Temper(
                name=row["name"],
                heats=tuple(heat for heat, _ in seen),
                colour=_colour(row["colour"]),
                sources=tuple(work for _, work in seen),
            )
        )
    return tuple(found)


def finish(name: str) -> Finish:
    """Find a finish by its name.

    Parameters
    ----------
    name : str
        ``"turned"``, ``"polished"``, ``"brushed"``, ``"blasted"``, ``"printed"``, ``"anodised"`` with a
        colour, or ``"blued"`` with the heat in degrees C

    Returns
    -------
    Finish
        The finish; a blued one has its colour by interpolation between the nearest temper colours

    Raises
    ------
    UnknownName
        If there is none of that name; the message proposes the nearest.
    BadText
        If the heat is no number.
    BadValue
        If no temper colour is seen at that heat.

    Notes
    -----
    Works differ by up to 30 degrees C over the heat of one colour, for it depends on steel, time and light.

    Examples
    --------
    >>> finish("Anodised red").families
    ('aluminium',)
    >>> finish("blued 450")
    Traceback (most recent call last):
    ...
    turnmodel.errors.BadValue: heat 450 degrees C: temper colours run from 210 to 324 degrees C
    """
    wanted = folded(name)
    if wanted.startswith("blued") and wanted != "blued":
        return _blued(name.strip(), wanted.removeprefix("blued"))
    for known in finishes():
        if folded(known.name) == wanted:
            return known
    if wanted == "anodised":
        raise UnknownName("finish", name, ["anodised clear"])
    raise UnknownName("finish", name, [known.name for known in finishes()])


def _blued(name: str, heat: str) -> Finish:
    """Make a blued finish from the text of its heat."""
    digits = heat.removesuffix("c").removesuffix("°")
    if not digits.isdecimal():
        raise BadText("finish", name, "a blued one has its heat in degrees C, as 'blued 290'")
    return _let_down(float(digits))


def _let_down(heat: float) -> Finish:
    """Give steel the colour of a heat [°C]."""
    known = temper_colours()
    if not known[0].heat <= heat <= known[-1].heat:
        rule = f"temper colours run from {known[0].heat:.0f} to {known[-1].heat:.0f} degrees C"
        raise BadValue("heat", heat, "degrees C", rule)
    above = next(k for k in range(1, len(known)) if heat <= known[k].heat)
    low, high = known[above - 1], known[above]
    share = (heat - low.heat) / (high.heat - low.heat)
    red, green, blue = (a + share * (b - a) for a, b in zip(low.colour, high.colour, strict=True))
    works = dict.fromkeys((*low.sources, *high.sources, _source(_table()["source"]["colour"])))
    return Finish(
        name=f"blued {heat:g}",
        kind="blued",
        colour=(red, green, blue),
        heat=heat,
        families=_TAKEN["blued"],
        sources=tuple(works),
    )


@functools.cache
def finishes() -> tuple[Finish, ...]:
    """List the finishes: each kind, each colour of anodising, a blued one for each temper colour.

    Examples
    --------
    >>> {f.kind for f in finishes()} == set(get_args(Kind))
    True
    """
    sources = {key: _source(row) for key, row in _table()["source"].items()}
    plain = [
        Finish(name=kind, kind=kind, families=_TAKEN.get(kind, ()), sources=(sources[kind],))
        for kind in get_args(Kind)
        if kind not in ("blued", "anodised")
    ]
    dyed = [
        Finish(
            name=f"anodised {name}",
            kind="anodised",
            colour=_colour(colour),
            families=_TAKEN["anodised"],
            sources=(sources["anodised"], sources["colour"]),
        )
        for name, colour in _table()["anodised"].items()
    ]
    return (*plain, *(_let_down(float(round(t.heat))) for t in temper_colours()), *dyed)
