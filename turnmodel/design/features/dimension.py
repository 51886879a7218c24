"""The sizes of a feature as a drawing calls them out: plain values, laid out elsewhere."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from turnmodel.catalog import thread_limits
from turnmodel.errors import UnknownName
from turnmodel.geometry.curve import Arc, Curve, Line, Point

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.catalog.threads import Thread

__all__ = [
    "Callout",
    "Kind",
    "callout_at",
    "cross_callouts",
    "side_callouts",
    "span_callouts",
    "thread_name",
    "wall_callouts",
]

_LEVEL = 1e-9
"""Radii or stations [mm] this near are one: rounding."""


class Kind(StrEnum):
    """What a size measures."""

    DIAMETER = "diameter"
    THREAD = "thread"
    RADIUS = "radius"
    CHAMFER = "chamfer"
    SINK = "countersink"
    ANGLE = "included angle"
    HALF_ANGLE = "half-angle"
    DEPTH = "depth"
    STATION = "station"
    CROSS = "cross feature"


@dataclass(frozen=True, slots=True, kw_only=True)
class Callout:
    """One size of a feature.

    Parameters
    ----------
    kind : Kind
        What it measures
    value : float
        The size, [mm], or [degrees] for an angle
    over : tuple of (float, float)
        Ends of the stretch of outline on which it may be measured, by station or depth from the feature's
        own face and radius, [mm]; twice the same point where there is one only
    words : str
        What is written: ``{0}`` stands for the size, ``{1}`` and on for the others
    also : tuple of float
        Other lengths in the words, [mm]
    reference : bool
        Whether it follows from other sizes and is written in brackets
    """

    kind: Kind
    value: float
    over: tuple[Point, Point]
    words: str = "{0}"
    also: tuple[float, ...] = ()
    reference: bool = False


def callout_at(kind: Kind, value: float, at: Point, words: str = "{0}", *also: float) -> Callout:
    """Call a size ([mm] or [degrees]) out at one point, other lengths [mm] in its words."""
    return Callout(kind=kind, value=value, over=(at, at), words=words, also=also)


def _middle(curve: Curve) -> Point:
    """Point half-way along a curve."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    if isinstance(curve, Line):
        return (z0 + z1) / 2, (r0 + r1) / 2
    angle = math.atan2(r0 - curve.center[1], z0 - curve.center[0]) + curve.sweep / 2
    return (
        curve.center[0] + curve.radius * math.cos(angle),
        curve.center[1] + curve.radius * math.sin(angle),
    )


def side_callouts(curve: Curve, words: str = "⌀{0}", *also: float) -> tuple[Callout, ...]:
    """Call out a turned side: the diameter of a straight one, the ends of any other, a taper's half-angle.

    Examples
    --------
    >>> [c.words.format(c.value) for c in side_callouts(Line(start=(0, 2), end=(4, 6)))]
    ['⌀4', '⌀12', '(half-angle 45.0°)']
    """
    (z0, r0), (z1, r1) = curve.start, curve.end
    if isinstance(curve, Line) and abs(r1 - r0) <= _LEVEL:
        over = (curve.start, curve.end)
        return (Callout(kind=Kind.DIAMETER, value=2 * r0, over=over, words=words, also=also),)
    ends = [
        callout_at(Kind.DIAMETER, 2 * r, (z, r), words, *also)
        for z, r in (curve.start, curve.end)
        if r > _LEVEL
    ]
    at = (_middle(curve), _middle(curve))
    if isinstance(curve, Arc):
        ends.append(Callout(kind=Kind.RADIUS, value=curve.radius, over=at, words="R{0}"))
    else:
        half = math.degrees(math.atan2(abs(r1 - r0), abs(z1 - z0)))
        taper, over = "(half-angle {0}°)", (curve.start, curve.end)
        ends.append(Callout(kind=Kind.HALF_ANGLE, value=half, over=over, words=taper, reference=True))
    return tuple(ends)


def wall_callouts(chain: Sequence[Curve], words: str = "⌀{0}") -> tuple[Callout, ...]:
    """Call out a hole from its deep end to its face: its walls, how deep they reach, the cone at the end.

    Examples
    --------
    >>> point, wall = Line(start=(12.2, 0), end=(10, 2)), Line(start=(10, 2), end=(0, 2))
    >>> [(c.kind.value, round(c.value)) for c in wall_callouts([point, wall])]
    [('included angle', 85), ('diameter', 4), ('depth', 10)]
    """
    found = []
    for curve in chain:
        (z0, r0), (z1, r1) = curve.start, curve.end
        if isinstance(curve, Arc):
            found.append(callout_at(Kind.RADIUS, curve.radius, _middle(curve), "R{0}"))
        elif abs(r1 - r0) <= _LEVEL:
            over = (curve.start, curve.end)
            found.append(Callout(kind=Kind.DIAMETER, value=2 * r0, over=over, words=words))
            found.append(callout_at(Kind.DEPTH, max(z0, z1), (max(z0, z1), r0)))
        elif abs(z1 - z0) > _LEVEL:
            included = 2 * math.degrees(math.atan2(abs(r1 - r0), abs(z1 - z0)))
            over = (curve.start, curve.end)
            found.append(Callout(kind=Kind.ANGLE, value=included, over=over, words="{0}°"))
    return tuple(found)


def thread_name(thread: Thread, external: bool) -> str:
    """Write a thread with its tolerance class, where it has classes.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> thread_name(thread("M10x1"), external=True), thread_name(thread("2BA"), external=False)
    ('M10×1-6g', '2BA')
    """
    name = thread.designation.replace("x", "×")
    try:
        return f"{name}-{thread_limits.limits(thread, external).fit}"
    except UnknownName:
        return name


def cross_callouts(value: float, mouth: Point, words: str, *also: float) -> tuple[Callout, ...]:
    """Call out a hole across, its diameter and other lengths [mm], and the station of its centre."""
    at = callout_at(Kind.STATION, mouth[0], mouth)
    return at, callout_at(Kind.CROSS, value, mouth, words, *also)


def span_callouts(
    value: float, span: tuple[float, float], height: float, words: str, *also: float
) -> tuple[Callout, ...]:
    """Call out what is cut over a span of stations, its floor at a height over the axis, all [mm]."""
    ends = tuple(callout_at(Kind.STATION, z, (z, height)) for z in span)
    over = ((span[0], height), (span[1], height))
    return (*ends, Callout(kind=Kind.CROSS, value=value, over=over, words=words, also=also))
