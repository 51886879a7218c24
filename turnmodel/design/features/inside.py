"""What is drilled, bored and tapped from one face; every depth counts from that face."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, ClassVar

from turnmodel.catalog import drills, run_outs, tapping
from turnmodel.catalog import threads as catalog
from turnmodel.design.features.base import Chamfer, Feature, Fillet
from turnmodel.design.ledger import Measure, angle, mm, named, not_negative, positive
from turnmodel.errors import BadValue
from turnmodel.geometry.corner import filleted
from turnmodel.geometry.curve import Curve, Line, Point, reversed_curve
from turnmodel.geometry.region import Region

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "Bore",
    "Countersink",
    "Cut",
    "Drill",
    "Hole",
    "Inside",
    "Recess",
    "Tap",
    "TaperBore",
    "bore",
    "counterbore",
    "countersink",
    "drill",
    "recess",
    "tap",
    "taper_bore",
]


ROOM = 5e-3
"""How much under the minor radius [mm] a hole still takes the tap; house choice, as drills are rounded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """What stands when a feature is cut: the part's length [mm], and what the cuts before it removed."""

    length: float
    walls: tuple[tuple[Point, ...], ...]

    def radius(self, depth: float) -> float:
        """Radius of the hole so far at a depth, [mm]."""
        return max((_height(wall, depth) for wall in self.walls), default=0.0)

    def takes(self, least: float, most: float, depth: float) -> bool:
        """Whether a straight stretch of it, begun above a depth, lies between two radii, all [mm]."""
        for wall in self.walls:
            for (z0, r0), (z1, r1) in pairwise(wall):
                straight = z0 != z1 and r0 == r1 and min(z0, z1) < depth
                if straight and least <= r0 < most and self.radius((z0 + z1) / 2) == r0:
                    return True
        return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """What a feature removes, in depths from its own face.

    ``chain`` runs from the axis at the deep end along the wall to the face: lines and arcs, the radius a
    function of the depth. ``floor`` is the part of it that a seat can rest on.
    """

    chain: tuple[Curve, ...]
    floor: tuple[Curve, ...] = ()
    note: str | None = None


def _height(wall: Sequence[Point], depth: float) -> float:
    """Radius of a wall of straight pieces at a depth, the larger where it steps; 0 outside it."""
    best = 0.0
    for (z0, r0), (z1, r1) in pairwise(wall):
        if min(z0, z1) <= depth <= max(z0, z1):
            best = max(best, r0, r1) if z0 == z1 else max(best, r0 + (r1 - r0) * (depth - z0) / (z1 - z0))
    return best


def _walled(points: Sequence[Point]) -> tuple[Curve, ...]:
    """Join points by straight pieces, leaving out those of no length."""
    pairs = pairwise(points)
    return tuple(Line(start=a, end=b) for a, b in pairs if a != b)


@dataclass(frozen=True, slots=True)
class Inside(Feature):
    """A feature cut from a face.

    Parameters
    ----------
    mouth : Chamfer, optional
        Chamfer where it meets the face
    """

    mouth: Chamfer | None = field(default=None, kw_only=True)

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Tell what it removes from the part as it stands."""
        raise NotImplementedError


def _reach(depth: Measure | None, through: bool, hole: Hole) -> float:
    """Depth at full diameter, [mm]."""
    return hole.length if through or depth is None else mm(depth)


@dataclass(frozen=True, slots=True)
class Drill(Inside):
    """A drilled hole with its point.

    Parameters
    ----------
    size : str or float
        Name of the drill ("2.5 mm", "#29", "F", "1/8 in") or its diameter, [mm]
    depth : float or str, optional
        Depth at full diameter, [mm]
    through : bool, optional
        Whether it goes through the part
    point : float, optional
        Included angle of its point, [degrees]
    """

    word: ClassVar[str] = "drill"

    size: str | float = named(lambda size: drill_diameter(size), like="2.5 mm")
    depth: Measure | None = positive(None)
    through: bool = field(default=False, kw_only=True)
    point: float = angle(118.0, above=60, below=180)

    @property
    def diameter(self) -> float:
        """Diameter of the drill, [mm]."""
        return drill_diameter(self.size)

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Remove a cylinder and the cone of the point."""
        r, depth = self.diameter / 2, _reach(self.depth, self.through, hole)
        if self.through:
            return (Cut(chain=_walled([(depth, 0.0), (depth, r), (0.0, r)])),)
        tip = r / math.tan(math.radians(self.point / 2))
        chain = _walled([(depth + tip, 0.0), (depth, r), (0.0, r)])
        return (Cut(chain=chain, floor=chain[:1]),)


