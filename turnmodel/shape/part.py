"""The mesh of a part of a design: turned, cut across, bent from strip."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from typing import Literal

from turnmodel.design.features.across import CrossTap
from turnmodel.design.ledger import mm
from turnmodel.design.part import Part, built
from turnmodel.design.pose import body_at, cross_thread
from turnmodel.design.surface import cross_surface
from turnmodel.design.turned import CrossCut, Turned
from turnmodel.geometry.across import Block, CrossCylinder, Tool
from turnmodel.geometry.body import Body, ThreadSpan
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.frame import IDENTITY, Matrix, coaxial
from turnmodel.geometry.region import ring
from turnmodel.geometry.thread_moments import body_moments, span_region
from turnmodel.geometry.tolerance import FACETS
from turnmodel.shape.lathe import CUT, Mesh, lathe
from turnmodel.shape.measures import transformed

__all__ = ["Purpose", "mean_bore", "part_mesh", "placed_mesh"]

Purpose = Literal["show", "weigh", "fit", "core"]
"""What a mesh is for.

"show" has every thread as its helix, and so has "weigh", with each polygon at the area of its circle and
cross taps bored to the diameter of their mean square. "fit" has no helix: screws stand at their crests, holes
as they were drilled, to judge what lies round them. "core" is "fit" with screws turned down to their roots,
to judge what lies round a joint that is screwed across.
"""

_FAR = 1e3  # mm, larger than any object of a small lathe


def part_mesh(part: Part, purpose: Purpose = "show", facets: int = FACETS) -> Mesh:
    """Mesh a part in its own frame.

    Parameters
    ----------
    part : Part
        The part
    purpose : {"show", "weigh", "fit", "core"}
        What the mesh is for
    facets : int
        Facets round a full circle, [-]

    Returns
    -------
    Mesh
        Closed, looking outwards, [mm]
    """
    if purpose in ("fit", "core") and not _threaded(part):
        purpose = "show"
    return _own_mesh(part, purpose, facets)


@lru_cache(maxsize=256)
def _own_mesh(part: Part, purpose: Purpose, facets: int) -> Mesh:
    return placed_mesh(part, IDENTITY, purpose, facets)


def _threaded(part: Part) -> bool:
    """Whether a part has a thread anywhere, which some purposes leave out."""
    made = built(part)
    if not isinstance(made, Turned):
        return False
    return bool(made.body.threads) or any(isinstance(cut.feature, CrossTap) for cut in made.across)


def placed_mesh(
    part: Part,
    placement: Matrix,
    purpose: Purpose = "show",
    facets: int = FACETS,
    *,
    quarter_out: bool = False,
) -> Mesh:
    """Mesh a part where it stands; parts on the object's axis share their facet angles.

    Parameters
    ----------
    part : Part
        The part
    placement : tuple of 4 rows
        Where it stands
    purpose : {"show", "weigh", "fit", "core"}
        What the mesh is for
    facets : int
        Facets round a full circle, [-]
    quarter_out : bool
        Whether the quarter x > 0, y < 0 of the object's frame is taken out

    Returns
    -------
    Mesh
        Closed, looking outwards, [mm]
    """
    made = built(part)
    axial = coaxial(placement)
    if not isinstance(made, Turned):
        from turnmodel.shape.strip import strip_mesh

        whole = transformed(strip_mesh(made), placement)
    else:
        body = made.body
        if purpose in ("fit", "core"):
            body = _cored(made.body) if purpose == "core" else Body(plain=made.body.plain)
        place = placement if axial else IDENTITY
        sector = 270.0 if quarter_out and axial and not made.across else 360.0
        whole = lathe(body_at(body, axial) if axial else body, facets, sector, area_true=purpose == "weigh")
        if sector < 360:
            return whole
        if made.across:
            whole = _cut_across(part.name, made, whole, place, purpose, facets)
        if not axial:
            whole = transformed(whole, placement)
    return _quartered(whole, part.name) if quarter_out else whole


def _cored(body: Body) -> Body:
    """Turn the screws of a body down to their roots; its holes stay as they were drilled."""
    male = [span_region(span) for span in body.threads if span.external]
    return Body(plain=difference(body.plain, *male) if male else body.plain)


def _cut_across(name: str, made: Turned, mesh: Mesh, place: Matrix, purpose: Purpose, facets: int) -> Mesh:
    from turnmodel.shape.mesh import cut, tool_mesh

    cutters = []
    for entry in made.across:
        if purpose == "show" and isinstance(entry.feature, CrossTap):
            cutters.append(
                transformed(lathe(_screw(entry, entry.feature), facets), cross_surface(entry).frame)
            )
            continue  # its core is the hole: bored again at the same diameter it would leave slivers
        for tool in entry.tools:
            if isinstance(entry.feature, CrossTap):
                tool = mean_bore(tool, entry.feature)
            cutters.append(tool_mesh(tool, facets))
    return cut(mesh, *(transformed(cutter, place) for cutter in cutters), name=name)


def _screw(entry: CrossCut, feature: CrossTap) -> Body:
    """What a cross tap removes, in the frame of its mouth: a screw of the hole's own form."""
    span = cross_thread(feature)
    minor, crest = feature.diameter / 2, span.thread.major_d / 2
    proud = 2 * span.thread.pitch
    depth = 2 * entry.surface_r + proud if feature.through else entry.surface_r
    if feature.depth is not None:
        depth = mm(feature.depth)
    screw = replace(
        span,
        external=True,
        start=-depth,
        end=proud,
        floor=((-depth, minor), (proud, minor)),
        ceiling=((-depth, crest), (proud, crest)),
    )
    return Body(plain=ring(-depth, proud, 2 * crest), threads=(screw,))


def mean_bore(tool: Tool, feature: CrossTap) -> Tool:
    """Bore a cross tap's hole to the diameter that removes as much as its thread does."""
    assert isinstance(tool, CrossCylinder)
    return replace(tool, diameter=_mean_d(cross_thread(feature), feature.diameter))


@lru_cache(maxsize=64)
def _mean_d(span: ThreadSpan, drilled: float) -> float:
    """Diameter [mm] of the hole that a thread and the hole it is cut in take together; that was drilled."""
    length = span.end - span.start
    plain = Body(plain=ring(span.start, span.end, 2 * span.thread.major_d, drilled))
    threaded = replace(plain, threads=(span,))
    taken = body_moments(plain).volume - body_moments(threaded).volume
    return math.sqrt(drilled**2 + 4 * taken / (math.pi * length))


def _quartered(mesh: Mesh, name: str) -> Mesh:
    from turnmodel.shape.mesh import cut, tool_mesh

    half = _FAR / 2
    axes = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    corner = Block(center=(half, -half, 0.0), size=(_FAR, _FAR, 2 * _FAR), axes=axes)
    return cut(mesh, tool_mesh(corner, tag=CUT), name=name)
