"""What is cut across a turned body: its moments, by the plane sections at each station.

At a station the body is a few discs less a few discs, and a cutter square to the axis is a rectangle. What a
disc and a polygon share has its moments in closed form; along the axis they are integrated by Gauss's points
between the stations where an outline or a cutter begins, ends, or meets the other's corner.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.geometry.across import Block, CrossCylinder, Tool
from turnmodel.geometry.disc import disc_moments
from turnmodel.geometry.frame import IDENTITY
from turnmodel.geometry.pieces import Piece, pieces
from turnmodel.geometry.spatial import SpatialMoments, amount, in_space, together
from turnmodel.geometry.thread_moments import body_moments
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from turnmodel.geometry.body import Body, ThreadSpan

    Floats = NDArray[np.float64]

__all__ = ["cut_moments"]

_GAUSS: Final = np.polynomial.legendre.leggauss(20)
_WAY: Final = (1 - np.cos(math.pi * (_GAUSS[0] + 1) / 2)) / 2
_PACE: Final = math.pi / 4 * np.sin(math.pi * (_GAUSS[0] + 1) / 2) * _GAUSS[1]
"""Gauss's points and weights from 0 to 1, stretched by a cosine towards both ends: a root at an end, as where
a cross hole begins, is then as smooth as a polynomial."""

_RELATIVE: Final = 1e-12
"""How far a stretch and its two halves may differ, as a share of the body's volume: some roundings."""

