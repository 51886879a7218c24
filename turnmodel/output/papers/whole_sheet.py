"""The sheet of the whole object: its parts together, cut open, numbered, and listed (ISO 6433, ISO 7573)."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import shapely
from shapely import affinity
from shapely.geometry import MultiLineString
from shapely.geometry import Point as Spot

from turnmodel.analysis.weight import part_weight, state_weight
from turnmodel.design.part import BoughtPart, Part, StripPart, TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.errors import BadValue
from turnmodel.geometry.curve import Line
from turnmodel.geometry.frame import composed, turn
from turnmodel.geometry.strip import Strip
from turnmodel.output.papers.figures import Unit, size
from turnmodel.output.papers.ink import (
    Bend,
    Box,
    Fill,
    Item,
    Layer,
    Pen,
    Sheet,
    Stroke,
    Text,
    joined,
    moved,
)
from turnmodel.output.papers.lettering import width
from turnmodel.output.papers.page import room
from turnmodel.output.papers.shape import at, shown
from turnmodel.output.papers.spread import spread
from turnmodel.output.papers.strip_sheet import side_polygon
from turnmodel.output.papers.titles import Subject, Title, titled
from turnmodel.output.papers.view import hatched

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.design import Design
    from turnmodel.design.pose import Pose
    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.geometry.curve import Curve, Point
    from turnmodel.geometry.frame import Matrix

__all__ = ["whole_sheet"]

_SCALES: Final = (10.0, 5.0, 4.0, 3.0, 2.0, 1.5, 1.0, 0.5, 0.2)
_ROW: Final = 6.0
"""Height [mm] of a row of the list; house choice."""
_LETTERS: Final = 2.5
_BALLOON: Final = 4.0
"""Radius [mm] of a balloon; house choice: round figures of 3.5 mm."""
_EDGE: Final = 4.0
"""Room [mm] between what is drawn and the frame; house choice."""
_DOT: Final = 0.6
"""Radius [mm] of the dot in which a leader ends on a part, ISO 128-2."""
_ROUND: Final = tuple(k * math.pi / 8 for k in range(16))
_LEAN: Final = 1e-6
"""How far [-] an axis may lean out of the paper and still lie in it."""
_SLANTS: Final = ((45.0, 2.5), (135.0, 2.5), (45.0, 1.6), (135.0, 1.6), (45.0, 3.5), (135.0, 3.5))
"""Slant [degrees] and distance [mm] of the hatching of one part after the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    """A part where it stands: number in the list, what it covers of the plane of the paper, in true mm."""

    number: int
    part: Part
    area: shapely.Geometry
    cut: bool
    outline: shapely.Geometry
    edges: shapely.Geometry
    threads: shapely.Geometry


def whole_sheet(design: Design, title: Title, number: int) -> Sheet:
    """Draw the object in its first state, the sheet with a number [-].

    Raises
    ------
    BadValue
        If the object is too large for any scale
    """
    state = next(iter(design.poses))
    pose = design.poses[state]
    plane = turn(-_plane(design, pose))
    standing = [
        found
        for k, part in enumerate(design.parts, 1)
        if part.name in pose.parts
        and (found := _placed(k, part, composed(plane, pose.parts[part.name]))) is not None
    ]
    parts = _uncovered(standing)
    listed = _list(design, title)
    space = room(title.paper)
    high = _ROW * (len(design.parts) + 1)
    free = Box(space.x0, space.y0 + high, space.x1, space.y1)
    x0, y0, x1, y1 = shapely.union_all([p.area for p in parts]).bounds
    for scale in _SCALES:
        wide, tall = scale * (x1 - x0), scale * (y1 - y0)
        if wide < free.x1 - free.x0 - 6 * _EDGE and tall < free.y1 - free.y0 - 2 * _EDGE - 26:
            break
    else:
        raise BadValue(f"{design.name}: length", x1 - x0, "mm", "does not fit on a sheet")
    drawn, top, bottom = _drawn(parts, scale, (space.x0 + _EDGE, space.x1 - _EDGE), (x0, x1))
    up = (free.y0 + free.y1 - top - bottom) / 2
    items = [*moved(drawn, 0.0, up), *moved(listed, space.x0, space.y0)]
    weight = state_weight(design, state)
    subject = Subject(name="whole", material="see list", stock="see list", grams=weight.mass)
    long = size(weight.length, title.unit)
    notes = [
        f"Shown {state}: {long} {title.unit} long.",
        "Bought parts and parts without a hole are not cut.",
        "Sizes: see the sheets of the parts.",
    ]
    return titled(items, subject, title, number, scale, notes)


def _plane(design: Design, pose: Pose) -> float:
    """Angle of what stands beside the object's axis, to be drawn on top; 0 where nothing does."""
    for part in design.parts:
        matrix = pose.parts.get(part.name)
        beside = (0.0, 0.0) if matrix is None else (matrix[0][3], matrix[1][3])
        if math.hypot(*beside) > _LEAN:
            return math.degrees(math.atan2(beside[1], beside[0]))
    return 0.0


