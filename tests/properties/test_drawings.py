"""Laws of the drawings: any part is drawn clear, and its outside can be made from the drawing alone."""

from __future__ import annotations

import dataclasses
import math
from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given

from tests.drawn import determined, read_drawing
from tests.parts import parts
from tests.strategies import many
from turnmodel import Part, chamfer, cone, cross_hole, cylinder, drill, fillet, flat, groove, knurl, tap
from turnmodel.analysis.weight import part_weight
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.errors import BadValue
from turnmodel.output.papers.clash import clashes
from turnmodel.output.papers.dxf import dxf
from turnmodel.output.papers.figures import Unit
from turnmodel.output.papers.page import Paper
from turnmodel.output.papers.part_sheet import part_sheet
from turnmodel.output.papers.titles import Title
from turnmodel.output.papers.tracing import straightened

if TYPE_CHECKING:
    from turnmodel.geometry.curve import Curve

TITLE = Title(design="object", revision="0", paper=Paper.A4, unit=Unit.MM)

REBUILT_MM = 1e-6
"""How near every corner of the rebuilt part is to the part's own: what is asked of the drawings."""

SLIVER_MM = 0.01
"""Nobody dimensions a piece that is shorter, and the reader takes its ends for one; house choice."""

some = many(2000, 30)


FOUND = {
    "two chamfers leave nothing of a shoulder": Part.turned(
        "thing",
        material="brass",
        stock="25 mm",
        outside=[cylinder(20, 8, back=chamfer(0.5)), cylinder(18, 4, front=chamfer(0.5))],
    ),
    "two roundings fill a length": Part.turned(
        "thing",
        material="brass",
        stock="20 mm",
        outside=[cylinder(8, 2, front=fillet(1), back=fillet(1))],
    ),
    "a knurl between grooves is of the diameter beside it": Part.turned(
        "thing",
        material="brass",
        stock="20 mm",
        outside=[cylinder(8, 2), cylinder(8, 2, knurled=knurl(0.6), edges=chamfer(0.3)), cylinder(8, 2)],
    ),
    "a crowded place is as wide as the part": Part.turned(
        "thing",
        material="brass",
        stock="20 mm",
        outside=[groove(1, 6, radius=0.2), cone(8, 16, length=2.75), cone(19.6, 8.6, length=13.1)],
        from_front=[drill(5.5, depth=11.5)],
        from_back=[tap("M8x0.75", depth=8.5, lead="bottoming")],
        across=[cross_hole("2 mm", at=2.5), flat(at=1, length=3, across=7, count=2)],
    ),
}
"""Parts that broke a law once."""


@pytest.mark.parametrize("part", FOUND.values(), ids=FOUND.keys())
def test_parts_found_once_hold(part: TurnedPart) -> None:
    """What broke a law once keeps both."""
    assert clashes(part_sheet(part, TITLE, 1).items) == []
    hold_rebuilt(without_holes(part))


def weighable(part: TurnedPart) -> bool:
    """Tell whether a part's mass can be written in its title block."""
    try:
        part_weight(part)
    except BadValue:
        return False
    return True


@some
@given(parts())
def test_any_part_is_drawn_clear(part: TurnedPart) -> None:
    """On the sheet of a random part nothing meets a text."""
    assume(weighable(part))

    assert clashes(part_sheet(part, TITLE, 1).items) == []


@some
@given(parts())
def test_any_outside_is_rebuilt(part: TurnedPart) -> None:
    """The outside of a random part follows from its dimensions, each of which is needed."""
    plain = without_holes(part)
    assume(all(math.dist(curve.start, curve.end) > SLIVER_MM for curve in outline_of(plain)))
    hold_rebuilt(plain)


def without_holes(part: TurnedPart) -> TurnedPart:
    """Leave a part as it is turned outside."""
    return dataclasses.replace(part, from_front=(), from_back=(), across=())


def outline_of(part: TurnedPart) -> list[Curve]:
    """Give the outline of a part as it is drawn."""
    made = built(part)
    assert isinstance(made, Turned)
    return [curve for loop in made.body.plain.loops for curve in straightened(loop)]


def hold_rebuilt(plain: TurnedPart) -> None:
    """Hold the outside of a part to what its dimensions say, all of them needed."""
    outline = outline_of(plain)
    drawing = read_drawing(dxf(part_sheet(plain, TITLE, 1)))
    solved = drawing.solved()
    slopes = drawing.jacobian(solved)

    corners = [(solved[k], solved[k + 1]) for k in drawing.points]
    assert max(min(math.dist(curve.start, q) for q in corners) for curve in outline) < REBUILT_MM
    assert determined(slopes)
    for words in set(drawing.dimensions) & set(drawing.sources):
        rest = [k for k, source in enumerate(drawing.sources) if source != words]
        assert not determined(slopes[rest]), f"{words} is told twice"
