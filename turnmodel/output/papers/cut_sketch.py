"""A sketch of the work as it stands in the lathe: headstock to the left, the end that is cut to the right."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.steps import Verb
from turnmodel.design.part import built
from turnmodel.geometry.curve import Arc
from turnmodel.geometry.region import bounds
from turnmodel.geometry.tolerance import SAME_MM
from turnmodel.output.papers.ink import Bend, Item, Layer, Pen, Stroke, Text, joined

if TYPE_CHECKING:
    from turnmodel.analysis.plan.steps import End, Grip, Plan
    from turnmodel.geometry.curve import Curve, Point
    from turnmodel.geometry.region import Region

__all__ = ["sketch"]

_HIGH: Final = 36.0
"""Height of a sketch at the most, [mm]; house choice."""
_LARGEST: Final = 3.0
"""Largest scale [-]; house choice."""
_BAR: Final = 8.0
"""Length of the gripped bar that is shown, [mm]; house choice."""
_JAW: Final = 4.0
"""Height of a jaw on the paper, [mm]; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Brings stations and radii of the part onto the paper, the end that stands out to the right."""

    out: End
    length: float
    scale: float
    right: float
    middle: float

    def x(self, station: float) -> float:
        """Place of a station, [mm]."""
        from_end = station if self.out == "front" else self.length - station
        return self.right - from_end * self.scale

    def point(self, point: Point, side: int) -> Point:
        """Place of a point above the axis (+1) or below it (-1), [mm]."""
        return (self.x(point[0]), self.middle + side * point[1] * self.scale)


def sketch(plan: Plan, k: int, shown: tuple[Region, Region], room: float) -> tuple[float, list[Item]]:
    """Draw a setting: dashed what it begins with, in wide lines what it leaves, and the grip.

    Parameters
    ----------
    plan : Plan
        The plan
    k : int
        Number of the setting, from 0, [-]
    shown : pair of Region
        What stands when it begins and when it is done, in the part's frame, [mm]
    room : float
        Width of the paper for it, [mm]

    Returns
    -------
    height : float
        Height that it takes, [mm]
    items : list
        What is drawn, its lower left corner at (0, 0)
    """
    setting = plan.settings[k]
    before, after = shown
    box = bounds(before)
    length = built(plan.part).length
    low, high = (box.z0, box.z1)
    grip = setting.grip
    if grip.by == "bar":  # only the beginning of the jaws
        low, high = (low, grip.start + _BAR) if setting.out == "front" else (grip.end - _BAR, high)
    widest = 2 * box.r1
    scale = min(_LARGEST, (room - 4.0) / (high - low), (_HIGH - 2 * _JAW) / widest)
    tall = widest * scale + 2 * _JAW + 1.0
    free = -low if setting.out == "front" else high - length
    right = room - 2.0 - free * scale
    place = _Place(out=setting.out, length=length, scale=scale, right=right, middle=tall / 2)
    items: list[Item] = [
        *_outline(before, place, Pen.DASHED, low, high),
        *_outline(after, place, Pen.WIDE, low, high),
        Stroke((place.x(low), tall / 2), (place.x(high), tall / 2), Pen.CENTRE, Layer.CENTRE),
        *_jaws(grip, place, low, high),
    ]
    for step in setting.steps:
        if step.verb is Verb.PART_OFF:
            near = bounds(step.removes)
            at = near.z0 if setting.out == "front" else near.z1
            x = place.x(at)
            items.append(Stroke((x, 0.5), (x, tall - 0.5), Pen.NARROW, Layer.NOTE))
            items.append(Text((x + 0.8, tall - 2.3), "part off", 1.8))
    return tall, items


def _outline(region: Region, place: _Place, pen: Pen, low: float, high: float) -> list[Item]:
    """Draw the boundary of a region on both sides of the axis, cut off at two stations."""
    found: list[Item] = []
    for loop in region.loops:
        for curve in loop:
            (z0, r0), (z1, r1) = curve.start, curve.end
            if max(r0, r1) < SAME_MM and not isinstance(curve, Arc):
                continue
            if isinstance(curve, Arc):
                found += [_bend(curve, place, side, pen) for side in (1, -1)]
                continue
            if min(z0, z1) > high or max(z0, z1) < low or (z0 == z1 and not low <= z0 <= high):
                continue
            a, b = (min(max(z0, low), high), r0), (min(max(z1, low), high), r1)
            found += [Stroke(place.point(a, side), place.point(b, side), pen) for side in (1, -1)]
    return found


def _bend(arc: Arc, place: _Place, side: int, pen: Pen) -> Bend:
    """Draw an arc, whichever way it turns on the paper."""
    center = place.point(arc.center, side)
    start, end = place.point(arc.start, side), place.point(arc.end, side)
    middle = place.point(_middle(arc), side)
    a, m, b = (math.degrees(math.atan2(p[1] - center[1], p[0] - center[0])) for p in (start, middle, end))
    if (m - a) % 360 > (b - a) % 360:
        a, b = b, a
    return Bend(center, arc.radius * place.scale, a, a + (b - a) % 360, pen)


def _middle(arc: Curve) -> Point:
    """Find the middle of an arc."""
    assert isinstance(arc, Arc)
    angle = math.atan2(arc.start[1] - arc.center[1], arc.start[0] - arc.center[0]) + arc.sweep / 2
    return (arc.center[0] + arc.radius * math.cos(angle), arc.center[1] + arc.radius * math.sin(angle))


def _jaws(grip: Grip, place: _Place, low: float, high: float) -> list[Item]:
    """Draw what holds: jaws outside, or a mandrel inside, hatched."""
    if grip.by == "face":
        return []
    a, b = sorted((place.x(max(grip.start, low)), place.x(min(grip.end, high))))
    r = grip.diameter / 2 * place.scale
    found: list[Item] = []
    for side in (1, -1):
        near, far = (0.0, r) if grip.by in ("bore", "tapped hole") else (r, r + _JAW)
        y0, y1 = sorted((place.middle + side * near, place.middle + side * far))
        found += joined([(a, y0), (b, y0), (b, y1), (a, y1), (a, y0)], Pen.NARROW, Layer.HATCH)
        found += _hatch(a, b, y0, y1)
    return found


def _hatch(x0: float, x1: float, y0: float, y1: float) -> list[Item]:
    """Hatch a box at 45 degrees."""
    found: list[Item] = []
    high = y1 - y0
    x = x0 - high + 1.0
    while x < x1:
        a, b = max(x, x0), min(x + high, x1)
        if b > a:
            found.append(Stroke((a, y0 + a - x), (b, y0 + b - x), Pen.NARROW, Layer.HATCH))
        x += 1.5
    return found
