"""Every numerical limit of the program, each with its reason."""

from __future__ import annotations

import math
from typing import Final

__all__ = [
    "CONTACT_MM",
    "CONTACT_MM3",
    "CORNER_MM",
    "FACETS",
    "NEAR_MM",
    "SAME_MM",
    "circle_deficit",
    "sagitta",
]

SAME_MM: Final = 1e-9
"""Two lengths [mm] closer than this are one: a million times finer than a micrometer reads, a thousand
times coarser than rounding at 100 mm."""

CONTACT_MM: Final = 1e-6
"""Two faces [mm] nearer than this touch: a nanometre, under any roughness, over any sum of rounding."""

CONTACT_MM3: Final = 1e-4
"""Overlap [mm3] up to this is contact: a film of 0.1 micrometre over a square millimetre, which no cut
leaves and no calliper finds."""

CORNER_MM: Final = 1e-3
"""Boundaries that run together over less than this [mm] make a sharp corner, over more a double wall: a
circle of 10 mm and its tangent are SAME_MM apart at a tenth of it."""

NEAR_MM: Final = 2.0
"""Parts [mm] further apart than this are not neighbours: the search for the gap of two meshes costs more the
further it looks, and no fit of a small object is that loose."""

FACETS: Final = 128
"""Facets round a full circle, shared by all coaxial parts so that equal diameters touch and do not cut."""


def circle_deficit(facets: int) -> float:
    """Tell by how much a circle of chords is light: (2 pi / n)^2 / 6, the leading term, relative [-]."""
    return (2 * math.pi / facets) ** 2 / 6


def sagitta(diameter: float, facets: int) -> float:
    """Tell how far [mm] a chord stands inside a circle of this diameter [mm]."""
    return diameter / 2 * (1 - math.cos(math.pi / facets))
