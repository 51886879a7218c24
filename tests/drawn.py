"""Read a drawing's DXF as a turner does: the outline for its topology, every size from the dimensions.

The points of the outline are unknown; each dimension, and each convention of drawing (a level line has one
diameter, an upright one station, a rounded corner runs into its sides), is an equation in them.
"""

from __future__ import annotations

import io
import math
import re
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import ezdxf
import numpy as np

__all__ = ["Drawn", "determined", "read_drawing"]

TOUCH_MM = 2e-4
"""How near two ends are one point: far over the file's digits, far under any size drawn."""

TANGENT = 1e-3
"""Sine of the angle under which two pieces run into each other as drawn."""


@dataclass
class Drawn:
    """A system of equations read from a drawing: unknowns, roughly known, and where each equation is from."""

    start: list[float] = field(default_factory=list)
    equations: list[Any] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    points: list[int] = field(default_factory=list)
    corners: list[int] = field(default_factory=list)
    dimensions: list[str] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)

    def unknown(self, *values: float) -> int:
        """Add unknowns, and give the number of the first."""
        self.start.extend(values)
        return len(self.start) - len(values)

    def hold(self, source: str, equation: Any) -> None:
        """Add an equation."""
        self.equations.append(equation)
        self.sources.append(source)

    def drop_last(self) -> None:
        """Take the last equation away."""
        self.equations.pop()
        self.sources.pop()

    def rank_as_drawn(self) -> int:
        """Tell how many unknowns the equations settle, near what is drawn."""
        return rank(self.jacobian(np.array(self.start)))

    def residuals(self, x: np.ndarray) -> np.ndarray:
        """By how much each equation is missed."""
        return np.array([equation(x) for equation in self.equations])

    def jacobian(self, x: np.ndarray) -> np.ndarray:
        """Derivatives by central differences."""
        step = 1e-6
        columns = []
        for k in range(len(x)):
            up, down = x.copy(), x.copy()
            up[k] += step
            down[k] -= step
            columns.append((self.residuals(up) - self.residuals(down)) / (2 * step))
        return np.array(columns).T

    def solved(self, seed: int = 1) -> np.ndarray:
        """Solve from what is drawn, blurred by 20 micrometres: no size can come from the picture."""
        rng = np.random.default_rng(seed)
        x = np.array(self.start) + rng.uniform(-0.02, 0.02, len(self.start))
        damping = 1.0
        for _ in range(200):
            missed, slope = self.residuals(x), self.jacobian(x)
            if np.abs(missed).max() < 1e-12:
                break
            padded = np.vstack([slope, math.sqrt(damping) * np.eye(len(x))])
            step = np.linalg.lstsq(padded, np.concatenate([missed, np.zeros(len(x))]), rcond=None)[0]
            closer = np.linalg.norm(self.residuals(x - step)) < np.linalg.norm(missed)
            x = x - step if closer else x
            damping = max(damping / 10, 1e-14) if closer else damping * 4
        return x


def determined(matrix: np.ndarray) -> bool:
    """Tell whether equations leave no unknown free."""
    return rank(matrix) == matrix.shape[1]


def rank(matrix: np.ndarray) -> int:
    """Rank of a matrix whose rows are scaled alike."""
    sizes = np.linalg.norm(matrix, axis=1, keepdims=True)
    return int(np.linalg.matrix_rank(matrix / np.where(sizes > 0, sizes, 1), tol=1e-6))


def read_drawing(text: str) -> Drawn:
    """Set the equations of a drawing up."""
    doc = ezdxf.read(io.StringIO(text))
    told = dict(doc.header.custom_vars.properties)
    space = doc.modelspace()
    views = _Views(space, told)
    pieces = [
        _piece(e, views)
        for e in space.query("LINE ARC")
        if e.dxf.layer == "outline" and all(p[1] > views.axis - 1e-3 for p in _ends(e))
    ]
    reader = _Reader(Drawn(), 25.4 if told["unit"] == "in" else 1.0)
    for piece in views.joined(pieces):
        reader.piece(*piece)
    reader.threads = [
        [views.main(p) for p in _ends(e)]
        for e in space.query("LINE")
        if e.dxf.layer in ("thread", "edge") and e.dxf.end.y != views.axis
    ]
    # A thread or a knurl may stand on a diameter that is told beside it.
    for dimension in sorted(space.query("DIMENSION"), key=lambda d: _is_named(d.dxf.text)):
        reader.dimension(dimension, views)
    reader.conventions(" ".join(e.dxf.text for e in space.query("TEXT")))
    return reader.drawing


