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
from turnmodel.geometry.tolerance import CONTACT_MM3, FACETS, NEAR_MM, SAME_MM, sagitta

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.design.design import Design
    from turnmodel.geometry.curve import Box
    from turnmodel.shape.lathe import Mesh
    from turnmodel.shape.part import Purpose

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
    touching = {frozenset((j.moving.part, j.fixed.part)) for j in pose.joints if j.closed}
    pressed = {frozenset((j.moving.part, j.fixed.part)) for j in pose.joints if isinstance(j, Press)}
    present = [part for part in design.parts if part.name in pose.parts]
    found = []
    for a, b in combinations(present, 2):
        pair = frozenset((a.name, b.name))
        relative = _rounded(composed(inverse(pose.parts[a.name]), pose.parts[b.name]))
        overlap, least, place = _meeting(a, b, relative, pair in touching)
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
def _meeting(
    a: Part, b: Part, relative: Matrix, touching: bool
) -> tuple[float, float | None, tuple[float, float] | None]:
    """Overlap, least distance and place of two parts, the second placed in the frame of the first."""
    one, other = built(a), built(b)
    place = coaxial(relative)
    if place is not None and isinstance(one, Turned) and isinstance(other, Turned):
        placed = body_at(other.body, place)
        overlap = body_overlap(one.body, placed)
        if overlap <= CONTACT_MM3:
            return 0.0, body_distance(one.body, placed).distance, None
        box = overlap_place(one.body.plain, placed.plain)
        if box is None or not (_cut_between(a, box.z0, box.z1) or _cut_between(b, *_seen(place, box))):
            return overlap, 0.0, (box.z0, box.z1) if box else None
    return _by_mesh(a, b, relative, place is not None, touching)


def _cut_between(part: Part, z0: float, z1: float) -> bool:
    """Whether anything is cut across a turned part between two of its stations [mm]."""
    made = built(part)
    assert isinstance(made, Turned)
    return any(cut.start < z1 and cut.end > z0 for cut in made.across)


def _seen(place: tuple[float, float, bool], box: Box) -> tuple[float, float]:
    """Stations [mm] of a box in the frame of the part that stands at a place."""
    station, _, flip = place
    return (station - box.z1, station - box.z0) if flip else (box.z0 - station, box.z1 - station)


def _by_mesh(
    a: Part, b: Part, relative: Matrix, on_one_axis: bool, touching: bool
) -> tuple[float, float | None, tuple[float, float] | None]:
    """Judge two parts by their meshes, those that are far apart by their boxes alone."""
    clash = _cross_threads(a, b, relative) + _cross_threads(b, a, inverse(relative))
    if clash > CONTACT_MM3:
        return clash, 0.0, None
    if _box_gap(_box(a), _box(b, relative)) > NEAR_MM:
        return 0.0, None, None
    from turnmodel.shape.measures import mesh_volume
    from turnmodel.shape.mesh import intersection, moved
    from turnmodel.shape.part import part_mesh, placed_mesh

    mine: Purpose = "core" if _screwed_across(b, a, inverse(relative)) else "fit"
    yours: Purpose = "core" if _screwed_across(a, b, relative) else "fit"
    one = part_mesh(a, mine)
    other = placed_mesh(b, relative, yours) if on_one_axis else moved(part_mesh(b, yours), relative, b.name)
    between = _box_gap(*((m.vertices.min(axis=0), m.vertices.max(axis=0)) for m in (one, other)))
    if between > NEAR_MM:
        return 0.0, None, None
    names = (a.name, b.name)
    least = 0.0 if touching else _nearest(one, other, between, names)
    if least is None or least > 0:
        return 0.0, least, None
    if _out_of_box(one, other) or _out_of_box(other, one):
        return 0.0, 0.0, None
    common = intersection(one, other, names=names)
    volume = mesh_volume(common) if len(common.faces) else 0.0
    if volume > CONTACT_MM3:
        size = np.sort(common.vertices.max(axis=0) - common.vertices.min(axis=0))
        widest = 2 * float(np.abs(one.vertices[:, :2]).max())
        if volume > 2 * sagitta(widest, FACETS) * size[1] * size[2]:
            z = common.vertices[:, 2]
            return volume, 0.0, (float(z.min()), float(z.max()))
    return 0.0, 0.0, None


