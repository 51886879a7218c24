"""What a turned part looks like from the side: cut open along its axis where it is hollow, whole where not.

Points are (station, height over the axis), in mm of the part; below the axis heights are negative.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import shapely
from shapely.geometry import LineString, Polygon, box

from turnmodel.design.features.across import CrossHole, CrossTap, Flat, Saddle, Slot
from turnmodel.design.ledger import mm
from turnmodel.geometry.across import Block, CrossCylinder
from turnmodel.geometry.curve import Arc, Curve, Line, Point
from turnmodel.output.papers.tracing import straightened

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from turnmodel.design.turned import CrossCut, Turned
    from turnmodel.geometry.across import Tool

__all__ = ["Cutter", "Shown", "at", "below", "in_plane", "metal_of", "piece", "shown", "where"]

_CHORD: Final = math.radians(1.0)
"""Angle of a chord where an outline is taken for a polygon, to hatch it: 4e-5 of a radius off the arc."""
_NEAR: Final = 1e-4
"""How far [mm] beside a corner it is asked what is metal there."""
_CORNER: Final = math.radians(1.0)
"""Turn of an outline from which a corner is seen as an edge."""
_STEPS: Final = 256
"""Parts of a curve [-] in which a change is sought before it is narrowed down."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A part as it is drawn.

    Parameters
    ----------
    cut : bool
        Whether it is cut open along the axis
    contour : tuple of Line or Arc
        What bounds the metal, over the axis and under it, [mm]
    edges : tuple of Line or Arc
        Edges that are seen behind the cut, or on the outside, [mm]
    roots : tuple of Line or Arc
        Roots of the threads that are tapped across, in the metal that is cut, [mm]
    metal : shapely geometry
        What is hatched where it is cut, [mm]
    """

    cut: bool
    contour: tuple[Curve, ...]
    edges: tuple[Curve, ...]
    roots: tuple[Curve, ...]
    metal: shapely.Geometry


def shown(made: Turned, plane: float | None = None) -> Shown:
    """Show a part in a plane through its axis.

    Parameters
    ----------
    made : Turned
        The part
    plane : float, optional
        Angle of the upper half; left out, the one at which what is cut across is seen best, [degrees]

    Returns
    -------
    Shown
        Cut open where it is hollow, whole where it is not
    """
    cut = bool(made.inside) or any(not isinstance(c.feature, Flat | Slot | Saddle) for c in made.across)
    angle = _plane(made) if plane is None else plane
    cut_by = [[bit for tool in entry.tools for bit in in_plane(tool, angle)] for entry in made.across]
    tools = [bit for bits in cut_by for bit in bits]
    loops = [straightened(loop) for loop in made.body.plain.loops]
    curves = [c for loop in loops for c in loop if not _on_axis(c)]
    both = [*curves, *map(below, curves)]
    blank = metal_of(loops)
    taken = shapely.union_all([tool.area for tool in tools]) if tools else Polygon()
    shapely.prepare([blank, taken])
    contour = [bit for c in both for bit in where(c, lambda p: not _inside(taken, p))] if tools else both
    for tool in tools:
        rest = shapely.union_all([t.area for t in tools if t is not tool])
        shapely.prepare(rest)
        contour += [
            bit
            for side in tool.sides
            for bit in where(side, lambda p, rest=rest: _inside(blank, p) and not _inside(rest, p))  # type: ignore[misc]
        ]
    metal = blank.difference(taken)
    shapely.prepare(metal)
    edges: list[Curve] = [*(_edges_behind(loops, metal) if cut else _edges_seen(loops, taken))]
    roots: list[Curve] = []
    for hole, own in zip(made.across, cut_by, strict=True):
        others = [bit for bits in cut_by if bits is not own for bit in bits]
        edges += _mouths(hole, angle, blank, shapely.union_all([t.area for t in others]))
        roots += _cross_roots(hole, angle, metal)
    return Shown(cut=cut, contour=tuple(contour), edges=tuple(edges), roots=tuple(roots), metal=metal)


def _plane(made: Turned) -> float:
    """Angle [degrees] of the upper half: along a slot, across a saddle's round, through another feature."""
    if not made.across:
        return 0.0
    cut = made.across[0]
    angle = float(getattr(cut.feature, "angle", 0.0))
    through = isinstance(cut.feature, Slot) and mm(cut.feature.depth) >= cut.surface_r
    return angle + 90 if through or isinstance(cut.feature, Saddle) else angle


def _sides(feature: CrossHole | CrossTap, plane: float) -> tuple[int, ...]:
    """Tell on which sides of the axis a hole across is cut by the plane: 1 over it, -1 under it."""
    if (feature.angle - plane) % 180 > 1e-9:
        return ()
    return (1, -1) if feature.through else (1 if (feature.angle - plane) % 360 < 1e-9 else -1,)


