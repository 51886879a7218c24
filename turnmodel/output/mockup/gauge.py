"""The gauge: a small test piece to be printed and measured, and the sheet to write the measures on.

Three pieces. The *plate* has upright holes, two holes that lie along the layers, and tapped holes of one
thread, each with more room than the one before; notches in its edge count them. The *peg* is stepped: its
diameters and lengths are measured. The *screw* is tried in the tapped holes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.threads import thread
from turnmodel.design.features.across import Flat
from turnmodel.design.features.base import Chamfer
from turnmodel.design.features.outside import Cylinder
from turnmodel.design.features.threaded import ExternalThread
from turnmodel.design.part import Part, bar
from turnmodel.geometry.across import Block, CrossCylinder
from turnmodel.geometry.body import Body, ThreadSpan
from turnmodel.geometry.frame import opposed
from turnmodel.geometry.region import ring
from turnmodel.output.mockup.plate import facets_for
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import transformed
from turnmodel.shape.part import part_mesh

if TYPE_CHECKING:
    from turnmodel.catalog.printer import Printer
    from turnmodel.catalog.threads import Thread
    from turnmodel.shape.lathe import Mesh

__all__ = ["CROSS_HOLES", "HOLES", "LENGTHS", "PEGS", "ROOMS", "GaugePiece", "gauge", "sheet"]

HOLES: Final = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
"""Diameters [mm] of the upright holes, smallest first: those of pens and their refills (house choice)."""

CROSS_HOLES: Final = (3.0, 5.0)
"""Diameters [mm] of the holes that lie along the layers."""

PEGS: Final = (4.0, 6.0, 8.0, 10.0, 12.0)
"""Diameters [mm] of the peg's steps, from the top down."""

LENGTHS: Final = (4.0, 8.0, 12.0, 16.0, 20.0)
"""Heights [mm] of the peg's shoulders from its top, as a depth gauge or a calliper's step reads them."""

ROOMS: Final = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6)
"""Room [mm] on pitch diameter in the tapped holes, first to last."""

SCREW: Final = {"filament": "M10x1.5", "resin": "M6x0.75"}
"""The thread that is tried: one that prints well by the process (house choice)."""

_THICK: Final = 8.0
"""Thickness [mm] of the plate: five turns of the thread and room for a hole that lies in it."""

