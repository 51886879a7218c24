"""The door to the CAD kernel: exact solids.

Importing this module loads the kernel, about two seconds; import it only where a solid is wanted. Nothing
that the kernel says of its own work is believed: every solid's volume is held against a closed form.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING, Final

from turnmodel.errors import BadValue, WitnessError
from turnmodel.geometry.across import Block, CrossCylinder, Prism, Tool
from turnmodel.geometry.corner import curve_length
from turnmodel.geometry.curve import Line
from turnmodel.geometry.frame import IDENTITY
from turnmodel.geometry.moments import area, moments
from turnmodel.geometry.region import Region
from turnmodel.geometry.strip import strip_volume
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.shape.folders import undisturbed
from turnmodel.shape.libraries import lacking
from turnmodel.shape.placement import validate_placement
from turnmodel.shape.strip import hole_tools, strip_faces

try:
    with undisturbed():  # interrupted half loaded, it takes the process down
        import cadquery as cq
        from cadquery.func import extrude, face, revolve, segment, wire
except ImportError as error:  # it is linked against libraries of the screen
    if (lack := lacking("solids", error)) is None:
        raise
    raise lack from None

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.geometry.body import Body
    from turnmodel.geometry.curve import Curve, Point
    from turnmodel.geometry.strip import Strip
    from turnmodel.shape.strip import Edge

__all__ = [
    "CUT_BOUND",
    "KERNEL_BOUND",
    "location",
    "solid",
    "solid_cut",
    "solid_strip",
    "to_solid",
]

KERNEL_BOUND: Final = 1e-6
"""The kernel's volume may differ from the closed form by this, relative [-]: where it is right it is right to
1e-13, its own tolerance of 1e-7 mm moves a 10 mm part by 1e-8, and its silent faults start at 1e-2."""

CUT_BOUND: Final = 1e-4
"""What is left and what was taken may differ from what was there by this, relative [-]: where two round faces
cross, the kernel draws their edge as a spline and integrates over it by a fixed rule, which has been seen
6e-6 off on a saddle of 5 mm; its silent faults are a hundred times this."""


def solid(body: Body, name: str = "body") -> cq.Solid:
    """Revolve a body's plain region about z into one solid.

    Threads are plain, at the major diameter outside and at the hole's inside; :func:`step_name` says them.

    Parameters
    ----------
    body : Body
        What to revolve
    name : str
        What to call it in a message

    Returns
    -------
    cadquery.Solid
        One valid solid; station z of the region is z, and x = r at angle zero

    Raises
    ------
    BadValue
        If the region is not one piece.
    WitnessError
        If the kernel's solid is not one valid solid of the closed form's volume.

    Examples
    --------
    >>> from turnmodel.geometry.body import Body
    >>> from turnmodel.geometry.region import ring
    >>> bar = solid(Body(plain=ring(0.0, 10.0, outside_d=4.0)))
    >>> round(bar.Volume() / math.pi, 9)
    40.0
    """
    loops = sorted(body.plain.loops, key=lambda loop: area(Region(loops=(loop,))), reverse=True)
    pieces = sum(area(Region(loops=(loop,))) > 0 for loop in loops)
    if pieces != 1:
        raise BadValue(f"{name}: pieces", pieces, "-", "a part is one piece")
    # A face: a revolved wire is a shell, and its "volume" is its area.
    flat = face(*(wire(*map(_edge, _joined_up(loop))) for loop in loops))
    revolved = revolve(flat, (0, 0, 0), (0, 0, 1))
    return _witnessed(revolved, moments(body.plain).volume, name)


def solid_cut(
    whole: cq.Solid, tools: Sequence[Tool], name: str = "body", taken: tuple[float, float] | None = None
) -> cq.Solid:
    """Take tools away from a solid.

    Parameters
    ----------
    whole : cadquery.Solid
        What is cut
    tools : sequence of CrossCylinder, Block or Prism
        What is taken away, in the frame of the solid
    name : str
        What to call it in a message
    taken : tuple of float, optional
        What the tools take by another reckoning, and how far that may be off, [mm3]

    Returns
    -------
    cadquery.Solid
        What is left, one valid solid; a tool that misses takes nothing

    Raises
    ------
    BadValue
        If nothing or more than one piece is left.
    WitnessError
        If what is left and what was taken do not make up what was there, or if not what should be is taken.

    Notes
    -----
    Where tools touch each other or an edge along a line, the kernel spoils what it cuts in one way, or cuts
    nothing, and not in another: the first way whose result stands is taken.
    """
    cutters = [to_solid(tool) for tool in tools]
    if not cutters:
        return whole
    volume, pieces, own = whole.Volume(), [whole], 0.0
    for tolerance in (None, *_FUZZY):
        joined = cutters[0].fuse(*cutters[1:], tol=tolerance) if len(cutters) > 1 else cutters[0]
        own = sum(piece.Volume() for piece in whole.intersect(joined, tol=tolerance).Solids())
        meant = taken is None or abs(own - taken[0]) <= taken[1]
        for turns in ([cutters], [[cutter] for cutter in cutters]):  # all together, one after the other
            left = reduce(lambda left, turn, tol=tolerance: left.cut(*turn, tol=tol), turns, whole)  # type: ignore[misc]
            pieces = left.Solids()
            if meant and len(pieces) == 1 and _sound(pieces[0], volume - own, CUT_BOUND):
                return pieces[0]
    if len(pieces) != 1:
        raise BadValue(f"{name}: pieces left after a cut", len(pieces), "-", "a part is one piece")
    if taken is not None and abs(own - taken[0]) > taken[1]:
        told = {"taken by the mesh": taken[0], "taken by the kernel": own}
        raise WitnessError(name, "mm3", told, taken[1] / taken[0] if taken[0] else 0.0)
    return _witnessed(pieces[0], volume - own, name, CUT_BOUND)


_FUZZY: Final = (1e-5, 1e-3)
"""Distances [mm] within which the kernel takes points for one where it cuts wrong: no lathe holds either."""


def solid_strip(strip: Strip, name: str = "strip") -> cq.Solid:
    """Join the faces of a strip to one solid, and cut its holes.

    Parameters
    ----------
    strip : Strip
        What is bent
    name : str
        What to call it in a message

    Returns
    -------
    cadquery.Solid
        One valid solid in the strip's own frame: planes and cylinders, but for bends where the width changes

    Raises
    ------
    BadValue
        If the strip cannot be made, or runs to a point in a bend.
    WitnessError
        If the kernel's solid is not one valid solid of the closed form's volume.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> from turnmodel.geometry.strip import Bent, Strip
    >>> half_ring = Strip(thickness=0.5, half=ring(0, 12, 5), holes=(), side=(Bent(length=12, turn=180),))
    >>> round(solid_strip(half_ring).Volume(), 9)
    30.0
    """
    whole = cq.Solid.makeSolid(cq.Shell.makeShell([_joined(*edges) for edges in strip_faces(strip)]))
    before, after = strip_volume(replace(strip, holes=())), strip_volume(strip)
    plain = _witnessed(whole, before, name)
    return _witnessed(
        solid_cut(plain, hole_tools(strip), name, (before - after, CUT_BOUND * after)), after, name
    )


def to_solid(tool: Tool) -> cq.Solid:
    """Realise a tool as a solid.

    Parameters
    ----------
    tool : CrossCylinder, Block or Prism
        The tool

    Returns
    -------
    cadquery.Solid
        Its solid, placed

    Raises
    ------
    WitnessError
        If the kernel's volume is not the closed form's.

    Examples
    --------
    >>> hole = CrossCylinder(at=(0.0, 0.0, 0.0), direction=(1.0, 0.0, 0.0), diameter=2.0, length=4.0)
    >>> round(to_solid(hole).Volume() / math.pi, 9)
    4.0
    """
    match tool:
        case CrossCylinder():
            start, direction = cq.Vector(*tool.at), cq.Vector(*tool.direction)
            made = cq.Solid.makeCylinder(tool.diameter / 2, tool.length, start, direction)
        case Block():
            place = location([*zip(*tool.axes, tool.center, strict=True), IDENTITY[3]])
            made = cq.Solid.makeBox(*tool.size, cq.Vector(*tool.size) * -0.5).moved(place)
        case Prism():
            outline = cq.Wire.makePolygon([cq.Vector(x, y, 0) for x, y in tool.outline], close=True)
            upright = cq.Solid.extrudeLinear(outline, [], cq.Vector(0, 0, tool.thickness))
            made = upright.moved(location(tool.matrix))
    return _witnessed(made, _tool_volume(tool), type(tool).__name__)


def _at(point: Point) -> cq.Vector:
    """Put a point (z, r) of the half-plane into space, at angle zero."""
    return cq.Vector(point[1], 0, point[0])


_CONE: Final = 1e-3
"""Slope [-] under which the kernel revolves a line into a cylinder: it is given as a curve of its own."""


def _joined_up(loop: Sequence[Curve]) -> list[Curve]:
    """Leave out pieces no longer than contact, of which the kernel makes no face, and close the gaps."""
    long = [c for c in loop if curve_length(c) > CONTACT_MM]
    return [replace(c, end=after.start) for c, after in zip(long, [*long[1:], long[0]], strict=True)]


def _edge(curve: Curve) -> cq.Edge:
    """Make the kernel's edge of a line or an arc; an arc within contact of its chord is its chord."""
    if isinstance(curve, Line):
        (z0, r0), (z1, r1) = curve.start, curve.end
        if CONTACT_MM < abs(r1 - r0) < _CONE * abs(z1 - z0):
            return cq.Edge.makeBezier([_at(curve.start), _at(curve.end)])
        return segment(_at(curve.start), _at(curve.end))
    half = curve.sweep / 2
    if curve.radius * (1 - math.cos(half)) <= CONTACT_MM:
        return segment(_at(curve.start), _at(curve.end))
    (z, r), (z0, r0) = curve.center, curve.start
    angle = math.atan2(r0 - r, z0 - z) + half
    middle = (z + curve.radius * math.cos(angle), r + curve.radius * math.sin(angle))
    return cq.Edge.makeThreePointArc(_at(curve.start), _at(middle), _at(curve.end))


