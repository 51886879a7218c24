"""What is cut across a turned part: holes, taps, flats, slots and saddles."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar, Final

from turnmodel.catalog import tapping
from turnmodel.catalog import threads as catalog
from turnmodel.design.features.base import Feature
from turnmodel.design.features.dimension import (
    Callout,
    Kind,
    callout_at,
    cross_callouts,
    span_callouts,
    thread_name,
)
from turnmodel.design.features.inside import drill_diameter
from turnmodel.design.features.operation import Operation
from turnmodel.design.ledger import Measure, angle, mm, named, number, positive, whole
from turnmodel.errors import BadValue
from turnmodel.geometry.across import Block, CrossCylinder, Tool, Vector
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = [
    "Across",
    "CrossHole",
    "CrossTap",
    "Flat",
    "Round",
    "Saddle",
    "Slot",
    "cross_hole",
    "cross_tap",
    "flat",
    "saddle",
    "slot",
]

_CLEAR = 1.0  # mm by which a cutter stands clear of the surface it enters


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """The round part that is cut across: its length and its outside radius between two stations, [mm]."""

    length: float
    radius: Callable[[float, float], float]


@dataclass(frozen=True, slots=True)
class Across(Feature):
    """A feature that is not round about the part's axis."""

    operation: ClassVar[Operation]

    def span(self, part: Round) -> tuple[float, float]:
        """First and last station that it touches, [mm]."""
        raise NotImplementedError

    def tools(self, part: Round) -> tuple[Tool, ...]:
        """Tell what it removes."""
        raise NotImplementedError

    def callouts(self, part: Round) -> tuple[Callout, ...]:
        """Tell the sizes that a drawing gives of it."""
        raise NotImplementedError


_QUARTERS: Final = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}


