"""Find the surface that a named face means."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from turnmodel.design.face import Face, Surface
from turnmodel.design.features.across import CrossHole, CrossTap, Flat, Saddle, radial
from turnmodel.design.features.inside import Recess
from turnmodel.design.part import BoughtPart, Built, Part, StripPart, built
from turnmodel.design.turned import Bored, CrossCut, Turned
from turnmodel.errors import BadText, UnknownName
from turnmodel.geometry.curve import Arc, Curve, Line
from turnmodel.geometry.frame import Matrix, frame
from turnmodel.geometry.strip import Strip, mid_line
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from collections.abc import Iterable

    from turnmodel.design.outline import Place

__all__ = ["cross_surface", "face_names", "surface"]

_X = (1.0, 0.0, 0.0)


def face_names(part: Part) -> tuple[str, ...]:
    """List the faces of a part that a joint can name."""
    made = built(part)
    if isinstance(part, StripPart):
        return tuple(part.holes)
    assert isinstance(made, Turned)
    placed: tuple[Place | Bored | CrossCut, ...] = (*made.outside, *made.inside, *made.across)
    marked = [entry.feature.mark for entry in placed]
    bought = ("tip",) if isinstance(part, BoughtPart) and part.refill else ()
    return ("front", "back", *bought, *(mark for mark in marked if mark))


@lru_cache(maxsize=2048)
def surface(part: Part, face: Face) -> Surface:
    """Find where a named face is in its part's frame.

    Raises
    ------
    UnknownName
        If the part has no face of that name
    BadText
        If the name means no face that can be met: a bare cylinder, a hole that goes through
    """
    made = built(part)
    if face.name not in face_names(part):
        raise UnknownName(f"face of {part.name}", face.name, face_names(part))
    if isinstance(part, StripPart):
        return _strip_surface(part, made, face)
    assert isinstance(made, Turned)
    if face.name in ("front", "back"):
        if face.end is not None:
            raise BadText("face", str(face), "the end of a part is one face; leave the second name out")
        return _end(made, face)
    if isinstance(part, BoughtPart) and face.name == "tip":
        return _forward(made)
    for place in made.outside:
        if place.feature.mark == face.name:
            return _outer(made, place, face)
    for hole in made.inside:
        if hole.feature.mark == face.name:
            if face.end is not None:
                raise BadText("face", str(face), "a hole is met at its floor; leave the second name out")
            if isinstance(hole.feature, Recess) or not hole.floor:
                raise BadText("face", str(face), "this hole has no floor to rest on")
            return _ring(made, hole.floor, 1.0 if hole.from_back else -1.0, face)
    cut = next(cut for cut in made.across if cut.feature.mark == face.name)
    if face.end is not None:
        raise BadText("face", str(face), "what is cut across has one face; leave the second name out")
    return cross_surface(cut)


def _end(made: Turned, face: Face) -> Surface:
    """The whole end: its flat and whatever narrows towards it."""
    loops = made.body.plain.loops
    back = face.name == "back"
    station = max(c.start[0] for c in loops[0]) if back else min(c.start[0] for c in loops[0])
    flat = [c for c in loops[0] if _flat_at(c, station)]
    if flat:
        return _surface(flat, station, 1.0 if back else -1.0)
    places = [place for place in made.outside if place.curves]
    nominal = places[-1].curves if back else places[0].curves
    return _ring(made, nominal, 1.0 if back else -1.0, face)


def _flat_at(curve: Curve, station: float) -> bool:
    return isinstance(curve, Line) and max(abs(p[0] - station) for p in (curve.start, curve.end)) < CONTACT_MM


def _outer(made: Turned, place: Place, face: Face) -> Surface:
    """A shoulder, the end wall of a feature, or the sloping side of a cone, bow or dome."""
    end = face.end
    if end not in (None, "front", "back"):
        raise BadText("face", str(face), 'the second name is "front" or "back"')
    if place.curves and end is None:
        first, last = place.curves[0].start[1], place.curves[-1].end[1]
        if first == last:
            raise BadText(
                "face", str(face), 'a straight length has no face of its own; add "front" or "back"'
            )
        return _ring(made, place.curves, -1.0 if first < last else 1.0, face)
    at_front = end != "back"
    station = place.start if at_front else place.end
    own = (place.curves[0].start if at_front else place.curves[-1].end)[1] if place.curves else None
    before = place.radius_before if at_front or own is None else own
    after = place.radius_after if own is None or not at_front else own
    if before == after:
        raise BadText("face", str(face), f"nothing steps at {station:.4g} mm, so there is no face")
    low, high = sorted((before, after))
    wall = Line(start=(station, low), end=(station, high))
    return _ring(made, (wall,), -1.0 if before < after else 1.0, face)


def _ring(made: Turned, nominal: Iterable[Curve], sign: float, face: Face) -> Surface:
    """What is left of a nominal face on the finished outline."""
    nominal = tuple(nominal)
    left = [c for loop in made.body.plain.loops for c in loop if any(_lies_on(c, n) for n in nominal)]
    if not left:
        raise BadText("face", str(face), "nothing is left of it on the finished part")
    return _surface(left, nominal[0].start[0], sign)


def _surface(curves: list[Curve], station: float, sign: float) -> Surface:
    placed = frame((0.0, 0.0, station), (0.0, 0.0, sign), _X)
    return Surface(frame=placed, curves=tuple(curves))


def _lies_on(curve: Curve, nominal: Curve) -> bool:
    if isinstance(nominal, Arc):
        return (
            isinstance(curve, Arc)
            and math.dist(curve.center, nominal.center) < CONTACT_MM
            and abs(curve.radius - nominal.radius) < CONTACT_MM
        )
    if isinstance(curve, Arc):
        return False
    (z0, r0), (z1, r1) = nominal.start, nominal.end
    size = math.dist(nominal.start, nominal.end)
    for z, r in (curve.start, curve.end):
        along = ((z - z0) * (z1 - z0) + (r - r0) * (r1 - r0)) / size
        off = ((z - z0) * (r1 - r0) - (r - r0) * (z1 - z0)) / size
        if abs(off) > CONTACT_MM or not -CONTACT_MM <= along <= size + CONTACT_MM:
            return False
    return True


def _forward(made: Turned) -> Surface:
    """Everything of a refill that looks towards its tip: it rests where the first of it touches."""
    looking = [c for loop in made.body.plain.loops for c in loop if c.start[1] > c.end[1]]
    flat_back = [c for c in looking if _flat_at(c, made.length)]
    return _surface([c for c in looking if c not in flat_back], 0.0, -1.0)


def _strip_surface(part: StripPart, made: Built, face: Face) -> Surface:
    assert isinstance(made, Strip)
    if face.end not in ("under", "top"):
        raise BadText("face", str(face), 'a strip is met from one side; add "under" or "top"')
    along = made.holes[list(part.holes).index(face.name)][0]
    x, z, heading = mid_line(made, along)
    side = 1.0 if face.end == "top" else -1.0
    normal = (-side * math.sin(heading), 0.0, side * math.cos(heading))
    half = side * made.thickness / 2
    origin = (x - half * math.sin(heading), 0.0, z + half * math.cos(heading))
    return Surface(frame=frame(origin, normal, (math.cos(heading), 0.0, math.sin(heading))))


def cross_surface(cut: CrossCut) -> Surface:
    """A hole's mouth on the surface, a flat, or the bottom of a saddle."""
    feature = cut.feature
    if isinstance(feature, Saddle):
        return Surface(frame=_axial(cut.start, 1.0))
    out = radial(getattr(feature, "angle", 0.0))
    height = cut.surface_r
    if isinstance(feature, Flat):
        height = feature.height(height)
    if isinstance(feature, CrossHole | CrossTap | Flat):
        middle = (cut.start + cut.end) / 2
        origin = (out[0] * height, out[1] * height, middle)
        return Surface(frame=frame(origin, out, (0.0, 0.0, 1.0)))
    raise BadText("face", f"{cut.title}", "this feature has no face to rest on")


def _axial(station: float, sign: float) -> Matrix:
    return frame((0.0, 0.0, station), (0.0, 0.0, sign), _X)
