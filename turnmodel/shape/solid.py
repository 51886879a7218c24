"""The only door to the CAD kernel: exact solids, and STEP files (ISO 10303-21) of them.

Importing this module loads the kernel, about two seconds; import it only where a solid is wanted. Nothing
that the kernel says of its own work is believed: every solid's volume is held against a closed form.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import cadquery as cq
from cadquery.func import extrude, face, revolve, segment, wire
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.STEPCAFControl import STEPCAFControl_Reader, STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_AsIs
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_ColorSurf, XCAFDoc_DocumentTool

from turnmodel.errors import BadText, BadValue, OutputError, WitnessError
from turnmodel.geometry.across import Block, CrossCylinder, Prism, Tool
from turnmodel.geometry.curve import Line
from turnmodel.geometry.frame import IDENTITY, Matrix
from turnmodel.geometry.moments import area, moments
from turnmodel.geometry.region import Region
from turnmodel.geometry.strip import strip_volume
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.shape.files import written_whole
from turnmodel.shape.placement import validate_placement
from turnmodel.shape.step_text import RGB, encoded, settled
from turnmodel.shape.strip import hole_tools, strip_faces

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from turnmodel.geometry.body import Body
    from turnmodel.geometry.curve import Curve, Point
    from turnmodel.geometry.strip import Strip
    from turnmodel.shape.strip import Edge

__all__ = [
    "KERNEL_BOUND",
    "StepPart",
    "read_step",
    "solid",
    "solid_cut",
    "solid_strip",
    "step_assembly",
    "step_name",
    "step_part",
    "to_solid",
]

KERNEL_BOUND: Final = 1e-6
"""The kernel's volume may differ from the closed form by this, relative [-]: where it is right it is right to
1e-13, its own tolerance of 1e-7 mm moves a 10 mm part by 1e-8, and its silent faults start at 1e-2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepPart:
    """A solid in a STEP file: its product name, its colour and its place.

    Parameters
    ----------
    name : str
        Product name, as :func:`step_name` gives it
    solid : cadquery.Solid
        The solid in its own frame
    rgb : tuple of 3 floats
        Red, green and blue as sRGB, 0 to 1, [-]
    matrix : tuple of 4 rows of 4 floats
        Placement: a rotation [-], and a shift [mm]
    """

    name: str
    solid: cq.Solid
    rgb: RGB
    matrix: Matrix = IDENTITY

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise BadText("product name", self.name, "a part needs a name")
        for share in self.rgb:
            if not 0 <= share <= 1:
                raise BadValue(f"colour of {self.name}", share, "-", "red, green and blue run from 0 to 1")
        object.__setattr__(self, "matrix", validate_placement(self.matrix))


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
    flat = face(*(wire(*map(_edge, loop)) for loop in loops))
    revolved = revolve(flat, (0, 0, 0), (0, 0, 1))
    return _witnessed(revolved, moments(body.plain).volume, name)


def solid_cut(whole: cq.Solid, tools: Sequence[Tool], name: str = "body") -> cq.Solid:
    """Take tools away from a solid.

    Parameters
    ----------
    whole : cadquery.Solid
        What is cut
    tools : sequence of CrossCylinder, Block or Prism
        What is taken away, in the frame of the solid
    name : str
        What to call it in a message

    Returns
    -------
    cadquery.Solid
        What is left, one valid solid; a tool that misses takes nothing

    Raises
    ------
    BadValue
        If nothing or more than one piece is left.
    WitnessError
        If what is left and what was taken do not make up what was there.
    """
    left = whole
    for tool in tools:
        cutter = to_solid(tool)
        taken = sum(piece.Volume() for piece in left.intersect(cutter).Solids())
        pieces = left.cut(cutter).Solids()
        if len(pieces) != 1:
            raise BadValue(f"{name}: pieces left after a cut", len(pieces), "-", "a part is one piece")
        left = _witnessed(pieces[0], left.Volume() - taken, name)
    return left


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
    plain = _witnessed(whole, strip_volume(replace(strip, holes=())), name)
    return _witnessed(solid_cut(plain, hole_tools(strip), name), strip_volume(strip), name)


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
            place = _location([*zip(*tool.axes, tool.center, strict=True), IDENTITY[3]])
            made = cq.Solid.makeBox(*tool.size, cq.Vector(*tool.size) * -0.5).moved(place)
        case Prism():
            outline = cq.Wire.makePolygon([cq.Vector(x, y, 0) for x, y in tool.outline], close=True)
            upright = cq.Solid.extrudeLinear(outline, [], cq.Vector(0, 0, tool.thickness))
            made = upright.moved(_location(tool.matrix))
    return _witnessed(made, _tool_volume(tool), type(tool).__name__)


def step_name(name: str, body: Body) -> str:
    """Add the designations of a body's threads, which its solid does not show, to its name."""
    said = dict.fromkeys(
        f"{t.thread.designation} {'outside' if t.external else 'inside'}" for t in body.threads
    )
    return ", ".join((name, *said))