_HALVINGS: Final = 24
"""How often a stretch is halved at most: a kink in a stretch of 100 mm is then located to 1e-5 mm, and what
is missed goes with the square of that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cutter:
    """A cutter square to the axis: stations [mm], direction, reach along it and across it [mm].

    ``radius`` is that of a cylinder, whose half width across is that of its section at the station.
    """

    start: float
    end: float
    way: tuple[float, float]
    low: float
    high: float
    side: float
    half: float
    radius: float | None

    def halves(self, z: Floats) -> Floats:
        """Half its width at stations z, [mm]."""
        if self.radius is None:
            return np.full_like(z, self.half)
        away = z - (self.start + self.end) / 2
        width: Floats = np.sqrt(np.maximum((self.radius - away) * (self.radius + away), 0.0))
        return width

    def corners(self, z: Floats) -> Floats:
        """Its corners at stations z, counter-clockwise, shape (n, 4, 2), [mm]."""
        half, (c, s) = self.halves(z), self.way
        along = np.array([self.low, self.high, self.high, self.low])
        across = self.side + half[:, None] * np.array([-1.0, -1.0, 1.0, 1.0])
        return np.stack([along * c - across * s, along * s + across * c], axis=-1)


def cut_moments(body: Body, tools: Sequence[Tool]) -> SpatialMoments | None:
    """Integrate over a turned body that is cut across.

    Parameters
    ----------
    body : Body
        Plain region and threads, [mm]
    tools : sequence of Tool
        What is cut away, [mm]

    Returns
    -------
    SpatialMoments or None
        At density one; None where a cutter is not square to the axis or reaches a thread, whose flanks are
        not spread evenly over a part of the circle

    Notes
    -----
    Exact to about 1e-10 of the volume. Cutters that overlap are joined before they are cut.

    Examples
    --------
    A hole of 2 mm across a bar of 2 mm on its axis takes the volume that two such bars share, 2 d^3 / 3:

    >>> from turnmodel.geometry.body import Body
    >>> from turnmodel.geometry.region import ring
    >>> hole = CrossCylinder(at=(2.0, 0.0, 5.0), direction=(-1.0, 0.0, 0.0), diameter=2.0, length=4.0)
    >>> left = cut_moments(Body(plain=ring(0, 10, 2)), [hole])
    >>> round(10 * math.pi - left.volume, 9)
    5.333333333
    """
    whole = in_space(body_moments(body))
    if not tools:
        return whole
    cutters = [_cutter(tool) for tool in tools]
    if None in cutters:
        return None
    square = [cutter for cutter in cutters if cutter is not None]
    if any(_meets(cutter, span) for cutter in square for span in body.threads):
        return None
    outline = pieces(body.plain.loops)
    taken = [_taken(outline, group, whole.volume) for group in _groups(square)]
    return together(whole, *(amount(m, -1.0) for m in taken))


def _cutter(tool: Tool) -> _Cutter | None:
    """Read a cutter as a rectangle at each station; None where it is not square to the axis."""
    if isinstance(tool, CrossCylinder):
        (x, y, z), (c, s, lean) = tool.at, tool.direction
        low, radius = x * c + y * s, tool.diameter / 2
        if abs(lean) * tool.length > SAME_MM:
            return None
        return _Cutter(
            start=z - radius, end=z + radius, way=(c, s), low=low, high=low + tool.length,
            side=y * c - x * s, half=radius, radius=radius,
        )  # fmt: skip
    if isinstance(tool, Block) and tool.axes[2] == IDENTITY[2][:3]:
        (x, y, z), (c, s, _) = tool.center, tool.axes[0]
        deep, wide, long = tool.size
        middle = x * c + y * s
        return _Cutter(
            start=z - long / 2, end=z + long / 2, way=(c, s), low=middle - deep / 2, high=middle + deep / 2,
            side=y * c - x * s, half=wide / 2, radius=None,
        )  # fmt: skip
    return None


def _meets(cutter: _Cutter, span: ThreadSpan) -> bool:
    """Tell whether a cutter reaches the flanks of a thread."""
    if cutter.end <= span.start + SAME_MM or span.end <= cutter.start + SAME_MM:
        return False
    inner = min(r for _, r in span.floor)
    outer = max(r for _, r in span.ceiling)
    u = max(cutter.low, -cutter.high, 0.0)
    v = max(abs(cutter.side) - cutter.half, 0.0)
    far_u, far_v = max(abs(cutter.low), abs(cutter.high)), abs(cutter.side) + cutter.half
    return math.hypot(u, v) < outer - SAME_MM and math.hypot(far_u, far_v) > inner + SAME_MM


def _groups(cutters: Sequence[_Cutter]) -> list[list[_Cutter]]:
    """Sort cutters into groups that may overlap each other."""
    groups: list[list[_Cutter]] = []
    for cutter in cutters:
        near = [g for g in groups if any(_overlap(cutter, other) for other in g)]
        groups = [g for g in groups if g not in near]
        groups.append([cutter, *(other for g in near for other in g)])
    return groups


def _overlap(a: _Cutter, b: _Cutter) -> bool:
    """Tell whether two cutters, each at its widest, overlap."""
    if a.end <= b.start + SAME_MM or b.end <= a.start + SAME_MM:
        return False
    import shapely

    one, other = (shapely.polygons(c.corners(np.array([(c.start + c.end) / 2]))) for c in (a, b))
    return bool(shapely.intersects(one, other)[0])


def _joined(group: Sequence[_Cutter], z: Floats) -> NDArray[np.object_]:
    """Join the rectangles of a group at each station."""
    import shapely

    boxes = [shapely.polygons(cutter.corners(z)) for cutter in group]
    present = [np.where((z > c.start) & (z < c.end), b, None) for c, b in zip(group, boxes, strict=True)]
    joined: NDArray[np.object_] = shapely.union_all(np.array(present), axis=0)
    return joined


def _edges(group: Sequence[_Cutter], z: Floats) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Trace what a group covers at each station: whose station, and from where to where each edge runs."""
    if len(group) == 1:
        corners = group[0].corners(z)
        return (
            np.repeat(np.arange(len(z)), 4),
            corners.reshape(-1, 2),
            np.roll(corners, -1, axis=1).reshape(-1, 2),
        )
    import shapely

    if all(cutter.radius is None for cutter in group):
        # Blocks do not change along the axis but where one begins or ends.
        inside = np.array([(z > c.start) & (z < c.end) for c in group])
        _, first, which = np.unique(inside, axis=1, return_index=True, return_inverse=True)
        shapes = _joined(group, z[first])[which.ravel()]
    else:
        shapes = _joined(group, z)
    rings, owner = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(shapes)), return_index=True)
    _, of_shape = shapely.get_parts(shapes, return_index=True)
    points, of_ring = shapely.get_coordinates(rings, return_index=True)
    along = of_ring[1:] == of_ring[:-1]
    return of_shape[owner[of_ring[1:][along]]], points[:-1][along], points[1:][along]


def _taken(outline: Sequence[Piece], group: Sequence[_Cutter], scale: float) -> SpatialMoments:
    """Integrate over what a group of cutters takes from a turned body."""
    stretches = list(_stretches(outline, group))
    if not stretches:
        return SpatialMoments(volume=0.0, center=(0.0, 0.0, 0.0), inertia=((0.0,) * 3,) * 3)
    origin = (min(c.start for c in group) + max(c.end for c in group)) / 2
    of = np.array([k for k, _, _ in stretches])
    ends = np.array([(a, b) for _, a, b in stretches])
    # The stretches together with their halves: for most of them that is all.
    first = _summed(
        outline, group, np.append(of, np.repeat(of, 2)), np.append(ends, _halves(ends), axis=0), origin
    )
    coarse, fine = first[: len(of)], first[len(of) :].reshape(-1, 2, 10)
    total = np.zeros(10)
    for _ in range(_HALVINGS):
        rough = np.abs(fine.sum(axis=1) - coarse)[:, 0] > _RELATIVE * scale
        total += fine[~rough].sum(axis=(0, 1))
        if not rough.any():
            break
        of, ends, coarse = np.repeat(of[rough], 2), _halves(ends[rough]), fine[rough].reshape(-1, 10)
        fine = _summed(outline, group, np.repeat(of, 2), _halves(ends), origin).reshape(-1, 2, 10)
    else:
        total += coarse.sum(axis=0)
    return _as_moments(total, origin)