def _mouths(
    cut: CrossCut, plane: float, blank: shapely.Geometry, others: shapely.Geometry
) -> list[Line | Arc]:
    """Draw where a hole across comes out of the outside and of the bore, seen behind the cut."""
    feature = cut.feature
    if not isinstance(feature, CrossHole | CrossTap):
        return []
    z, r = mm(feature.at), feature.diameter / 2
    found: list[Line | Arc] = []
    for sign in _sides(feature, plane):
        depth = 2 * cut.surface_r if feature.through or feature.depth is None else mm(feature.depth)
        ray = LineString([(z, 0.0), (z, sign * 1e4)])
        round_at, flat_at = (_ends(area.intersection(ray)) for area in (blank, blank.difference(others)))
        for height in (h for h in flat_at if h > r and cut.surface_r - h < depth):
            ends = ((z - r, sign * height), (z + r, sign * height))
            if all(abs(height - h) > _NEAR for h in round_at):  # it opens in a flat, seen edge on
                found.append(Line(start=ends[0], end=ends[1]))
                continue
            # The arc through both ends of the mouth and its deepest point, which ISO 128-3 lets stand for it.
            low = math.sqrt(height**2 - r**2)
            radius = ((height - low) ** 2 + r**2) / (2 * (height - low))
            found.append(Arc(start=ends[0], end=ends[1], center=(z, sign * (low + radius)), turn=sign))
    return found


def _ends(wall: shapely.Geometry) -> set[float]:
    """List the heights at which what lies on a line across begins and ends, [mm]."""
    return {abs(y) for bit in shapely.get_parts(wall) for _, y in bit.coords}


def _cross_roots(cut: CrossCut, plane: float, metal: shapely.Geometry) -> list[Curve]:
    """Draw the root of a thread that is tapped across, as ISO 6410-1 does, where the plane cuts it."""
    feature = cut.feature
    if not isinstance(feature, CrossTap):
        return []
    z, crest = mm(feature.at), feature.thread.major_d / 2
    deep = cut.surface_r if feature.depth is None else mm(feature.depth)
    found: list[Curve] = []
    for sign in _sides(feature, plane):
        for at in (z - crest, z + crest):
            line = Line(start=(at, sign * (cut.surface_r - deep)), end=(at, sign * cut.surface_r))
            found += where(line, lambda p: _inside(metal, p))
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter:
    """A tool in the plane of the drawing: the area that it takes, and its sides."""

    area: shapely.Geometry
    sides: tuple[Curve, ...]


def in_plane(tool: Tool, plane: float) -> list[Cutter]:
    """Cut a tool by the plane of the drawing [degrees]; nothing where it passes beside it or at a slant."""
    ux, uy = math.cos(math.radians(plane)), math.sin(math.radians(plane))
    if isinstance(tool, Block):
        low, high = -math.inf, math.inf
        for k in (0, 1):
            along = ux * tool.axes[k][0] + uy * tool.axes[k][1]
            middle = sum(c * a for c, a in zip(tool.center[:2], tool.axes[k][:2], strict=True))
            half = tool.size[k] / 2
            if abs(along) < 1e-9:
                if abs(middle) > half:
                    return []
                continue
            ends = sorted(((middle - half) / along, (middle + half) / along))
            low, high = max(low, ends[0]), min(high, ends[1])
        z = tool.center[2]
        return [_rectangle(z - tool.size[2] / 2, z + tool.size[2] / 2, low, high)] if low < high else []
    if not isinstance(tool, CrossCylinder):
        return []
    (ax, ay, z), (dx, dy, _), r = tool.at, tool.direction, tool.diameter / 2
    along, across = ux * dx + uy * dy, ux * dy - uy * dx
    if abs(across) < 1e-9:
        s0 = ax * ux + ay * uy
        s1 = s0 + along * tool.length
        return [_rectangle(z - r, z + r, min(s0, s1), max(s0, s1))]
    if abs(along) < 1e-9:
        s = ax * ux + ay * uy
        left, right = (z - r, s), (z + r, s)
        sides = (
            Arc(start=right, end=left, center=(z, s), turn=1),
            Arc(start=left, end=right, center=(z, s), turn=1),
        )
        return [Cutter(area=_polygon(sides), sides=sides)]
    return []


def _rectangle(z0: float, z1: float, s0: float, s1: float) -> Cutter:
    corners = [(z0, s0), (z1, s0), (z1, s1), (z0, s1), (z0, s0)]
    sides = tuple(Line(start=a, end=b) for a, b in pairwise(corners))
    return Cutter(area=box(z0, s0, z1, s1), sides=sides)


def _on_axis(curve: Curve) -> bool:
    return isinstance(curve, Line) and abs(curve.start[1]) + abs(curve.end[1]) < 1e-9


