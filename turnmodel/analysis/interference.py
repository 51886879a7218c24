"""Which parts run into each other in a state, and how near the others come."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.design.features.across import CrossTap
from turnmodel.design.joint import Press
from turnmodel.design.part import Part, built
from turnmodel.design.pose import body_at, cross_thread
from turnmodel.design.surface import cross_surface
from turnmodel.design.turned import Turned
from turnmodel.geometry.body import Body
from turnmodel.geometry.engagement import body_distance, body_overlap
from turnmodel.geometry.frame import IDENTITY, Matrix, coaxial, composed, inverse
from turnmodel.geometry.overlap import overlap_place
from turnmodel.geometry.region import bounds, ring
from turnmodel.geometry.strip import mid_line
from turnmodel.geometry.tolerance import CONTACT_MM3, FACETS, NEAR_MM, sagitta

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.design.design import Design

    Floats = NDArray[np.float64]

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
    pressed = {frozenset((j.moving.part, j.fixed.part)) for j in pose.joints if isinstance(j, Press)}
    present = [part for part in design.parts if part.name in pose.parts]
    found = []
    for a, b in combinations(present, 2):
        pair = frozenset((a.name, b.name))
        relative = _rounded(composed(inverse(pose.parts[a.name]), pose.parts[b.name]))
        overlap, least, place = _meeting(a, b, relative)
        found.append(
            Meeting(parts=(a.name, b.name), overlap=overlap, least=least, place=place, meant=pair in pressed)
        )
    return tuple(found)


def _rounded(matrix: Matrix) -> Matrix:
    """Drop the rounding noise of composed placements, so that one relation is computed once."""
    rows = np.round(np.array(matrix), 12) + 0.0
    a, b, c, d = (tuple(float(v) for v in row) for row in rows)
    return (a, b, c, d)  # type: ignore[return-value]


@lru_cache(maxsize=4096)
def _meeting(a: Part, b: Part, relative: Matrix) -> tuple[float, float | None, tuple[float, float] | None]:
    """Overlap, least distance and place of two parts, the second placed in the frame of the first."""
    one, other = built(a), built(b)
    place = coaxial(relative)
    if place is not None and isinstance(one, Turned) and isinstance(other, Turned):
        placed = body_at(other.body, place)
        overlap = body_overlap(one.body, placed)
        if overlap <= CONTACT_MM3:
            return 0.0, body_distance(one.body, placed).distance, None
        if not one.across and not other.across:
            box = overlap_place(one.body.plain, placed.plain)
            return overlap, 0.0, (box.z0, box.z1) if box else None
    return _by_mesh(a, b, relative, place is not None)


def _by_mesh(
    a: Part, b: Part, relative: Matrix, on_one_axis: bool
) -> tuple[float, float | None, tuple[float, float] | None]:
    """Judge two parts by their meshes, those that are far apart by their boxes alone."""
    clash = _cross_threads(a, b, relative) + _cross_threads(b, a, inverse(relative))
    if clash > CONTACT_MM3:
        return clash, 0.0, None
    if _box_gap(_box(a), _box(b, relative)) > NEAR_MM:
        return 0.0, None, None
    from turnmodel.shape.measures import mesh_volume, transformed
    from turnmodel.shape.mesh import gap, intersection
    from turnmodel.shape.part import part_mesh, placed_mesh

    one = part_mesh(a, "fit")
    other = placed_mesh(b, relative, "fit") if on_one_axis else transformed(part_mesh(b, "fit"), relative)
    between = _box_gap(*((m.vertices.min(axis=0), m.vertices.max(axis=0)) for m in (one, other)))
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
    # The search costs more the further it looks, so it looks near first.
    for search in (NEAR_MM / 20, NEAR_MM / 4, NEAR_MM):
        if between < search and (least := gap(one, other, search, names=names)) is not None:
            return 0.0, least, None
    return 0.0, None, None


def _cross_threads(holder: Part, screw: Part, relative: Matrix) -> float:
    """Overlap of a cross tap's thread with the screw that stands in it, [mm3]: exact, as on any one axis."""
    made, other = built(holder), built(screw)
    if not (isinstance(made, Turned) and isinstance(other, Turned)):
        return 0.0
    if not any(span.external for span in other.body.threads):
        return 0.0
    if not any(span.external for span in other.body.threads):
        return 0.0  # the mesh of the hole as drilled judges what has no thread
    total = 0.0
    for cut in made.across:
        if isinstance(cut.feature, CrossTap):
            place = coaxial(composed(inverse(cross_surface(made, cut).frame), relative))
            if place is not None:
                span = cross_thread(cut.feature)
                wall = ring(span.start, span.end, 2 * span.thread.major_d, cut.feature.diameter)
                total += body_overlap(Body(plain=wall, threads=(span,)), body_at(other.body, place))
    return total


def _box(part: Part, placement: Matrix = IDENTITY) -> tuple[Floats, Floats]:
    """Bound a placed part by a box, [mm]."""
    made = built(part)
    if isinstance(made, Turned):
        z0, z1, _, r = bounds(made.body.plain)
        low, high = np.array([-r, -r, z0]), np.array([r, r, z1])
    else:
        half = max(p[1] for loop in made.half.loops for c in loop for p in (c.start, c.end))
        steps = [mid_line(made, made.length * k / 32) for k in range(33)]
        x, z = [p[0] for p in steps], [p[1] for p in steps]
        t = made.thickness
        low, high = np.array([min(x) - t, -half, min(z) - t]), np.array([max(x) + t, half, max(z) + t])
    turned = np.array(placement)
    middle = turned[:3, :3] @ ((low + high) / 2) + turned[:3, 3]
    reach = np.abs(turned[:3, :3]) @ ((high - low) / 2)
    return middle - reach, middle + reach


def _box_gap(a: tuple[Floats, Floats], b: tuple[Floats, Floats]) -> float:
    """Least distance of two boxes, [mm]."""
    return float(np.linalg.norm(np.maximum(np.maximum(a[0] - b[1], b[0] - a[1]), 0.0)))
