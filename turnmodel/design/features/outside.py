"""What is turned on the outside, listed from the front face to the back."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, ClassVar

from turnmodel.design.features.base import Edge, Feature
from turnmodel.design.features.dimension import Callout, side_callouts
from turnmodel.design.features.operation import Operation
from turnmodel.design.ledger import Measure, angle, mm, not_negative, positive
from turnmodel.design.script import script_place
from turnmodel.errors import BadValue
from turnmodel.geometry.curve import Arc, Curve, Line, Point
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from turnmodel.catalog import threads as catalog
    from turnmodel.errors import Where

__all__ = [
    "Bow",
    "Cone",
    "Cylinder",
    "Dome",
    "Knurl",
    "Outside",
    "Run",
    "Shoulder",
    "Start",
    "bow",
    "cone",
    "cylinder",
    "dome",
    "knurl",
    "raised",
    "shoulder",
    "straight_run",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Where a feature begins: its station and the radius before it [mm]; the nearest thread, before first."""

    station: float
    radius: float
    first: bool
    last: bool
    thread: catalog.Thread | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What a feature gives: its curves from front to back, empty for a bare shoulder."""

    curves: tuple[Curve, ...]


@dataclass(frozen=True, slots=True)
class Outside(Feature):
    """A feature on the outside.

    Parameters
    ----------
    edges : chamfer or fillet, optional
        Treatment of both its corners
    front, back : chamfer or fillet, optional
        Treatment of one of them
    """

    operation: ClassVar[Operation]

    edges: Edge | None = field(default=None, kw_only=True)
    front: Edge | None = field(default=None, kw_only=True)
    back: Edge | None = field(default=None, kw_only=True)

    def run(self, start: Start) -> Run:
        """Trace the feature from where it begins."""
        raise NotImplementedError

    def callouts(self, curves: tuple[Curve, ...]) -> tuple[Callout, ...]:
        """Tell the sizes that a drawing gives of it, from its curves where they lie."""
        return tuple(found for curve in curves for found in side_callouts(curve))


def straight_run(start: Start, first_r: float, last_r: float, length: float) -> Run:
    """Trace a straight side between two radii over a length, all [mm]."""
    z = start.station
    return Run(curves=(Line(start=(z, first_r), end=(z + length, last_r)),))


@dataclass(frozen=True, slots=True)
class Knurl:
    """A knurl rolled or cut into a cylinder: a note to the maker, which raises the diameter.

    Parameters
    ----------
    pitch : float or str
        Distance from ridge to ridge, 0.3 to 2; usual are 0.5, 0.6, 0.8, 1, 1.2 and 1.6, [mm]
    growth : float or str, optional
        By how much the diameter grows, [mm]; left out, half the pitch (common practice: a quarter of the
        pitch on each side for a diamond of 90 degrees)
    """

    word: ClassVar[str] = "knurl"

    pitch: Measure = positive()
    growth: Measure | None = not_negative(None)
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)

    @property
    def raised(self) -> float:
        """By how much the diameter grows, [mm]."""
        return mm(self.pitch) / 2 if self.growth is None else mm(self.growth)


@dataclass(frozen=True, slots=True)
class Cylinder(Outside):
    """A length turned to one diameter.

    Parameters
    ----------
    diameter : float or str
        Diameter, [mm]
    length : float or str
        Length along the axis, [mm]
    knurled : Knurl, optional
        A knurl on it
    """

    word: ClassVar[str] = "cylinder"
    operation: ClassVar[Operation] = Operation.TURN

    diameter: Measure = positive()
    length: Measure = positive()
    knurled: Knurl | None = field(default=None, kw_only=True)

    def run(self, start: Start) -> Run:
        """Trace a straight piece at the diameter."""
        r = mm(self.diameter) / 2
        return straight_run(start, r, r, mm(self.length))

    def callouts(self, curves: tuple[Curve, ...]) -> tuple[Callout, ...]:
        """Tell its diameter, which a knurl raises only after it is turned."""
        if self.knurled is None:
            return side_callouts(curves[0])
        return side_callouts(curves[0], "⌀{0}, knurl pitch {1}", mm(self.knurled.pitch))


@dataclass(frozen=True, slots=True)
class Cone(Outside):
    """A taper, given by two of its end diameter, its length and its half-angle.

    Parameters
    ----------
    start_d : float or str, optional
        Diameter at the front, [mm]; left out, the diameter before it
    end_d : float or str, optional
        Diameter at the back, [mm]
    length : float or str, optional
        Length along the axis, [mm]
    half_angle : float, optional
        Angle between its side and the axis, [degrees]; negative where it narrows and ``end_d`` is left out
    """

    word: ClassVar[str] = "cone"
    operation: ClassVar[Operation] = Operation.TAPER

    start_d: Measure | None = not_negative(None, by_place=True)
    end_d: Measure | None = not_negative(None, by_place=True)
    length: Measure | None = positive(None)
    half_angle: float | None = angle(None, above=-90, below=90)

    def run(self, start: Start) -> Run:
        """Trace the sloping piece.

        Raises
        ------
        BadValue
            If the figures do not fix one cone
        """
        r0 = start.radius if self.start_d is None else mm(self.start_d) / 2
        given = [word for word in ("end_d", "length", "half_angle") if getattr(self, word) is not None]
        if len(given) != 2:
            raise BadValue(
                f"{len(given) or 'none'} of end_d, length and half_angle", None, "",
                "a cone takes two of them", "leave one out" if len(given) == 3 else "give another",
            )  # fmt: skip
        slope_angle = self.half_angle or 0.0
        slope = math.tan(math.radians(slope_angle))
        if self.end_d is None:
            length = mm(self.length or 0.0)
            r1 = r0 + length * slope
            if r1 < 0:
                most = r0 / -slope
                raise BadValue(
                    "length", length, "mm", f"the cone comes to a point after {most:.4g} mm", "shorten it"
                )
        else:
            r1 = mm(self.end_d) / 2
            if self.length is not None:
                length = mm(self.length)
            elif slope == 0 or r1 == r0 or (slope < 0 < r1 - r0):
                raise BadValue(
                    "end diameter", 2 * r1, "mm",
                    f"a cone of {slope_angle:g} degrees from {2 * r0:g} mm never reaches it",
                    f"write half_angle={-slope_angle:g}" if slope_angle else "give its length instead",
                )  # fmt: skip
            else:
                length = abs((r1 - r0) / slope)
        return straight_run(start, r0, r1, length)


@dataclass(frozen=True, slots=True)
class Bow(Outside):
    """A curved length between two diameters: an arc of a given radius, bulging or hollow.

    Parameters
    ----------
    end_d : float or str
        Diameter at the back, [mm]
    length : float or str
        Length along the axis, [mm]
    radius : float or str
        Radius of the arc, [mm]
    hollow : bool, optional
        Whether the arc curves in
    start_d : float or str, optional
        Diameter at the front, [mm]; left out, the diameter before it
    """

    word: ClassVar[str] = "bow"
    operation: ClassVar[Operation] = Operation.ROUND

    end_d: Measure = not_negative()
    length: Measure = positive()
    radius: Measure = positive()
    hollow: bool = field(default=False, kw_only=True)
    start_d: Measure | None = not_negative(None)

    def run(self, start: Start) -> Run:
        """Trace the arc.

        Raises
        ------
        BadValue
            If the radius is too small for the two ends, or the arc would turn back on itself
        """
        r0 = start.radius if self.start_d is None else mm(self.start_d) / 2
        a: Point = (start.station, r0)
        b: Point = (start.station + mm(self.length), mm(self.end_d) / 2)
        radius, half = mm(self.radius), math.dist(a, b) / 2
        if radius < half:
            raise BadValue(
                "radius", radius, "mm", f"does not reach from end to end, {2 * half:.4g} mm apart",
                f"use {half:.4g} mm or more",
            )  # fmt: skip
        rise = math.sqrt(radius**2 - half**2)
        uz, ur = (b[0] - a[0]) / (2 * half), (b[1] - a[1]) / (2 * half)
        side = 1 if self.hollow else -1
        center = ((a[0] + b[0]) / 2 - side * rise * ur, (a[1] + b[1]) / 2 + side * rise * uz)
        if any((p[1] - center[1]) * side > SAME_MM for p in (a, b)):
            raise BadValue("radius", radius, "mm", "the arc would turn back under itself", "use a larger one")
        if self.hollow and center[1] - radius < 0 and a[0] < center[0] < b[0]:
            raise BadValue("radius", radius, "mm", "the hollow would reach the axis", "use a larger one")
        return Run(curves=(Arc(start=a, end=b, center=center, turn=side),))


@dataclass(frozen=True, slots=True)
class Dome(Outside):
    """A rounded end: part of a sphere from the axis to a diameter, at the front face or the back.

    Parameters
    ----------
    diameter : float or str, optional
        Diameter at its foot, [mm]; left out at the back, the diameter before it
    length : float or str, optional
        Height of the dome, [mm]; left out, half the diameter (a hemisphere)
    """

    word: ClassVar[str] = "dome"
    operation: ClassVar[Operation] = Operation.ROUND

    diameter: Measure | None = not_negative(None, by_place=True)
    length: Measure | None = positive(None)

    def run(self, start: Start) -> Run:
        """Trace the arc from the axis or to it.

        Raises
        ------
        BadValue
            If the dome is neither first nor last, or higher than half its diameter
        """
        if start.first == start.last:
            raise BadValue(
                "alone" if start.first else "in the middle", None, "",
                "a dome is the first or the last feature of several", "use bow between others",
            )  # fmt: skip
        foot = start.radius if self.diameter is None else mm(self.diameter) / 2
        if foot <= 0:
            raise BadValue("diameter", 2 * foot, "mm", "must be more than 0 mm")
        height = foot if self.length is None else mm(self.length)
        if height > foot + 1e-12:
            raise BadValue(
                "length", height, "mm", f"a dome is at most half its diameter, {foot:.4g} mm, high",
                "put a cylinder behind it",
            )  # fmt: skip
        sphere = (foot**2 + height**2) / (2 * height)
        z = start.station
        if start.first:
            return Run(
                curves=(Arc(start=(z, 0.0), end=(z + height, foot), center=(z + sphere, 0.0), turn=-1),)
            )
        center = (z + height - sphere, 0.0)
        return Run(curves=(Arc(start=(z, foot), end=(z + height, 0.0), center=center, turn=-1),))

    def callouts(self, curves: tuple[Curve, ...]) -> tuple[Callout, ...]:
        """Tell the diameter at its foot, and the sphere's radius that follows from it and its height."""
        *foot, sphere = side_callouts(curves[0])
        return (*foot, replace(sphere, words="(SR{0})", reference=True))


@dataclass(frozen=True, slots=True)
class Shoulder(Feature):
    """The step between what stands before it and what comes behind: no length, but a name.

    Parameters
    ----------
    mark : str
        Its name
    """

    word: ClassVar[str] = "shoulder"

    mark: str | None = None


bow = Bow
cone = Cone
cylinder = Cylinder
dome = Dome
knurl = Knurl
shoulder = Shoulder


def raised(feature: object) -> float:
    """By how much a knurl raises the diameter of what it is on, 0 where there is none, [mm]."""
    knurled = feature.knurled if isinstance(feature, Cylinder) else None
    return 0.0 if knurled is None else knurled.raised