def drill_diameter(size: str | float) -> float:
    """Diameter of a drill by its name or its diameter, [mm]."""
    if isinstance(size, str):
        return drills.drill(size).diameter
    if not 0 < size < math.inf:
        raise BadValue("drill", size, "mm", "must be more than 0 mm and finite")
    return float(size)


@dataclass(frozen=True, slots=True)
class Bore(Inside):
    """A bored hole with a flat floor.

    Parameters
    ----------
    diameter : float or str
        Diameter, [mm]
    depth : float or str, optional
        Depth, [mm]
    through : bool, optional
        Whether it goes through the part
    corner : Fillet, optional
        Radius left at the floor by the tool
    """

    word: ClassVar[str] = "bore"

    diameter: Measure = positive()
    depth: Measure | None = positive(None)
    through: bool = field(default=False, kw_only=True)
    corner: Fillet | None = field(default=None, kw_only=True)

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Remove a cylinder.

        Raises
        ------
        BadValue
            If the corner at the floor is larger than the floor
        """
        r, depth = mm(self.diameter) / 2, _reach(self.depth, self.through, hole)
        floor, wall = _walled([(depth, 0.0), (depth, r), (0.0, r)])
        if self.through:
            return (Cut(chain=(floor, wall)),)
        if self.corner is None:
            return (Cut(chain=(floor, wall), floor=(floor,)),)
        radius = mm(self.corner.radius)
        try:
            pieces = filleted(floor, wall, radius)
        except BadValue as error:
            most = f"use less than {min(r, depth):g} mm"
            raise BadValue("corner of radius", radius, "mm", error.rule, most) from None
        chain = tuple(piece for piece in pieces if piece is not None)
        return (Cut(chain=chain, floor=chain[:1]),)


@dataclass(frozen=True, slots=True)
class Countersink(Inside):
    """A conical opening at the face.

    Parameters
    ----------
    diameter : float or str
        Diameter at the face, [mm]
    included : float, optional
        Included angle of the cone, [degrees]
    """

    word: ClassVar[str] = "countersink"

    diameter: Measure = positive()
    included: float = angle(90.0, above=0, below=180)

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Remove a cone down to the axis."""
        r = mm(self.diameter) / 2
        tip = r / math.tan(math.radians(self.included / 2))
        chain = _walled([(tip, 0.0), (0.0, r)])
        return (Cut(chain=chain, floor=chain),)


@dataclass(frozen=True, slots=True)
class TaperBore(Inside):
    """A bore that narrows or widens evenly from the face to its floor.

    Parameters
    ----------
    mouth_d : float or str
        Diameter at the face, [mm]
    floor_d : float or str
        Diameter at the floor, [mm]
    depth : float or str
        Depth, [mm]
    """

    word: ClassVar[str] = "taper bore"

    mouth_d: Measure = positive()
    floor_d: Measure = not_negative()
    depth: Measure = positive()

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Remove the frustum."""
        depth, r0, r1 = mm(self.depth), mm(self.mouth_d) / 2, mm(self.floor_d) / 2
        chain = _walled([(depth, 0.0), (depth, r1), (0.0, r0)])
        return (Cut(chain=chain, floor=chain[:1] if r1 > 0 else chain),)


@dataclass(frozen=True, slots=True)
class Recess(Inside):
    """A groove turned into the wall of a hole.

    Parameters
    ----------
    diameter : float or str
        Diameter at its bottom, [mm]
    width : float or str
        Width along the axis, [mm]
    depth : float or str
        Depth of its far side from the face, [mm]
    """

    word: ClassVar[str] = "recess"

    diameter: Measure = positive()
    width: Measure = positive()
    depth: Measure = positive()

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Remove a disc.

        Raises
        ------
        BadValue
            If it would reach out of the face, or has no hole to be turned in
        """
        r, depth, width = mm(self.diameter) / 2, mm(self.depth), mm(self.width)
        stands = hole.radius(depth - width / 2)
        if stands == 0:
            raise BadValue(
                "depth", depth, "mm", "there is no hole to turn the recess in", "list the hole before it"
            )
        if stands >= r:
            raise BadValue(
                "diameter",
                2 * r,
                "mm",
                f"the hole is {2 * stands:g} mm wide there",
                f"use more than {2 * stands:g} mm",
            )
        if width >= depth:
            raise BadValue(
                "width", width, "mm", f"a recess {depth:g} mm deep is narrower than that", "use a bore"
            )
        chain = _walled([(depth, 0.0), (depth, r), (depth - width, r), (depth - width, 0.0)])
        return (Cut(chain=chain, floor=chain[:1]),)


