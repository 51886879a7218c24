"""The mesh of a part of a design: turned, cut across, bent from strip."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from turnmodel.design.features.across import CrossTap
from turnmodel.design.ledger import mm
from turnmodel.design.part import Part, built
from turnmodel.design.pose import body_at, cross_thread
from turnmodel.design.surface import cross_surface
from turnmodel.design.turned import Turned
from turnmodel.geometry.across import Block
from turnmodel.geometry.body import Body
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.frame import IDENTITY, Matrix, coaxial
from turnmodel.geometry.region import ring
from turnmodel.geometry.thread_moments import span_region
from turnmodel.geometry.tolerance import FACETS
from turnmodel.shape.lathe import CUT, Mesh, lathe
from turnmodel.shape.measures import transformed

__all__ = ["cored", "part_mesh", "placed_mesh"]

_FAR = 1e3  # mm, larger than any object of a small lathe


def cored(body: Body) -> Body:
    """Turn the external threads of a body down to their roots; internal ones stay drilled."""
    male = [span for span in body.threads if span.external]
    plain = difference(body.plain, *(span_region(span) for span in male)) if male else body.plain
    return Body(plain=plain)


@lru_cache(maxsize=256)
def part_mesh(part: Part, facets: int = FACETS, *, area_true: bool = False, core: bool = False) -> Mesh:
    """Mesh a part in its own frame.

    Parameters
    ----------
    part : Part
        The part
    facets : int
        Facets round a full circle, [-]
    area_true : bool
        Whether each polygon is to have its circle's area, for weighing
    core : bool
        Whether screws are turned down to their roots and cross taps left as drilled, to judge what lies
        round a screwed joint

    Returns
    -------
    Mesh
        Closed, looking outwards
    """
    return placed_mesh(part, IDENTITY, facets, area_true=area_true, core=core)


def placed_mesh(
    part: Part,
    placement: Matrix,
    facets: int = FACETS,
    *,
    area_true: bool = False,
    core: bool = False,
    quarter_out: bool = False,
) -> Mesh:
    """Mesh a part where it stands; parts on the object's axis share their facet angles.

    Parameters
    ----------
    part : Part
        The part
    placement : tuple of 4 rows
        Where it stands
    facets : int
        Facets round a full circle, [-]
    area_true, core : bool
        As for :func:`part_mesh`
    quarter_out : bool
        Whether the quarter x > 0, y < 0 of the object's frame is taken out

    Returns
    -------
    Mesh
        Closed, looking outwards
    """
    made = built(part)
    axial = coaxial(placement)
    if isinstance(made, Turned) and axial is not None:
        body = body_at(cored(made.body) if core else made.body, axial)
        if not made.across:
            return lathe(body, facets, 270.0 if quarter_out else 360.0, area_true=area_true)
        whole = _cut_across(
            part, made, lathe(body, facets, area_true=area_true), placement, facets, core=core
        )
    elif isinstance(made, Turned):
        plain = lathe(cored(made.body) if core else made.body, facets, area_true=area_true)
        whole = transformed(_cut_across(part, made, plain, IDENTITY, facets, core=core), placement)
    else:
        from turnmodel.shape.strip import strip_mesh

        whole = transformed(strip_mesh(made), placement)
    return _quartered(whole, part.name) if quarter_out else whole


def _cut_across(part: Part, made: Turned, mesh: Mesh, placement: Matrix, facets: int, *, core: bool) -> Mesh:
    if not made.across:
        return mesh
    from turnmodel.shape.mesh import cut, tool_mesh

    cutters = [transformed(tool_mesh(tool, facets), placement) for tool in made.tools]
    if not core:
        for entry in made.across:
            if isinstance(entry.feature, CrossTap):
                mouth = cross_surface(made, entry).frame
                plug = transformed(lathe(_plug(entry.feature, entry.surface_r), facets), mouth)
                cutters.append(transformed(plug, placement))
    return cut(mesh, *cutters, name=part.name)


def _plug(feature: CrossTap, surface_r: float) -> Body:
    """What a cross tap removes, in the frame of its mouth: the thread as a screw of the hole's own form."""
    span = cross_thread(feature)
    depth = 2 * surface_r if feature.through else surface_r
    if feature.depth is not None:
        depth = mm(feature.depth)
    minor, crest = feature.diameter / 2, span.thread.major_d / 2
    proud = 2 * span.thread.pitch
    screw = replace(
        span,
        external=True,
        start=-depth,
        end=proud,
        floor=((-depth, minor), (proud, minor)),
        ceiling=((-depth, crest), (proud, crest)),
    )
    return Body(plain=ring(-depth, proud, 2 * crest), threads=(screw,))


def _quartered(mesh: Mesh, name: str) -> Mesh:
    from turnmodel.shape.mesh import cut, tool_mesh

    half = _FAR / 2
    axes = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    corner = Block(center=(half, -half, 0.0), size=(_FAR, _FAR, 2 * _FAR), axes=axes)
    return cut(mesh, tool_mesh(corner, tag=CUT), name=name)