def _halves(ends: Floats) -> Floats:
    """Halve stretches, first half by second half."""
    a, b, middle = ends[:, 0], ends[:, 1], ends.mean(axis=1)
    return np.stack([a, middle, middle, b], axis=1).reshape(-1, 2)


def _as_moments(total: Floats, origin: float) -> SpatialMoments:
    """Refer sums over a body to its centroid."""
    volume = float(total[0])
    if volume <= 0:
        return SpatialMoments(volume=0.0, center=(0.0, 0.0, 0.0), inertia=((0.0,) * 3,) * 3)
    x, y, z = (total[1:4] / volume).tolist()
    xx, yy, zz, xy, xz, yz = (
        total[4:] - volume * np.array([x * x, y * y, z * z, x * y, x * z, y * z])
    ).tolist()
    rows = ((yy + zz, -xy, -xz), (-xy, xx + zz, -yz), (-xz, -yz, xx + yy))
    return SpatialMoments(volume=volume, center=(x, y, z + origin), inertia=rows)


def _stretches(outline: Sequence[Piece], group: Sequence[_Cutter]) -> Iterator[tuple[int, float, float]]:
    """Cut the outline at the stations where a cutter begins or ends, or its section meets a corner."""
    for k, piece in enumerate(outline):
        low = max(piece.z0, min(c.start for c in group))
        high = min(piece.z1, max(c.end for c in group))
        if high - low <= SAME_MM:
            continue
        marks = {z for c in group for z in (c.start, c.end, *_corner_stations(piece, c)) if low < z < high}
        at = [low, *sorted(marks), high]
        yield from ((k, a, b) for a, b in pairwise(at) if b - a > SAME_MM)


def _corner_stations(piece: Piece, cutter: _Cutter) -> Iterator[float]:
    """List the stations where a straight outline's circle touches an edge or passes a corner of a cutter."""
    if piece.side:
        return
    slope = (piece.r1 - piece.r0) / (piece.z1 - piece.z0)
    start = piece.r0 - slope * piece.z0
    for u in (0.0, cutter.low, cutter.high):
        if cutter.radius is None:
            for v in (0.0, cutter.side - cutter.half, cutter.side + cutter.half):
                if slope and (radius := math.hypot(u, v)):
                    yield (radius - start) / slope
            continue
        if u and slope:
            yield (abs(u) - start) / slope
        if cutter.side:
            continue  # off the axis the halving finds them
        # (start + slope z)^2 = u^2 + R^2 - (z - zc)^2
        zc = (cutter.start + cutter.end) / 2
        a, b = slope**2 + 1, start * slope - zc
        c = start**2 + zc**2 - u**2 - cutter.radius**2
        root = b * b - a * c
        if root >= 0:
            yield from ((-b - math.sqrt(root)) / a, (-b + math.sqrt(root)) / a)


def _summed(
    outline: Sequence[Piece], group: Sequence[_Cutter], of: NDArray[np.intp], ends: Floats, origin: float
) -> Floats:
    """Integrate over stretches of the outline: ten sums each, volume, x y z, and the six products."""
    span = ends[:, 1] - ends[:, 0]
    z = (ends[:, :1] + span[:, None] * _WAY).ravel()
    weight = (span[:, None] * _PACE).ravel()
    r = _radii(outline, of, z.reshape(len(of), -1)).ravel()
    sense = np.repeat([-float(outline[k].sense) for k in of], len(_WAY))
    index, p, q = _edges(group, z)
    each = disc_moments(p, q, r[index])
    flat = np.stack([np.bincount(index, each[:, i], minlength=len(z)) for i in range(6)], axis=1)
    flat *= (weight * sense)[:, None]
    dz = z - origin
    area, x, y, xx, xy, yy = flat.T
    sums = np.stack([area, x, y, area * dz, xx, yy, area * dz**2, xy, x * dz, y * dz], axis=1)
    whole: Floats = sums.reshape(len(of), -1, 10).sum(axis=1)
    return whole


def _radii(outline: Sequence[Piece], of: NDArray[np.intp], z: Floats) -> Floats:
    """Radius of pieces of the outline at stations, one row a piece, [mm]."""
    rows = np.empty_like(z)
    for k in set(of.tolist()):
        p, at = outline[k], of == k
        if p.side:
            dz = z[at] - p.center[0]
            rows[at] = p.center[1] + p.side * np.sqrt(np.maximum((p.radius - dz) * (p.radius + dz), 0.0))
        else:
            rows[at] = p.r0 + (p.r1 - p.r0) * ((z[at] - p.z0) / (p.z1 - p.z0))
    return rows