def _placed(number: int, part: Part, matrix: Matrix) -> _Placed | None:
    """Lay a part in the plane of the paper: z to the right, x up; None where its axis does not lie in it."""
    made = built(part)
    to = [tuple(matrix[row][k] for row in (2, 0, 1)) for k in range(4)]  # images of x, y, z and the origin
    if isinstance(made, Strip):
        if abs(to[1][0]) + abs(to[1][1]) > _LEAN:
            return None
        area: shapely.Geometry = side_polygon(made)
        outline, edges, threads = area, MultiLineString(), MultiLineString()
        along, up = to[0], to[2]
        cut = True
    else:
        assert isinstance(made, Turned)
        axis = to[2]
        if abs(axis[2]) > _LEAN:
            return None
        up = (-axis[1], axis[0], 0.0)
        # The angle round the part's own axis that is drawn upwards from it.
        angle = math.degrees(
            math.atan2(to[1][0] * up[0] + to[1][1] * up[1], to[0][0] * up[0] + to[0][1] * up[1])
        )
        shape = shown(made, angle)
        area, along, cut = shape.metal, axis, shape.cut and not isinstance(part, BoughtPart)
        outline = _filled(area)
        edges = MultiLineString([chord for edge in shape.edges for chord in _chords(edge)])
        threads = MultiLineString([line for span in made.body.threads for line in _thread_lines(span)])
    to_paper = [along[0], up[0], along[1], up[1], to[3][0], to[3][1]]
    return _Placed(
        number=number,
        part=part,
        area=affinity.affine_transform(area, to_paper).buffer(0),
        cut=cut,
        outline=affinity.affine_transform(outline, to_paper),
        edges=affinity.affine_transform(edges, to_paper),
        threads=affinity.affine_transform(threads, to_paper),
    )


def _chords(edge: Curve) -> list[tuple[Point, Point]]:
    """Take an edge for straight pieces, an arc for sixteen."""
    count = 1 if isinstance(edge, Line) else 16
    return list(pairwise(at(edge, k / count) for k in range(count + 1)))