def _joined(first: Edge, *others: Edge) -> cq.Face:
    """Make a face of two edges, point joined to point, or of the flat loop that more of them close."""
    if len(others) > 1:
        return face(wire(_through(first), *map(_through, others)))
    across = [cq.Vector(*q) - cq.Vector(*p) for p, q in zip(first, *others, strict=True)]
    if all((step - across[0]).Length <= CONTACT_MM for step in across):
        # The kernel knows a plane or a cylinder in what an edge sweeps, in a ruled face it does not.
        return extrude(_through(first), across[0]).Faces()[0]
    return cq.Face.makeRuledSurface(_through(first), *map(_through, others))


def _through(edge: Edge) -> cq.Edge:
    """Make the kernel's edge through points: a line, an arc, or a smooth curve of even pace between them."""
    points = [cq.Vector(*point) for point in edge]
    if len(points) == 2:
        return segment(*points)
    if len(points) == 3:
        return cq.Edge.makeThreePointArc(*points)
    return cq.Edge.makeSpline(points, parameters=[float(k) for k in range(len(points))])


def _witnessed(made: cq.Shape, expected: float, name: str, bound: float = KERNEL_BOUND) -> cq.Solid:
    """Let a shape through that is one valid solid of the volume [mm3] expected, to a relative bound [-]."""
    if isinstance(made, cq.Solid) and _sound(made, expected, bound):
        return made
    found = made.Volume() if isinstance(made, cq.Solid) and made.isValid() else 0.0
    raise WitnessError(name, "mm3", {"closed form": expected, "kernel's solid": found}, bound)


def _sound(made: cq.Solid, expected: float, bound: float) -> bool:
    """Tell whether a solid is valid and of the volume [mm3] expected, to a relative bound [-]."""
    return made.isValid() and expected > 0 and abs(made.Volume() / expected - 1) <= bound


def _tool_volume(tool: Tool) -> float:
    """Volume of a tool in closed form, [mm3]."""
    match tool:
        case CrossCylinder():
            return math.pi / 4 * tool.diameter**2 * tool.length
        case Block():
            return math.prod(tool.size)
        case Prism():
            ends = (*tool.outline[1:], tool.outline[0])
            double = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(tool.outline, ends, strict=True))
            return abs(double) / 2 * tool.thickness


def location(matrix: Sequence[Sequence[float]]) -> cq.Location:
    """Make the kernel's placement of a 4 x 4 matrix: a rotation [-] and a shift [mm]."""
    x, _, z, origin = (cq.Vector(*column[:3]) for column in zip(*validate_placement(matrix), strict=True))
    return cq.Location(cq.Plane(origin, x, z))
