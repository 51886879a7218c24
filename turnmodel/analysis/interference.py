"""Which parts run into each other in a state, and how near the others come."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.design.joint import Press, Screw
from turnmodel.design.part import Part, built
from turnmodel.design.pose import body_at
from turnmodel.design.turned import Turned
from turnmodel.geometry.engagement import body_distance, body_overlap
from turnmodel.geometry.frame import Matrix, coaxial, composed, inverse
from turnmodel.geometry.overlap import overlap_place
from turnmodel.geometry.tolerance import CONTACT_MM3, FACETS, NEAR_MM, sagitta

if TYPE_CHECKING:
    from collections.abc import Mapping

    from turnmodel.design.design import Design

__all__ = ["Meeting", "meetings"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """How two parts stand to each other in a state.

    ``overlap`` is the volume they share [mm3], zero where they only touch; ``least`` is their least distance
    [mm], None where it is more than was looked for; ``place`` are the stations between which they overlap in
    the first part's frame [mm]; ``meant`` tells whether a press joint means the overlap.
    """

    parts: tuple[str, str]
    overlap: float
    least: float | None
    place: tuple[float, float] | None = None
    meant: bool = False


def meetings(design: Design, state: str) -> tuple[Meeting, ...]:
    """Hold every two parts of a state against each other."""
    pose = design.poses[state]
    screwed = {
        frozenset((j.moving.part, (j.into.name if j.into else j.fixed.part)))
        for j in pose.joints
        if isinstance(j, Screw)
    }
    pressed = {frozenset((j.moving.part, j.fixed.part)) for j in pose.joints if isinstance(j, Press)}
    present = [part for part in design.parts if part.name in pose.parts]
    found = []
    for a, b in combinations(present, 2):
        pair = frozenset((a.name, b.name))
        relative = _rounded(composed(inverse(pose.parts[a.name]), pose.parts[b.name]))
        overlap, least, place = _meeting(a, b, relative, _axes(pose.parts, a, b), pair in screwed)
        found.append(
            Meeting(parts=(a.name, b.name), overlap=overlap, least=least, place=place, meant=pair in pressed)
        )
    return tuple(found)


def _axes(parts: Mapping[str, Matrix], a: Part, b: Part) -> bool:
    return coaxial(composed(inverse(parts[a.name]), parts[b.name])) is not None


def _rounded(matrix: Matrix) -> Matrix:
    """Drop the rounding noise of composed placements, so that one relation is computed once."""
    rows = np.round(np.array(matrix), 12) + 0.0
    a, b, c, d = (tuple(float(v) for v in row) for row in rows)
    return (a, b, c, d)  # type: ignore[return-value]


@lru_cache(maxsize=4096)
def _meeting(
    a: Part, b: Part, relative: Matrix, on_one_axis: bool, screwed: bool
) -> tuple[float, float | None, tuple[float, float] | None]:
    """Overlap, least distance and place of two parts, the second placed in the frame of the first."""
    one, other = built(a), built(b)
    if on_one_axis and isinstance(one, Turned) and isinstance(other, Turned):
        place = coaxial(relative)
        assert place is not None
        placed = body_at(other.body, place)
        overlap = body_overlap(one.body, placed)
        if overlap <= CONTACT_MM3:
            return 0.0, body_distance(one.body, placed).distance, None
        if not one.across and not other.across:
            box = overlap_place(one.body.plain, placed.plain)
            return overlap, 0.0, (box.z0, box.z1) if box else None
    return _by_mesh(a, b, relative, screwed)


def _by_mesh(
    a: Part, b: Part, relative: Matrix, screwed: bool
) -> tuple[float, float | None, tuple[float, float] | None]:
    from turnmodel.shape.measures import mesh_volume
    from turnmodel.shape.mesh import gap, intersection
    from turnmodel.shape.part import part_mesh, placed_mesh

    one = part_mesh(a, core=screwed)
    other = placed_mesh(b, relative, core=screwed)
    low = np.maximum(one.vertices.min(axis=0), other.vertices.min(axis=0))
    high = np.minimum(one.vertices.max(axis=0), other.vertices.max(axis=0))
    between = float(np.linalg.norm(np.maximum(low - high, 0.0)))
    if between > NEAR_MM:
        return 0.0, None, None
    names = (a.name, b.name)
    if between == 0.0:
        common = intersection(one, other, names=names)
        volume = mesh_volume(common) if len(common.faces) else 0.0
        if volume > CONTACT_MM3:
            size = np.sort(common.vertices.max(axis=0) - common.vertices.min(axis=0))
            widest = 2 * float(np.abs(one.vertices[:, :2]).max())
            if volume > 2 * sagitta(widest, FACETS) * size[1] * size[2]:
                z = common.vertices[:, 2]
                return volume, 0.0, (float(z.min()), float(z.max()))
    return 0.0, gap(one, other, NEAR_MM, names=names), None
