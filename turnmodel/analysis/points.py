"""Parts as points: skins to move about, and what of them comes to lie inside another part.

Where two parts are not round about one axis, whether one passes the other is asked of points on their skins
at steps along the way. What this cannot see is smaller than the steps between the points.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.design.part import Part, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.across import Block, CrossCylinder, Tool
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.curve import Arc
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.region import bounds
from turnmodel.geometry.strip import Strip, mid_line, stretches
from turnmodel.geometry.thread_moments import span_region

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.geometry.curve import Curve
    from turnmodel.geometry.region import Region

    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]

__all__ = ["SKIN_MM", "STEP_MM", "clear_way", "inside", "ring_cut", "skin"]

SKIN_MM: Final = 0.02
"""How far [mm] under a part's surface its skin lies, so that faces in contact do not count; house choice."""

STEP_MM: Final = 0.5
"""Steps [mm] between points of a skin and along a way; house choice: finer than any feature cut by hand."""

_ROUND: Final = 48  # points round a ring


def clear_way(moving: Part, fixed: Part, relative: Floats, direction: Floats, *, screwed: bool) -> bool:
    """Tell whether a part can be drawn straight away from another.

    Parameters
    ----------
    moving, fixed : Part
        The two parts
    relative : ndarray of shape (4, 4)
        Placement of the moving part in the frame of the fixed one, shifts in [mm]
    direction : ndarray of shape (3,)
        The way it is drawn, in the frame of the fixed one, a unit vector, [-]
    screwed : bool
        Whether the moving part turns out of the fixed one's thread, which its crests then pass

    Returns
    -------
    bool
        True where nothing on the way was found
    """
    turn, at = relative[:3, :3], relative[:3, 3]
    corners = _corners(moving) @ turn.T + at
    across = np.column_stack([direction, _across(direction)])
    mine, theirs = corners @ across, _corners(fixed) @ across
    reach = float(theirs[:, 0].max() - mine[:, 0].min())
    if reach <= 0 or _apart(mine[:, 1:], theirs[:, 1:]):
        return True
    mine, theirs = skin(moving, screwed) @ turn.T + at, skin(fixed, screwed)
    flat_mine, flat_theirs = (across[:, 1:].T @ points.T for points in (mine, theirs))
    mine = mine[_within(flat_mine, flat_theirs)]
    theirs = (theirs[_within(flat_theirs, flat_mine)] - at) @ turn
    met = _passed(fixed, mine, direction, reach)
    if len(met) and inside(fixed, met, screwed).any():
        return False
    met = _passed(moving, theirs, -(direction @ turn), reach)
    return not (len(met) and inside(moving, met, screwed).any())


def _passed(part: Part, points: Floats, direction: Floats, reach: float) -> Floats:
    """List where points stand at each step of a way, as far as that is within a part's box."""
    low, high = _box(part)
    steps = max(2, math.ceil(reach / STEP_MM))
    step = reach / (steps - 1) * direction
    enters, leaves = np.zeros(len(points)), np.full(len(points), float(steps - 1))
    for axis in range(3):
        if abs(step[axis]) < SKIN_MM / steps:  # it hardly moves that way
            leaves[(points[:, axis] <= low[axis] - SKIN_MM) | (points[:, axis] >= high[axis] + SKIN_MM)] = -1
            continue
        ends = (np.array([[low[axis]], [high[axis]]]) - points[:, axis]) / step[axis]
        enters, leaves = np.maximum(enters, ends.min(axis=0)), np.minimum(leaves, ends.max(axis=0))
    first = np.ceil(enters).astype(int)
    counts = np.maximum(np.floor(leaves).astype(int) - first + 1, 0)
    which = np.repeat(np.arange(len(points)), counts)
    since = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
    met: Floats = points[which] + (first[which] + since)[:, None] * step
    return met


@lru_cache(maxsize=256)
def _box(part: Part) -> tuple[Floats, Floats]:
    """Least and greatest coordinates of a part, [mm]."""
    made = built(part)
    if isinstance(made, Strip):
        points = skin(part)
        return points.min(axis=0) - STEP_MM, points.max(axis=0) + STEP_MM
    z0, z1, _, r = bounds(made.body.plain)
    return np.array([-r, -r, z0]), np.array([r, r, z1])


