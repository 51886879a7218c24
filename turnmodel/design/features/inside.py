"""What is drilled, bored and tapped from one face; every depth counts from that face."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar

from turnmodel.catalog import drills, run_outs, tapping
from turnmodel.catalog import threads as catalog
from turnmodel.design.features.dimension import (
    Callout,
    Kind,
    callout_at,
    side_callouts,
    thread_name,
    wall_callouts,
)
from turnmodel.design.features.hole import Cut, Hole, Inside, mouth_cut, removed, sink, walled
from turnmodel.design.features.operation import Operation
from turnmodel.design.ledger import MOST_MM, Measure, angle, mm, named, not_negative, positive
from turnmodel.errors import BadValue
from turnmodel.geometry.corner import filleted

if TYPE_CHECKING:
    from turnmodel.design.features.base import Fillet

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
    "mouth_cut",
    "recess",
    "removed",
    "tap",
    "taper_bore",
]


ROOM = 5e-3
"""How much under the minor radius [mm] a hole still takes the tap; house choice, as drills are rounded."""


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
    operation: ClassVar[Operation] = Operation.DRILL

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
            return (Cut(chain=walled([(depth, 0.0), (depth, r), (0.0, r)])),)
        tip = drills.point_length(self.diameter, self.point)
        chain = walled([(depth + tip, 0.0), (depth, r), (0.0, r)])
        return (Cut(chain=chain, floor=chain[:1]),)

    def _sizes(self, cut: Cut) -> tuple[Callout, ...]:
        name = str(self.size).strip()
        named = isinstance(self.size, str) and not name.endswith("mm")
        found = wall_callouts(cut.chain, f"{name} drill ⌀{{0}}" if named else "⌀{0} drill")
        return tuple(c for c in found if not (self.through and c.kind is Kind.DEPTH))


def drill_diameter(size: str | float) -> float:
    """Diameter of a drill by its name or its diameter, [mm]."""
    if isinstance(size, str):
        return drills.drill(size).diameter
    if not 0 < size < math.inf:
        raise BadValue("drill", size, "mm", "must be more than 0 mm and finite")
    if size > MOST_MM:
        raise BadValue("drill", math.inf, "mm", f"{MOST_MM:g} mm is the widest there is")
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
    operation: ClassVar[Operation] = Operation.BORE

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
        floor, wall = walled([(depth, 0.0), (depth, r), (0.0, r)])
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
    operation: ClassVar[Operation] = Operation.COUNTERSINK

    diameter: Measure = positive()
    included: float = angle(90.0, above=0, below=180)

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Remove a cone down to the axis."""
        r = mm(self.diameter) / 2
        tip = r / math.tan(math.radians(self.included / 2))
        chain = walled([(tip, 0.0), (0.0, r)])
        return (Cut(chain=chain, floor=chain),)

    def _sizes(self, cut: Cut) -> tuple[Callout, ...]:
        return (sink(cut, self.included),)


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
    operation: ClassVar[Operation] = Operation.BORE_TAPER

    mouth_d: Measure = positive()
    floor_d: Measure = not_negative()
    depth: Measure = positive()

    def cuts(self, hole: Hole) -> tuple[Cut, ...]:
        """Remove the frustum."""
        depth, r0, r1 = mm(self.depth), mm(self.mouth_d) / 2, mm(self.floor_d) / 2
        chain = walled([(depth, 0.0), (depth, r1), (0.0, r0)])
        return (Cut(chain=chain, floor=chain[:1] if r1 > 0 else chain),)

    def _sizes(self, cut: Cut) -> tuple[Callout, ...]:
        slope = cut.chain[-1]
        deep = callout_at(Kind.DEPTH, slope.start[0], slope.start)
        return (*side_callouts(slope), deep)


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
    operation: ClassVar[Operation] = Operation.RECESS

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
        chain = walled([(depth, 0.0), (depth, r), (depth - width, r), (depth - width, 0.0)])
        return (Cut(chain=chain, floor=chain[:1]),)

    def _sizes(self, cut: Cut) -> tuple[Callout, ...]:
        near = cut.chain[1].end
        return (*wall_callouts(cut.chain), callout_at(Kind.DEPTH, near[0], near))


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
    operation: ClassVar[Operation] = Operation.TAP

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
            chain = walled([(crest, 0.0), (0.0, crest)])
            note = f"mouth countersunk 90 degrees to {size.major_d:g} mm"
            found.append(Cut(chain=chain, note=note, operation=Operation.COUNTERSINK))
        if not hole.takes(size.minor_d / 2 - ROOM, crest, full):
            pilot = tapping.tap_drill(size).drill
            r = pilot.diameter / 2
            reach = hole.length if self.through else full + self.lead_length() + size.pitch
            tip = 0.0 if self.through else r / math.tan(math.radians(59.0))
            if reach + tip >= hole.length:
                reach, tip = hole.length, 0.0
            chain = walled([(reach + tip, 0.0), (reach, r), (0.0, r)])
            note = f"tapping drill {pilot.name}, {reach:.1f} mm deep"
            floor = () if tip == 0 else chain[:1]
            found.append(Cut(chain=chain, floor=floor, note=note, operation=Operation.DRILL))
        return tuple(found)

    def callouts(self, cuts: tuple[Cut, ...], length: float) -> tuple[Callout, ...]:
        """Tell its designation with its class, its depth in a part of a length [mm], its own hole."""
        size, crest = self.thread, self.thread.major_d / 2
        full = length if self.through or self.depth is None else mm(self.depth)
        over = ((0.0, crest), (full, crest))
        name = thread_name(size, external=False)
        found = [Callout(kind=Kind.THREAD, value=size.major_d, over=over, words=name)]
        if full < length:
            found.append(callout_at(Kind.DEPTH, full, (full, crest)))
        return (*found, *Inside.callouts(self, cuts, length))

    def _sizes(self, cut: Cut) -> tuple[Callout, ...]:
        if cut.chain[-1].start[1] == 0.0:
            return (sink(cut, 90.0),)
        return wall_callouts(cut.chain, "⌀{0} drill")


bore = Bore
counterbore = Bore
countersink = Countersink
drill = Drill
recess = Recess
tap = Tap
taper_bore = TaperBore
