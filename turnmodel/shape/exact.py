"""The CAD solid of a part of a design, and STEP files of parts and of the whole."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from turnmodel.design.part import Part, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.body import Body
from turnmodel.geometry.region import bounds
from turnmodel.geometry.tolerance import FACETS, circle_deficit, sagitta
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import mesh_volume
from turnmodel.shape.mesh import cut, tool_mesh
from turnmodel.shape.solid import solid, solid_cut, solid_strip
from turnmodel.shape.step import StepPart, step_assembly, step_name, step_part

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    import cadquery as cq

    from turnmodel.geometry.frame import Matrix

__all__ = ["part_solid", "write_part_step", "write_step"]

RGB = tuple[float, float, float]


@lru_cache(maxsize=128)
def part_solid(part: Part) -> cq.Solid:
    """Build a part's exact solid, its threads plain; each step held to its closed form."""
    made = built(part)
    if not isinstance(made, Turned):
        return solid_strip(made, part.name)
    whole = solid(made.body, part.name)
    return solid_cut(whole, made.tools, part.name, _taken(part, made)) if made.tools else whole


def _taken(part: Part, made: Turned) -> tuple[float, float]:
    """Tell what is cut across a part by its meshes, and how far facets may make that differ, [mm3]."""
    whole = lathe(Body(plain=made.body.plain))
    # Cut as the solid is: a mesh to weigh has its tapped holes larger.
    left = cut(whole, *(tool_mesh(tool) for tool in made.tools), name=part.name)
    taken = mesh_volume(whole) - mesh_volume(left)
    widest = 2 * bounds(made.body.plain).r1
    skin = sum(entry.end - entry.start for entry in made.across) * math.pi * widest
    return taken, 2 * circle_deficit(FACETS) * taken + sagitta(widest, FACETS) * skin


def write_part_step(part: Part, rgb: RGB, path: Path) -> None:
    """Write one part as STEP, its threads named."""
    step_part(StepPart(name=_named(part), solid=part_solid(part), rgb=rgb), path)


def write_step(
    parts: Sequence[Part], placements: Mapping[str, Matrix], colours: Mapping[str, RGB], path: Path, name: str
) -> None:
    """Write the parts of a state, each where it stands, as one STEP assembly with names and colours."""
    placed = [
        StepPart(
            name=_named(part), solid=part_solid(part), rgb=colours[part.name], matrix=placements[part.name]
        )
        for part in parts
        if part.name in placements
    ]
    step_assembly(placed, path, name)


def _named(part: Part) -> str:
    made = built(part)
    return step_name(part.name, made.body) if isinstance(made, Turned) else part.name