def _corners(part: Part) -> Floats:
    low, high = _box(part)
    return np.array(list(product(*zip(low, high, strict=True))))


def _apart(points: Floats, others: Floats) -> bool:
    """Tell whether the boxes of flat points share nothing."""
    return bool(
        (points.min(axis=0) >= others.max(axis=0)).any() or (points.max(axis=0) <= others.min(axis=0)).any()
    )


def _across(direction: Floats) -> Floats:
    """Two directions square to a third, as columns."""
    x, y, z = direction.tolist()
    # The first is square to the axis that is the furthest from the direction.
    least = min(abs(x), abs(y), abs(z))
    p, q, r = (0.0, z, -y) if least == abs(x) else (-z, 0.0, x) if least == abs(y) else (y, -x, 0.0)
    long = math.hypot(p, q, r)
    p, q, r = p / long, q / long, r / long
    return np.array([(p, y * r - z * q), (q, z * p - x * r), (r, x * q - y * p)])


def _within(points: Floats, others: Floats) -> Flags:
    """Which of some flat points lie within the box of others, both of shape (2, n)."""
    (u, v), low, high = points, others.min(axis=1), others.max(axis=1)
    found: Flags = (u >= low[0]) & (u <= high[0]) & (v >= low[1]) & (v <= high[1])
    return found


@lru_cache(maxsize=256)
def skin(part: Part, cored: bool = False) -> Floats:
    """Lay points a little under the surface of a part.

    Parameters
    ----------
    part : Part
        The part
    cored : bool
        Whether external threads are turned down to their roots

    Returns
    -------
    ndarray of shape (n, 3)
        Points in the part's frame, [mm]
    """
    made = built(part)
    if isinstance(made, Strip):
        return _strip_skin(made)
    region = _region(part, cored)
    rings = np.array([p for loop in region.loops for c in loop for p in _laid(c)]).reshape(-1, 2)
    rings = rings[rings[:, 1] > 0]
    angle = np.arange(_ROUND) * (2 * math.pi / _ROUND)
    z, r = (np.repeat(rings[:, k], _ROUND) for k in (0, 1))
    round_ = np.tile(angle, len(rings))
    points = np.stack([r * np.cos(round_), r * np.sin(round_), z], axis=1)
    gone = np.zeros(len(points), dtype=bool)
    for tool in made.tools:
        gone |= _in_tool(tool, points, SKIN_MM)
    return points[~gone]


def ring_cut(part: Part, station: float, radius: float) -> Flags:
    """Tell at which of the angles of a ring a part is cut across.

    Parameters
    ----------
    part : Part
        A turned part
    station, radius : float
        Where the ring lies in the part's frame, [mm]

    Returns
    -------
    ndarray of shape (32,)
        True where a cross hole, flat or slot took the metal, from angle 0 on in even steps
    """
    made = built(part)
    assert isinstance(made, Turned)
    angle = np.arange(_ROUND) * (2 * math.pi / _ROUND)
    points = np.stack([radius * np.cos(angle), radius * np.sin(angle), np.full(_ROUND, station)], axis=1)
    gone = np.zeros(_ROUND, dtype=bool)
    for tool in made.tools:
        gone |= _in_tool(tool, points, SKIN_MM)
    return gone


@lru_cache(maxsize=256)
def _region(part: Part, cored: bool) -> Region:
    made = built(part)
    assert isinstance(made, Turned)
    male = [span_region(span) for span in made.body.threads if span.external and cored]
    return difference(made.body.plain, *male) if male else made.body.plain


