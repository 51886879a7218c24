"""The parts of a design's state as pieces before the camera."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from turnmodel.analysis.order import taken_apart
from turnmodel.catalog.finishes import finish
from turnmodel.catalog.materials import material
from turnmodel.design.features.outside import Cylinder
from turnmodel.design.ledger import mm
from turnmodel.design.part import BoughtPart, StripPart, TurnedPart, built
from turnmodel.design.surface import surface
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
    ways = _ways(design, state, upright, placed)
    knurls = {part.name: _knurls(part) for part in present}
    return tuple(
        Piece(
            name=part.name,
            mesh=_seen(part, placed[part.name], knurls[part.name], cut=cut),
            appearance=part_appearance(part),
            frame=placed[part.name],
            round=isinstance(built(part), Turned),
            knurls=knurls[part.name],
            pull=ways[part.name].pull if part.name in ways else (0.0, 0.0, 0.0),
            carrier=ways[part.name].carrier if part.name in ways else None,
            foot=ways[part.name].foot if part.name in ways else None,
            turn_off=ways[part.name].turn_off if part.name in ways else 0,
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


class _Way(NamedTuple):
    pull: Triple
    carrier: str
    foot: Triple | None
    turn_off: int


def _ways(design: Design, state: str, upright: Matrix, placed: dict[str, Matrix]) -> dict[str, _Way]:
    """Tell by which way each part is drawn off the one that carries it, as it really comes apart."""
    ways = _jointed(design, state, placed)
    for number, step in enumerate(taken_apart(design, state)[0], start=1):
        head = step.parts[0]
        joined = ways.get(head)
        # A part that is drawn off the whole object still goes with the one it was joined to.
        carrier = joined.carrier if joined and joined.carrier in step.rest else step.rest[0]
        ways[head] = _Way(
            turned_by(upright, step.direction), carrier, joined.foot if joined else None, number
        )
    return ways


def _jointed(design: Design, state: str, placed: dict[str, Matrix]) -> dict[str, _Way]:
    """Tell the same by the joints alone, as if nothing stood in the way."""
    ways: dict[str, _Way] = {}
    standing = {next(iter(placed))}
    waiting = list(design.poses[state].joints)
    while waiting:
        ready = next((j for j in waiting if {j.moving.part, j.fixed.part} & standing), None)
        if ready is None:
            break
        waiting.remove(ready)
        forward = ready.fixed.part in standing
        carrier, other = (ready.fixed, ready.moving) if forward else (ready.moving, ready.fixed)
        if other.part in standing:
            continue
        face = composed(placed[carrier.part], surface(design.part(carrier.part), carrier).frame)
        pull, foot = ((face[0][k], face[1][k], face[2][k]) for k in (2, 3))
        ways[other.part] = _Way(pull, carrier.part, foot, len(ways) + 1)
        standing.add(other.part)
    return ways
