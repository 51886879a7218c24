"""Parts on the printer's plate: which end each stands on, what hangs over, and where it has its place."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.design.part import Part, ShapedPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.curve import Line
from turnmodel.geometry.frame import Matrix, opposed
from turnmodel.geometry.region import bounds
from turnmodel.geometry.tolerance import CONTACT_MM, FACETS, SAME_MM, sagitta
from turnmodel.shape.allowance import footed
from turnmodel.shape.lathe import chords
from turnmodel.shape.measures import transformed
from turnmodel.shape.part import part_mesh

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from turnmodel.catalog.printer import Printer
    from turnmodel.geometry.curve import Curve, Point
    from turnmodel.shape.lathe import Mesh

__all__ = ["Placed", "Plate", "Roof", "Standing", "facets_for", "plates", "roofs", "stood"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Roof:
    """A face over empty space that lies flatter than prints by itself.

    Parameters
    ----------
    station : float
        Where it is in the part's own frame, [mm]
    inner_d, outer_d : float
        Diameters between which it hangs; an inner one of 0 closes a hole, [mm]
    """

    station: float
    inner_d: float
    outer_d: float

    @property
    def reach(self) -> float:
        """How far it must carry itself: across a hole that it closes, else from its root to its rim, [mm]."""
        return self.outer_d if self.inner_d <= SAME_MM else (self.outer_d - self.inner_d) / 2

    @property
    def area(self) -> float:
        """Area seen from below, [mm2]."""
        return math.pi / 4 * (self.outer_d**2 - self.inner_d**2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A part as it stands on the plate.

    Parameters
    ----------
    name : str
        Its name
    of : str
        Name of the part whose colour it has: its own, or that which it plugs
    on : str
        "front", "back" or "edge": what it stands on
    mesh : Mesh
        Its surface, the lowest corner of its box at the origin, [mm]
    flat : float
        Area that stands on the plate, [mm2]
    steady : bool
        Whether its foot is wide enough for its height
    roofs : tuple of Roof
        What hangs over and needs support
    facets : int
        Facets round a full circle, [-]
    off : float
        How far they stand off the circle at most, [mm]
    """

    name: str
    of: str
    on: str
    mesh: Mesh
    flat: float
    steady: bool
    roofs: tuple[Roof, ...]
    facets: int
    off: float

    @property
    def size(self) -> tuple[float, float, float]:
        """Width, depth and height, [mm]."""
        x, y, z = self.mesh.vertices.max(axis=0).tolist()
        return x, y, z


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A part in its place: its name, and its mesh where it stands, [mm]."""

    name: str
    mesh: Mesh


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """What is printed at one go."""

    parts: tuple[Placed, ...]


_FEWEST: Final = 32
"""Facets round the thinnest part: fewer look like a nut (house choice)."""


def facets_for(diameter: float, printer: Printer) -> int:
    r"""Choose the facets that a printer can show and no more.

    .. math:: n = \frac{\pi}{\arccos(1 - 2 s / d)}

    Parameters
    ----------
    diameter : float
        Largest diameter, [mm]
    printer : Printer
        Its ``chord`` is the sagitta :math:`s` that is allowed

    Returns
    -------
    int
        Whole eights of facets round a full circle, 32 at the least, [-]

    Examples
    --------
    >>> from turnmodel.catalog.printer import printer
    >>> facets_for(10.0, printer("filament"))
    56
    """
    share = max(1 - 2 * printer.chord / diameter, 0.0)
    return max(_FEWEST, 8 * math.ceil(math.pi / math.acos(share) / 8 - 1e-9))


def stood(part: Part, printer: Printer) -> Standing:
    """Stand a part on its best face: the end with the least unsupported roof over it, then the larger flat.

    Parameters
    ----------
    part : Part
        A part of a mock-up
    printer : Printer
        The printer

    Returns
    -------
    Standing
        Its axis upright; a strip lies on its edge
    """
    made = built(part)
    if not isinstance(made, Turned):
        mesh = transformed(part_mesh(part, "show", FACETS), _ON_EDGE)
        flat = part.length * made.thickness
        return Standing(
            name=part.name, of=part.name, on="edge", mesh=_at_origin(mesh), flat=flat, steady=True,
            roofs=(), facets=FACETS, off=sagitta(2 * made.thickness, FACETS),
        )  # fmt: skip
    ways = [(_flat(made, back=back), _unsupported(made, printer, back=back), back) for back in (False, True)]
    flat, hanging, back = min(
        ways, key=lambda w: (not _steady(made, back=w[2]), round(_area(w[1]), 1), -w[0], w[2])
    )
    widest = 2 * bounds(made.body.plain).r1
    facets = facets_for(widest, printer)
    shape = footed(made, printer.foot, back=back)
    standing = ShapedPart(name=part.name, material=part.material, shape=shape)
    mesh = part_mesh(standing, "show", facets)
    return Standing(
        name=part.name,
        of=part.name,
        on="back" if back else "front",
        mesh=_at_origin(transformed(mesh, opposed()) if back else mesh),
        flat=flat,
        steady=_steady(made, back=back),
        roofs=hanging,
        facets=facets,
        off=sagitta(widest, facets),
    )


def roofs(made: Turned, overhang: float, *, back: bool) -> tuple[Roof, ...]:
    """Find the faces of a part that look down flatter than an angle.

    Parameters
    ----------
    made : Turned
        The part; its threads count as plain
    overhang : float
        Least angle from the plate that prints by itself, [degrees]
    back : bool
        Whether it stands on its back

    Returns
    -------
    tuple of Roof
        Each as wide as it goes on without a break

    Examples
    --------
    >>> from turnmodel import Part, bar, cylinder
    >>> pin = [cylinder(6, 5), cylinder(12, 4)]
    >>> knob = Part.turned("knob", material="brass", stock=bar("12 mm"), outside=pin)
    >>> [(roof.station, roof.inner_d, roof.outer_d) for roof in roofs(built(knob), 45, back=False)]
    [(5.0, 6.0, 12.0)]
    """
    ends = bounds(made.body.plain)
    bed = ends.z1 if back else ends.z0
    found = []
    for loop in made.body.plain.loops:
        points = [p for curve in loop for p in chords(curve, FACETS)]
        for piece in _looking_down(points, math.tan(math.radians(overhang)), bed, back=back):
            low, high = min(r for _, r in piece), max(r for _, r in piece)
            station = (min if not back else max)(z for z, _ in piece)
            found.append(Roof(station=station, inner_d=2 * low, outer_d=2 * high))
    return tuple(found)


def plates(parts: Sequence[Standing], printer: Printer) -> tuple[tuple[Plate, ...], tuple[str, ...]]:
    """Give every part a place on a plate, in rows, with a gap; on as many plates as it takes.

    Parameters
    ----------
    parts : sequence of Standing
        The parts
    printer : Printer
        Its bed and the gap between parts

    Returns
    -------
    tuple of Plate
        All in the positive octant, within the bed
    tuple of str
        Names of the parts that no plate holds
    """
    width, depth, height = printer.bed
    gap = printer.gap
    kept = [
        p
        for p in parts
        if p.size[0] + 2 * gap <= width and p.size[1] + 2 * gap <= depth and p.size[2] <= height
    ]
    too_large = tuple(part.name for part in parts if part not in kept)
    made: list[list[Placed]] = []
    x = y = row = math.inf
    for part in sorted(kept, key=lambda part: -part.size[1]):
        w, d, _ = part.size
        if x + w + gap > width:
            x, y, row = gap, y + row + gap, 0.0
        if y + d + gap > depth:
            made.append([])
            x, y, row = gap, gap, 0.0
        made[-1].append(Placed(name=part.name, mesh=_lifted(part.mesh, x, y)))
        x, row = x + w + gap, max(row, d)
    return tuple(Plate(parts=tuple(placed)) for placed in made), too_large


_SLENDER: Final = 10.0
"""Height over the width of its foot [-] above which a part is knocked off the plate: house choice."""

_ON_EDGE: Final[Matrix] = (
    (1.0, 0.0, 0.0, 0.0),
    (0.0, 0.0, -1.0, 0.0),
    (0.0, 1.0, 0.0, 0.0),
    (0.0, 0.0, 0.0, 1.0),
)
"""A quarter turn about x, which puts a strip on its edge."""


def _at_origin(mesh: Mesh) -> Mesh:
    return replace(mesh, vertices=mesh.vertices - mesh.vertices.min(axis=0))


def _lifted(mesh: Mesh, x: float, y: float) -> Mesh:
    return replace(mesh, vertices=mesh.vertices + np.array([x, y, 0.0]))


def _flats(made: Turned, *, back: bool) -> list[Curve]:
    """List an end's flats."""
    ends = bounds(made.body.plain)
    station = ends.z1 if back else ends.z0
    return [c for loop in made.body.plain.loops for c in loop if _upright_at(c, station)]


