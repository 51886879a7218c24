"""Where a place on a part's axis is, and the dimensions that fix it, each with how far it may come out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.fits import general_tolerance
from turnmodel.catalog.refills import Refill, refill
from turnmodel.design.features.inside import Recess
from turnmodel.design.part import BoughtPart, Part, built
from turnmodel.design.surface import surface
from turnmodel.design.turned import Bored, Turned
from turnmodel.geometry.curve import Curve, Line, mirrored, nearest_on, shifted
from turnmodel.geometry.distance import least_between
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from turnmodel.design.face import Face
    from turnmodel.geometry.curve import Point

__all__ = ["GENERAL", "Link", "Spot", "face_spot", "point_spot", "rest_spot", "size_tolerance"]

_LEAST_MM, _MOST_MM = 0.5, 400.0  # the ends of the table of general tolerances

GENERAL: Final = Source(work="ISO 2768-1:1989", place="linear dimensions, class m")
"""What a size rests on that carries no tolerance of its own."""

_SEAT: Final = Source(work="house choice", place="drilled seat as its general tolerance", basis=Basis.HOUSE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A dimension that a distance rests on.

    Parameters
    ----------
    part, name : str
        Whose dimension it is, and which
    size : float
        Nominal size, [mm]
    share : float
        By how much the distance grows where the dimension grows by one, [-]
    minus, plus : float
        How far the dimension may come out below and above, [mm]
    even : bool
        Whether any size between is as likely as another, as among makers; else sizes gather in the middle
    source : Source
        What the spread rests on
    """

    part: str
    name: str
    size: float
    share: float
    minus: float
    plus: float
    even: bool = False
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place on a part's axis: its station [mm], the way it looks (+1, -1, 0 across), what fixes it."""

    part: str
    station: float
    looks: float
    links: tuple[Link, ...]


def rest_spot(
    part: BoughtPart, face: Face, other: Part, seat: Face, place: tuple[float, float, bool]
) -> Spot:
    """Find where a refill rests on a seat: on its shoulder, or where its cone fills the hole.

    Parameters
    ----------
    part : BoughtPart
        A refill of the catalog
    face : Face
        Its face "tip"
    other : Part
        The part it rests in
    seat : Face
        The face it rests on
    place : tuple of float, float, bool
        Station, [mm], turn, [degrees], and flip of the other part in the refill's frame

    Returns
    -------
    Spot
        Where it touches, and what that rests on
    """
    tip = surface(part, face).curves
    station, _, flip = place
    theirs = [shifted(mirrored(c) if flip else c, station) for c in surface(other, seat).curves]
    if not tip or not theirs:
        return face_spot(part, face)
    at = least_between(tip, theirs).a_at
    entry = refill(part.refill or "")
    links = _from_tip(part.name, entry, at[0])
    slope = _slope(tip, at)
    if slope:
        hole = 2 * at[1]
        tolerance = size_tolerance(hole)
        links = (
            *links,
            Link(
                part=other.name, name=f"hole it rests in, {hole:.3g} mm", size=hole, share=slope / 2,
                minus=tolerance, plus=tolerance, source=_SEAT,
            ),
        )  # fmt: skip
    return Spot(part=part.name, station=at[0], looks=-1.0, links=links)


def _slope(curves: tuple[Curve, ...], at: Point) -> float:
    """How far along the axis a cone goes for each millimetre of radius; 0 for a shoulder."""
    touched = [c for c in curves if isinstance(c, Line) and math.dist(nearest_on(c, at), at) < CONTACT_MM]
    slopes = [
        abs((c.end[0] - c.start[0]) / (c.end[1] - c.start[1])) for c in touched if c.end[1] != c.start[1]
    ]
    return min(slopes, default=0.0)


def _from_tip(name: str, entry: Refill, station: float) -> tuple[Link, ...]:
    """What fixes a station of a refill, counted from its tip."""
    shoulder = entry.station("tip shoulder")
    share = min(1.0, station / shoulder) if shoulder > 0 else 1.0
    span = dict(entry.spreads).get("tip shoulder")
    low, high = (span.low, span.high) if span else (shoulder, shoulder)
    return (
        Link(
            part=name, name=f"tip to shoulder, {shoulder:.4g} mm", size=shoulder, share=share,
            minus=max(0.0, shoulder - low), plus=max(0.0, high - shoulder), even=True,
            source=span.source if span else entry.station_source,
        ),
    )  # fmt: skip


