"""The parts of a design's state as pieces before the camera."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.analysis.apart import drawn_off, moves, ties
from turnmodel.catalog.finishes import finish
from turnmodel.catalog.materials import material
from turnmodel.design.features.outside import Cylinder
from turnmodel.design.ledger import mm
from turnmodel.design.part import BoughtPart, StripPart, TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.frame import coaxial, composed, turn, turned_by
from turnmodel.output.pictures.appearance import Appearance, appearance, finished
from turnmodel.output.pictures.bands import banded
from turnmodel.output.pictures.scene import Knurled, Piece
from turnmodel.shape.part import placed_mesh

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from turnmodel.design.design import Design
    from turnmodel.design.part import Part
    from turnmodel.geometry.frame import Matrix
    from turnmodel.shape.lathe import Mesh

__all__ = ["part_appearance", "pieces"]

Triple = tuple[float, float, float]


def part_appearance(part: Part) -> Appearance:
    """Tell how a part looks, by its material and its finish."""
    if isinstance(part, BoughtPart):
        return appearance("ink refill" if part.refill is not None else "bought")
    family = material(part.material).family
    seen = appearance(family)
    if isinstance(part, TurnedPart | StripPart) and part.finish is not None:
        return finished(seen, family, finish(part.finish))
    return seen


def _knurls(part: Part) -> tuple[Knurled, ...]:
    """List where a part is knurled, in its own frame."""
    made = built(part)
    if not isinstance(made, Turned):
        return ()
    return tuple(
        Knurled(start=place.start, end=place.end, pitch=mm(place.feature.knurled.pitch))
        for place in made.outside
        if isinstance(place.feature, Cylinder) and place.feature.knurled is not None
    )


def pieces(design: Design, state: str, *, cut: bool = False) -> tuple[Piece, ...]:
    """Mesh the parts of a state where they stand, what stands off the axis turned into the plane of the cut.

    Parameters
    ----------
    design : Design
        The design
    state : str
        Name of the state
    cut : bool
        Whether the quarter x > 0, y < 0 is taken out of every part that is not bought

    Returns
    -------
    tuple of Piece
        In the order of the design's parts
    """
    pose = design.poses[state]
    present = [part for part in design.parts if part.name in pose.parts]
    upright = turn(_off_axis(present, pose.parts) - (_CUT_AT if cut else 0.0))
    placed = {part.name: composed(upright, pose.parts[part.name]) for part in present}
    knurls = {part.name: _knurls(part) for part in present}
    meshes = {part.name: _seen(part, placed[part.name], knurls[part.name], cut=cut) for part in present}
    tied = ties(design, state)
    steps = [replace(s, direction=turned_by(upright, s.direction)) for s in drawn_off(design, state)]
    apart = moves({name: mesh.vertices for name, mesh in meshes.items()}, steps)
    return tuple(
        Piece(
            name=part.name,
            mesh=meshes[part.name],
            appearance=part_appearance(part),
            frame=placed[part.name],
            round=isinstance(built(part), Turned),
            knurls=knurls[part.name],
            moves=tuple(move.shift if part.name in move.parts else (0.0, 0.0, 0.0) for move in apart),
            foot=turned_by(upright, tied[part.name].foot) if part.name in tied else None,
        )
        for part in present
    )


def _seen(part: Part, placed: Matrix, knurls: Sequence[Knurled], *, cut: bool) -> Mesh:
    """Mesh a part where it stands, its faces broken where a knurl begins and ends."""
    mesh = placed_mesh(part, placed, quarter_out=cut and not isinstance(part, BoughtPart))
    if not knurls:
        return mesh
    frame = np.array(placed)
    along = (mesh.vertices - frame[:3, 3]) @ frame[:3, 2]
    return banded(mesh, along, {z for knurl in knurls for z in (knurl.start, knurl.end)})


def _off_axis(present: list[Part], placements: Mapping[str, Matrix]) -> float:
    """Angle [degrees] that brings the first part off the axis to angle 0."""
    for part in present:
        matrix = placements[part.name]
        if coaxial(matrix) is None:
            x, y = matrix[0][3], matrix[1][3]
            if math.hypot(x, y) > 0:
                return -math.degrees(math.atan2(y, x))
    return 0.0


_CUT_AT: Final = 90.0
"""From angle 0 back to the plane of the cut that faces the camera, [degrees]."""
