"""Crowded places drawn once more, larger, with their sizes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from shapely.geometry import Point as Spot

from turnmodel.design.features.dimension import Kind, callout_at
from turnmodel.output.papers.called import Called
from turnmodel.output.papers.ink import Bend, Box, Detail, Item, Layer, Pen, Text, moved
from turnmodel.output.papers.labels import label_band
from turnmodel.output.papers.shape import where
from turnmodel.output.papers.stations import station_band
from turnmodel.output.papers.view import Frame, Window, hatched, on_paper, scaled

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.geometry.curve import Curve, Point
    from turnmodel.output.papers.callouts import DrawnSizes
    from turnmodel.output.papers.figures import Unit
    from turnmodel.output.papers.shape import Shown

__all__ = ["Place", "crowded", "detailed", "outlined", "shifted", "thinned"]

_SEEN: Final = 1.5
"""Distance of two stations on the paper [mm] under which the place is drawn larger; house choice."""
_ROUND: Final = 0.8
"""Room round what is crowded, over its half width [-]; house choice."""
_LEAST: Final = 0.6
"""Least radius of such a place on the part, [mm]; house choice."""
_ACROSS: Final = 44.0
"""Most that the circle of a detail is across on the paper, [mm]; house choice."""
_SCALES: Final = (100.0, 50.0, 20.0, 10.0, 5.0, 2.0)
"""Scales, ISO 5455."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A crowded place: its letter, its middle by station and radius, its radius, all [mm]."""

    letter: str
    middle: Point
    radius: float

    def holds(self, called: Called) -> bool:
        """Whether a size is measured in it."""
        ends = called.callout.over
        return all(math.dist(end, self.middle) < self.radius for end in ends)


def crowded(sizes: DrawnSizes, frame: Frame) -> tuple[Place, ...]:
    """Find where stations of the outside come too near each other on the paper.

    Parameters
    ----------
    sizes : DrawnSizes
        The sizes of a part
    frame : Frame
        How it lies on the paper

    Returns
    -------
    tuple of Place
        The places, from left to right
    """
    ends = sorted({e.callout.over[0] for e in sizes.stations if not e.inside and not e.virtual})
    groups: list[list[Point]] = []
    for a, b in pairwise(ends):
        if frame.x(b[0]) - frame.x(a[0]) < _SEEN:
            if groups and groups[-1][-1] == a:
                groups[-1].append(b)
            else:
                groups.append([a, b])
    found = []
    for letter, group in zip("ABCDEF", groups, strict=False):
        zs, rs = [z for z, _ in group], [r for _, r in group]
        middle = ((zs[0] + zs[-1]) / 2, (min(rs) + max(rs)) / 2)
        half = max(math.dist(p, middle) for p in group)
        found.append(Place(letter=letter, middle=middle, radius=max(half * (1 + _ROUND), _LEAST)))
    return tuple(found)


def thinned(sizes: DrawnSizes, places: Sequence[Place]) -> DrawnSizes:
    """Leave the sizes that details tell out of the main view, and point to the details instead."""
    labels = [e for e in sizes.labels if not any(p.holds(e) for p in places)]
    for place in places:
        top = (place.middle[0], place.middle[1] + place.radius)
        callout = callout_at(Kind.CROSS, 0.0, top, place.letter)
        labels.append(Called(callout=callout, note=True))
    stations = [e for e in sizes.stations if not any(p.holds(e) for p in places)]
    return replace(sizes, labels=tuple(labels), stations=tuple(stations))


def outlined(places: Sequence[Place], frame: Frame) -> list[Item]:
    """Draw the circles of the details on the main view."""
    return [
        Bend(frame.point(p.middle), frame.scale * p.radius, pen=Pen.NARROW, layer=Layer.DIMENSION)
        for p in places
    ]


def detailed(
    place: Place, shape: Shown, sizes: DrawnSizes, length: float, unit: Unit, letters: float, most: float
) -> tuple[list[Item], Detail, Box] | None:
    """Draw a crowded place larger, its circle about (0, 0) on the paper.

    Parameters
    ----------
    place : Place
        The place
    shape : Shown
        The part
    sizes : DrawnSizes
        All its sizes
    length : float
        Length of the part, [mm]
    unit : Unit
        What lengths are written in
    letters : float
        Height of the letters, [mm]
    most : float
        Width that it may take, [mm]

    Returns
    -------
    tuple or None
        What is drawn, where and how large, and the box round it; None where there is no room
    """
    scale = next(s for s in _SCALES if 2 * s * place.radius <= _ACROSS or s == _SCALES[-1])
    (z, r), ring = place.middle, scale * place.radius
    frame = Frame(scale=scale, windows=(Window(z0=0.0, z1=length, x0=-scale * z),), y=-scale * r)

    def inside(point: Point) -> bool:
        return math.dist(point, place.middle) < place.radius

    contour: list[Curve] = [bit for c in shape.contour for bit in where(c, inside)]
    labels = [e for e in sizes.labels if place.holds(e)]
    stations = [e for e in sizes.stations if place.holds(e)]
    within = (-most / 2, most / 2)
    top = label_band(labels, contour, frame, ring, within, unit, letters)
    under = station_band(stations, length, 0.0, frame, -ring, within, unit, letters, detail=True)
    if top is None or under is None:
        return None
    items: list[Item] = [on_paper(c, frame, Pen.WIDE, Layer.EDGE) for c in contour]
    if shape.cut:
        metal = scaled(shape.metal.intersection(Spot(place.middle).buffer(place.radius, 64)), frame)
        items += hatched(metal, 45.0)
    items.append(Bend((0.0, 0.0), ring, pen=Pen.NARROW, layer=Layer.BREAK))
    words = f"{place.letter} ({scale:g}:1)"
    items.append(Text((ring + 4.0, -letters / 2), words, letters, layer=Layer.NOTE))
    items += [*top.items, *under.items]
    box = Box(-most / 2, under.reach, most / 2, top.reach)
    return items, Detail(place.letter, scale, frame.x(0.0), frame.y), box


def shifted(found: tuple[list[Item], Detail, Box], dx: float, dy: float) -> tuple[list[Item], Detail]:
    """Move a detail over the paper by (dx, dy) [mm]."""
    items, detail, _ = found
    return moved(items, dx, dy), detail._replace(x=detail.x + dx, y=detail.y + dy)
