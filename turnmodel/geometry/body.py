"""A turned body: its plain region, and where threads are cut into it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from turnmodel.geometry.region import Region, flipped, moved

if TYPE_CHECKING:
    from turnmodel.catalog.threads import Thread
    from turnmodel.geometry.curve import Point

__all__ = ["Body", "ThreadSpan", "body_flipped", "body_moved"]


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