def _thread_lines(span: ThreadSpan) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Draw the root of a thread: of a screw inside its metal, of a nut in the metal round it."""
    r = (span.thread.root_d if span.external else span.thread.major_d) / 2
    full = [z for z, high in span.ceiling if high >= span.thread.major_d / 2 - _LEAN]
    z0, z1 = min(full), max(full)
    return [((z0, s * r), (z1, s * r)) for s in (1, -1)]


def _uncovered(parts: Sequence[_Placed]) -> list[_Placed]:
    """Let a screw cover the thread it stands in, and a solid part what it lies before."""
    found = []
    for entry in parts:
        area = entry.area
        for other in parts:
            if other is not entry and _covers(other, entry):
                area = area.difference(other.area)
        others = [p for p in parts if p is not entry]
        rest = shapely.union_all([p.area for p in others]).buffer(1e-3)
        edges = shapely.union_all([_seen(edge, others) for edge in shapely.get_parts(entry.edges)])
        threads = entry.threads.intersection(area)
        found.append(replace(entry, area=area, edges=edges.difference(rest), threads=threads))
    return found


def _seen(edge: shapely.Geometry, others: Sequence[_Placed]) -> shapely.Geometry:
    """Keep what is seen of an edge: what stands inside the hole that it rounds lies before it."""
    (xa, ya), (xb, yb) = edge.coords
    longer = shapely.LineString(
        [(xa - 99 * (xb - xa), ya - 99 * (yb - ya)), (xb + 99 * (xb - xa), yb + 99 * (yb - ya))]
    )
    left = edge
    for other in others:
        if edge.buffer(0.02).covers(other.outline.intersection(longer)):
            left = left.difference(other.outline)
    return left


def _filled(metal: shapely.Geometry) -> shapely.Geometry:
    """Fill what a part covers seen from the side: from its outline to its axis."""
    quads = [
        shapely.Polygon([a, b, (b[0], 0.0), (a[0], 0.0)])
        for polygon in shapely.get_parts(metal)
        for a, b in pairwise(polygon.exterior.coords)
        if abs(a[0] - b[0]) > 1e-9 and a[1] * b[1] >= 0
    ]
    return shapely.union_all([metal, *(quad.buffer(0) for quad in quads)])


def _covers(upper: _Placed, lower: _Placed) -> bool:
    if upper.cut != lower.cut:
        return lower.cut
    return bool(_threads(upper.part, external=True) & _threads(lower.part, external=False))


def _threads(part: Part, *, external: bool) -> set[str]:
    made = built(part)
    if not isinstance(made, Turned):
        return set()
    return {span.thread.designation for span in made.body.threads if span.external is external}


def _drawn(
    parts: Sequence[_Placed], scale: float, within: tuple[float, float], ends: tuple[float, float]
) -> tuple[list[Item], float, float]:
    """Draw the parts, hatched in turn, and number them; the highest and lowest of it on the paper."""
    left = (within[0] + within[1] - scale * (ends[1] - ends[0])) / 2
    shift = [scale, 0.0, 0.0, scale, left - scale * ends[0], 0.0]
    items: list[Item] = []
    areas = []
    turn = 0
    for entry in parts:
        area = affinity.affine_transform(entry.area, shift)
        areas.append(area)
        for polygon in shapely.get_parts(area):
            for ring in (polygon.exterior, *polygon.interiors):
                points = [(x, y) for x, y in ring.simplify(0.005).coords]
                items += joined(points, Pen.WIDE, Layer.OUTLINE)
        for lines, pen in ((entry.edges, Pen.WIDE), (entry.threads, Pen.NARROW)):
            for bit in shapely.get_parts(affinity.affine_transform(lines, shift)):
                if bit.geom_type == "LineString" and bit.length > 0.05:
                    items += joined([(x, y) for x, y in bit.coords], pen, Layer.EDGE)
        if entry.cut:
            slant, distance = _SLANTS[turn % len(_SLANTS)]
            turn += 1
            items += hatched(area, slant, distance)
    _, low, _, high = shapely.union_all(areas).bounds
    right = left + scale * (ends[1] - ends[0])
    items.append(Stroke((left - 3.0, 0.0), (right + 3.0, 0.0), Pen.CENTRE, Layer.CENTRE))
    spots = _spots(areas)
    order = sorted(range(len(parts)), key=lambda k: spots[k])
    stood = spread(
        [spots[k][0] for k in order], [2 * _BALLOON] * len(order), within, 3.0, rows=[0] * len(order)
    )
    assert stood is not None
    level = high + 14.0
    for k, x in zip(order, stood.middles, strict=True):
        spot = spots[k]
        items += [
            Fill(tuple((spot[0] + _DOT * math.cos(a), spot[1] + _DOT * math.sin(a)) for a in _ROUND)),
            *joined([spot, (x, level)], Pen.NARROW, Layer.DIMENSION),
            Bend((x, level + _BALLOON), _BALLOON, pen=Pen.NARROW, layer=Layer.DIMENSION),
            Text((x, level + _BALLOON - 1.75), str(parts[k].number), 3.5, "middle", layer=Layer.DIMENSION),
        ]
    return items, level + 2 * _BALLOON, low


def _spots(areas: Sequence[shapely.Geometry]) -> list[tuple[float, float]]:
    """Choose a point on each part for its leader, well inside it and apart from the others, high up."""
    found: list[tuple[float, float]] = []
    for area in areas:
        choices = []
        x0, y0, x1, y1 = area.bounds
        for k in range(1, 24):
            x = x0 + (x1 - x0) * k / 24
            line = shapely.LineString([(x, y0 - 1), (x, y1 + 1)])
            for bit in shapely.get_parts(area.intersection(line)):
                if bit.length > 0.8:
                    low, high = bit.bounds[1], bit.bounds[3]
                    choices.append((x, high - min(bit.length / 2, 3.0) if high > low else high))
        if not choices:
            spot = area.representative_point()
            choices = [(spot.x, spot.y)]
        best = max(
            choices,
            key=lambda p: (
                min((abs(p[0] - q[0]) for q in found), default=20.0)
                + 0.3 * p[1]
                + 4 * min(area.boundary.distance(Spot(p)), 1.5)
            ),
        )
        found.append(best)
    return found


def _list(design: Design, title: Title) -> list[Item]:
    """Set the list of parts: heading below, items upwards, as ISO 7573 has it over a title block."""
    space = room(title.paper)
    wide = space.x1 - space.x0
    shares = (0.06, 0.24, 0.08, 0.28, 0.20, 0.14)
    rows = [("item", "part", "count", "material", "stock", "mass g")]
    for k, part in enumerate(design.parts, 1):
        rows.append(
            (
                str(k),
                part.name,
                "1",
                _material(part),
                _stock(part, title.unit),
                f"{part_weight(part).mass:.3g}",
            )
        )
    items: list[Item] = []
    for n, row in enumerate(rows):
        y = n * _ROW
        items += joined(
            [(0.0, y + _ROW), (wide, y + _ROW)], Pen.NARROW if n < len(rows) - 1 else Pen.WIDE, Layer.FRAME
        )
        x = 0.0
        for share, words in zip(shares, row, strict=True):
            if x:
                items += joined([(x, y), (x, y + _ROW)], Pen.NARROW, Layer.FRAME)
            height = _LETTERS if n and width(words, _LETTERS) < share * wide - 3.0 else 1.8
            items.append(Text((x + 1.5, y + (_ROW - height) / 2), words, height))
            x += share * wide
    return items


def _material(part: Part) -> str:
    return "bought" if isinstance(part, BoughtPart) else part.material


def _stock(part: Part, unit: Unit) -> str:
    if isinstance(part, TurnedPart):
        return f"bar {part.stock.size}"
    if isinstance(part, StripPart):
        made = built(part)
        assert isinstance(made, Strip)
        return f"strip {size(made.thickness, unit)} {unit}"
    return f"refill {part.refill}" if isinstance(part, BoughtPart) and part.refill else "as bought"
