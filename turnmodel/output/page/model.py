"""A design as a model to turn in the hand: every part once, a scene for every state."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.analysis.apart import drawn_off, moves
from turnmodel.analysis.words import listed
from turnmodel.design.features.outside import Cylinder
from turnmodel.design.ledger import mm
from turnmodel.design.part import BoughtPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.frame import coaxial
from turnmodel.output.page.gltf import Body, Scene, glb
from turnmodel.output.page.normals import Shaded, creased
from turnmodel.shape.part import part_mesh

if TYPE_CHECKING:
    from collections.abc import Mapping

    from turnmodel.design.design import Design
    from turnmodel.design.part import Part
    from turnmodel.geometry.frame import Matrix
    from turnmodel.output.page.gltf import Look

__all__ = ["PAGE_FACETS", "model", "told_apart"]

PAGE_FACETS: Final = 64
"""Facets round a full circle on the page; house choice: 0.006 mm off a circle of 10 mm, under a pixel."""

_STOUT: Final = 1.6
"""An object shorter than this many diameters stands instead of lying; house choice."""

_NEIGHBOUR: Final = ((1.0, 0.0), (0.84, 0.0), (0.62, 0.37))
"""Shares of tint and of white for the first, second and third part of one material; house choice."""


def told_apart(looks: Mapping[str, Look]) -> dict[str, Look]:
    """Vary the tint of cut faces where one comes again, so that neighbours of one material are told apart."""
    seen: Counter[tuple[float, float, float]] = Counter()
    found = {}
    for name, look in looks.items():
        share, white = _NEIGHBOUR[seen[look.cut] % len(_NEIGHBOUR)]
        seen[look.cut] += 1
        red, green, blue = (share * part + white for part in look.cut)
        found[name] = replace(look, cut=(red, green, blue))
    return found


def model(design: Design, looks: Mapping[str, Look], facets: int = PAGE_FACETS) -> bytes:
    """Mesh a design and write it as binary glTF.

    Parameters
    ----------
    design : Design
        The design
    looks : mapping
        Part's name to how it answers the light
    facets : int
        Facets round a full circle, [-]

    Returns
    -------
    bytes
        A scene for each state; its extras list the steps in which it comes apart: the parts, their shift in
        the object's frame [mm], and what is said of it
    """
    seen = told_apart(looks)
    bodies = [
        Body(
            name=part.name,
            shape=_shaded(_Written(repr(part), part), facets),
            look=seen[part.name],
            knurls=_knurls(part),
            bought=isinstance(part, BoughtPart),
        )
        for part in design.parts
    ]
    return glb(bodies, [_scene(design, state, facets) for state in design.states], design.name)


@dataclass(frozen=True, slots=True)
class _Written:
    """What is written of a part: in which line it is written makes no other shape of it."""

    text: str
    part: Part = field(compare=False, repr=False)


@lru_cache(maxsize=64)
def _shaded(written: _Written, facets: int) -> Shaded:
    """Mesh and shade a part; one that is written as it was is as it was."""
    return creased(part_mesh(written.part, "show", facets))


def _knurls(part: Part) -> tuple[tuple[float, float, float], ...]:
    """List the bands of a part that are knurled: first and last station, pitch, [mm]."""
    made = built(part)
    if not isinstance(made, Turned):
        return ()
    return tuple(
        (place.start, place.end, mm(place.feature.knurled.pitch))
        for place in made.outside
        if isinstance(place.feature, Cylinder) and place.feature.knurled is not None
    )


def _scene(design: Design, state: str, facets: int) -> Scene:
    """Place the parts of a state, and tell how they come apart."""
    placed = {part.name: design.poses[state].parts.get(part.name) for part in design.parts}
    standing = {name: matrix for name, matrix in placed.items() if matrix is not None}
    points = {}
    for name, matrix in standing.items():
        part = design.part(name)
        turned = np.array(matrix)
        points[name] = (
            _shaded(_Written(repr(part), part), facets).positions @ turned[:3, :3].T + turned[:3, 3]
        )
    steps = moves(points, drawn_off(design, state))
    low, high = (f([f(p, axis=0) for p in points.values()], axis=0) for f in (np.min, np.max))
    across = max(high[0] - low[0], high[1] - low[1])
    return Scene(
        name=state,
        placed=standing,
        upright=_upright(standing, stout=bool(high[2] - low[2] < _STOUT * across)),
        extras={
            "steps": [
                {"parts": step.parts, "shift": step.shift, "words": f"{listed(step.off)} off"}
                for step in steps
            ]
        },
    )


def _upright(placed: Mapping[str, Matrix], *, stout: bool) -> Matrix:
    """Lay the axis level, front left, what stands off it on top; stand a stout object on its front."""
    if stout:
        return ((1.0, 0.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, -1.0, 0.0, 0.0), (0.0, 0.0, 0.0, 1.0))
    top = 0.0
    for matrix in placed.values():
        x, y = matrix[0][3], matrix[1][3]
        if coaxial(matrix) is None and math.hypot(x, y) > 0:
            top = math.atan2(y, x)
            break
    c, s = math.cos(top), math.sin(top)
    return ((0.0, 0.0, 1.0, 0.0), (c, s, 0.0, 0.0), (-s, c, 0.0, 0.0), (0.0, 0.0, 0.0, 1.0))
