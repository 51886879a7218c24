"""A part laid on the paper: scale, broken lengths, outlines, threads, hatching and centre line."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import shapely
from shapely.geometry import LineString, box

from turnmodel.geometry.curve import Arc, Curve, Line
from turnmodel.output.papers.ink import Bend, Item, Layer, Pen, Point, Stroke, joined
from turnmodel.output.papers.shape import where

if TYPE_CHECKING:
    from collections.abc import Iterable

    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.output.papers.shape import Shown

__all__ = ["Frame", "Window", "hatched", "laid", "on_paper", "scaled", "view"]

_HATCH_MM: Final = 2.5
"""Distance of hatching lines on the paper; ISO 128-3 leaves it to the size of what is hatched."""
_THREAD_GAP: Final = 0.7
"""Least distance [mm] of a thread's two lines on the paper, ISO 6410-1:1993, clause 3.2."""
_OVER: Final = 3.0
"""How far [mm] a centre line or a break line runs over the outline; house choice."""
_ZIGZAG: Final = 1.2
"""Half the height [mm] of the zigzag in a break line; house choice."""
_SHORTEST: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A stretch of stations that is drawn, from z0 to z1 [mm], its start at x0 on the paper [mm]."""

    z0: float
    z1: float
    x0: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """How stations and heights lie on the paper: the scale [-], the stretches drawn, the axis at y [mm]."""

    scale: float
    windows: tuple[Window, ...]
    y: float = 0.0

    def x(self, station: float) -> float:
        """Where a station lies on the paper; in a stretch left out, at its near side, [mm]."""
        for window in self.windows:
            if station <= window.z1 + _SHORTEST:
                return window.x0 + self.scale * max(0.0, station - window.z0)
        last = self.windows[-1]
        return last.x0 + self.scale * (station - last.z0)

    def point(self, place: Point) -> Point:
        """Where a point by station and height lies on the paper, [mm]."""
        return self.x(place[0]), self.y + self.scale * place[1]

    def shows(self, station: float) -> bool:
        """Whether a station [mm] is drawn."""
        return any(w.z0 <= station <= w.z1 for w in self.windows)

    @property
    def left(self) -> float:
        """Left end on the paper, [mm]."""
        return self.windows[0].x0

    @property
    def right(self) -> float:
        """Right end on the paper, [mm]."""
        last = self.windows[-1]
        return last.x0 + self.scale * (last.z1 - last.z0)


def laid(curve: Curve, frame: Frame, pen: Pen, layer: Layer) -> list[Stroke | Bend]:
    """Draw the pieces of a curve that its windows show."""
    found: list[Stroke | Bend] = []
    for window in frame.windows:
        whole = window.z0 - 1e-9 <= min(curve.start[0], curve.end[0]) and not isinstance(curve, Arc)
        inside = whole and max(curve.start[0], curve.end[0]) <= window.z1 + 1e-9
        bits = [curve] if inside else where(curve, lambda p, w=window: w.z0 - 1e-9 <= p[0] <= w.z1 + 1e-9)  # type: ignore[misc]
        alone = Frame(scale=frame.scale, windows=(window,), y=frame.y)
        found += [on_paper(bit, alone, pen, layer) for bit in bits if math.dist(bit.start, bit.end) > 1e-9]
    return found


def on_paper(curve: Curve, frame: Frame, pen: Pen, layer: Layer) -> Stroke | Bend:
    """Draw a curve that lies in one window."""
    a, b = frame.point(curve.start), frame.point(curve.end)
    if isinstance(curve, Line):
        return Stroke(a, b, pen, layer)
    first, last = (curve.start, curve.end) if curve.turn > 0 else (curve.end, curve.start)
    angles = [math.degrees(math.atan2(p[1] - curve.center[1], p[0] - curve.center[0])) for p in (first, last)]
    window = frame.windows[0]
    center = (
        window.x0 + frame.scale * (curve.center[0] - window.z0),
        frame.y + frame.scale * curve.center[1],
    )
    start, end = angles[0], angles[1] if angles[1] > angles[0] else angles[1] + 360
    return Bend(center, frame.scale * curve.radius, start, end, pen, layer)


def view(part: Shown, threads: Iterable[ThreadSpan], frame: Frame, slant: float = 45.0) -> list[Item]:
    """Draw a part in its frame, hatched at a slant [degrees] where it is cut."""
    items: list[Item] = []
    for curve in part.contour:
        items += laid(curve, frame, Pen.WIDE, Layer.OUTLINE)
    for edge in part.edges:
        items += laid(edge, frame, Pen.WIDE, Layer.EDGE)
    for root in part.roots:
        items += laid(root, frame, Pen.NARROW, Layer.THREAD)
    for span in threads:
        for line, pen in _thread_lines(span, frame.scale, part.cut):
            layer = Layer.THREAD if pen is Pen.NARROW else Layer.EDGE
            items += laid(line, frame, pen, layer)
    if part.cut:
        for window in frame.windows:
            items += hatched(_placed(part.metal, frame, window), slant)
    items.append(
        Stroke((frame.left - _OVER, frame.y), (frame.right + _OVER, frame.y), Pen.CENTRE, Layer.CENTRE)
    )
    _, low, _, high = part.metal.bounds
    for before, after in pairwise(frame.windows):
        x = before.x0 + frame.scale * (before.z1 - before.z0)
        for at in (x, after.x0):
            items += _break_line(at, frame.y + frame.scale * low, frame.y + frame.scale * high)
    return items


def _placed(metal: shapely.Geometry, frame: Frame, window: Window) -> shapely.Geometry:
    """Lay what is hatched of a window on the paper."""
    alone = Frame(scale=frame.scale, windows=(window,), y=frame.y)
    return scaled(metal.intersection(box(window.z0, -1e4, window.z1, 1e4)), alone)


def scaled(metal: shapely.Geometry, frame: Frame) -> shapely.Geometry:
    """Lay what is hatched on the paper, in a frame of one window."""
    window = frame.windows[0]
    return shapely.transform(metal, lambda p: (p - (window.z0, 0.0)) * frame.scale + (window.x0, frame.y))


def hatched(area: shapely.Geometry, slant: float, distance: float = _HATCH_MM) -> list[Stroke]:
    """Hatch an area of the paper at a slant [degrees] by lines a distance [mm] apart.

    Examples
    --------
    >>> len(hatched(box(0, 0, 10, 10), 45.0))
    6
    """
    if area.is_empty:
        return []
    c, s = math.cos(math.radians(slant)), math.sin(math.radians(slant))
    x0, y0, x1, y1 = area.bounds
    offsets = [-s * x + c * y for x in (x0, x1) for y in (y0, y1)]
    reach = abs(x1) + abs(x0) + abs(y1) + abs(y0) + 1
    found = []
    for k in range(math.floor(min(offsets) / distance), math.ceil(max(offsets) / distance) + 1):
        d = (k + 0.5) * distance
        line = LineString([(-s * d - c * reach, c * d - s * reach), (-s * d + c * reach, c * d + s * reach)])
        for bit in shapely.get_parts(area.intersection(line)):
            if bit.geom_type == "LineString" and bit.length > 0.2:
                a, b = bit.coords[0], bit.coords[-1]
                found.append(Stroke((a[0], a[1]), (b[0], b[1]), Pen.NARROW, Layer.HATCH))
    return found


def _break_line(x: float, low: float, high: float) -> list[Stroke]:
    """Draw a straight line with a zigzag where a length is left out, ISO 128-3."""
    middle, z = (low + high) / 2, _ZIGZAG
    points = [
        (x, low - _OVER),
        (x, middle - z),
        (x - z, middle - z / 3),
        (x + z, middle + z / 3),
        (x, middle + z),
        (x, high + _OVER),
    ]
    return joined(points, Pen.NARROW, Layer.BREAK)


def _thread_lines(span: ThreadSpan, scale: float, cut: bool) -> list[tuple[Line, Pen]]:
    """Draw a thread as ISO 6410-1 does: its root narrow, the end of full thread wide."""
    crest, root = span.thread.major_d / 2, span.thread.root_d / 2
    found: list[tuple[Line, Pen]] = []
    if span.external:
        low = min(root, crest - _THREAD_GAP / scale)
        lead_in, lead_out = _run_out(span.floor, front=True), _run_out(span.floor, front=False)
        z0 = span.start + lead_in if lead_in else _reaches(span.ceiling, low)
        z1 = span.end - lead_out if lead_out else _reaches(span.ceiling[::-1], low)
        ends = [z for z, lead in ((z0, lead_in), (z1, lead_out)) if lead]
        narrow, inner = low, low
    else:
        narrow = max(crest, span.thread.minor_d / 2 + _THREAD_GAP / scale)
        full = [z for z, r in span.ceiling if r >= crest - 1e-9]
        z0, z1 = min(full), max(full)
        tapered = (span.ceiling[0][1] < crest - 1e-9, span.ceiling[-1][1] < crest - 1e-9)
        ends = [z for z, ended in zip((z0, z1), tapered, strict=True) if ended]
        inner = 0.0
    found += [(Line(start=(z0, s * narrow), end=(z1, s * narrow)), Pen.NARROW) for s in (1, -1)]
    for z in ends:
        if span.external and cut:
            found += [(Line(start=(z, s * inner), end=(z, s * crest)), Pen.WIDE) for s in (1, -1)]
        else:
            high = max(narrow, crest)
            found.append((Line(start=(z, -high), end=(z, high)), Pen.WIDE))
    return found


def _run_out(floor: tuple[Point, ...], *, front: bool) -> float:
    """Length over which a thread runs out at one of its ends, [mm]."""
    a, b = floor[:2] if front else floor[-2:]
    return b[0] - a[0] if (a[1] > b[1] if front else b[1] > a[1]) else 0.0


def _reaches(ceiling: tuple[Point, ...], r: float) -> float:
    """Station at which a thread's chamfer, from its end inwards, has risen to a radius, [mm]."""
    for (z0, r0), (z1, r1) in pairwise(ceiling):
        if r0 <= r <= r1 and r0 < r1:
            return z0 + (z1 - z0) * (r - r0) / (r1 - r0)
    return ceiling[0][0]