def _out_of_box(one: Mesh, other: Mesh) -> bool:
    """Whether the box of a mesh holds nothing of another, but for a skin of SAME_MM: they touch at the most.

    No face of the other reaches into the box, and the box reaches out of the other's, so that it is not
    inside.
    """
    low, high = one.vertices.min(axis=0) + SAME_MM, one.vertices.max(axis=0) - SAME_MM
    if (low >= other.vertices.min(axis=0)).all() and (high <= other.vertices.max(axis=0)).all():
        return False
    a, b, c = (other.vertices.take(other.faces[:, k], axis=0) for k in range(3))
    least, most = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
    return not ((least < high) & (most > low)).all(axis=1).any()


def _nearest(one: Mesh, other: Mesh, between: float, names: tuple[str, str]) -> float | None:
    """Least distance [mm] of two meshes whose boxes are so far apart; None beyond what is looked for."""
    from turnmodel.shape.mesh import gap

    # The search costs more the further it looks, so it looks near first.
    for search in (NEAR_MM / 200, NEAR_MM / 20, NEAR_MM / 10, NEAR_MM / 4, NEAR_MM / 2, NEAR_MM):
        if between < search and (least := gap(one, other, search, names=names)) is not None:
            return least
    return None


def _screwed_across(holder: Part, screw: Part, relative: Matrix) -> bool:
    """Whether a part stands on the axis of another's cross tap with a thread of its own."""
    return bool(_tapped(holder, screw, relative))


def _tapped(holder: Part, screw: Part, relative: Matrix) -> list[tuple[CrossTap, tuple[float, float, bool]]]:
    """Cross taps of one part on whose axis another with a thread stands, and its place in their frames."""
    made, other = built(holder), built(screw)
    if not (isinstance(made, Turned) and isinstance(other, Turned)):
        return []
    if not any(span.external for span in other.body.threads):
        return []
    found = []
    for cut in made.across:
        if isinstance(cut.feature, CrossTap):
            place = coaxial(composed(inverse(cross_surface(cut).frame), relative))
            if place is not None:
                found.append((cut.feature, place))
    return found


def _cross_threads(holder: Part, screw: Part, relative: Matrix) -> float:
    """Overlap of a cross tap's thread with the screw that stands in it, [mm3]: exact, as on any one axis."""
    total = 0.0
    for feature, place in _tapped(holder, screw, relative):
        span, other = cross_thread(feature), built(screw)
        assert isinstance(other, Turned)
        wall = ring(span.start, span.end, 2 * span.thread.major_d, feature.diameter)
        total += body_overlap(Body(plain=wall, threads=(span,)), body_at(other.body, place))
    return total


def _box(part: Part, placement: Matrix = IDENTITY) -> tuple[Floats, Floats]:
    """Bound a placed part by a box, [mm]."""
    low, high = _extent(part)
    turned = np.array(placement)
    middle = turned[:3, :3] @ ((low + high) / 2) + turned[:3, 3]
    reach = np.abs(turned[:3, :3]) @ ((high - low) / 2)
    return middle - reach, middle + reach


@lru_cache(maxsize=256)
def _extent(part: Part) -> tuple[Floats, Floats]:
    """Bound a part in its own frame by a box, [mm]."""
    made = built(part)
    if isinstance(made, Turned):
        z0, z1, _, r = bounds(made.body.plain)
        return np.array([-r, -r, z0]), np.array([r, r, z1])
    half = max(p[1] for loop in made.half.loops for c in loop for p in (c.start, c.end))
    steps = [mid_line(made, made.length * k / 32) for k in range(33)]
    x, z = [p[0] for p in steps], [p[1] for p in steps]
    t = made.thickness
    return np.array([min(x) - t, -half, min(z) - t]), np.array([max(x) + t, half, max(z) + t])


def _box_gap(a: tuple[Floats, Floats], b: tuple[Floats, Floats]) -> float:
    """Least distance of two boxes, [mm]."""
    return float(np.linalg.norm(np.maximum(np.maximum(a[0] - b[1], b[0] - a[1]), 0.0)))
