"""Hold the volume of each part, computed by one way, to the same computed by another."""

from __future__ import annotations

from dataclasses import dataclass

from turnmodel.analysis.weight import part_weight
from turnmodel.design.part import Part, built
from turnmodel.design.turned import Turned
from turnmodel.errors import WitnessError
from turnmodel.geometry.body import Body
from turnmodel.geometry.tolerance import FACETS, circle_deficit

__all__ = ["Witnesses", "witnessed"]

_SOLID_BOUND = 1e-6  # relative: the CAD kernel's integration of its own exact surfaces


@dataclass(frozen=True, slots=True, kw_only=True)
class Witnesses:
    """A part's volume [mm3] by each way, and how far apart, relative, they may be.

    ``exact`` is the closed form's, None where a cross cut reaches a thread; ``mesh`` the mesh's; ``solid``
    that of the CAD solid, whose threads are plain, None where none was built.
    """

    exact: float | None
    mesh: float
    solid: float | None
    bound: float


def witnessed(part: Part, *, solid: bool = False) -> Witnesses:
    """Compute a part's volume by every way and hold each to the others.

    Raises
    ------
    WitnessError
        If two disagree by more than the bound derived for them
    """
    from turnmodel.shape.measures import bound, mesh_volume
    from turnmodel.shape.part import part_mesh

    made = built(part)
    exact = part_weight(part).exact
    if isinstance(made, Turned):
        # What is cut across may be light by as much as the round body is, once more.
        mesh, limit = _mesh_volume(part, made), bound(made.body)
        limit += circle_deficit(FACETS) if made.across else 0.0
    else:
        from turnmodel.shape.strip import strip_bound

        mesh, limit = mesh_volume(part_mesh(part)), strip_bound(made)
    if exact is not None and abs(mesh / exact - 1) > limit:
        raise WitnessError(part.name, "mm3", {"closed form": exact, "mesh": mesh}, limit)
    found = None
    if solid:
        from turnmodel.shape.exact import part_solid

        found = part_solid(part).Volume()
    return Witnesses(exact=exact, mesh=mesh, solid=found, bound=limit)


def _mesh_volume(part: Part, made: Turned) -> float:
    """Volume of a turned part's mesh, [mm3]; threads that no cut touches are measured apart, faster."""
    from turnmodel.shape.lathe import lathe
    from turnmodel.shape.measures import mesh_volume
    from turnmodel.shape.part import part_mesh

    if not made.across:
        return mesh_volume(part_mesh(part))
    spans = made.body.threads
    if any(cut.start < span.end and cut.end > span.start for cut in made.across for span in spans):
        return mesh_volume(part_mesh(part, "weigh"))
    plain = mesh_volume(part_mesh(part, "fit"))
    if not spans:
        return plain
    return plain + mesh_volume(lathe(made.body)) - mesh_volume(lathe(Body(plain=made.body.plain)))
