"""Pockets for ballast: where a slug has room in a part behind its least wall, and the plug to close it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, ClassVar, Final

from turnmodel.analysis.walls import bore_radius, skins
from turnmodel.catalog.materials import material
from turnmodel.design.features.across import Across, Round
from turnmodel.design.part import ShapedPart, built
from turnmodel.design.turned import CrossCut, Turned
from turnmodel.geometry.across import CrossCylinder, Tool
from turnmodel.geometry.body import Body
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.curve import Line
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import ring
from turnmodel.geometry.thread_moments import span_region
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.catalog.printer import Printer
    from turnmodel.catalog.toolbox import OwnedSlug
    from turnmodel.design.part import Part
    from turnmodel.geometry.region import Region

__all__ = ["Pocket", "PocketCut", "Slot", "plug", "pocketed", "slots"]

LEAST_PLUG: Final = 1.5
"""Least length of a plug [mm]: less is lost or breaks (house choice)."""

_PLAY: Final = 0.2
"""Room along a slug [mm] in its pocket: house choice."""

_AROUND: Final = (12, 10, 8, 6, 5, 4, 3, 2)
"""Numbers of pockets round the axis [-], evenly spaced, so that the balance stays on the axis."""

_STEP: Final = 0.05
"""Step [mm] in which a hole is searched for the place where a pocket's mouth opens: under a layer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A place in a part where slugs have room, in pockets that open towards one end.

    Parameters
    ----------
    part : str
        Name of the part
    slug : OwnedSlug
        What lies in it
    from_back : bool
        Whether the pockets open to the back
    around : int
        How many pockets stand round the axis; 1 lies on it, [-]
    each : int
        How many slugs lie end to end in each, [-]
    diameter : float
        Diameter of a pocket in the file, [mm]
    circle_d : float
        Diameter of the circle on which they stand, 0 on the axis, [mm]
    mouth : float
        Depth from the end of the part at which they open, [mm]
    deepest : float
        Depth from the end of the part down to which they may go, [mm]
    length : float
        Length of the part, [mm]
    """

    part: str
    slug: OwnedSlug
    from_back: bool
    around: int
    each: int
    diameter: float
    circle_d: float
    mouth: float
    deepest: float
    length: float

    @property
    def filled(self) -> float:
        """Length that the slugs take up in each, [mm]."""
        return self.each * self.slug.length + _PLAY

    @property
    def shallowest(self) -> float:
        """Least depth at which a plug still has its length, [mm]."""
        return self.mouth + LEAST_PLUG + self.filled

    def meets(self, other: Slot, wall: float) -> bool:
        """Tell whether pockets of two slots, equally deep, would leave less than a wall [mm] between."""
        a, b = sorted((self, other), key=lambda slot: slot.circle_d)
        return (b.circle_d - b.diameter - a.circle_d - a.diameter) / 2 < wall

    @property
    def slugs(self) -> int:
        """How many slugs lie in all of its pockets, [-]."""
        return self.around * self.each


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """Pockets at a depth from the end of their part to their floors, [mm]."""

    slot: Slot
    depth: float

    @property
    def plug_length(self) -> float:
        """Length of the plug that closes each, [mm]."""
        return self.depth - self.slot.filled - self.slot.mouth

    def mass(self, plastic: float) -> tuple[float, float]:
        """Tell what the pockets add to their part.

        Parameters
        ----------
        plastic : float
            Density of what is printed, [g/cm3]

        Returns
        -------
        mass : float
            Slugs less the plastic that they take the place of, [g]
        moment : float
            That mass times its distance from the part's front face, [g.mm]

        Notes
        -----
        Printed, a plug fills its hole.
        """
        slot, slug = self.slot, self.slot.slug
        metal = (
            material(slug.material).density * (slug.diameter**2 - slug.hole_d**2) * slot.each * slug.length
        )
        gone = plastic * slot.diameter**2 * slot.filled
        mass = slot.around * math.pi / 4 * (metal - gone) / 1000
        middle = self.depth - slot.filled / 2
        return mass, mass * (slot.length - middle if slot.from_back else middle)


@dataclass(frozen=True, slots=True)
class PocketCut(Across):
    """Pockets beside the axis, as something that is cut into a part.

    Parameters
    ----------
    pocket : Pocket
        The pockets
    """

    word: ClassVar[str] = "pocket"

    pocket: Pocket

    def span(self, part: Round) -> tuple[float, float]:
        """First and last station that they touch, [mm]."""
        depth = self.pocket.depth
        return (part.length - depth, part.length) if self.pocket.slot.from_back else (0.0, depth)

    def tools(self, part: Round) -> tuple[Tool, ...]:
        """Remove a cylinder along the axis for each."""
        slot, depth = self.pocket.slot, self.pocket.depth
        at, way = (part.length - depth, 1.0) if slot.from_back else (depth, -1.0)
        turns = (2 * math.pi * k / slot.around for k in range(slot.around))
        return tuple(
            CrossCylinder(
                at=(slot.circle_d / 2 * math.cos(turn), slot.circle_d / 2 * math.sin(turn), at),
                direction=(0.0, 0.0, way),
                diameter=slot.diameter,
                length=depth + _CLEAR,
            )
            for turn in turns
        )


_CLEAR: Final = 1.0
"""Length [mm] by which a cutter stands out of the end that it enters."""


def slots(part: Part, slug: OwnedSlug, printer: Printer) -> tuple[Slot, ...]:
    """Find where in a part a slug has room behind the printer's least wall.

    Parameters
    ----------
    part : Part
        A turned part of a mock-up
    slug : OwnedSlug
        What is to lie in it
    printer : Printer
        Its least wall and its allowances

    Returns
    -------
    tuple of Slot
        On the axis from a closed end or from a hole's floor, and beside it from a flat end; as many slugs end
        to end as there is room for, and each lesser number
    """
    made = built(part)
    if not isinstance(made, Turned):
        return ()
    core = _core(made)
    r, wall = (slug.diameter + printer.slide + printer.hole) / 2, printer.wall
    found = []
    for from_back in (False, True):
        mouth = _axial_mouth(made, r, from_back=from_back)
        places = [] if mouth is None else [(1, 0.0, *mouth)]
        beside = _beside(made, r, wall, from_back=from_back)
        places += [(around, center, 0.0, 0.0) for around, center in beside]
        for around, center, opens, tip in places:
            deepest = _deepest(made, core, (center, r, wall), (opens, tip), from_back=from_back)
            most = math.floor((deepest - opens - LEAST_PLUG - _PLAY) / slug.length + SAME_MM)
            slot = Slot(
                part=part.name, slug=slug, from_back=from_back, around=around, each=1,
                diameter=2 * r, circle_d=2 * center, mouth=opens, deepest=deepest, length=made.length,
            )  # fmt: skip
            found += [replace(slot, each=each) for each in range(min(most, slug.count // around), 0, -1)]
    return tuple(found)


def pocketed(part: Part, pockets: tuple[Pocket, ...]) -> Part:
    """Cut pockets into a part.

    Parameters
    ----------
    part : Part
        A turned part of a mock-up
    pockets : tuple of Pocket
        What is cut

    Returns
    -------
    Part
        The part with its pockets open
    """
    made = built(part)
    assert isinstance(made, Turned)
    for pocket in pockets:
        slot = pocket.slot
        if slot.around == 1:
            low, high = _stations(made, slot.mouth, pocket.depth, from_back=slot.from_back)
            plain = difference(made.body.plain, ring(low, high, slot.diameter))
            made = replace(made, body=replace(made.body, plain=plain))
            continue
        feature = PocketCut(pocket)
        whole = Round(length=made.length, radius=lambda _a, _b: 0.0)
        start, end = feature.span(whole)
        cut = CrossCut(
            title=f"pocket ({'back' if slot.from_back else 'front'})", feature=feature, start=start, end=end,
            tools=feature.tools(whole), surface_r=slot.circle_d / 2,
        )  # fmt: skip
        made = replace(made, across=(*made.across, cut))
    return ShapedPart(name=part.name, material=part.material, shape=made)


def plug(pocket: Pocket, printer: Printer) -> Part:
    """Shape the plug that closes a pocket: pushed in, it holds by friction.

    Parameters
    ----------
    pocket : Pocket
        The pocket
    printer : Printer
        The printer

    Returns
    -------
    Part
        A plain cylinder, as many of which are needed as there are pockets
    """
    slot = pocket.slot
    diameter = slot.diameter - printer.hole - printer.shaft
    body = Body(plain=ring(0.0, pocket.plug_length, diameter))
    shape = Turned(body=body, outside=(), inside=(), across=(), length=pocket.plug_length, defaults=())
    end = "back" if slot.from_back else "front"
    return ShapedPart(name=f"plug of {slot.part}, {end}", material=printer.material, shape=shape)


def _core(made: Turned) -> Region:
    """Keep what no thread reaches and nothing is cut across."""
    far = 4 * max(max(c.start[1], c.end[1]) for loop in made.body.plain.loops for c in loop)
    cutters = [span_region(span) for span in made.body.threads]
    cutters += [ring(cut.start, cut.end, far) for cut in made.across if cut.end - cut.start > SAME_MM]
    return difference(made.body.plain, *cutters) if cutters else made.body.plain


def _stations(made: Turned, first: float, last: float, *, from_back: bool) -> tuple[float, float]:
    """Turn depths from an end into stations, rising."""
    return (made.length - last, made.length - first) if from_back else (first, last)


def _axial_mouth(made: Turned, r: float, *, from_back: bool) -> tuple[float, float] | None:
    """Depths at which a pocket on the axis opens and the part begins to be solid; None where it cannot."""
    on_axis = [
        z
        for loop in made.body.plain.loops
        for c in loop
        if isinstance(c, Line) and max(c.start[1], c.end[1]) <= SAME_MM
        for z in (c.start[0], c.end[0])
    ]
    if not on_axis:
        return None
    tip = made.length - max(on_axis) if from_back else min(on_axis)
    if tip <= SAME_MM:
        return (0.0, 0.0)
    surface = skins(made)

    def takes(depth: float) -> bool:
        return bore_radius(surface, made.length - depth if from_back else depth) >= r

    depths = [tip * (k + 0.5) / math.ceil(tip / _STEP) for k in range(math.ceil(tip / _STEP))]
    wide = [takes(depth) for depth in depths]
    if not wide[0] or any(not before and after for before, after in pairwise(wide)):
        return None
    low, high = depths[sum(wide) - 1], [*depths, tip][sum(wide)]
    while high - low > SAME_MM:
        middle = (low + high) / 2
        low, high = (middle, high) if takes(middle) else (low, middle)
    return high, tip


def _beside(made: Turned, r: float, wall: float, *, from_back: bool) -> Iterator[tuple[int, float]]:
    """Give numbers of pockets beside the axis and the radius on which they stand, in the flats of an end."""
    station = made.length if from_back else 0.0
    for loop in made.body.plain.loops:
        for c in loop:
            if not isinstance(c, Line) or max(abs(p[0] - station) for p in (c.start, c.end)) > CONTACT_MM:
                continue
            low, high = sorted((c.start[1], c.end[1]))
            inner, outer = low + wall + r, high - wall - r
            for center in dict.fromkeys((outer, (inner + outer) / 2, inner)):
                if inner - SAME_MM <= center <= outer + SAME_MM:
                    yield from (
                        (n, center) for n in _AROUND if 2 * center * math.sin(math.pi / n) >= 2 * r + wall
                    )


def _deepest(
    made: Turned,
    core: Region,
    pocket: tuple[float, float, float],
    opening: tuple[float, float],
    *,
    from_back: bool,
) -> float:
    """Find how deep a pocket may go with its wall inside the part, to a hundredth of a millimetre."""
    (center, r, wall), (opens, tip) = pocket, opening

    def holds(depth: float) -> bool:
        end = _stations(made, opens, depth + wall, from_back=from_back)
        behind = _stations(made, max(tip, opens), depth + wall, from_back=from_back)
        if center == 0:
            around = [ring(*end, 2 * (r + wall), 2 * r)]
            around += [ring(*behind, 2 * (r + wall))] if behind[1] - behind[0] > SAME_MM else []
        else:
            around = [ring(*end, 2 * (center + r + wall), 2 * (center - r - wall))]
        left = [difference(region, core) for region in around]
        return sum(area(region) for region in left if region.loops) <= 1e-9

    low, high = opens, made.length
    if not holds(low + 2 * SAME_MM + LEAST_PLUG):
        return low
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