def size_tolerance(size: float) -> float:
    """Give the general tolerance of a size; beyond the ends of the table, that of its nearest step.

    Parameters
    ----------
    size : float
        The size, [mm]

    Returns
    -------
    float
        Tolerance, plus and minus, [mm]

    Examples
    --------
    >>> size_tolerance(0.3), size_tolerance(12.0)
    (0.1, 0.2)
    """
    return general_tolerance(min(max(size, _LEAST_MM), _MOST_MM))


def _cut(part: str, name: str, size: float, share: float = 1.0) -> Link:
    """A dimension that is cut and carries no tolerance of its own."""
    tolerance = size_tolerance(size)
    return Link(
        part=part, name=f"{name} {size:.5g} mm", size=size, share=share,
        minus=tolerance, plus=tolerance, source=GENERAL,
    )  # fmt: skip


def _length(part: Part, made: Turned) -> Link:
    """A part's length over all."""
    if isinstance(part, BoughtPart) and part.refill:
        span = dict(refill(part.refill).spreads)["length"]
        minus, plus = max(0.0, made.length - span.low), max(0.0, span.high - made.length)
        return Link(
            part=part.name, name=f"length {made.length:.5g} mm", size=made.length, share=1.0,
            minus=minus, plus=plus, even=True, source=span.source,
        )  # fmt: skip
    return _cut(part.name, "length", made.length)


def face_spot(part: Part, face: Face) -> Spot:
    """Find where a named face lies and what fixes it.

    Parameters
    ----------
    part : Part
        The part
    face : Face
        One of its faces

    Returns
    -------
    Spot
        Its station, [mm], and the dimensions from the front face or the back

    Raises
    ------
    UnknownName, BadText
        If there is no such face
    """
    found = surface(part, face)
    station, looks = found.frame[2][3], float(round(found.frame[2][2]))
    made = built(part)
    if not isinstance(made, Turned) or face.name == "front":
        return Spot(part=part.name, station=station, looks=looks, links=())
    if face.name == "back":
        return Spot(part=part.name, station=station, looks=looks, links=(_length(part, made),))
    hole = next((b for b in made.inside if b.feature.mark == face.name), None)
    links = _hole_links(part, made, hole) if hole else _station_links(part, made, station)
    return Spot(part=part.name, station=station, looks=looks, links=links)


def point_spot(part: Part, station: float, radius: float, looks: float) -> Spot:
    """Find what fixes a point of a part's outline.

    Parameters
    ----------
    part : Part
        A turned or bought part
    station, radius : float
        The point, [mm]
    looks : float
        The way the face looks there, +1 or -1, [-]

    Returns
    -------
    Spot
        The place and the dimensions from the front face or the back
    """
    made = built(part)
    assert isinstance(made, Turned)
    holes = [
        b
        for b in made.inside
        if any(math.dist(nearest_on(c, (station, radius)), (station, radius)) < CONTACT_MM for c in b.floor)
    ]
    links = _hole_links(part, made, holes[0]) if holes else _station_links(part, made, station)
    return Spot(part=part.name, station=station, looks=looks, links=links)


def _station_links(part: Part, made: Turned, station: float) -> tuple[Link, ...]:
    if abs(station) < CONTACT_MM:
        return ()
    if abs(station - made.length) < CONTACT_MM:
        return (_length(part, made),)
    if isinstance(part, BoughtPart) and part.refill:
        return _from_tip(part.name, refill(part.refill), station)
    return (_cut(part.name, "station", station),)


def _hole_links(part: Part, made: Turned, hole: Bored) -> tuple[Link, ...]:
    """A hole's depth counts from its own face."""
    ends = [p[0] for c in hole.floor for p in (c.start, c.end)]
    deep = min(ends) if hole.from_back else max(ends)
    wide = max(ends) if hole.from_back else min(ends)
    given = deep if isinstance(hole.feature, Recess) else wide
    depth = made.length - given if hole.from_back else given
    if hole.from_back:
        return (_length(part, made), _cut(part.name, f"{hole.title} depth", depth, -1.0))
    return (_cut(part.name, f"{hole.title} depth", depth),)
