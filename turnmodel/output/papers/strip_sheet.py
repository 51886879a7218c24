"""The drawing of a strip part: its flat outline with every size, and the bent strip from the side."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import shapely
from shapely.geometry import Polygon

from turnmodel.analysis.weight import part_weight
from turnmodel.design.features.dimension import Callout, Kind, callout_at
from turnmodel.design.ledger import mm
from turnmodel.design.part import StripPart, built
from turnmodel.design.strip import Bend
from turnmodel.errors import BadValue
from turnmodel.geometry.curve import Arc, Curve, Line, Point
from turnmodel.geometry.strip import Strip, mid_line, stretches
from turnmodel.output.papers.called import Called
from turnmodel.output.papers.clash import clashes
from turnmodel.output.papers.figures import Unit, size
from turnmodel.output.papers.ink import Bend as Ring
from turnmodel.output.papers.ink import Box, Item, Layer, Pen, Sheet, Stroke, Text, moved
from turnmodel.output.papers.labels import label_band
from turnmodel.output.papers.lettering import width
from turnmodel.output.papers.page import room
from turnmodel.output.papers.shape import below
from turnmodel.output.papers.stations import station_band
from turnmodel.output.papers.titles import Subject, Title, titled
from turnmodel.output.papers.tracing import middle_of
from turnmodel.output.papers.view import Frame, Window, laid, on_paper

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["flat_outline", "side_outline", "side_polygon", "strip_sheet"]

_SCALES: Final = (10.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.5, 0.2)
_LETTERS: Final = (3.5, 2.5)
_EDGE: Final = 4.0
"""Room [mm] between what is drawn and the frame; house choice."""
_APART: Final = 8.0
"""Room [mm] between the two views; house choice."""


def strip_sheet(part: StripPart, title: Title, number: int) -> Sheet:
    """Draw a strip part, the sheet with a number [-].

    Raises
    ------
    BadValue
        If the part is too large for any scale
    """
    made = built(part)
    assert isinstance(made, Strip)
    space = room(title.paper)
    for scale in _SCALES:
        for letters in _LETTERS:
            items = _laid(part, made, title.unit, scale, letters, space)
            if items is not None and not clashes(items):
                thick = size(made.thickness, title.unit)
                subject = Subject(
                    name=part.name,
                    material=part.material,
                    stock=f"{thick} {title.unit} strip",
                    grams=part_weight(part).mass,
                )
                return titled(items, subject, title, number, scale, _notes(part))
    raise BadValue(f"{part.name}: length", made.length, "mm", "does not fit on a sheet", "shorten it")


def _notes(part: StripPart) -> list[str]:
    notes = ["Lengths count along the flat strip from the end marked 0.", "Radii of bends are those inside."]
    return [*notes, *([f"Finish: {part.finish}."] if part.finish else []), "Break every other edge."]


def _laid(
    part: StripPart, made: Strip, unit: Unit, scale: float, letters: float, space: Box
) -> list[Item] | None:
    """Lay the flat outline with its sizes over the side view; None where they have no room."""
    if scale * made.length > space.x1 - space.x0 - 4 * _EDGE:
        return None
    left = (space.x0 + space.x1 - scale * made.length) / 2
    frame = Frame(scale=scale, windows=(Window(z0=0.0, z1=made.length, x0=left),))
    upper = flat_outline(made)
    contour = [*upper, *map(below, upper)]
    half = max(p[1] for c in upper for p in (c.start, c.end))
    within = (space.x0 + _EDGE, space.x1 - _EDGE)
    labels, stations = _labels(part, made), _stations(part, made)
    top = label_band(labels, contour, frame, scale * half, within, unit, letters)
    end = next(c.end[1] for c in upper if abs(c.end[0]) < 1e-9 or abs(c.start[0]) < 1e-9)
    under = station_band(stations, made.length, end, frame, -scale * half, within, unit, letters)
    if top is None or under is None:
        return None
    items: list[Item] = [line for c in contour for line in laid(c, frame, Pen.WIDE, Layer.OUTLINE)]
    items.append(Stroke((frame.left - 3.0, 0.0), (frame.right + 3.0, 0.0), Pen.CENTRE, Layer.CENTRE))
    for along, d in made.holes:
        x, _ = frame.point((along, 0.0))
        items += [
            Ring((x, 0.0), scale * d / 2, layer=Layer.EDGE),
            Stroke((x, -scale * d / 2 - 2.0), (x, scale * d / 2 + 2.0), Pen.CENTRE, Layer.CENTRE),
        ]
    for stretch in (s for s in stretches(made) if s.turn):
        for along in (stretch.start, stretch.end):
            x, _ = frame.point((along, 0.0))
            high = scale * _half_width(upper, along)
            items.append(Stroke((x, -high), (x, high), Pen.NARROW, Layer.EDGE))
    side = _side_view(made, scale, left, unit, letters)
    low, high = _extent(side)
    items += [*top.items, *under.items, *moved(side, 0.0, under.reach - _APART - high)]
    bottom = under.reach - _APART - high + low
    if top.reach - bottom > space.y1 - space.y0 - 2 * _EDGE:
        return None
    return moved(items, 0.0, (space.y0 + space.y1 - top.reach - bottom) / 2)


def flat_outline(made: Strip) -> list[Curve]:
    """Give the upper half of the flat outline, the ends counted, the centre line left out, [mm]."""
    return [
        c
        for loop in made.half.loops
        for c in loop
        if not (isinstance(c, Line) and abs(c.start[1]) + abs(c.end[1]) < 1e-9)
    ]


def _half_width(upper: Sequence[Curve], along: float) -> float:
    """Half the width of the outline at a distance along it, [mm]."""
    chain = [(p[0], p[1]) for c in upper for p in (c.start, middle_of(c), c.end)]
    outline = shapely.LineString(sorted(chain))
    crossing = outline.intersection(shapely.LineString([(along, -1.0), (along, 1e4)]))
    return float(crossing.bounds[3])


def _labels(part: StripPart, made: Strip) -> list[Called]:
    """Call out widths, corners, holes and bends."""
    found: list[Called] = []
    corner, last = mm(part.corner), len(part.widths) - 1
    for k, (at, wide) in enumerate((mm(a), mm(w)) for a, w in part.widths):
        callout = callout_at(Kind.CROSS, wide, (at, wide / 2), "{0} wide")
        found.append(Called(callout=callout, virtual=corner > 0 and k in (0, last)))
    sizes: list[Callout] = []
    if corner > 0:
        arcs = [c for c in flat_outline(made) if isinstance(c, Arc)]
        sizes += [callout_at(Kind.RADIUS, c.radius, middle_of(c), "R{0}") for c in arcs]
    for along, d in made.holes:
        sizes.append(callout_at(Kind.DIAMETER, d, (along, d / 2), "⌀{0}"))
    bends = [s for s in part.side if isinstance(s, Bend) and s.turn]
    for stretch, bend in zip((s for s in stretches(made) if s.turn), bends, strict=True):
        middle = (stretch.start + stretch.end) / 2
        way = "up" if bend.turn > 0 else "down"
        words = f"bend {abs(bend.turn):g}° {way}, R{{0}}"
        at_edge = (middle, _half_width(flat_outline(made), middle))
        sizes.append(callout_at(Kind.CROSS, mm(bend.radius), at_edge, words))
    return [*found, *(Called(callout=callout) for callout in sizes)]


def _stations(part: StripPart, made: Strip) -> list[Called]:
    """Count off widths, holes, bends and the far end."""
    upper = flat_outline(made)
    marks = {mm(at): _half_width(upper, min(mm(at), made.length - 1e-6)) for at, _ in part.widths}
    marks |= {along: 0.0 for along, _ in made.holes}
    for stretch in (s for s in stretches(made) if s.turn):
        marks |= {z: _half_width(upper, min(z, made.length - 1e-6)) for z in (stretch.start, stretch.end)}
    marks[made.length] = marks.get(made.length, 0.0)
    places = sorted((z, r) for z, r in marks.items() if z > 1e-9)
    return [Called(callout=callout_at(Kind.STATION, z, (z, r)), inside=r == 0) for z, r in places]


def side_outline(made: Strip) -> list[Curve]:
    """Trace the bent strip from the side: x along it, heights from its under side at the start, [mm]."""
    half, faces = made.thickness / 2, []
    for side in (1.0, -1.0):
        for stretch in stretches(made):
            a, b = (_off(made, s, side * half) for s in (stretch.start, stretch.end))
            if not stretch.turn:
                faces.append(Line(start=a, end=b))
                continue
            x, z, heading = mid_line(made, stretch.start)
            r = 1 / stretch.curvature
            center = (x - r * math.sin(heading), z + r * math.cos(heading))
            faces.append(Arc(start=a, end=b, center=center, turn=1 if r > 0 else -1))  # type: ignore[arg-type]
    ends = [Line(start=_off(made, s, -half), end=_off(made, s, half)) for s in (0.0, made.length)]
    return [*faces, *ends]


def side_polygon(made: Strip) -> Polygon:
    """Take the bent strip from the side for a polygon, [mm]."""
    marks = sorted(
        {s for t in stretches(made) for k in range(33) for s in [t.start + k / 32 * (t.end - t.start)]}
    )
    half = made.thickness / 2
    return Polygon([*(_off(made, s, half) for s in marks), *(_off(made, s, -half) for s in reversed(marks))])


def _off(made: Strip, along: float, height: float) -> Point:
    """A point of the strip at a height over the middle of its thickness."""
    x, z, heading = mid_line(made, along)
    return x - height * math.sin(heading), z + height * math.cos(heading)


def _side_view(made: Strip, scale: float, left: float, unit: Unit, letters: float) -> list[Item]:
    """Draw the bent strip from the side, its thickness beside its start."""
    frame = Frame(scale=scale, windows=(Window(z0=0.0, z1=1e6, x0=left),))
    items: list[Item] = [on_paper(c, frame, Pen.WIDE, Layer.EDGE) for c in side_outline(made)]
    words = f"{size(made.thickness, unit)} thick"
    y = scale * made.thickness / 2 - letters / 2
    items.append(Text((left - 2.5 - width(words, letters), y), words, letters, layer=Layer.DIMENSION))
    return items


def _extent(items: Sequence[Item]) -> tuple[float, float]:
    """Lowest and highest of the strip's side view on the paper, [mm]."""
    ys = [y for i in items if isinstance(i, Stroke) for y in (i.a[1], i.b[1])]
    for ring in (i for i in items if isinstance(i, Ring)):
        angles = [math.radians(ring.start + k / 8 * (ring.end - ring.start)) for k in range(9)]
        ys += [ring.center[1] + ring.radius * math.sin(a) for a in angles]
    return min(ys) - 2.0, max(ys) + 2.0
