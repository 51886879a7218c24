"""The metal left in a turned part: its surface sorted into outside and inside, and what lies between.

A surface that runs within 40 degrees of the axis is a *wall*; a steeper one is a *face*: a floor, a step, the
point of a drill, a chamfer. Walls are measured from whatever slopes inside to whatever slopes outside, floors
from face to face where both cover one radius, and the rim of a mouth along its end face.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING, Final, NamedTuple

from turnmodel.geometry.curve import Arc, Curve, Line, Point, on_arc
from turnmodel.geometry.distance import Gap, least_between
from turnmodel.geometry.pieces import Piece, pieces
from turnmodel.geometry.sweep import slabs
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from turnmodel.design.turned import Turned
    from turnmodel.geometry.body import ThreadSpan

__all__ = [
    "Floor",
    "Kind",
    "Rim",
    "Skin",
    "bore_radius",
    "floors",
    "outside_radius",
    "rims",
    "root_lines",
    "skins",
    "thread_wall",
    "walls",
]

_STEEP: Final = math.radians(40)
"""Angle [rad] to the axis from which a surface is a face (house choice): under that of a drill's point, of
countersinks of 82 and 90 degrees and of a chamfer, over that of a nose."""


class Kind(StrEnum):
    """What a piece of surface is."""

    WALL = "wall"
    """It runs along the axis, within 40 degrees."""
    FACE = "face"
    """A floor, a step or a shoulder."""
    END = "end"
    """A face outside with no wall between it and the part's end."""


class Skin(NamedTuple):
    """A piece of a part's surface: its curve, whether it is inside, and what it is."""

    curve: Curve
    inside: bool
    kind: Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """The metal between two faces that cover one radius.

    ``gap`` runs from a face inside to the other; ``other`` tells what that is, ``web`` whether it is inside.
    """

    gap: Gap
    other: Kind
    web: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Rim:
    """The flat left round a mouth: its width [mm], its outer edge, and the angle of metal there [degrees].

    ``back`` tells whether the mouth opens towards the back.
    """

    width: float
    at: Point
    angle: float
    back: bool


def skins(made: Turned) -> tuple[Skin, ...]:
    """Sort a part's surface into outside and inside, walls and faces, in the order of its boundary."""
    return tuple(skin for loop in made.body.plain.loops for skin in _sorted(loop))


def _sorted(loop: Sequence[Curve]) -> Iterator[Skin]:
    """Walk one loop, metal on the left: rising stations are inside, falling ones outside."""
    ways = [_way(curve) for curve in loop]
    first = next((k for k, way in enumerate(ways) if way > 0), 0)
    curves, ways = [*loop[first:], *loop[:first]], [*ways[first:], *ways[:first]]
    outside: list[Curve] = []
    for k, (curve, way) in enumerate(zip(curves, ways, strict=True)):
        if way == 0:
            before = next((w for w in reversed((*ways[k:], *ways[:k])) if w), 1)
            after = next((w for w in (*ways[k:], *ways[:k]) if w), 1)
            way = 1 if before > 0 and after > 0 else -1
        if way < 0:
            outside += _by_slope(curve)
            continue
        yield from _outer(outside)
        outside = []
        if max(curve.start[1], curve.end[1]) > SAME_MM:
            for part in _by_slope(curve):
                yield Skin(part, inside=True, kind=Kind.FACE if _steep(part) else Kind.WALL)
    yield from _outer(outside)


def _way(curve: Curve) -> int:
    """Tell the sense in which a curve runs along the axis, 0 for an upright line."""
    dz = curve.end[0] - curve.start[0]
    return 0 if abs(dz) <= SAME_MM else 1 if dz > 0 else -1


def _outer(chain: Sequence[Curve]) -> Iterator[Skin]:
    """Name the pieces of an outside, back to front: its faces before the first wall are the part's end."""
    steep = [_steep(curve) for curve in chain]
    inner = [k for k, is_face in enumerate(steep) if not is_face]
    for k, curve in enumerate(chain):
        kind = Kind.FACE if inner and inner[0] < k < inner[-1] else Kind.END
        yield Skin(curve, inside=False, kind=kind if steep[k] else Kind.WALL)


def _steep(curve: Curve) -> bool:
    if isinstance(curve, Arc):
        middle = (curve.start[0] + curve.end[0]) / 2
        return abs(middle - curve.center[0]) > curve.radius * math.sin(_STEEP)
    (z0, r0), (z1, r1) = curve.start, curve.end
    return abs(r1 - r0) >= math.tan(_STEEP) * abs(z1 - z0)