def _flat(made: Turned, *, back: bool) -> float:
    """Area of an end's flats, [mm2]."""
    return sum(math.pi * abs(c.end[1] ** 2 - c.start[1] ** 2) for c in _flats(made, back=back))


def _steady(made: Turned, *, back: bool) -> bool:
    """Tell whether an end is wide enough to stand on."""
    foot = 2 * max((max(c.start[1], c.end[1]) for c in _flats(made, back=back)), default=0.0)
    return made.length <= _SLENDER * foot


def _upright_at(curve: Curve, station: float) -> bool:
    return isinstance(curve, Line) and max(abs(p[0] - station) for p in (curve.start, curve.end)) < CONTACT_MM


def _unsupported(made: Turned, printer: Printer, *, back: bool) -> tuple[Roof, ...]:
    """List the roofs that carry themselves no further than a line reaches or a bridge spans."""
    return tuple(
        roof
        for roof in roofs(made, printer.overhang, back=back)
        if roof.reach > (printer.bridge if roof.inner_d <= SAME_MM else 1.5 * printer.line) + CONTACT_MM
    )


def _area(found: Iterable[Roof]) -> float:
    return sum(roof.area for roof in found)


def _looking_down(
    points: Sequence[Point], steepest: float, bed: float, *, back: bool
) -> Iterator[list[Point]]:
    """Give the stretches of a boundary, metal on its left, that look down too flat, but for the bed's."""
    way = -1.0 if back else 1.0
    stretch: list[Point] = []
    for a, b in pairwise([*points, points[0]]):
        dz, dr = b[0] - a[0], b[1] - a[1]
        on_bed = abs(a[0] - bed) < CONTACT_MM and abs(b[0] - bed) < CONTACT_MM
        if way * dr < -SAME_MM and abs(dz) < steepest * abs(dr) - SAME_MM and not on_bed:
            stretch = [*(stretch or [a]), b]
        elif stretch:
            yield stretch
            stretch = []
    if stretch:
        yield stretch
