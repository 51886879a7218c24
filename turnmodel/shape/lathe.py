"""The triangle mesh of a turned body: flat facets round the axis, threads as true helices.

Every vertex lies on one of the half-planes at angles k 360/n. Between two neighbouring half-planes the
surface is a strip of triangles, so a mesh is closed by construction, and parts on one axis share their
facet angles.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.errors import BadValue
from turnmodel.geometry.body import ThreadSpan, between_steps
from turnmodel.geometry.curve import Arc, Curve, Point
from turnmodel.geometry.tolerance import CONTACT_MM, FACETS, sagitta
from turnmodel.shape.cap import triangulated
from turnmodel.shape.helix import helix

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from turnmodel.geometry.body import Body

    Ints = NDArray[np.int64]
    Floats = NDArray[np.float64]

__all__ = ["CUT", "SKIN", "THREAD", "Mesh", "arc_step", "chords", "lathe", "radius_factor"]

SKIN: Final = 0
"""Tag of a face of the turned skin."""
CUT: Final = 1
"""Tag of a face where a sector was taken out."""
THREAD: Final = 2
"""Tag of a face of a thread."""

_WIDEST_STEP: Final = 15.0
"""Largest angle of arc [degrees] under one chord: a quarter-round of any size shows six (house choice)."""

_REFERENCE_D: Final = 10.0
"""Diameter [mm] whose facets set the chord error of all arcs: equal arcs get equal chords (house choice)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mesh:
    """A closed surface of triangles, seen counter-clockwise from outside, z along the axis.

    ``vertices`` are (n, 3) in [mm], ``faces`` (m, 3) their indices, ``tags`` (m,) what each face is.
    """

    vertices: Floats
    faces: NDArray[np.int32]
    tags: NDArray[np.int8]


def lathe(body: Body, facets: int = FACETS, sector: float = 360.0, *, area_true: bool = False) -> Mesh:
    """Turn a body into a closed mesh.

    Parameters
    ----------
    body : Body
        Plain region and threads, [mm]
    facets : int
        Facets round a full circle, [-]
    sector : float
        Angle kept, from angle 0; 270 takes out the quarter x > 0, y < 0; whole facets only, [degrees]
    area_true : bool
        Enlarge all radii so that each polygon has its circle's area; the mesh then weighs what the
        body weighs, but stands proud of it at the facets' edges

    Returns
    -------
    Mesh
        Empty where the region is

    Raises
    ------
    BadValue
        If the facets are fewer than 3, the sector is not a whole number of them, or a thread does not lie on
        the body.

    Notes
    -----
    On its half-planes the mesh is exact up to the chords of arcs, run-in and run-out of threads included;
    between them :func:`turnmodel.shape.measures.bound` limits what the facets cost.

    Examples
    --------
    >>> from turnmodel.geometry.body import Body
    >>> from turnmodel.geometry.region import ring
    >>> mesh = lathe(Body(plain=ring(0, 10, 8)), facets=96)
    >>> mesh.vertices.shape, mesh.faces.shape
    ((194, 3), (384, 3))
    """
    grid = _Grid(facets, sector)
    chains = []
    spans = [piece for span in body.threads for piece in between_steps(span)]
    missing = set(spans)
    for loop in body.plain.loops:
        outline: list[Point | ThreadSpan] = [p for curve in loop for p in chords(curve, facets)]
        for span in spans:
            outline = _spliced(outline, span)
        missing -= {item for item in outline if isinstance(item, ThreadSpan)}
        chains.append(_chain(outline, grid))
    for span in missing:
        where = "outside" if span.external else "hole"
        rule = f"does not begin and end on the body's {where}"
        raise BadValue("thread from station", span.start, "mm", rule, f"its end is at {span.end:g} mm")
    patches = [patch for chain in chains for patch in _skin(chain, grid.closed)]
    if not grid.closed and chains:
        z, r = grid.placed()
        for column, way in ((0, -1), (grid.columns - 1, 1)):
            sections = [_section(chain, column) for chain in chains]
            patches.append((triangulated([(s, z[s], r[s]) for s in sections])[:, ::way], CUT))
    return _packed(grid, patches, radius_factor(facets) if area_true else 1.0)