def step_part(part: StepPart, path: Path) -> None:
    """Write one part as a STEP file in millimetres.

    Parameters
    ----------
    part : StepPart
        The part, with its name and colour
    path : Path
        The file

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    document = _document()
    _product(document, part)
    _write(document, [part], path)


def step_assembly(parts: Sequence[StepPart], path: Path, name: str = "assembly") -> None:
    """Write parts in their places as one STEP file in millimetres.

    Parameters
    ----------
    parts : sequence of StepPart
        The parts, each with a name of its own
    path : Path
        The file
    name : str
        Product name of the whole

    Raises
    ------
    BadText
        If two parts, or a part and the whole, have one name.
    OutputError
        If the file cannot be written.

    Notes
    -----
    The same parts give the same bytes: nothing of a clock or a running count is left in the file.
    """
    names = [name, *(part.name for part in parts)]
    for one in names:
        if names.count(one) > 1:
            raise BadText("product name", one, "the assembly and its parts need a name each")
    document = _document()
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    whole = shapes.NewShape()
    _call(whole, name)
    for part in parts:
        place = _location(part.matrix).wrapped
        _call(shapes.AddComponent(whole, _product(document, part), place), part.name)
    shapes.UpdateAssemblies()
    _write(document, parts, path)


def read_step(path: Path) -> tuple[StepPart, ...]:
    """Read the parts of a STEP file back, in the order of the file.

    Parameters
    ----------
    path : Path
        A STEP file whose parts are single solids with a colour

    Returns
    -------
    tuple of StepPart
        Its parts, in millimetres
    """
    reader = STEPCAFControl_Reader()
    reader.SetColorMode(True)
    reader.SetNameMode(True)
    if reader.ReadFile(str(path)) != IFSelect_RetDone:
        raise BadText("STEP file", path.name, "it is not there, or not in the form of ISO 10303-21")
    document = _document()
    reader.Transfer(document)
    shapes, free = XCAFDoc_DocumentTool.ShapeTool_s(document.Main()), TDF_LabelSequence()
    shapes.GetFreeShapes(free)
    placed = TDF_LabelSequence()
    for label in free:
        shapes.GetComponents_s(label, placed) if shapes.IsAssembly_s(label) else placed.Append(label)
    return tuple(_read(document, label) for label in placed)


def _at(point: Point) -> cq.Vector:
    """Put a point (z, r) of the half-plane into space, at angle zero."""
    return cq.Vector(point[1], 0, point[0])


def _edge(curve: Curve) -> cq.Edge:
    """Make the kernel's edge of a line or an arc; an arc within contact of its chord is its chord."""
    if isinstance(curve, Line):
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


def _witnessed(made: cq.Shape, expected: float, name: str) -> cq.Solid:
    """Let a shape through that is one valid solid of the volume [mm3] expected."""
    alone = made if isinstance(made, cq.Solid) and made.isValid() else None
    found = alone.Volume() if alone else 0.0
    if alone is None or not (expected > 0 and abs(found / expected - 1) <= KERNEL_BOUND):
        raise WitnessError(name, "mm3", {"closed form": expected, "kernel's solid": found}, KERNEL_BOUND)
    return alone


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


def _location(matrix: Sequence[Sequence[float]]) -> cq.Location:
    """Make the kernel's placement of a 4 x 4 matrix."""
    x, _, z, origin = (cq.Vector(*column[:3]) for column in zip(*validate_placement(matrix), strict=True))
    return cq.Location(cq.Plane(origin, x, z))


def _document() -> TDocStd_Document:
    """Open an empty document of products."""
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    return document


def _product(document: TDocStd_Document, part: StepPart) -> TDF_Label:
    """Enter a part as a product of its own; a copy, since the document holds one product for one shape."""
    label = XCAFDoc_DocumentTool.ShapeTool_s(document.Main()).AddShape(part.solid.copy().wrapped, False)
    _call(label, part.name)
    return label


def _read(document: TDocStd_Document, label: TDF_Label) -> StepPart:
    """Read what stands at a label, itself a product or the place of one."""
    shapes, product = XCAFDoc_DocumentTool.ShapeTool_s(document.Main()), TDF_Label()
    if not shapes.GetReferredShape_s(label, product):
        product = label
    shape, name, color = shapes.GetShape_s(product), TDataStd_Name(), Quantity_Color()
    product.FindAttribute(TDataStd_Name.GetID_s(), name)
    XCAFDoc_DocumentTool.ColorTool_s(document.Main()).GetColor(shape, XCAFDoc_ColorSurf, color)
    place = shapes.GetLocation_s(label).Transformation()
    rows = ([place.Value(row, column) for column in (1, 2, 3, 4)] for row in (1, 2, 3))
    return StepPart(
        name=name.Get().ToExtString(),
        solid=cq.Shape.cast(shape).Solids()[0],
        rgb=tuple(round(share, 6) for share in color.Values(Quantity_TOC_sRGB)),
        matrix=validate_placement([*rows, IDENTITY[3]]),
    )


def _call(label: TDF_Label, name: str) -> None:
    """Name what stands at a label."""
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(encoded(name)))


def _write(document: TDocStd_Document, parts: Sequence[StepPart], path: Path) -> None:
    """Write a document whole or not at all."""
    for setting in ("xstep.cascade.unit", "write.step.unit"):
        Interface_Static.SetCVal_s(setting, "MM")
    writer = STEPCAFControl_Writer()
    writer.SetColorMode(False)
    writer.SetNameMode(True)
    writer.Transfer(document, STEPControl_AsIs)
    with written_whole(path) as draft:
        if writer.Write(str(draft)) != IFSelect_RetDone:
            raise OutputError(f"cannot write {path}: the CAD kernel gave no file")
        text = settled(draft.read_text(encoding="ascii"), [part.rgb for part in parts])
        draft.write_text(text, encoding="ascii", newline="\n")