def _is_named(words: str) -> bool:
    return "knurl" in words or bool(re.match(r"M\d|.*UN|.*BA|ME ", words))


def _ends(entity: Any) -> list[tuple[float, float]]:
    if entity.dxftype() == "LINE":
        points = [entity.dxf.start, entity.dxf.end]
    else:
        points = [entity.start_point, entity.end_point]
    return [(p.x, p.y) for p in points]


def _piece(entity: Any, views: _Views) -> tuple[Any, ...]:
    a, b = (views.main(p) for p in _ends(entity))
    if entity.dxftype() == "LINE":
        return a, b, None
    return a, b, views.from_arc(entity)


class _Views:
    """Where the paper shows which place of the part: by station and radius, mm."""

    def __init__(self, space: Any, told: dict[str, str]) -> None:
        centres = [e for e in space.query("LINE") if e.dxf.layer == "centre"]
        self.axis = max(centres, key=lambda e: abs(e.dxf.end.x - e.dxf.start.x)).dxf.start.y
        self.scale = float(told["scale"])
        words = [value.split() for name, value in told.items() if name.startswith("stretch")]
        self.stretches = [tuple(map(float, three)) for three in words]
        words = [value.split() for name, value in told.items() if name.startswith("detail")]
        self.details = [tuple(map(float, three)) for three in words]
        self.rings = [
            ((e.dxf.center.x, e.dxf.center.y), e.dxf.radius)
            for e in space.query("CIRCLE")
            if e.dxf.layer == "break"
        ]

    def main(self, p: tuple[float, float]) -> tuple[float, float]:
        """Place of a point of the main view."""
        near = [s for s in self.stretches if s[2] - 1e-6 <= p[0] <= s[2] + self.scale * (s[1] - s[0]) + 1e-6]
        z0, _, x0 = near[0] if near else self.stretches[0]
        return z0 + (p[0] - x0) / self.scale, (p[1] - self.axis) / self.scale

    def place(self, p: tuple[float, float], of: tuple[float, float]) -> tuple[float, float]:
        """Place of a point of the view in which another point lies."""
        for (scale, x, y), (center, radius) in zip(self.details, self.rings, strict=True):
            if math.dist(of, center) < radius + 1e-6:
                return (p[0] - x) / scale, (p[1] - y) / scale
        return self.main(p)

    def from_arc(self, entity: Any) -> tuple[float, float, float]:
        """Centre and radius of an arc; its centre may lie beyond the stretch that shows it."""
        a = _ends(entity)[0]
        z, r = self.main(a)
        c = entity.dxf.center
        return (
            z + (c.x - a[0]) / self.scale,
            r + (c.y - a[1]) / self.scale,
            entity.dxf.radius / self.scale,
        )

    def joined(self, pieces: list[Any]) -> list[Any]:
        """Make level lines whole that breaks cut."""
        for (_, end, _), (begin, _, _) in pairwise(self.stretches):
            left = [p for p in pieces if any(abs(q[0] - end) < TOUCH_MM for q in p[:2])]
            right = [p for p in pieces if any(abs(q[0] - begin) < TOUCH_MM for q in p[:2])]
            for one in left:
                other = next(p for p in right if abs(p[0][1] - one[0][1]) < TOUCH_MM)
                ends = sorted([*one[:2], *other[:2]])
                pieces = [p for p in pieces if p is not one and p is not other]
                pieces.append((ends[0], ends[-1], None))
        return pieces


