"""Materials by the names people use: how heavy, how stiff, how strong, how fast they are turned."""

from __future__ import annotations

import functools
import tomllib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from turnmodel.catalog.table import DATA, folded
from turnmodel.errors import UnknownName
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["FAMILIES", "Material", "material", "materials"]

FAMILIES: Final = (
    "brass",
    "bronze",
    "copper",
    "aluminium",
    "steel",
    "stainless",
    "spring steel",
    "titanium",
    "plastic",
    "ebonite",
    "printed",
    "resin",
    "wood",
)
"""Families of materials: one family is cut, paired and drawn alike."""

_FOOT: Final = 0.3048
"""One foot [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A material, each of its figures with a source; a strength or speed that no work gives is None.

    Parameters
    ----------
    name : str
        Name in the trade
    title : str
        What people call it
    aliases : tuple of str
        Other names it is found by
    family : str
        One of `FAMILIES`
    density : float
        Density, [g/cm3]
    modulus : float
        Young's modulus, [GPa]
    yield_low, yield_high : float or None
        Yield strength over the usual tempers, [MPa]
    tensile_low, tensile_high : float or None
        Tensile strength over the usual tempers, [MPa]
    speed_low, speed_high : float or None
        Surface speed for tools of high-speed steel; None for what is not turned, [m/min]
    cautions : tuple of str
        What to beware of, in a word or two each
    density_source, modulus_source : Source
        Where density and modulus come from
    yield_source, tensile_source, speed_source : Source or None
        Where the others come from
    """

    name: str
    title: str
    aliases: tuple[str, ...]
    family: str
    density: float
    modulus: float
    yield_low: float | None
    yield_high: float | None
    tensile_low: float | None
    tensile_high: float | None
    speed_low: float | None
    speed_high: float | None
    cautions: tuple[str, ...]
    density_source: Source
    modulus_source: Source
    yield_source: Source | None
    tensile_source: Source | None
    speed_source: Source | None

    def __post_init__(self) -> None:
        if self.family not in FAMILIES:
            raise UnknownName("family of materials", self.family, FAMILIES)


def material(name: str) -> Material:
    """Find a material by its name or by one of its aliases.

    Parameters
    ----------
    name : str
        Such as ``"CW614N"``, ``"C36000"``, ``"brass"``

    Returns
    -------
    Material
        The material; a plain word as ``"brass"`` stands for the one a turner would take

    Raises
    ------
    UnknownName
        If there is none; the message proposes the nearest.

    Examples
    --------
    >>> material("brass").name, material("brass").density
    ('CW614N', 8.47)
    """
    found = _index().get(folded(name))
    if found is None:
        known = (each for m in materials() for each in (m.name, *m.aliases))
        groups = f"there is {', '.join(FAMILIES)}; turnmodel facts materials lists them"
        raise UnknownName("material", name, known, groups)
    return found


@functools.cache
def materials() -> tuple[Material, ...]:
    """List every material, by family.

    Examples
    --------
    >>> {m.family for m in materials()} == set(FAMILIES)
    True
    """
    with (DATA / "materials.toml").open("rb") as file:
        table = tomllib.load(file)
    sources = {
        key: Source(work=at["work"], place=at["place"], basis=Basis(at["basis"]))
        for key, at in table["source"].items()
    }
    return tuple(_material(row, sources) for row in table["material"])


@functools.cache
def _index() -> dict[str, Material]:
    """Index the materials by folded name and alias; no two share one."""
    index: dict[str, Material] = {}
    for m in materials():
        for known in (m.name, *m.aliases):
            if folded(known) in index:
                raise ValueError(f"materials.toml: {known!r} names two materials")
            index[folded(known)] = m
    return index


def _material(row: Mapping[str, Any], sources: Mapping[str, Source]) -> Material:
    """Build a material from its row."""
    density, density_source = row["density"]
    modulus, modulus_source = row["modulus"]
    yield_low, yield_high, yield_source = _span(row, "yield", sources)
    tensile_low, tensile_high, tensile_source = _span(row, "tensile", sources)
    slow, fast, speed_source = _span(row, "speed", sources)
    return Material(
        name=row["name"],
        title=row["title"],
        aliases=tuple(row["aliases"]),
        family=row["family"],
        density=float(density),
        modulus=float(modulus),
        yield_low=yield_low,
        yield_high=yield_high,
        tensile_low=tensile_low,
        tensile_high=tensile_high,
        speed_low=None if slow is None else slow * _FOOT,
        speed_high=None if fast is None else fast * _FOOT,
        cautions=tuple(row["cautions"]),
        density_source=sources[density_source],
        modulus_source=sources[modulus_source],
        yield_source=yield_source,
        tensile_source=tensile_source,
        speed_source=speed_source,
    )


def _span(
    row: Mapping[str, Any], figure: str, sources: Mapping[str, Source]
) -> tuple[float, float, Source] | tuple[None, None, None]:
    """Take a low and a high figure with their source, or none of them."""
    if figure not in row:
        return None, None, None
    low, high, source = row[figure]
    return float(low), float(high), sources[source]
