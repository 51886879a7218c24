"""Objects of several turned parts, written down once: seen, checked, weighed and made.

Lengths are millimetres, diameters never radii, angles degrees, masses grams. The names a script needs all
come from here and load only when they are used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from turnmodel.design import joint
    from turnmodel.design.design import Design
    from turnmodel.design.features.across import cross_hole, cross_tap, flat, saddle, slot
    from turnmodel.design.features.base import chamfer, fillet
    from turnmodel.design.features.inside import (
        bore,
        counterbore,
        countersink,
        drill,
        recess,
        tap,
        taper_bore,
    )
    from turnmodel.design.features.outside import (
        bow,
        cone,
        cylinder,
        dome,
        knurl,
        shoulder,
    )
    from turnmodel.design.features.threaded import groove, relief, thread
    from turnmodel.design.gap import gap
    from turnmodel.design.joint import state
    from turnmodel.design.part import Part, bar, bought
    from turnmodel.design.strip import bend, straight
    from turnmodel.units import inch

__version__ = "0.1.0"

_HOMES = {
    "design.design": ("Design",),
    "design.features.across": ("cross_hole", "cross_tap", "flat", "saddle", "slot"),
    "design.features.base": ("chamfer", "fillet"),
    "design.features.inside": ("bore", "counterbore", "countersink", "drill", "recess", "tap", "taper_bore"),
    "design.features.outside": ("bow", "cone", "cylinder", "dome", "knurl", "shoulder"),
    "design.features.threaded": ("groove", "relief", "thread"),
    "design.gap": ("gap",),
    "design.joint": ("state",),
    "design.part": ("Part", "bar", "bought"),
    "design.strip": ("bend", "straight"),
    "units": ("inch",),
}
_HOME = {name: home for home, names in _HOMES.items() for name in names}

__all__ = [
    "Design",
    "Part",
    "bar",
    "bend",
    "bore",
    "bought",
    "bow",
    "chamfer",
    "cone",
    "counterbore",
    "countersink",
    "cross_hole",
    "cross_tap",
    "cylinder",
    "dome",
    "drill",
    "fillet",
    "flat",
    "gap",
    "groove",
    "inch",
    "joint",
    "knurl",
    "recess",
    "relief",
    "saddle",
    "shoulder",
    "slot",
    "state",
    "straight",
    "tap",
    "taper_bore",
    "thread",
]


def __getattr__(name: str) -> Any:
    if name == "joint":
        return import_module("turnmodel.design.joint")
    if name in _HOME:
        return getattr(import_module(f"turnmodel.{_HOME[name]}"), name)
    raise AttributeError(f"module 'turnmodel' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
