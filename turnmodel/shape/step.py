"""STEP files (ISO 10303-21) of exact solids: named, coloured, placed, in mm, the same bytes every time.

Importing this module loads the CAD kernel, as :mod:`turnmodel.shape.solid` does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cadquery as cq
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

from turnmodel.errors import BadText, BadValue, OutputError
from turnmodel.geometry.frame import IDENTITY, Matrix
from turnmodel.shape.files import written_whole
from turnmodel.shape.placement import validate_placement
from turnmodel.shape.solid import location
from turnmodel.shape.step_text import RGB, encoded, settled

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from turnmodel.geometry.body import Body

__all__ = ["StepPart", "read_step", "step_assembly", "step_name", "step_part"]


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
        place = location(part.matrix).wrapped
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