_WEB: Final = 3.0
"""Plastic [mm] between holes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugePiece:
    """A piece of the gauge: its name, and its mesh standing in its place on the plate, [mm]."""

    name: str
    mesh: Mesh


def gauge(printer: Printer) -> tuple[GaugePiece, ...]:
    """Shape the gauge, at nominal size: no allowance is in it.

    Parameters
    ----------
    printer : Printer
        Its process chooses the thread, its fineness the facets

    Returns
    -------
    tuple of GaugePiece
        The plate, the peg and the screw
    """
    size = thread(SCREW[printer.process])
    pieces = (("plate", _plate(size, printer)), ("peg", _peg(printer)), ("screw", _screw(size, printer)))
    found, y = [], printer.gap
    for name, mesh in pieces:
        lifted = mesh.vertices - mesh.vertices.min(axis=0) + [printer.gap, y, 0.0]
        found.append(GaugePiece(name=name, mesh=replace(mesh, vertices=lifted)))
        y = float(lifted[:, 1].max()) + printer.gap
    return tuple(found)


def sheet(printer: Printer) -> str:
    """Write the sheet to measure by: a file that is filled in and given back.

    Parameters
    ----------
    printer : Printer
        What the gauge was made for

    Returns
    -------
    str
        TOML with a line for each measure, empty

    Examples
    --------
    >>> from turnmodel.catalog.printer import printer
    >>> print(sheet(printer()).splitlines()[0])
    # What the printed gauge measures, in mm. Let it cool, then write each figure behind its =.
    """
    size = SCREW[printer.process]
    lines = [
        "# What the printed gauge measures, in mm. Let it cool, then write each figure behind its =.",
        "# Measure twice, at right angles, and write the mean; leave empty what you cannot measure.",
        "",
        f'process = "{printer.process}"',
        "",
        "[holes]       # the plate's upright holes, in a row from the small one",
        *(f'"{d:g}" = ' for d in HOLES),
        "",
        "[cross_holes] # the holes in the plate's long edge: measure them upright, where they sag",
        *(f'"{d:g}" = ' for d in CROSS_HOLES),
        "",
        "[pegs]        # the peg's diameters, in the middle of each step",
        *(f'"{d:g}" = ' for d in PEGS),
        "",
        "[lengths]     # from the peg's top down to each shoulder, and to its foot",
        *(f'"{z:g}" = ' for z in LENGTHS),
        "",
        f"[foot]        # the diameter of the peg of {PEGS[-1]:g} mm at the very plate",
        f'"{PEGS[-1]:g}" = ',
        "",
        f"[thread]      # {size}: the first tapped hole, by its notches, that the screw turns into by hand",
        "first = ",
        "# and the last that still holds it without rattling",
        "last = ",
    ]
    return "\n".join(lines) + "\n"


def _upright(diameter: float, x: float, y: float) -> CrossCylinder:
    return CrossCylinder(at=(x, y, -1.0), direction=(0.0, 0.0, 1.0), diameter=diameter, length=_THICK + 2.0)


def _plate(size: Thread, printer: Printer) -> Mesh:
    """A bar with two rows: plain holes in front, tapped holes behind, holes lying in the front edge."""
    from turnmodel.shape.mesh import cut, tool_mesh

    facets = facets_for(max(*HOLES, size.major_d), printer)
    notch = _notch_width(printer)
    pitch_x = size.major_d + ROOMS[-1] + _WEB
    length = max(sum(HOLES) + _WEB * (len(HOLES) + 1), pitch_x * len(ROOMS) + _WEB)
    front = HOLES[-1] / 2 + _WEB + max(CROSS_HOLES) + _WEB
    behind = front + HOLES[-1] / 2 + _WEB + size.major_d / 2
    depth = behind + size.major_d / 2 + _WEB + notch
    block = Block(
        center=(length / 2, depth / 2, _THICK / 2),
        size=(length, depth, _THICK),
        axes=((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    )
    cutters = []
    x = _WEB
    for d in HOLES:
        cutters.append(tool_mesh(_upright(d, x + d / 2, front), facets))
        x += d + _WEB
    for k, d in enumerate(CROSS_HOLES):
        at = ((k + 0.5) * length / len(CROSS_HOLES), -1.0, _THICK / 2)
        lying = CrossCylinder(
            at=at, direction=(0.0, 1.0, 0.0), diameter=d, length=1.0 + max(CROSS_HOLES) + _WEB / 2
        )
        cutters.append(tool_mesh(lying, facets))
    for k, room in enumerate(ROOMS):
        middle = _WEB + pitch_x * (k + 0.5)
        tap = transformed(_tapped(size, room, facets), _shifted(middle, behind))
        cutters.append(tap)
        cutters += [tool_mesh(_notch(middle, depth, notch, n - k / 2)) for n in range(k + 1)]
    return cut(tool_mesh(block), *cutters, name="plate")


def _notch_width(printer: Printer) -> float:
    """Width and depth of a notch: three lines of filament, which a nail finds; less where pixels are fine."""
    return min(max(3 * printer.line, 0.7), 1.2)


def _notch(x: float, depth: float, width: float, place: float) -> Block:
    """One of the notches in the rear edge behind a tapped hole, so many places off its middle."""
    return Block(
        center=(x + place * 1.6 * width, depth, _THICK / 2),
        size=(width, 2 * width, 2 * _THICK),
        axes=((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    )


def _shifted(x: float, y: float) -> list[list[float]]:
    return [[1.0, 0.0, 0.0, x], [0.0, 1.0, 0.0, y], [0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 1.0]]


def _tapped(size: Thread, room: float, facets: int) -> Mesh:
    """What a tapped hole with room takes out of the plate, its mouths chamfered."""
    wide = replace(size, major_d=size.major_d + room)
    crest, minor = wide.major_d / 2, wide.minor_d / 2
    low, high, lead = -size.pitch, _THICK + size.pitch, crest - minor
    floor = (
        (low, crest),
        (0.0, crest),
        (lead, minor),
        (_THICK - lead, minor),
        (_THICK, crest),
        (high, crest),
    )
    span = ThreadSpan(
        thread=wide, external=True, start=low, end=high, anchor=0.0, floor=floor,
        ceiling=((low, crest), (high, crest)),
    )  # fmt: skip
    return lathe(Body(plain=ring(low, high, wide.major_d), threads=(span,)), facets)


def _peg(printer: Printer) -> Mesh:
    """A stepped peg, printed with its thick end down."""
    steps = [Cylinder(d, z - before) for d, z, before in zip(PEGS, LENGTHS, (0.0, *LENGTHS), strict=False)]
    made = Part.turned("peg", material="PLA", stock=bar("1/2 in"), outside=steps)
    return transformed(part_mesh(made, "show", facets_for(PEGS[-1], printer)), opposed())


def _screw(size: Thread, printer: Printer) -> Mesh:
    """The screw, of basic size, with flats on its head to turn it by, printed head down."""
    head = math.ceil(size.major_d * 1.5)
    made = Part.turned(
        "screw",
        material="PLA",
        stock=bar("16 mm"),
        outside=[
            Cylinder(head, 6.0, edges=Chamfer(0.6)),
            Cylinder(2 * math.floor(size.root_d * 5) / 10, 1.5),
            ExternalThread(str(size), _THICK + 2.0),
        ],
        across=[Flat(0.0, 6.0, head - 2.0, count=2)],
    )
    return part_mesh(made, "show", facets_for(head, printer))
