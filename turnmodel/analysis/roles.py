"""Which part plays which part: the refill, the nose it writes through, the cap over it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from turnmodel.design.part import BoughtPart, Part, built
from turnmodel.design.pose import body_at
from turnmodel.design.turned import Turned
from turnmodel.geometry.frame import coaxial
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.region import bounds
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.design.design import Design
    from turnmodel.geometry.body import Body
    from turnmodel.geometry.frame import Matrix
    from turnmodel.geometry.pieces import Piece
    from turnmodel.geometry.region import Region

__all__ = [
    "Cap",
    "Tip",
    "axial_body",
    "caps",
    "hole_radius",
    "outside_radius",
    "own_station",
    "radii",
    "tips",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tip:
    """A refill in a state: where its tip is in the object's frame [mm], its way, the part it is in."""

    part: str
    state: str
    station: float
    looks: float
    nose: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cap:
    """A part that covers a tip in some states and leaves it bare in others."""

    part: str
    tip: str
    closed: tuple[str, ...]
    posted: tuple[str, ...]


@lru_cache(maxsize=1024)
def axial_body(part: Part, matrix: Matrix) -> Body | None:
    """Place a turned part that stands on the object's axis; None where it does not."""
    made, place = built(part), coaxial(matrix)
    return body_at(made.body, place) if isinstance(made, Turned) and place is not None else None


def radii(region: Region, station: float) -> list[tuple[float, float]]:
    """List the intervals of radius that a region fills at a station, from the axis outwards, all [mm]."""
    heights = sorted(p.at(station) for p in _pieces(region) if p.z0 <= station < p.z1)
    return list(zip(heights[::2], heights[1::2], strict=False))


@lru_cache(maxsize=1024)
def _pieces(region: Region) -> tuple[Piece, ...]:
    return tuple(pieces(region.loops))


def hole_radius(region: Region, station: float) -> float | None:
    """Give the radius [mm] of what is open along the axis at a station [mm]; None beyond the ends."""
    filled = radii(region, station)
    return filled[0][0] if filled else None


def outside_radius(region: Region, station: float) -> float | None:
    """Give the greatest radius [mm] at a station [mm]; None beyond the ends."""
    filled = radii(region, station)
    return filled[-1][1] if filled else None


@lru_cache(maxsize=64)
def tips(design: Design) -> tuple[Tip, ...]:
    """Find the writing tips of an object in each of its states.

    Parameters
    ----------
    design : Design
        The design

    Returns
    -------
    tuple of Tip
        Refills of the catalog that stand on the object's axis; the nose is the part that reaches nearest to
        the tip and does not cover it
    """
    found = []
    for state, pose in design.poses.items():
        for part in design.parts:
            if not (isinstance(part, BoughtPart) and part.refill) or part.name not in pose.parts:
                continue
            place = coaxial(pose.parts[part.name])
            if place is not None:
                station, _, flip = place
                looks = 1.0 if flip else -1.0
                nose = _nose(design, state, part.name, station, looks)
                found.append(Tip(part=part.name, state=state, station=station, looks=looks, nose=nose))
    return tuple(found)


def _nose(design: Design, state: str, ink: str, tip: float, looks: float) -> str | None:
    """Of the parts that do not cover a tip, and the one it seats on, find whose end is nearest to it."""
    pose = design.poses[state]
    seats = {
        other.part
        for joint in pose.joints
        for mine, other in ((joint.moving, joint.fixed), (joint.fixed, joint.moving))
        if mine.part == ink and mine.name == "tip"
    }
    nearest: tuple[float, str | None] = (math.inf, None)
    for part in design.parts:
        if part.name == ink or part.name not in pose.parts:
            continue
        body = axial_body(part, pose.parts[part.name])
        if body is None or (_covers(body, tip, looks) and part.name not in seats):
            continue
        z0, z1, _, _ = bounds(body.plain)
        end = z1 if looks > 0 else z0
        nearest = min(nearest, (abs(tip - end), part.name), key=lambda pair: pair[0])
    return nearest[1]


def _covers(body: Body, tip: float, looks: float) -> bool:
    """Whether a body that is open on the side of the refill reaches beyond its tip."""
    z0, z1, _, _ = bounds(body.plain)
    mouth = z1 - CONTACT_MM if looks < 0 else z0 + CONTACT_MM
    return z0 < tip < z1 and bool(hole_radius(body.plain, mouth))


@lru_cache(maxsize=64)
def caps(design: Design) -> tuple[Cap, ...]:
    """Find the caps of an object.

    Parameters
    ----------
    design : Design
        The design

    Returns
    -------
    tuple of Cap
        Parts that go round a refill's tip, and past it, in one state, and in another are laid aside or stand
        elsewhere; nothing else is a cap, whatever it is called. A state in which such a part stands elsewhere
        is one in which it is posted.
    """
    found = []
    for part in design.parts:
        for ink in dict.fromkeys(tip.part for tip in tips(design)):
            closed: list[str] = []
            posted: list[str] = []
            bare = False
            for tip in (t for t in tips(design) if t.part == ink):
                matrix = design.poses[tip.state].parts.get(part.name)
                if matrix is None:
                    bare = True
                    continue
                body = axial_body(part, matrix)
                if body is None or part.name in (ink, tip.nose):
                    continue
                (closed if _covers(body, tip.station, tip.looks) else posted).append(tip.state)
            if closed and (posted or bare):
                cap = Cap(part=part.name, tip=ink, closed=tuple(closed), posted=tuple(posted))
                found.append(cap)
    return tuple(found)


def own_station(design: Design, state: str, name: str, station: float) -> float:
    """Give a station of the object [mm] in a part's own frame."""
    place = coaxial(design.poses[state].parts[name])
    assert place is not None
    return place[0] - station if place[2] else station - place[0]
