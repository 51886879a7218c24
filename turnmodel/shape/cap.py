"""Triangles over a flat section with holes, on its own corners only."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Floats = NDArray[np.float64]

__all__ = ["triangulated"]

_Corner = tuple[float, float, int]


def triangulated(loops: Sequence[tuple[Ints, Floats, Floats]]) -> Ints:
    """Fill loops with triangles by clipping ears.

    Parameters
    ----------
    loops : sequence of (ids, z, r)
        Closed chains of corners: their numbers, stations and radii; outer loops counter-clockwise, holes
        clockwise

    Returns
    -------
    ndarray
        Corner numbers of counter-clockwise triangles, shape (n, 3)

    Notes
    -----
    Holes are joined to the loop round them by a double edge. Corners on a straight edge are kept: the
    triangles meet those of the skin edge by edge.
    """
    outers: list[list[_Corner]] = []
    holes: list[list[_Corner]] = []
    for ids, z, r in loops:
        corners = list(zip(z.tolist(), r.tolist(), ids.tolist(), strict=True))
        (outers if _area(corners) > 0 else holes).append(corners)
    # From the right-most hole leftwards, so that each bridge meets what is already joined.
    for hole in sorted(holes, key=max, reverse=True):
        at = max(range(len(hole)), key=hole.__getitem__)
        around = [i for i, outer in enumerate(outers) if _inside(hole[at], outer)]
        smallest = min(around, key=lambda i: _area(outers[i]))
        outers[smallest] = _bridged(outers[smallest], hole[at:] + hole[:at])
    triangles = [t for outer in outers for t in _clipped(outer)]
    return np.array(triangles, dtype=np.int64).reshape(-1, 3)


def _area(loop: Sequence[_Corner]) -> float:
    """Twice the area of a loop, positive counter-clockwise."""
    return sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(loop, [*loop[1:], loop[0]], strict=True))


def _turn(a: _Corner, b: _Corner, c: _Corner) -> float:
    """Twice the area of a triangle, positive counter-clockwise."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _inside(p: _Corner, loop: Sequence[_Corner]) -> bool:
    """Tell whether a point is within a loop, by counting the edges to its right."""
    odd = False
    for a, b in zip(loop, [*loop[1:], loop[0]], strict=True):
        if (a[1] > p[1]) != (b[1] > p[1]) and p[0] < a[0] + (p[1] - a[1]) * (b[0] - a[0]) / (b[1] - a[1]):
            odd = not odd
    return odd


def _bridged(outer: list[_Corner], hole: list[_Corner]) -> list[_Corner]:
    """Join a hole, given from its right-most corner on, to the nearest corner of the loop round it."""
    start = hole[0]
    edges = list(zip(outer, [*outer[1:], outer[0]], strict=True))
    nearest = sorted(range(len(outer)), key=lambda i: _apart(start, outer[i]))
    seen = next(
        (
            i
            for i in nearest
            if _opens(outer, i, start) and not any(_crosses(start, outer[i], a, b) for a, b in edges)
        ),
        nearest[0],
    )
    return [*outer[: seen + 1], *hole, start, *outer[seen:]]


def _opens(outer: list[_Corner], i: int, p: _Corner) -> bool:
    """Tell whether a point lies within the angle of material at a corner."""
    a, b, c = outer[i - 1], outer[i], outer[(i + 1) % len(outer)]
    if _turn(a, b, c) > 0:
        return _turn(a, b, p) > 0 and _turn(b, c, p) > 0
    return _turn(a, b, p) > 0 or _turn(b, c, p) > 0


def _apart(p: _Corner, q: _Corner) -> float:
    """Square of a distance."""
    return (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2


def _crosses(p: _Corner, q: _Corner, a: _Corner, b: _Corner) -> bool:
    """Tell whether an edge a-b bars the way from p to q; edges that end there do not."""
    if q[:2] in (a[:2], b[:2]) or p[:2] in (a[:2], b[:2]):
        return False
    return (_turn(p, q, a) >= 0) != (_turn(p, q, b) >= 0) and (_turn(a, b, p) >= 0) != (_turn(a, b, q) >= 0)


def _clipped(loop: list[_Corner]) -> list[tuple[int, int, int]]:
    """Cut ears off a loop until a triangle remains."""
    triangles = []
    count = len(loop)
    after = [*range(1, count), 0]
    before = [count - 1, *range(count - 1)]
    bent = {i for i in range(count) if _turn(loop[before[i]], loop[i], loop[after[i]]) <= 0}
    left, i, idle = count, 0, 0
    while left > 3:
        a, c = before[i], after[i]
        # After a round without an ear only corners in line are left: take them as they come.
        if idle > left or _is_ear(loop, a, i, c, bent):
            triangles.append((loop[a][2], loop[i][2], loop[c][2]))
            after[a], before[c] = c, a
            bent.discard(i)
            left, idle = left - 1, 0
            for j in (a, c):
                if j in bent and _turn(loop[before[j]], loop[j], loop[after[j]]) > 0:
                    bent.discard(j)
            # Leaving out the next corner keeps the triangles stout.
            i = after[c]
        else:
            i, idle = c, idle + 1
    triangles.append((loop[before[i]][2], loop[i][2], loop[after[i]][2]))
    return triangles


def _is_ear(loop: list[_Corner], a: int, i: int, c: int, bent: set[int]) -> bool:
    """Tell whether a corner can be cut off: it is convex and no other corner stands in its triangle."""
    if i in bent:
        return False
    p, q, s = loop[a], loop[i], loop[c]
    left, right = min(p[0], q[0], s[0]), max(p[0], q[0], s[0])
    low, high = min(p[1], q[1], s[1]), max(p[1], q[1], s[1])
    ends = (p[:2], q[:2], s[:2])
    for j in bent:
        t = loop[j]
        if not (left <= t[0] <= right and low <= t[1] <= high) or t[:2] in ends:
            continue
        if _turn(p, q, t) >= 0 and _turn(q, s, t) >= 0 and _turn(s, p, t) >= 0:
            return False
    return True
