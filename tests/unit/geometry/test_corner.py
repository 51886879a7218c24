"""Chamfers and fillets by hand: tangent to both curves, of the legs asked for, or refused."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from turnmodel.errors import BadValue
from turnmodel.geometry.corner import chamfered, curve_length, filleted
from turnmodel.geometry.curve import Arc, Curve, Line, Point

TANGENT = 1e-12
"""Sums of a few products at 10 mm, [mm]; and the sine of the angle between two tangents, [-]."""

WALL = Line(start=(0, 0), end=(0, 5))
BAR = Line(start=(0, 5), end=(9, 5))
CONE = Line(start=(0, 5), end=(6, 8))
BOW = Arc(start=(0, 5), end=(5, 0), center=(0, 0), turn=-1)
HOLLOW = Arc(start=(0, 5), end=(4, 9), center=(0, 9), turn=1)
BEHIND = Arc(start=(-4, 1), end=(0, 5), center=(-4, 5), turn=1)

CORNERS = {
    "wall and bar": (WALL, BAR, 1.0),
    "wall and cone": (WALL, CONE, 0.8),
    "inner corner": (Line(start=(-5, 5), end=(0, 5)), Line(start=(0, 5), end=(0, 9)), 1.5),
    "wall and bow": (Line(start=(0, 2), end=(0, 5)), BOW, 0.7),
    "slope and hollow, sharp": (Line(start=(1, 8), end=(0, 5)), HOLLOW, 0.2),
    "hollow and bar": (Arc(start=(-4, 9), end=(0, 5), center=(-4, 5), turn=-1), BAR, 0.6),
    "arc and bow": (BEHIND, BOW, 0.5),
    "arc and hollow": (Arc(start=(-5, 0), end=(0, 5), center=(-5, 5), turn=1), HOLLOW, 0.5),
}


def tangent(curve: Curve, at: Point) -> Point:
    """Unit direction of travel, from the definition."""
    if isinstance(curve, Line):
        dz, dr = curve.end[0] - curve.start[0], curve.end[1] - curve.start[1]
    else:
        dz = -curve.turn * (at[1] - curve.center[1])
        dr = curve.turn * (at[0] - curve.center[0])
    size = math.hypot(dz, dr)
    return dz / size, dr / size


@pytest.mark.parametrize(("first", "second", "radius"), CORNERS.values(), ids=CORNERS)
def test_a_fillet_is_tangent_to_both_curves(first: Curve, second: Curve, radius: float) -> None:
    """It has its radius, begins and ends on the curves, runs on in their direction, and closes the chain."""
    before, arc, after = filleted(first, second, radius)

    assert isinstance(arc, Arc)
    assert before is not None
    assert after is not None
    assert (before.start, after.end) == (first.start, second.end)
    for a, b in pairwise((before, arc, after)):
        assert a.end == b.start
        (z0, r0), (z1, r1) = tangent(a, a.end), tangent(b, b.start)
        assert abs(z0 * r1 - r0 * z1) < TANGENT
        assert z0 * z1 + r0 * r1 > 0
    for end in (arc.start, arc.end):
        assert math.dist(end, arc.center) == pytest.approx(radius, abs=TANGENT)
    assert abs(arc.sweep) < math.pi
    for piece, whole in ((before, first), (after, second)):
        if isinstance(piece, Arc) and isinstance(whole, Arc):
            assert math.dist(piece.end, whole.center) == pytest.approx(whole.radius, abs=TANGENT)
        assert curve_length(piece) < curve_length(whole)


def test_a_fillet_at_60_degrees_reaches_as_far_as_the_textbook_says() -> None:
    """The tangent length of a corner is r / tan of half the angle within it (plane trigonometry)."""
    slope = Line(start=(10 * math.cos(math.pi / 3), 10 * math.sin(math.pi / 3)), end=(0, 0))
    before, arc, after = filleted(slope, Line(start=(0, 0), end=(10, 0)), 1.0)

    reach = 1 / math.tan(math.radians(30))
    assert arc.end == pytest.approx((reach, 0), abs=TANGENT)
    assert math.hypot(*arc.start) == pytest.approx(reach, abs=TANGENT)
    assert arc.center == pytest.approx((reach, 1), abs=TANGENT)
    assert curve_length(before) == pytest.approx(10 - reach)
    assert curve_length(after) == pytest.approx(10 - reach)


def test_a_fillet_may_consume_both_sides() -> None:
    """A round of the whole wall leaves nothing of it, and the chain still starts where it did, exactly."""
    wall = Line(start=(0.1 + 0.2, 0.0), end=(0.3, 2.5))
    before, arc, after = filleted(wall, Line(start=(0.3, 2.5), end=(2.8, 2.5)), 2.5)

    assert before is None
    assert after is None
    assert (arc.start, arc.end) == (wall.start, (2.8, 2.5))


@pytest.mark.parametrize(
    ("first", "second", "radius", "said"),
    [
        (WALL, BAR, 5.1, "fillet: radius 5.1 mm: is too large for the two sides it must touch"),
        (WALL, BOW, 4.0, "fillet: radius 4 mm: is too large"),
        (Line(start=(1, 8), end=(0, 5)), HOLLOW, 6.0, "fillet: radius 6 mm: is too large"),
        # The line leaves the arc again before there is room between them.
        (Line(start=(3, 5.5), end=(0, 5)), HOLLOW, 0.2, "fillet: radius 0.2 mm: is too large"),
        (BAR, Line(start=(9, 5), end=(12, 5)), 1.0, "fillet: radius 1 mm: there is no corner"),
        (Line(start=(-3, 5), end=(0, 5)), BOW, 1.0, "fillet: radius 1 mm: there is no corner"),
        (WALL, BAR, 0.0, "fillet: radius 0 mm: is more than 0 mm"),
        (WALL, BAR, math.nan, "fillet: radius nan mm: is more than 0 mm"),
    ],
)
def test_a_fillet_that_cannot_be_is_refused(first: Curve, second: Curve, radius: float, said: str) -> None:
    """Too large for a side or for the inside of an arc, no corner, no radius."""
    with pytest.raises(BadValue, match=said):
        filleted(first, second, radius)


def test_the_legs_of_a_chamfer_lie_along_their_curves() -> None:
    """The axial leg lies on the curve that runs more along the axis, whichever comes first."""
    assert chamfered(WALL, BAR, axial=1.0, radial=0.5) == (
        Line(start=(0, 0), end=(0, 4.5)),
        Line(start=(0, 4.5), end=(1, 5)),
        Line(start=(1, 5), end=(9, 5)),
    )
    down = Line(start=(9, 5), end=(9, 0))
    assert chamfered(BAR, down, axial=1.0, radial=0.5)[1] == Line(start=(8, 5), end=(9, 4.5))


def test_a_leg_along_an_arc_is_a_length_of_arc() -> None:
    """A leg of a sixth of a quarter turn takes 15 degrees off a bow."""
    length = 5 * math.radians(15)
    _, cut, rest = chamfered(Line(start=(0, 2), end=(0, 5)), BOW, axial=length, radial=1.0)

    assert cut.start == (0, 4)
    expected = (5 * math.sin(math.radians(15)), 5 * math.cos(math.radians(15)))
    assert cut.end == pytest.approx(expected, abs=TANGENT)
    assert isinstance(rest, Arc)
    assert math.degrees(rest.sweep) == pytest.approx(-75)


def test_a_chamfer_may_consume_both_sides() -> None:
    """A cut from end to end of both sides is all that is left."""
    assert chamfered(WALL, BAR, axial=9.0, radial=5.0) == (None, Line(start=(0, 0), end=(9, 5)), None)


@pytest.mark.parametrize(
    ("axial", "radial", "said"),
    [
        (1.0, 6.0, "chamfer: leg 6 mm: is longer than the 5 mm it is cut from"),
        (9.5, 1.0, "chamfer: leg 9.5 mm: is longer than the 9 mm it is cut from"),
        (0.0, 1.0, "chamfer: leg 0 mm: is more than 0 mm"),
        (1.0, -1.0, "chamfer: leg -1 mm: is more than 0 mm"),
    ],
)
def test_a_chamfer_that_cannot_be_is_refused(axial: float, radial: float, said: str) -> None:
    """Longer than its side, or no leg at all."""
    with pytest.raises(BadValue, match=said):
        chamfered(WALL, BAR, axial, radial)