def radial(degrees: float) -> Vector:
    """Unit vector out from the axis at an angle round it [degrees]."""
    quarter = _QUARTERS.get(degrees % 360)
    x, y = quarter or (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    return (x, y, 0.0)


def _along(point: Vector, direction: Vector, distance: float) -> Vector:
    x, y, z = (p + distance * d for p, d in zip(point, direction, strict=True))
    return (x, y, z)


def _cross_bore(
    part: Round, at: float, degrees: float, diameter: float, depth: Measure | None, through: bool
) -> CrossCylinder:
    """A hole that starts clear of the surface: to the axis, to a depth, or through both walls."""
    surface = part.radius(at - diameter / 2, at + diameter / 2)
    if diameter >= 2 * surface:
        raise BadValue(
            "diameter", diameter, "mm", f"cuts the part in two, {2 * surface:g} mm wide there",
            f"use less than {2 * surface:g} mm",
        )  # fmt: skip
    if depth is not None and mm(depth) >= 2 * surface:
        rule = f"comes out on the far side, {2 * surface:g} mm down"
        raise BadValue("depth", mm(depth), "mm", rule, "write through=True")
    reach = 2 * surface + _CLEAR if through else surface if depth is None else mm(depth)
    out = radial(degrees)
    return CrossCylinder(
        at=_along((0.0, 0.0, at), out, surface + _CLEAR),
        direction=(-out[0], -out[1], 0.0),
        diameter=diameter,
        length=reach + _CLEAR,
    )


@dataclass(frozen=True, slots=True)
class CrossHole(Across):
    """A hole drilled across the axis, through the near wall unless told otherwise.

    Parameters
    ----------
    size : str or float
        Name of the drill or its diameter, [mm]
    at : float or str
        Station of its centre, [mm]
    angle : float, optional
        Where it stands round the axis, [degrees]
    depth : float or str, optional
        Depth from the surface, [mm]
    through : bool, optional
        Whether it goes through both walls
    """

    word: ClassVar[str] = "cross hole"
    operation: ClassVar[Operation] = Operation.CROSS_DRILL

    size: str | float = named(drill_diameter, like="2.5 mm")
    at: Measure = number()
    angle: float = angle(0.0)
    depth: Measure | None = positive(None)
    through: bool = field(default=False, kw_only=True)

    @property
    def diameter(self) -> float:
        """Diameter of the hole, [mm]."""
        return drill_diameter(self.size)

    def span(self, part: Round) -> tuple[float, float]:
        """First and last station that it touches, [mm]."""
        return mm(self.at) - self.diameter / 2, mm(self.at) + self.diameter / 2

    def tools(self, part: Round) -> tuple[Tool, ...]:
        """Remove a cylinder across."""
        return (_cross_bore(part, mm(self.at), self.angle, self.diameter, self.depth, self.through),)

    def callouts(self, part: Round) -> tuple[Callout, ...]:
        """Tell its diameter, how deep it goes, and where its centre is."""
        return _bore_callouts(self, part, "⌀{0}")


@dataclass(frozen=True, slots=True)
class CrossTap(Across):
    """A hole tapped across the axis, through the near wall unless told otherwise.

    Parameters
    ----------
    size : str
        Designation of the thread
    at : float or str
        Station of its centre, [mm]
    angle : float, optional
        Where it stands round the axis, [degrees]
    depth : float or str, optional
        Depth from the surface, [mm]
    through : bool, optional
        Whether it goes through both walls
    """

    word: ClassVar[str] = "cross tap"
    operation: ClassVar[Operation] = Operation.CROSS_TAP

    size: str = named(catalog.thread, like="M2")
    at: Measure = number()
    angle: float = angle(0.0)
    depth: Measure | None = positive(None)
    through: bool = field(default=False, kw_only=True)

    @property
    def thread(self) -> catalog.Thread:
        """The thread that is cut."""
        return catalog.thread(self.size)

    @property
    def diameter(self) -> float:
        """Diameter of the tapping drill, [mm]."""
        return tapping.tap_drill(self.thread).drill.diameter

    def span(self, part: Round) -> tuple[float, float]:
        """First and last station that it touches, [mm]."""
        r = self.thread.major_d / 2
        return mm(self.at) - r, mm(self.at) + r

    def tools(self, part: Round) -> tuple[Tool, ...]:
        """Remove the tapping drill's cylinder; the helix is the mesh's to cut."""
        return (_cross_bore(part, mm(self.at), self.angle, self.diameter, self.depth, self.through),)

    def callouts(self, part: Round) -> tuple[Callout, ...]:
        """Tell its thread with its hole, how deep it goes, and where its centre is."""
        return _bore_callouts(self, part, f"{thread_name(self.thread, external=False)}, ⌀{{0}} drill")


def _bore_callouts(hole: CrossHole | CrossTap, part: Round, words: str) -> tuple[Callout, ...]:
    """Call out a hole across where it opens."""
    at, r = mm(hole.at), hole.diameter / 2
    words += " through" if hole.through else ", {1} deep" if hole.depth is not None else ""
    also = () if hole.depth is None else (mm(hole.depth),)
    return cross_callouts(2 * r, (at, part.radius(at - r, at + r)), words, *also)


def _block(part: Round, start: float, end: float, low: float, width: float, degrees: float) -> Block:
    """A box from a distance off the axis outwards, over a range of stations."""
    out = radial(degrees)
    side = (-out[1], out[0], 0.0)
    high = part.radius(start, end) + _CLEAR
    center = _along((0.0, 0.0, (start + end) / 2), out, (low + high) / 2)
    return Block(center=center, size=(high - low, width, end - start), axes=(out, side, (0.0, 0.0, 1.0)))


@dataclass(frozen=True, slots=True)
class Flat(Across):
    """Flats milled or filed on the outside.

    Parameters
    ----------
    at : float or str
        Station where they begin, [mm]
    length : float or str
        Length along the axis, [mm]
    across : float or str
        What a calliper reads: from a flat to the flat or round opposite, [mm]
    angle : float, optional
        Where the first stands round the axis, [degrees]
    count : int, optional
        How many, evenly spaced, [-]
    """

    word: ClassVar[str] = "flat"
    operation: ClassVar[Operation] = Operation.FLATTEN

    at: Measure = number()
    length: Measure = positive()
    across: Measure = positive()
    angle: float = angle(0.0)
    count: int = whole(1)

    def height(self, radius: float) -> float:
        """Distance of a flat from the axis of a round of this radius, both [mm]."""
        return mm(self.across) / 2 if self.count % 2 == 0 else mm(self.across) - radius

    def span(self, part: Round) -> tuple[float, float]:
        """First and last station that it touches, [mm]."""
        return mm(self.at), mm(self.at) + mm(self.length)

    def tools(self, part: Round) -> tuple[Tool, ...]:
        """Remove a box for each flat.

        Raises
        ------
        BadValue
            If the flats leave nothing, or touch nothing
        """
        start, end = self.span(part)
        radius, across = part.radius(start, end), mm(self.across)
        low = self.height(radius)
        if not 0 < low < radius:
            raise BadValue(
                "across", across, "mm", f"a flat lies between the axis and the {2 * radius:g} mm round",
                f"use less than {2 * radius:g} mm",
            )  # fmt: skip
        width = 2 * radius + 2 * _CLEAR
        turns = (self.angle + k * 360 / self.count for k in range(int(self.count)))
        return tuple(_block(part, start, end, low, width, turn) for turn in turns)

    def callouts(self, part: Round) -> tuple[Callout, ...]:
        """Tell how many there are, what a calliper reads over them, and where they begin and end."""
        across, count = mm(self.across), int(self.count)
        height = self.height(part.radius(*self.span(part)))
        words = f"{count} flats, {{0}} across" if count > 1 else "flat, {0} across"
        return span_callouts(across, self.span(part), height, words)


@dataclass(frozen=True, slots=True)
class Slot(Across):
    """A slot sawn or milled in from the outside.

    Parameters
    ----------
    at : float or str
        Station where it begins, [mm]
    length : float or str
        Length along the axis, [mm]
    width : float or str
        Width, [mm]
    depth : float or str
        Depth from the surface, [mm]
    angle : float, optional
        Where it stands round the axis, [degrees]
    """

    word: ClassVar[str] = "slot"
    operation: ClassVar[Operation] = Operation.SLOT

    at: Measure = number()
    length: Measure = positive()
    width: Measure = positive()
    depth: Measure = positive()
    angle: float = angle(0.0)

    def span(self, part: Round) -> tuple[float, float]:
        """First and last station that it touches, [mm]."""
        return mm(self.at), mm(self.at) + mm(self.length)

    def tools(self, part: Round) -> tuple[Tool, ...]:
        """Remove a box.

        Raises
        ------
        BadValue
            If it is deeper than the part is thick
        """
        start, end = self.span(part)
        radius, depth = part.radius(start, end), mm(self.depth)
        if depth > 2 * radius:
            raise BadValue(
                "depth", depth, "mm", f"the part is only {2 * radius:g} mm thick there",
                f"use {2 * radius:g} mm or less",
            )  # fmt: skip
        return (_block(part, start, end, radius - depth, mm(self.width), self.angle),)

    def callouts(self, part: Round) -> tuple[Callout, ...]:
        """Tell its width and depth, and where it begins and ends."""
        height = part.radius(*self.span(part)) - mm(self.depth)
        right_across = mm(self.depth) >= 2 * part.radius(*self.span(part)) - SAME_MM
        words = "slot {0} wide, right across" if right_across else "slot {0} wide, {1} deep"
        height = mm(self.width) / 2 if right_across else height
        return span_callouts(mm(self.width), self.span(part), height, words, mm(self.depth))


@dataclass(frozen=True, slots=True)
class Saddle(Across):
    """A hollow across an end face, to sit on a round of a given diameter.

    Parameters
    ----------
    diameter : float or str
        Diameter of the round that it sits on, [mm]
    angle : float, optional
        Direction of that round's axis, about the part's own, [degrees]
    """

    word: ClassVar[str] = "saddle"
    operation: ClassVar[Operation] = Operation.SADDLE

    diameter: Measure = positive()
    angle: float = angle(0.0)

    def rise(self, part: Round) -> float:
        """Depth of the hollow on the part's axis, [mm]."""
        r, seat = part.radius(part.length - 1e-6, part.length), mm(self.diameter) / 2
        if r > seat:
            raise BadValue(
                "diameter", 2 * seat, "mm", f"a part {2 * r:g} mm wide cannot sit astride so small a round",
                f"use {2 * r:g} mm or more",
            )  # fmt: skip
        return seat - math.sqrt(seat**2 - r**2)

    def span(self, part: Round) -> tuple[float, float]:
        """First and last station that it touches, [mm]."""
        return part.length - self.rise(part), part.length

    def tools(self, part: Round) -> tuple[Tool, ...]:
        """Remove a cylinder across the back face, whose rim keeps the part's length."""
        seat = mm(self.diameter) / 2
        station = part.length - self.rise(part) + seat
        axis = radial(self.angle)
        half = part.radius(0.0, part.length) + _CLEAR
        start = _along((0.0, 0.0, station), axis, -half)
        return (CrossCylinder(at=start, direction=axis, diameter=2 * seat, length=2 * half),)

    def callouts(self, part: Round) -> tuple[Callout, ...]:
        """Tell the diameter of the round that it sits on."""
        seat, out = mm(self.diameter) / 2, 0.7 * part.radius(part.length - 1e-6, part.length)
        at = (part.length - self.rise(part) + seat - math.sqrt(seat**2 - out**2), out)
        return (callout_at(Kind.CROSS, mm(self.diameter), at, "saddle ⌀{0}"),)


cross_hole = CrossHole
cross_tap = CrossTap
flat = Flat
saddle = Saddle
slot = Slot