class _Reader:
    """Gathers the pieces of an outline and what is said of them."""

    def __init__(self, drawing: Drawn, unit: float) -> None:
        self.drawing, self.unit = drawing, unit
        self.places: list[tuple[float, float]] = []
        self.lines: list[tuple[int, int]] = []
        self.arcs: list[tuple[int, int, int]] = []  # two points, then centre and radius
        self.threads: list[list[tuple[float, float]]] = []
        self.counted: float | None = None  # size of the chamfers that one dimension tells
        self.told: set[int] = set()  # points whose diameter is told
        self.knurled: set[int] = set()  # points of a knurl, whose diameter is its own
        self.sloped: set[int] = set()  # lines whose slope is told
        self.virtual: dict[tuple[float, float], int] = {}

    def point(self, place: tuple[float, float]) -> int:
        """Number of the unknown point at a place; a new one where there is none."""
        for k, at in enumerate(self.places):
            if math.dist(at, place) < TOUCH_MM:
                return k
        self.places.append(place)
        self.drawing.points.append(self.drawing.unknown(*place))
        return len(self.places) - 1

    def z(self, point: int) -> int:
        """Number of a point's station among the unknowns."""
        return self.drawing.points[point]

    def piece(
        self, a: tuple[float, float], b: tuple[float, float], arc: tuple[float, float, float] | None
    ) -> None:
        """Take a piece of the outline, an arc by its centre and radius."""
        ends = self.point(a), self.point(b)
        if arc is None:
            self.lines.append(ends)
        else:
            self.arcs.append((*ends, self.drawing.unknown(*arc)))

    # What a dimension says

    def dimension(self, entity: Any, views: _Views) -> None:
        """Turn a dimension into equations."""
        words = entity.dxf.text.replace("%%c", "⌀").replace("%%d", "°")
        if words.startswith("("):
            return
        words = f"{len(self.drawing.dimensions) + 1}: {words}"
        self.drawing.dimensions.append(words)
        value = entity.dxf.actual_measurement * self.unit

        def at(name: str, of: str) -> tuple[float, float]:
            return views.place(_xy(entity.dxf.get(name)), _xy(entity.dxf.get(of)))

        match entity.dimtype & 7:
            case 6:
                face, place = at("defpoint", "defpoint2"), at("defpoint2", "defpoint2")
                self._station(words, value, face[0], (place[0], abs(place[1])))
            case 4:
                self._radius(words, value, at("defpoint4", "defpoint4"))
            case 2:
                share = 1.0 if "to the axis" in words else 0.5
                line = self._line(at("defpoint4", "defpoint4"), at("defpoint", "defpoint4"))
                self._hold_slope(words, line, math.tan(share * entity.dxf.actual_measurement))
            case 0 if entity.dxf.angle == 0:
                self._chamfer(words, value, at("defpoint2", "defpoint2"), at("defpoint3", "defpoint2"))
            case _:
                self._diameter(words, value, at("defpoint2", "defpoint2"))

    def _station(self, words: str, value: float, face: float, at: tuple[float, float]) -> None:
        corner = any(math.dist(place, at) < TOUCH_MM for place in self.places)
        if not corner and self._level(at) is not None:
            return  # the end of a thread or a knurl on an even diameter
        point = self._attached(at)
        if point is None:
            self._thread_size(words, at)
            return
        z = self.z(point)
        if abs(face) < TOUCH_MM:
            self.drawing.hold(words, lambda x: x[z] - value)
        else:
            far = self.z(max(range(len(self.places)), key=lambda k: self.places[k][0]))
            self.drawing.hold(words, lambda x: x[far] - x[z] - value)

    def _diameter(self, words: str, value: float, at: tuple[float, float]) -> None:
        level = self._level(at)
        point = level if level is not None else self._attached(at)
        if point is None:
            self._thread_size(words, at)
            return
        r = self.z(point) + 1
        if level is not None and _is_named(words.partition(": ")[2]) and level in self.told:
            return
        (self.knurled if "knurl" in words else self.told).add(point)
        self.drawing.hold(words, lambda x: 2 * x[r] - value)
        if found := re.search(r"⌀[\d.]+×([\d.]+)°", words):
            line = next(k for k, ends in enumerate(self.lines) if point in ends and self._slopes(k))
            self._hold_slope(words, line, math.tan(math.radians(float(found[1])) / 2))

    def _radius(self, words: str, value: float, at: tuple[float, float]) -> None:
        def off(arc: tuple[int, int, int]) -> float:
            c = self._center(arc)
            return abs(math.dist(c, at) - self.drawing.start[arc[2] + 2])

        near = [a for a in self.arcs if off(a) < TOUCH_MM]
        arc = min(near, key=lambda a: sum(math.dist(self.places[k], at) for k in a[:2]))
        self.drawing.hold(words, lambda x: x[arc[2] + 2] - value)

    def _chamfer(
        self, words: str, value: float, first: tuple[float, float], last: tuple[float, float]
    ) -> None:
        line = self._line(first, last)
        a, b = sorted(self.lines[line], key=lambda k: self.places[k][0])
        za, zb = self.z(a), self.z(b)
        self.drawing.hold(words, lambda x: x[zb] - x[za] - value)
        if re.search(r": \d+× ", words):
            self.counted = value
        if angle := re.search(r"×([\d.]+)°", words):
            self._hold_slope(words, line, math.tan(math.radians(float(angle[1]))))

    def _thread_size(self, words: str, at: tuple[float, float]) -> None:
        """A size of a thread is attached to one of its own lines, which bounds no metal."""
        if not self._on_thread(at):
            self.drawing.unread.append(words)

    def _on_thread(self, at: tuple[float, float]) -> bool:
        for a, b in self.threads:
            over = min(a[0], b[0]) - TOUCH_MM < at[0] < max(a[0], b[0]) + TOUCH_MM
            beside = min(a[1], b[1]) - TOUCH_MM < at[1] < max(a[1], b[1]) + TOUCH_MM
            if over and beside:
                return True
        return False

    # Where a dimension is attached

    def _line(self, a: tuple[float, float], b: tuple[float, float]) -> int:
        ends = {self.point(a), self.point(b)}
        return next(k for k, line in enumerate(self.lines) if set(line) == ends)

    def _level(self, at: tuple[float, float]) -> int | None:
        """A point of the level line that a place lies on."""
        for a, b in self.lines:
            (x0, y0), (x1, y1) = self.places[a], self.places[b]
            if abs(y0 - y1) < 1e-6 and abs(at[1] - y0) < TOUCH_MM and min(x0, x1) < at[0] < max(x0, x1):
                return a
        return None

    def _attached(self, at: tuple[float, float]) -> int | None:
        """The point at a place, or the sharp corner that is rounded off there."""
        for k, place in enumerate(self.places):
            if math.dist(place, at) < TOUCH_MM:
                return k
        if self._on_thread(at):
            return None
        key = (round(at[0], 2), round(at[1], 2))
        if key in self.virtual:
            return self.virtual[key]
        blunt = self._blunt(at)
        if blunt is None:
            return None
        corner = self.point(at)
        self.drawing.corners.append(self.z(corner))
        self.virtual[key] = corner
        for end in blunt[:2]:
            self._runs_through(corner, end, blunt)
        return corner

    def _blunt(self, at: tuple[float, float]) -> tuple[int, ...] | None:
        """The short rounding or chamfer nearest to a corner that is not there."""
        pieces = [*((a, b, u) for a, b, u in self.arcs), *((a, b, -1) for a, b in self.lines)]
        near = [p for p in pieces if all(math.dist(self.places[k], at) < 4 for k in p[:2])]
        slanted = [p for p in near if p[2] >= 0 or self._slopes(self.lines.index((p[0], p[1])))]
        return min(slanted, key=lambda p: sum(math.dist(self.places[k], at) for k in p[:2]), default=None)

    def _runs_through(self, corner: int, end: int, blunt: tuple[int, ...]) -> None:
        """The piece beyond one end of a rounding, made longer, runs through the sharp corner."""
        v = self.z(corner)
        for a, b in self.lines:
            if end in (a, b) and (a, b) != blunt[:2]:
                p, q = self.z(a), self.z(b)
                self.drawing.hold(
                    "corner",
                    lambda x, p=p, q=q: (
                        (x[q] - x[p]) * (x[v + 1] - x[p + 1]) - (x[q + 1] - x[p + 1]) * (x[v] - x[p])
                    ),
                )
        for a, b, u in self.arcs:
            if end in (a, b) and u != blunt[2]:
                self.drawing.hold(
                    "corner", lambda x, u=u: math.hypot(x[v] - x[u], x[v + 1] - x[u + 1]) - x[u + 2]
                )

    def _center(self, arc: tuple[int, int, int]) -> tuple[float, float]:
        return self.drawing.start[arc[2]], self.drawing.start[arc[2] + 1]

    def _slopes(self, line: int) -> bool:
        (x0, y0), (x1, y1) = (self.places[k] for k in self.lines[line])
        return abs(x0 - x1) > 1e-6 and abs(y0 - y1) > 1e-6

    def _hold_slope(self, source: str, line: int, slope: float) -> None:
        a, b = self.lines[line]
        p, q = self.z(a), self.z(b)
        (x0, y0), (x1, y1) = self.places[a], self.places[b]
        sign = math.copysign(1.0, (y1 - y0) * (x1 - x0))
        self.sloped.add(line)
        self.drawing.hold(source, lambda x: x[q + 1] - x[p + 1] - sign * slope * (x[q] - x[p]))

    # What every drawing means without saying it

    def conventions(self, notes: str) -> None:
        """Hold level and upright lines, the axis, the front face, arcs, rounded corners and noted slopes."""
        hold = self.drawing.hold
        for k, (x, y) in enumerate(self.places):
            p = self.z(k)
            if abs(y) < TOUCH_MM:
                hold("axis", lambda v, p=p: v[p + 1])
            if abs(x) < TOUCH_MM:
                hold("front face", lambda v, p=p: v[p])
        for a, b in self.lines:
            (x0, y0), (x1, y1) = self.places[a], self.places[b]
            p, q = self.z(a), self.z(b)
            if abs(y0 - y1) < 1e-6:
                hold("level", lambda v, p=p, q=q: v[p + 1] - v[q + 1])
            elif abs(x0 - x1) < 1e-6 and not abs(x0) < TOUCH_MM:
                hold("upright", lambda v, p=p, q=q: v[p] - v[q])
        for arc in self.arcs:
            self._arc(arc)
        self._holes_that_go_on()
        points = re.search(r"Drill points ([\d.]+)%%d", notes)
        for k in range(len(self.lines)):
            if k in self.sloped or not self._slopes(k):
                continue
            (x0, y0), (x1, y1) = (self.places[n] for n in self.lines[k])
            drawn = abs(y1 - y0) / abs(x1 - x0)
            if points and abs(drawn - math.tan(math.radians(float(points[1])) / 2)) < 1e-3:
                self._hold_slope("drill point", k, math.tan(math.radians(float(points[1])) / 2))
            elif self.counted is not None and abs(drawn - 1) < 1e-3:
                size = self.counted
                if abs(abs(x1 - x0) - size) < 0.01:
                    a, b = sorted(self.lines[k], key=lambda n: self.places[n][0])
                    p, q = self.z(a), self.z(b)
                    hold("chamfer", lambda v, p=p, q=q, s=size: v[q] - v[p] - s)
                    self._hold_slope("chamfer", k, 1.0)
        for arc in self.arcs:
            self._run_in(arc)

    def _holes_that_go_on(self) -> None:
        """A diameter told once holds for every level line in line with it, as beyond a recess."""
        level = [(a, b) for a, b in self.lines if abs(self.places[a][1] - self.places[b][1]) < 1e-6]
        told = [ends for ends in level if self.told & set(ends)]
        for a, b in level:
            height = self.places[a][1]
            same = [c for c, _ in told if abs(self.places[c][1] - height) < 1e-6]
            if same and (a, b) not in told and not self.knurled & {a, b}:
                p, q = self.z(a) + 1, self.z(same[0]) + 1
                self.drawing.hold("goes on", lambda v, p=p, q=q: v[p] - v[q])

    def _arc(self, arc: tuple[int, int, int]) -> None:
        hold, u = self.drawing.hold, arc[2]
        for end in arc[:2]:
            p = self.z(end)
            hold("arc", lambda v, p=p: math.hypot(v[p] - v[u], v[p + 1] - v[u + 1]) - v[u + 2])
            if abs(self.places[end][1]) < TOUCH_MM:
                hold("dome", lambda v: v[u + 1])

    def _run_in(self, arc: tuple[int, int, int]) -> None:
        """An arc that is drawn to run into its neighbour does so where nothing else tells how it ends."""
        u = arc[2]
        for end in arc[:2]:
            if (beside := self._beside(arc, end)) is None:
                continue
            p, before = self.z(end), self.drawing.rank_as_drawn()
            self.drawing.hold("rounded", lambda v, p=p, b=beside: b(v, v[p] - v[u], v[p + 1] - v[u + 1]))
            if self.drawing.rank_as_drawn() == before:
                self.drawing.drop_last()

    def _beside(self, arc: tuple[int, int, int], end: int) -> Any:
        """The condition that an arc runs into its neighbour at an end, where it is drawn so; else None."""
        c = self._center(arc)
        away = (self.places[end][0] - c[0], self.places[end][1] - c[1])
        for a, b in self.lines:
            if end in (a, b):
                (x0, y0), (x1, y1) = self.places[a], self.places[b]
                along = (x1 - x0, y1 - y0)
                drawn = (along[0] * away[0] + along[1] * away[1]) / (math.hypot(*along) * math.hypot(*away))
                p, q = self.z(a), self.z(b)
                if abs(drawn) < TANGENT:
                    return lambda v, dz, dr, p=p, q=q: (v[q] - v[p]) * dz + (v[q + 1] - v[p + 1]) * dr
        for other in self.arcs:
            if end in other[:2] and other[2] != arc[2]:
                d = self._center(other)
                off = (self.places[end][0] - d[0], self.places[end][1] - d[1])
                drawn = (off[0] * away[1] - off[1] * away[0]) / (math.hypot(*off) * math.hypot(*away))
                u, n = other[2], self.z(end)
                if math.dist(c, d) < TOUCH_MM and abs(away[0]) < TOUCH_MM:
                    return lambda v, dz, dr: dz  # two roundings fill a length: the crest has its diameter
                if abs(drawn) < TANGENT:
                    return lambda v, dz, dr, u=u, n=n: (v[n] - v[u]) * dr - (v[n + 1] - v[u + 1]) * dz
        return None


def _xy(point: Any) -> tuple[float, float]:
    return point.x, point.y