@dataclass(frozen=True, slots=True)
class Tap(Inside):
    """An internal thread, its tapping drill taken where no hole stands yet.

    Parameters
    ----------
    size : str
        Designation, such as "M4x0.5" or "8-32 UNC-2B"
    depth : float or str, optional
        Depth of full thread, [mm]
    through : bool, optional
        Whether it is tapped through the part
    lead : str, optional
        "taper", "plug" or "bottoming": how the tap begins
    """

    word: ClassVar[str] = "tap"

    size: str = named(catalog.thread, like="M8x0.75")
    depth: Measure | None = positive(None)
    through: bool = field(default=False, kw_only=True)
    lead: str = named(run_outs.tap_lead, "plug", like="bottoming")

    @property
    def thread(self) -> catalog.Thread:
        """The thread that is cut."""
        return catalog.thread(self.size)

    def lead_length(self) -> float:
        """Length of the tap's tapered beginning, [mm]."""
        return run_outs.tap_lead(self.lead).high * self.thread.pitch

    def full_depth(self, hole: Hole) -> float:
        """Depth of full thread, [mm]."""
        return _reach(self.depth, self.through, hole)

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Remove the mouth's chamfer and, where no hole of its size stands yet, the tapping drill."""
        size, full = self.thread, self.full_depth(hole)
        crest = size.major_d / 2
        found = []
        if self.mouth is None:
            chain = _walled([(crest, 0.0), (0.0, crest)])
            found.append(Cut(chain=chain, note=f"mouth countersunk 90 degrees to {size.major_d:g} mm"))
        if not hole.takes(size.minor_d / 2 - ROOM, crest, full):
            pilot = tapping.tap_drill(size).drill
            r = pilot.diameter / 2
            reach = hole.length if self.through else full + self.lead_length() + size.pitch
            tip = 0.0 if self.through else r / math.tan(math.radians(59.0))
            if reach + tip >= hole.length:
                reach, tip = hole.length, 0.0
            chain = _walled([(reach + tip, 0.0), (reach, r), (0.0, r)])
            note = f"tapping drill {pilot.name}, {reach:.1f} mm deep"
            found.append(Cut(chain=chain, floor=() if tip == 0 else chain[:1], note=note))
        return tuple(found)


def mouth_cut(edge: Chamfer, radius: float) -> Cut:
    """Remove the chamfer where a hole of this radius meets its face."""
    axial = mm(edge.size)
    slope = math.tan(math.radians(edge.angle))
    wide = radius + axial * slope
    chain = _walled([(wide / slope, 0.0), (0.0, wide)])
    return Cut(chain=chain)


def removed(cut: Cut) -> Region:
    """Close a cut's chain along the face and the axis."""
    first, last = cut.chain[0].start, cut.chain[-1].end
    closing = _walled([last, (last[0], 0.0), first])
    loop = (*cut.chain, *closing)
    if _runs_clockwise(loop):
        loop = tuple(reversed_curve(curve) for curve in reversed(loop))
    return Region(loops=(loop,))


def _runs_clockwise(loop: Sequence[Curve]) -> bool:
    return sum(c.start[0] * c.end[1] - c.end[0] * c.start[1] for c in loop) < 0


bore = Bore
counterbore = Bore
countersink = Countersink
drill = Drill
recess = Recess
tap = Tap
taper_bore = TaperBore
