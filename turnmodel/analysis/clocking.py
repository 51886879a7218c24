"""At which angle a screwed part stops, where both sides of the joint carry something off the axis."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.weight import part_weight
from turnmodel.design.features.across import CrossHole, CrossTap, Flat, radial
from turnmodel.design.part import built
from turnmodel.design.turned import Turned
from turnmodel.geometry.frame import Matrix, coaxial, composed, inverse, point_at, turned_by

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from turnmodel.analysis.screwed import Screwed
    from turnmodel.design.design import Design
    from turnmodel.design.part import Part

__all__ = ["Clocked", "clocked"]

_OFF_MM: Final = 0.1
"""Farther off the axis than this [mm] a part's balance point shows to which side it stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clocked:
    """How two things off the axis stand to each other when a screw joint is home.

    ``angle`` is from the fixed one to the moving one, counter-clockwise about the axis of the part that is
    held, -180 to 180 [degrees]; ``off`` is what must come off the stop for 0, from 0 to a pitch [mm].
    """

    moving: str
    fixed: str
    angle: float
    off: float


def clocked(design: Design, pair: Screwed) -> Clocked | None:
    """Tell how what a screw joint moves stops to what it is screwed to.

    Parameters
    ----------
    design : Design
        The design
    pair : Screwed
        One of its screw joints

    Returns
    -------
    Clocked or None
        None where one side carries nothing off the axis, or both hang together without this joint
    """
    pose = design.poses[pair.shown]
    links = [(j.moving.part, j.fixed.part) for j in pose.joints if j is not pair.joint]
    mine = _tied(pair.joint.moving.part, links)
    theirs = _tied(pair.joint.fixed.part, links)
    if mine & theirs:
        return None
    sides = []
    for names in (mine, theirs):
        parts = [part for part in design.parts if part.name in names]
        to_axis = inverse(pair.base)
        placed = [(part, composed(to_axis, pose.parts[part.name])) for part in parts]
        found = next(_aside(placed), None) or next(_across(placed), None)
        if found is None:
            return None
        sides.append(found)
    (moving, one), (fixed, other) = sides
    angle = 180 - (180 - (one - other)) % 360
    thread = pair.male.span.thread
    back = -angle * (-1 if thread.left else 1) * thread.lead / 360
    closing = pair.into if pair.male.part.name == pair.joint.moving.part else -pair.into
    return Clocked(moving=moving, fixed=fixed, angle=angle, off=(back * closing) % thread.pitch)


def _tied(name: str, links: Iterable[tuple[str, str]]) -> set[str]:
    """Names of everything that hangs together with a part."""
    links = list(links)
    tied = {name}
    while more := {n for link in links if tied & set(link) for n in link} - tied:
        tied |= more
    return tied


def _aside(placed: Iterable[tuple[Part, Matrix]]) -> Iterator[tuple[str, float]]:
    """List the parts that stand off the axis, and to which side [degrees]."""
    for part, matrix in placed:
        if coaxial(matrix) is None:
            x, y, _ = point_at(matrix, part_weight(part).center)
            if math.hypot(x, y) > _OFF_MM:
                yield part.name, math.degrees(math.atan2(y, x))


def _across(placed: Iterable[tuple[Part, Matrix]]) -> Iterator[tuple[str, float]]:
    """List the holes and single flats across parts on the axis, and to which side they look [degrees]."""
    for part, matrix in placed:
        made = built(part)
        if not isinstance(made, Turned) or coaxial(matrix) is None:
            continue
        for cut in made.across:
            feature = cut.feature
            if isinstance(feature, CrossHole | CrossTap) or (
                isinstance(feature, Flat) and feature.count == 1
            ):
                x, y, _ = turned_by(matrix, radial(feature.angle))
                yield f"{cut.title} of {part.name}", math.degrees(math.atan2(y, x))