def _by_slope(curve: Curve) -> list[Curve]:
    """Cut an arc where it begins to be a face."""
    if isinstance(curve, Line):
        return [curve]
    marks = [curve.center[0] + side * curve.radius * math.sin(_STEEP) for side in (-1, 1)]
    low, high = sorted((curve.start[0], curve.end[0]))
    inner = sorted(z for z in marks if low + SAME_MM < z < high - SAME_MM)
    if curve.end[0] < curve.start[0]:
        inner.reverse()
    points = [curve.start, *((z, _radius(curve, z)) for z in inner), curve.end]
    return [replace(curve, start=a, end=b) for a, b in pairwise(points)]


def _radius(curve: Curve, z: float) -> float:
    """Radius of a curve at a station within it."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    if isinstance(curve, Line):
        return r0 if z1 == z0 else r0 + (r1 - r0) * (z - z0) / (z1 - z0)
    dz = z - curve.center[0]
    rise = math.sqrt(max(0.0, (curve.radius - dz) * (curve.radius + dz)))
    return curve.center[1] + (rise if on_arc(curve, dz, rise) else -rise)


def _between(curves: Iterable[Curve], low: float, high: float) -> list[Curve]:
    """Keep what lies between two stations."""
    kept: list[Curve] = []
    for curve in curves:
        ends = []
        for point in (curve.start, curve.end):
            z = min(max(point[0], low), high)
            ends.append(point if z == point[0] else (z, _radius(curve, z)))
        outside = max(curve.start[0], curve.end[0]) < low or min(curve.start[0], curve.end[0]) > high
        if outside or math.dist(*ends) <= SAME_MM:
            continue
        kept.append(replace(curve, start=ends[0], end=ends[1]))
    return kept


def rims(made: Turned) -> tuple[Rim, ...]:
    """Measure what is left flat round each mouth of the part.

    Returns
    -------
    tuple of Rim
        One for each place where the outside meets a hole
    """
    surface = skins(made)
    found = []
    for k, here in enumerate(surface):
        before = surface[k - 1]
        if here.inside is before.inside or before.curve.end != here.curve.start:
            continue
        step, n = (1, k) if before.inside else (-1, k - 1)
        inner = here.curve.start
        bore, outer = (before.curve, inner) if before.inside else (here.curve, inner)
        while _way(surface[n].curve) == 0:
            outer = surface[n].curve.end if step > 0 else surface[n].curve.start
            n = (n + step) % len(surface)
        a, b = _heading(bore, inner), _heading(surface[n].curve, outer)
        angle = math.degrees(math.acos(max(-1.0, min(1.0, a[0] * b[0] + a[1] * b[1]))))
        found.append(Rim(width=abs(outer[1] - inner[1]), at=outer, angle=angle, back=before.inside))
    return tuple(found)


def _heading(curve: Curve, end: Point) -> Point:
    """Give the unit direction in which a curve leaves one of its ends."""
    forward = end == curve.start
    if isinstance(curve, Line):
        other = curve.end if forward else curve.start
        dz, dr = other[0] - end[0], other[1] - end[1]
    else:
        sense = curve.turn if forward else -curve.turn
        dz, dr = -(end[1] - curve.center[1]) * sense, (end[0] - curve.center[0]) * sense
    size = math.hypot(dz, dr)
    return dz / size, dr / size


def _behind_mouths(made: Turned, behind: float) -> tuple[float, float]:
    """First and last station that are a distance behind every mouth."""
    mouths = rims(made)
    low = max((rim.at[0] + behind for rim in mouths if not rim.back), default=-math.inf)
    high = min((rim.at[0] - behind for rim in mouths if rim.back), default=math.inf)
    return low, high


def walls(made: Turned, behind: float) -> tuple[Gap, ...]:
    """Measure the wall that each stretch of the holes leaves to the outside.

    Parameters
    ----------
    made : Turned
        The part
    behind : float
        How far behind a mouth the wall begins; what lies before it is the rim, [mm]

    Returns
    -------
    tuple of Gap
        One for each stretch that is no flat floor, from the point inside to that outside, [mm]

    Notes
    -----
    Exact to rounding on the plain part; threads are measured by :func:`thread_wall`.
    """
    low, high = _behind_mouths(made, behind)
    sloping = [s for s in skins(made) if _way(s.curve)]
    inside, outside = (
        _between((s.curve for s in sloping if s.inside is side), low, high) for side in (True, False)
    )
    return tuple(least_between([curve], outside) for curve in inside) if outside else ()


def thread_wall(made: Turned, span: ThreadSpan, behind: float) -> Gap | None:
    """Measure the wall from a thread's root to the other side of the part.

    Parameters
    ----------
    made : Turned
        The part
    span : ThreadSpan
        One of its threads
    behind : float
        How far behind a mouth the wall begins, [mm]

    Returns
    -------
    Gap or None
        From the root to the other side, zero where the thread comes through, [mm]; None where there is no
        other side, as in a solid bar
    """
    low, high = _behind_mouths(made, behind)
    others = [s.curve for s in skins(made) if s.inside is span.external and _way(s.curve)]
    if span.external:
        others += (line for other in made.body.threads if not other.external for line in root_lines(other))
    root, others = _between(root_lines(span), low, high), _between(others, low, high)
    if not root or not others:
        return None
    through = min(_come_through(root, others, span.external), default=None, key=lambda found: found[0])
    return through[1] if through else least_between(root, others)


def root_lines(span: ThreadSpan) -> list[Curve]:
    """Trace the root of a thread: a screw's floor, a tapped hole's ceiling."""
    points = span.floor if span.external else span.ceiling
    return [Line(start=a, end=b) for a, b in pairwise(points) if math.dist(a, b) > SAME_MM]


def _come_through(
    root: Iterable[Curve], others: Sequence[Curve], external: bool
) -> Iterator[tuple[float, Gap]]:
    """Find where a root lies beyond the other side of the part, and by how much, below zero."""
    for one in root:
        for other in others:
            (a0, a1), (b0, b1) = (sorted((c.start[0], c.end[0])) for c in (one, other))
            low, high = max(a0, b0), min(a1, b1)
            for z in (low, high) if high - low > CONTACT_MM else ():
                at, over = (z, _radius(one, z)), (z, _radius(other, z))
                left = at[1] - over[1] if external else over[1] - at[1]
                if left < -SAME_MM:
                    yield left, Gap(distance=0.0, a_at=at, b_at=over)


def floors(made: Turned) -> tuple[Floor, ...]:
    """Measure the metal behind every floor, step and drill point, up to the face behind it.

    Returns
    -------
    tuple of Floor
        For each stretch of radius over which one face stands behind another

    Notes
    -----
    Exact to rounding: the least distance to the whole face behind, from the radii at which it stands behind.
    """
    surface = skins(made)
    turned = [(_swapped(s.curve), s) for s in surface]
    named = {id(curve): s for curve, s in turned}
    found = []
    for slab in slabs(pieces([[curve for curve, _ in turned]])):
        if slab.z1 - slab.z0 <= CONTACT_MM:
            continue
        for first, second in zip(slab.layers[::2], slab.layers[1::2], strict=False):
            one, other = first[0], second[0]
            a, b = named[id(one.curve)], named[id(other.curve)]
            if Kind.WALL in (a.kind, b.kind) or not (a.inside or b.inside):
                continue
            if not a.inside:
                one, other, a, b = other, one, b, a
            gap = least_between([_stretch(one, slab.z0, slab.z1)], [other.curve])
            swapped = Gap(distance=gap.distance, a_at=gap.a_at[::-1], b_at=gap.b_at[::-1])
            found.append(Floor(gap=swapped, other=b.kind, web=b.inside))
    return tuple(found)


def _swapped(curve: Curve) -> Curve:
    """Let station and radius change places, so that a face is a function of the radius."""
    start, end = curve.start[::-1], curve.end[::-1]
    if isinstance(curve, Line):
        return Line(start=start, end=end)
    return Arc(start=start, end=end, center=curve.center[::-1], turn=-curve.turn)


def _stretch(piece: Piece, low: float, high: float) -> Curve:
    """Cut a piece to a slab."""
    start, end = (low, piece.at(low)), (high, piece.at(high))
    if not piece.side:
        return Line(start=start, end=end)
    return Arc(start=start, end=end, center=piece.center, turn=-piece.side)


def bore_radius(surface: Iterable[Skin], station: float) -> float:
    """Radius of the hole at a station, 0 where the part is solid, [mm]."""
    here = (s.curve for s in surface if s.inside and _reaches(s.curve, station))
    return max((_radius(curve, station) for curve in here), default=0.0)


def outside_radius(surface: Iterable[Skin], station: float) -> float:
    """Radius of the outside at a station, the wider one where it steps, [mm]."""
    here = (s.curve for s in surface if not s.inside and _reaches(s.curve, station))
    return max((_widest(curve, station) for curve in here), default=0.0)


def _widest(curve: Curve, station: float) -> float:
    """Radius of a curve at a station, the greater end of an upright one."""
    return _radius(curve, station) if _way(curve) else max(curve.start[1], curve.end[1])


def _reaches(curve: Curve, station: float) -> bool:
    """Tell whether a curve has a point at a station."""
    return min(curve.start[0], curve.end[0]) <= station <= max(curve.start[0], curve.end[0])
