"""Every size of a part is on its drawing, once: the part is rebuilt from the dimensions in the DXF alone."""

from __future__ import annotations

import dataclasses
import math
import re
from pathlib import Path

import numpy as np
import pytest

from tests.drawn import determined, read_drawing
from turnmodel import Part, bar, chamfer, cylinder, dome, drill, fillet, groove, relief, thread
from turnmodel.design.loading import load
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.output.papers.dxf import dxf
from turnmodel.output.papers.figures import part_unit
from turnmodel.output.papers.page import Paper
from turnmodel.output.papers.part_sheet import part_sheet
from turnmodel.output.papers.titles import Title
from turnmodel.output.papers.tracing import straightened

DESIGNS = Path(__file__).parents[3] / "designs"

REBUILT_MM = 1e-6
"""How near every corner of the rebuilt part is to the part's own: what is asked of the drawings."""


def turned_parts() -> list[tuple[str, TurnedPart]]:
    """List the turned parts of all designs, under design and name."""
    found = []
    for path in sorted(DESIGNS.glob("*.py")):
        design, _ = load(path)
        found += [(f"{path.stem} {p.name}", p) for p in design.parts if isinstance(p, TurnedPart)]
    return found


def slender() -> TurnedPart:
    """Make a part whose drawing leaves lengths out."""
    return Part.turned(
        "slender",
        material="303",
        stock=bar("6 mm"),
        outside=[
            thread("M4", 8),
            relief(),
            cylinder(6, 120, back=chamfer(0.2)),
            cylinder(4, 20, front=fillet(0.3)),
            dome(length=1),
        ],
        from_front=[drill("2 mm", depth=100)],
    )


def crowded() -> TurnedPart:
    """Make a part whose drawing needs a detail."""
    return Part.turned(
        "crowded",
        material="303",
        stock=bar("12 mm"),
        outside=[
            cylinder(12, 60),
            groove(0.2, diameter=11.4, radius=0.05),
            cylinder(12, 0.2),
            groove(0.2, diameter=11.4),
            cylinder(12, 20, back=fillet(1)),
        ],
    )


PARTS = [*turned_parts(), ("slender", slender()), ("crowded", crowded())]


def drawn(part: TurnedPart) -> str:
    """Draw a part and write the drawing as DXF."""
    title = Title(design="object", revision="0", paper=Paper.A4, unit=part_unit(part))
    return dxf(part_sheet(part, title, 1))


@pytest.mark.parametrize("part", [p for _, p in PARTS], ids=[name for name, _ in PARTS])
def test_a_part_is_rebuilt_from_its_dimensions(part: TurnedPart) -> None:
    """The dimensions fix every corner of the part, none is missing, and each of them is needed."""
    plain = dataclasses.replace(part, across=())
    made = built(plain)
    assert isinstance(made, Turned)

    drawing = read_drawing(drawn(plain))
    solved = drawing.solved()
    slopes = drawing.jacobian(solved)

    corners = [(solved[k], solved[k + 1]) for k in drawing.points if k not in drawing.corners]
    true = [curve.start for loop in made.body.plain.loops for curve in straightened(loop)]
    assert max(min(math.dist(p, q) for q in corners) for p in true) < REBUILT_MM
    assert max(min(math.dist(p, q) for p in true) for q in corners) < REBUILT_MM
    assert drawing.unread == []
    assert determined(slopes)
    for words in set(drawing.dimensions) & set(drawing.sources):
        rest = [k for k, source in enumerate(drawing.sources) if source != words]
        assert not determined(slopes[rest]), f"{words} is told twice"


def test_a_slender_part_is_broken_and_a_crowded_place_enlarged() -> None:
    """Lengths are left out of what is slender; what is crowded is drawn once more with its sizes."""
    title = Title(design="object", revision="0", paper=Paper.A4, unit=part_unit(slender()))

    assert len(part_sheet(slender(), title, 1).stretches) > 1
    assert len(part_sheet(crowded(), title, 1).details) == 1


@pytest.mark.parametrize("part", [p for _, p in PARTS], ids=[name for name, _ in PARTS])
def test_what_is_written_is_what_is_measured(part: TurnedPart) -> None:
    """The first figure of a dimension's words is its measurement, to half of its last place."""
    import io

    import ezdxf

    document = ezdxf.read(io.StringIO(drawn(part)))
    for dimension in document.modelspace().query("DIMENSION"):
        words = dimension.dxf.text.split("drill ")[-1] if "%%c" in dimension.dxf.text else dimension.dxf.text
        if re.match(r"M\d|.*UN|\d+BA", words) and "%%c" not in words:
            continue
        figure = re.search(r"(?<=%%c)[\d.]+", words) or re.search(r"\d*\.?\d+(?! flats)", words)
        assert figure is not None
        places = len(figure[0].partition(".")[2])
        measured = dimension.dxf.actual_measurement
        measured = math.degrees(measured) if "%%d" in words and dimension.dimtype & 7 == 2 else measured
        assert abs(float(figure[0]) - measured) <= 0.5 * 10**-places + 1e-9


@pytest.mark.parametrize(
    ("part", "size"),
    [
        (p, size)
        for _, p in PARTS
        for feature in p.across
        for size in [getattr(feature, "across", None) or getattr(feature, "width", None)]
        if size is not None
    ],
)
def test_what_is_cut_across_is_on_the_drawing(part: TurnedPart, size: float) -> None:
    """The width over flats or of a slot is one dimension of the drawing."""
    import io

    import ezdxf

    document = ezdxf.read(io.StringIO(drawn(part)))
    unit = 25.4 if dict(document.header.custom_vars.properties)["unit"] == "in" else 1.0
    told = [
        d for d in document.modelspace().query("DIMENSION") if "flat" in d.dxf.text or "slot" in d.dxf.text
    ]

    assert np.allclose([d.dxf.actual_measurement * unit for d in told], [size])