def below(curve: Curve) -> Curve:
    """Mirror a curve in the axis."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    if isinstance(curve, Line):
        return Line(start=(z0, -r0), end=(z1, -r1))
    center = (curve.center[0], -curve.center[1])
    return Arc(start=(z0, -r0), end=(z1, -r1), center=center, turn=-curve.turn)


def at(curve: Curve, share: float) -> Point:
    """Find the point at a share [-] of a curve's length."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    if isinstance(curve, Line):
        return z0 + share * (z1 - z0), r0 + share * (r1 - r0)
    if share in (0, 1):
        return curve.end if share else curve.start
    z, r = curve.center
    angle = math.atan2(r0 - r, z0 - z) + share * curve.sweep
    return z + curve.radius * math.cos(angle), r + curve.radius * math.sin(angle)


def piece(curve: Curve, first: float, last: float) -> Curve:
    """Take the piece of a curve between two shares [-] of its length."""
    a, b = at(curve, first), at(curve, last)
    if isinstance(curve, Line):
        return Line(start=a, end=b)
    return Arc(start=a, end=b, center=curve.center, turn=curve.turn)


def where(curve: Curve, wanted: Callable[[Point], bool]) -> list[Curve]:
    """Take the pieces of a curve whose points are wanted; its changes are found to rounding."""
    shares = [(k + 0.5) / _STEPS for k in range(_STEPS)]
    kept = [wanted(at(curve, share)) for share in shares]
    if all(kept):
        return [curve]
    ends = [0.0] if kept[0] else []
    for k, (before, after) in enumerate(pairwise(kept)):
        if before != after:
            low, high = shares[k], shares[k + 1]
            for _ in range(48):
                middle = (low + high) / 2
                if wanted(at(curve, middle)) == before:
                    low = middle
                else:
                    high = middle
            ends.append((low + high) / 2)
    if kept[-1]:
        ends.append(1.0)
    return [piece(curve, a, b) for a, b in zip(ends[::2], ends[1::2], strict=True)]


def _inside(area: shapely.Geometry, point: Point) -> bool:
    return bool(shapely.contains_xy(area, *point))


def _chords(curve: Curve) -> list[Point]:
    """Points along a curve, its end left out."""
    count = 1 if isinstance(curve, Line) else max(1, math.ceil(abs(curve.sweep) / _CHORD))
    return [at(curve, k / count) for k in range(count)]


def _polygon(loop: Iterable[Curve]) -> Polygon:
    return Polygon([p for curve in loop for p in _chords(curve)])


def metal_of(loops: Sequence[Sequence[Curve]]) -> shapely.Geometry:
    """Take a region and its mirror image in the axis for polygons."""
    upper = reduce(lambda a, b: a.symmetric_difference(b), (_polygon(loop) for loop in loops))
    lower = shapely.transform(upper, lambda p: p * (1, -1))
    return upper.union(lower.buffer(0)).buffer(0)


def _corners(loops: Sequence[Sequence[Curve]]) -> list[Point]:
    """List the corners of an outline off the axis."""
    found = []
    for loop in loops:
        for first, then in zip(loop, (*loop[1:], *loop[:1]), strict=True):
            turn = abs((_heading(then, 0.0) - _heading(first, 1.0) + math.pi) % (2 * math.pi) - math.pi)
            if first.end[1] > _NEAR and turn > _CORNER:
                found.append(first.end)
    return found


def _heading(curve: Curve, share: float) -> float:
    """Direction of a curve at one of its ends, [rad]."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    if isinstance(curve, Line):
        return math.atan2(r1 - r0, z1 - z0)
    z, r = at(curve, share)
    return math.atan2(r - curve.center[1], z - curve.center[0]) + curve.turn * math.pi / 2


def _edges_behind(loops: Sequence[Sequence[Curve]], metal: shapely.Geometry) -> list[Line]:
    """Draw the edges of the hole that are seen behind the cut."""
    found = []
    for z, r in _corners(loops):
        beside = [(z - _NEAR, d) for d in (1, -1)] + [(z + _NEAR, d) for d in (1, -1)]
        metal_at = {(x, d): _inside(metal, (x, r + 2 * d * _NEAR)) for x, d in beside}
        outward = any(value for (_, d), value in metal_at.items() if d > 0)
        inward = any(value for (_, d), value in metal_at.items() if d < 0)
        if not outward or inward:
            continue
        whole = Line(start=(z, -r), end=(z, r))
        found += where(whole, lambda p: not any(_inside(metal, (p[0] + dz, p[1])) for dz in (-_NEAR, _NEAR)))
    return [line for line in found if isinstance(line, Line)]


def _edges_seen(loops: Sequence[Sequence[Curve]], taken: shapely.Geometry) -> list[Line]:
    """Draw the edges round the outside of a solid part."""
    found = []
    off = taken.buffer(_NEAR)
    shapely.prepare(off)
    for z, r in _corners(loops):
        found += where(Line(start=(z, -r), end=(z, r)), lambda p: not _inside(off, p))
    return [line for line in found if isinstance(line, Line)]
