"""A turned body: its plain region, and where threads are cut into it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from turnmodel.geometry.region import Region, flipped, moved

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from turnmodel.catalog.threads import Thread
    from turnmodel.geometry.curve import Point

__all__ = [
    "Body",
    "ThreadSpan",
    "between_steps",
    "body_flipped",
    "body_moved",
    "height_at",
    "outermost",
    "step_stations",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadSpan:
    """A length of thread on a body.

    The true surface at station z and angle a is the thread's form there, held between two envelopes::

        r(z, a) = min(max(form(u), floor(z)), ceiling(z)),   u = z - anchor - hand * lead * a / 360

    where ``form`` has the thread's pitch as its period and its greatest radius at u = 0. The plain region of
    the body follows the ceiling of an external span (its turned outside) and the floor of an internal one
    (its hole), so a run-in is a chamfer of the plain region, and a run-out is the cone that the lead of the
    die or tap leaves, in the other envelope.

    ``start`` and ``end`` are stations [mm]; ``anchor`` is the station [mm] of the greatest radius at angle
    zero; ``floor`` and ``ceiling`` are polylines of (z, r) from start to end, rising in z [mm].
    """

    thread: Thread
    external: bool
    start: float
    end: float
    anchor: float
    floor: tuple[Point, ...]
    ceiling: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A plain region (threads at the major diameter outside, at the hole's inside) and its threads."""

    plain: Region
    threads: tuple[ThreadSpan, ...] = ()


def body_moved(body: Body, dz: float) -> Body:
    """Move a body along its axis by dz [mm]."""

    def move(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((z + dz, r) for z, r in points)

    return Body(
        plain=moved(body.plain, dz),
        threads=tuple(
            replace(
                t,
                start=t.start + dz,
                end=t.end + dz,
                anchor=t.anchor + dz,
                floor=move(t.floor),
                ceiling=move(t.ceiling),
            )
            for t in body.threads
        ),
    )


def body_flipped(body: Body) -> Body:
    """Turn a body end for end about station 0, by half a turn about an axis across it."""

    def flip(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((-z, r) for z, r in reversed(points))

    return Body(
        plain=flipped(body.plain),
        threads=tuple(
            replace(
                t,
                start=-t.end,
                end=-t.start,
                anchor=-t.anchor,
                floor=flip(t.floor),
                ceiling=flip(t.ceiling),
            )
            for t in body.threads
        ),
    )


def step_stations(*lines: Sequence[Point]) -> set[float]:
    """List the stations [mm] at which polylines of (z, r) step."""
    return {a for line in lines for (a, r), (b, s) in pairwise(line) if a == b and r != s}


def between_steps(span: ThreadSpan) -> tuple[ThreadSpan, ...]:
    """Part a thread at the stations where one of its envelopes steps.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> span = ThreadSpan(
    ...     thread=thread("M4"),
    ...     external=False,
    ...     start=0,
    ...     end=5,
    ...     anchor=0,
    ...     floor=((0, 1.8), (2, 1.8), (2, 1.65), (5, 1.65)),
    ...     ceiling=((0, 2), (5, 2)),
    ... )
    >>> [(piece.start, piece.end, piece.floor) for piece in between_steps(span)]
    [(0, 2, ((0, 1.8), (2, 1.8))), (2, 5, ((2, 1.65), (5, 1.65)))]
    """
    steps = step_stations(span.floor, span.ceiling)
    ends = sorted({span.start, span.end} | {z for z in steps if span.start < z < span.end})
    if len(ends) == 2:
        return (span,)

    def piece(line: Sequence[Point], low: float, high: float) -> tuple[Point, ...]:
        reached = next((k for k, (z, _) in enumerate(line) if z >= high), len(line) - 1)
        inner = (p for p in line if low < p[0] < high)
        return ((low, height_at(line, low)), *inner, (high, height_at(line[: reached + 1], high)))

    return tuple(
        replace(
            span,
            start=low,
            end=high,
            floor=piece(span.floor, low, high),
            ceiling=piece(span.ceiling, low, high),
        )
        for low, high in pairwise(ends)
    )


def height_at(line: Sequence[Point], z: float) -> float:
    """Height [mm] of a polyline of (z, r) at a station [mm], the later one where it steps; its ends run on.

    Examples
    --------
    >>> height_at([(0, 1), (4, 1), (4, 3), (6, 2)], 5)
    2.5
    """
    z = min(max(z, line[0][0]), line[-1][0])
    for (a, r), (b, s) in reversed(list(pairwise(line))):
        if a <= z <= b and a != b:
            return r + (s - r) * (z - a) / (b - a)
    return line[-1][1]


def outermost(
    one: Sequence[Point], other: Sequence[Point], pick: Callable[[float, float], float]
) -> tuple[Point, ...]:
    """Run along two polylines over one range of stations, on whichever is picked at each.

    Parameters
    ----------
    one, other : sequence of (float, float)
        Polylines of (z, r), z never falling, two points where one steps, [mm]
    pick : callable
        ``max`` for the upper, ``min`` for the lower

    Returns
    -------
    tuple of (float, float)
        The polyline picked, [mm]

    Examples
    --------
    >>> outermost([(0, 1), (4, 1)], [(0, 3), (4, -1)], max)
    ((0, 3), (2.0, 1.0), (4, 1))
    """
    stations = sorted({p[0] for line in (one, other) for p in line})
    points: list[Point] = []
    for z0, z1 in pairwise(stations):
        a0, a1 = _between(one, z0, z1)
        b0, b1 = _between(other, z0, z1)
        inner: list[Point] = []
        if (a0 - b0) * (a1 - b1) < 0:
            share = (a0 - b0) / (a0 - b0 - a1 + b1)
            inner = [(z0 + share * (z1 - z0), a0 + share * (a1 - a0))]
        for point in [(z0, pick(a0, b0)), *inner, (z1, pick(a1, b1))]:
            if not points or point != points[-1]:
                points.append(point)
    return tuple(points)


def _between(line: Sequence[Point], z0: float, z1: float) -> tuple[float, float]:
    """Heights of a polyline just after one station and just before the next."""
    for (a, r), (b, s) in pairwise(line):
        if a <= z0 and z1 <= b and a != b:
            slope = (s - r) / (b - a)
            return (r if a == z0 else r + slope * (z0 - a)), (s if b == z1 else r + slope * (z1 - a))
    raise ValueError(f"a polyline has no piece from {z0:g} to {z1:g} mm")