def radius_factor(facets: int) -> float:
    """Tell the factor [-] that gives a polygon the area of its circle: sqrt(a / sin a), a = 2 pi/n."""
    angle = 2 * math.pi / facets
    return math.sqrt(angle / math.sin(angle))


def arc_step(radius: float, facets: int) -> float:
    """Choose the angle [degrees] of an arc of this radius [mm] that one chord may span."""
    error = sagitta(_REFERENCE_D, facets) / radius
    return min(_WIDEST_STEP, math.degrees(2 * math.acos(max(1 - error, 0.0))))


def chords(curve: Curve, facets: int) -> list[Point]:
    """Break a curve into chords, for a circle of so many facets [-].

    The points include the curve's start; its end is left to the curve that follows.
    """
    if not isinstance(curve, Arc):
        return [curve.start]
    sweep, radius = curve.sweep, curve.radius
    count = math.ceil(math.degrees(abs(sweep)) / arc_step(radius, facets) - 1e-9)
    begin = math.atan2(curve.start[1] - curve.center[1], curve.start[0] - curve.center[0])
    turns = [begin + sweep * i / count for i in range(1, count)]
    (z, r) = curve.center
    return [curve.start, *((z + radius * math.cos(a), r + radius * math.sin(a)) for a in turns)]


class _Grid:
    """Vertices as they are laid down, each on its half-plane."""

    def __init__(self, facets: int, sector: float) -> None:
        if facets < 3:
            raise BadValue("facets", facets, "-", "a circle needs 3 at the least")
        kept = facets * sector / 360
        if not 1 <= kept <= facets or abs(kept - round(kept)) > 1e-9:
            rule = f"is not a whole number of facets of {360 / facets:g} degrees"
            raise BadValue("sector", sector, "degrees", rule)
        self.facets = facets
        self.closed = round(kept) == facets
        self.columns = facets if self.closed else round(kept) + 1
        self._laid: list[tuple[Ints, Floats, Floats]] = []
        self._count = 0

    def lay(self, column: Ints, z: Floats, r: Floats) -> Ints:
        """Add vertices, and tell their numbers."""
        self._laid.append((column, z, r))
        self._count += len(z)
        return np.arange(self._count - len(z), self._count)

    def ring(self, point: Point) -> Ints:
        """Add a circle of vertices, one a half-plane; on the axis all are one."""
        (z, r), n = point, self.columns
        if r < CONTACT_MM:
            return np.repeat(self.lay(np.zeros(1, int), np.array([z]), np.zeros(1)), n)
        return self.lay(np.arange(n), np.full(n, z), np.full(n, r))

    def placed(self) -> tuple[Floats, Floats]:
        """Give the stations and radii of all vertices."""
        return np.concatenate([z for _, z, _ in self._laid]), np.concatenate([r for *_, r in self._laid])

    def cartesian(self, factor: float) -> Floats:
        """Give all vertices as (x, y, z), the radii times a factor."""
        z, r = self.placed()
        angle = np.arange(self.columns) * (2 * math.pi / self.facets)
        column = np.concatenate([c for c, *_ in self._laid])
        r = r * factor
        return np.stack([r * np.cos(angle)[column], r * np.sin(angle)[column], z], axis=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Strip:
    """A thread between two rings of a loop.

    ``ids`` lists, half-plane by half-plane, its vertices in rising z, both rings included; ``ends`` tells
    where each half-plane begins. Round an outside the loop runs along them backwards.
    """

    faces: Ints
    ids: Ints
    ends: Ints
    backwards: bool

    @property
    def rings(self) -> tuple[Ints, Ints]:
        """The ring that the loop comes to it by, and the one that it goes on from."""
        low, high = self.ids[self.ends[:-1]], self.ids[self.ends[1:] - 1]
        return (high, low) if self.backwards else (low, high)

    def along(self, column: int) -> Ints:
        """Its vertices on one half-plane, in the sense of its loop."""
        ids = self.ids[self.ends[column] : self.ends[column + 1]]
        return ids[::-1] if self.backwards else ids


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """A ring of a loop, and the thread that leads from it to the next ring, if one does."""

    ring: Ints
    thread: _Strip | None = None


def _spliced(outline: list[Point | ThreadSpan], span: ThreadSpan) -> list[Point | ThreadSpan]:
    """Put a thread in place of the points between its ends; a loop that does not carry it stays as it is."""
    low = (span.ceiling if span.external else span.floor)[0]
    high = (span.ceiling if span.external else span.floor)[-1]
    # A loop runs counter-clockwise: backwards along an outside, forwards along a hole.
    first, last = (high, low) if span.external else (low, high)
    broken = _with_point(_with_point(outline, first), last)
    begin, end = _index(broken, first), _index(broken, last)
    if begin is None or end is None:
        return outline
    turned = broken[begin:] + broken[:begin]
    length = (end - begin) % len(broken)
    return [turned[0], span, *turned[length:]]


def _index(outline: Sequence[Point | ThreadSpan], target: Point) -> int | None:
    """Find a point of an outline."""
    found = (
        i
        for i, p in enumerate(outline)
        if not isinstance(p, ThreadSpan) and math.dist(p, target) < CONTACT_MM
    )
    return next(found, None)


def _with_point(outline: list[Point | ThreadSpan], target: Point) -> list[Point | ThreadSpan]:
    """Break the edge on which a point lies, unless it is a corner already."""
    if _index(outline, target) is not None:
        return outline
    z, r = target
    for i, (p, q) in enumerate(zip(outline, outline[1:] + outline[:1], strict=True)):
        if (
            isinstance(p, ThreadSpan)
            or isinstance(q, ThreadSpan)
            or not min(p[0], q[0]) < z < max(p[0], q[0])
        ):
            continue
        if abs(p[1] + (q[1] - p[1]) * (z - p[0]) / (q[0] - p[0]) - r) < CONTACT_MM:
            return [*outline[: i + 1], target, *outline[i + 1 :]]
    return outline


def _chain(outline: Sequence[Point | ThreadSpan], grid: _Grid) -> list[_Step]:
    """Lay a loop's rings and threads on the grid."""
    kept = _kept(outline)
    strips = {i: _threaded(item, grid) for i, item in enumerate(kept) if isinstance(item, ThreadSpan)}
    count = len(kept)
    for i in strips:
        if (before := (i - 1) % count) in strips:
            strips[i] = _joined(strips[i], strips[before], grid)
    steps: list[_Step] = []
    for i, item in enumerate(kept):
        if isinstance(item, ThreadSpan):
            first, last = strips[i].rings
            steps += [_Step(ring=first, thread=strips[i]), _Step(ring=last)]
            continue
        ring = grid.ring(item)
        if (before := (i - 1) % count) in strips:
            ring = _welded(ring, strips[before].rings[1], grid)
        if (after := (i + 1) % count) in strips:
            ring = _welded(ring, strips[after].rings[0], grid)
        steps.append(_Step(ring=ring))
    return steps


def _kept(outline: Sequence[Point | ThreadSpan]) -> list[Point | ThreadSpan]:
    """Leave out the corners beside a thread: a face there runs to the thread itself, not to its envelope."""
    kept = []
    for before, item, after in zip(
        [outline[-1], *outline], outline, [*outline[1:], outline[0]], strict=False
    ):
        led, leads = isinstance(before, ThreadSpan), isinstance(after, ThreadSpan)
        beside = (led and (leads or _upright(item, after))) or (leads and _upright(before, item))
        if isinstance(item, ThreadSpan) or not beside:
            kept.append(item)
    return kept


def _joined(strip: _Strip, before: _Strip, grid: _Grid) -> _Strip:
    """Let a thread begin on the vertices with which the one before it ends, where they are at one place."""
    first = strip.rings[0]
    number = np.arange(strip.ids.max() + 1)
    number[first] = _welded(first, before.rings[1], grid)
    return replace(strip, faces=number[strip.faces], ids=number[strip.ids])


def _upright(p: Point | ThreadSpan, q: Point | ThreadSpan) -> bool:
    """Tell whether two corners lie at one station."""
    return not isinstance(p, ThreadSpan) and not isinstance(q, ThreadSpan) and abs(p[0] - q[0]) < CONTACT_MM


def _threaded(span: ThreadSpan, grid: _Grid) -> _Strip:
    """Lay a thread on the grid, in the sense of its loop."""
    made = helix(span, grid.columns, grid.facets, closed=grid.closed)
    column = np.repeat(np.arange(grid.columns), np.diff(made.ends))
    ids = grid.lay(column, made.z, made.r)
    return _Strip(faces=ids[made.faces], ids=ids, ends=made.ends, backwards=span.external)


def _welded(ring: Ints, other: Ints, grid: _Grid) -> Ints:
    """Take another ring's vertices where they are at the same place."""
    z, r = grid.placed()
    apart = np.hypot(z[ring] - z[other], r[ring] - r[other])
    return np.where(apart < CONTACT_MM, other, ring)


def _skin(chain: Sequence[_Step], closed: bool) -> list[tuple[Ints, int]]:
    """List the faces of a loop's skin, plain and threaded."""
    patches = [(step.thread.faces, THREAD) for step in chain if step.thread]
    plain = [(a.ring, b.ring) for a, b in zip(chain, [*chain[1:], chain[0]], strict=True) if not a.thread]
    p, q = (np.array(rings) for rings in zip(*plain, strict=True))
    pn, qn = np.roll(p, -1, axis=1), np.roll(q, -1, axis=1)
    if not closed:
        p, q, pn, qn = p[:, :-1], q[:, :-1], pn[:, :-1], qn[:, :-1]
    faces = np.concatenate([np.stack([p, q, pn], axis=-1), np.stack([q, qn, pn], axis=-1)])
    return [*patches, (faces.reshape(-1, 3), SKIN)]


def _section(chain: Sequence[_Step], column: int) -> Ints:
    """List a loop's vertices on one half-plane, each once."""
    pieces = [s.thread.along(column)[:-1] if s.thread else s.ring[column : column + 1] for s in chain]
    ids = np.concatenate(pieces)
    once: Ints = ids[ids != np.roll(ids, 1)]
    return once


def _packed(grid: _Grid, patches: Sequence[tuple[Ints, int]], factor: float) -> Mesh:
    """Drop triangles without area and vertices without a triangle."""
    if not patches:
        return Mesh(vertices=np.zeros((0, 3)), faces=np.zeros((0, 3), np.int32), tags=np.zeros(0, np.int8))
    # Patch by patch: what fits the processor's cache is done in half the time.
    real = [faces if tag == THREAD else _with_area(faces) for faces, tag in patches]
    vertices = grid.cartesian(factor)
    used = np.zeros(len(vertices), bool)
    for faces in real:
        used[faces] = True
    number = np.cumsum(used, dtype=np.int32) - np.int32(1)
    return Mesh(
        vertices=vertices[used],
        faces=np.concatenate([number.take(faces) for faces in real]),
        tags=np.repeat(np.array([t for _, t in patches], np.int8), [len(faces) for faces in real]),
    )


def _with_area(faces: Ints) -> Ints:
    """Leave out triangles of which two corners are one, as on the axis and where a thread begins."""
    a, b, c = faces.T
    kept: Ints = faces[(a != b) & (b != c) & (c != a)]
    return kept