def _laid(curve: Curve) -> list[tuple[float, float]]:
    """Points along a curve, moved to its left, where the metal is."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    if r0 == r1 == 0:
        return []
    long = math.dist(curve.start, curve.end)
    count = max(2, math.ceil(long / STEP_MM) + 1)
    found = []
    for k in range(count):
        share = (k + 0.5) / count
        z, r = z0 + share * (z1 - z0), r0 + share * (r1 - r0)
        nz, nr = -(r1 - r0) / long, (z1 - z0) / long
        if isinstance(curve, Arc):
            cz, cr = curve.center
            away = math.hypot(z - cz, r - cr) or 1.0
            nz, nr = (cz - z) / away * curve.turn, (cr - r) / away * curve.turn
            z, r = cz + (z - cz) / away * curve.radius, cr + (r - cr) / away * curve.radius
        found.append((z + SKIN_MM * nz, r + SKIN_MM * nr))
    return found


def _strip_skin(made: Strip) -> Floats:
    half = made.thickness / 2 - SKIN_MM
    points = []
    for along, wide in zip(*_half_widths(made), strict=True):
        x, z, heading = mid_line(made, along)
        for y in np.linspace(-wide, wide, max(2, math.ceil(2 * wide / STEP_MM)) + 2)[1:-1]:
            if any(math.hypot(along - at, y) < d / 2 for at, d in made.holes):
                continue
            points += [
                (x - off * math.sin(heading), float(y), z + off * math.cos(heading)) for off in (-half, half)
            ]
    return np.array(points).reshape(-1, 3)


def inside(part: Part, points: Floats, cored: bool = False) -> Flags:
    """Tell which points lie in a part.

    Parameters
    ----------
    part : Part
        The part
    points : ndarray of shape (n, 3)
        Points in its frame, [mm]
    cored : bool
        Whether external threads are turned down to their roots

    Returns
    -------
    ndarray of shape (n,)
        True for those inside
    """
    made = built(part)
    if isinstance(made, Strip):
        return _in_strip(made, points)
    x, y, z = points.T
    r, first, last = np.hypot(x, y), z.min(), z.max()
    found = np.zeros(len(points), dtype=bool)
    for p in pieces(_region(part, cored).loops):
        if p.z1 <= first or p.z0 > last:
            continue
        if p.side:
            dz = z - p.center[0]
            height = p.center[1] + p.side * np.sqrt(np.maximum(0.0, p.radius**2 - dz**2))
        else:
            height = p.r0 + (p.r1 - p.r0) * (z - p.z0) / (p.z1 - p.z0)
        found ^= (p.z0 <= z) & (z < p.z1) & (height < r)
    for tool in made.tools:
        if found.any():
            found &= ~_in_tool(tool, points, 0.0)
    return found


def _in_tool(tool: Tool, points: Floats, margin: float) -> Flags:
    """Which points lie in what is cut across a part, or within a margin of it [mm]."""
    found: Flags = np.zeros(len(points), dtype=bool)
    if isinstance(tool, CrossCylinder):
        from_start = points - np.array(tool.at)
        along = from_start @ np.array(tool.direction)
        away = np.linalg.norm(from_start - along[:, None] * np.array(tool.direction), axis=1)
        found = (along > -margin) & (along < tool.length + margin) & (away < tool.diameter / 2 + margin)
    elif isinstance(tool, Block):
        own = np.abs((points - np.array(tool.center)) @ np.array(tool.axes).T)
        found = (own < np.array(tool.size) / 2 + margin).all(axis=1)
    return found


def _in_strip(made: Strip, points: Floats) -> Flags:
    x, y, z = points.T
    marks, wide = _half_widths(made)
    found = np.zeros(len(points), dtype=bool)
    for stretch in stretches(made):
        x0, z0, heading = mid_line(made, stretch.start)
        c, s = math.cos(heading), math.sin(heading)
        u, v = (x - x0) * c + (z - z0) * s, -(x - x0) * s + (z - z0) * c
        if stretch.turn:
            # Towards the upper side the middle of the bend stands above, else below.
            radius = 1 / stretch.curvature
            side = math.copysign(1.0, radius)
            angle = np.arctan2(u, (radius - v) * side)
            u, v = abs(radius) * angle, (abs(radius) - np.hypot(u, v - radius)) * side
        long = stretch.end - stretch.start
        along = stretch.start + u
        here = (u >= 0) & (u <= long) & (np.abs(v) < made.thickness / 2)
        here &= np.abs(y) < np.interp(along, marks, wide)
        for at, d in made.holes:
            here &= np.hypot(along - at, y) >= d / 2
        found |= here
    return found


@lru_cache(maxsize=64)
def _half_widths(made: Strip) -> tuple[Floats, Floats]:
    """Half widths of a strip's flat outline at distances along it, both [mm]."""
    count = max(8, math.ceil(made.length / STEP_MM))
    marks = (np.arange(count) + 0.5) * made.length / count
    over = pieces(made.half.loops)
    return marks, np.array([max(p.at(at) for p in over if p.z0 <= at <= p.z1) for at in marks.tolist()])
