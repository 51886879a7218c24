"""Placements: products, inverses, and those along the axis."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnmodel.geometry.frame import (
    IDENTITY,
    Matrix,
    coaxial,
    composed,
    frame,
    inverse,
    opposed,
    point_at,
    shift,
    turn,
    turned_by,
)
from turnmodel.shape.placement import validate_placement

ROUNDING = 1e-12
"""A dozen products at 100 mm, [mm]."""

lengths = st.floats(-100, 100)
angles = st.floats(-360, 360)
points = st.tuples(lengths, lengths, lengths)


@st.composite
def placements(draw: st.DrawFn) -> Matrix:
    """Draw a rotation by Euler's angles and a shift."""
    a, b = math.radians(draw(angles)), math.radians(draw(angles))
    normal = (math.sin(a) * math.cos(b), math.sin(a) * math.sin(b), math.cos(a))
    along = (math.cos(a) * math.cos(b), math.cos(a) * math.sin(b), -math.sin(a))
    return composed(frame(draw(points), normal, along), turn(draw(angles)))


def near(matrix: Matrix) -> object:
    """Compare a placement to rounding."""
    return pytest.approx([v for row in matrix for v in row], abs=ROUNDING)


def listed(matrix: Matrix) -> list[float]:
    """Lay a placement's rows out in one."""
    return [v for row in matrix for v in row]


@given(a=placements())
def test_an_inverse_undoes(a: Matrix) -> None:
    """A placement and its inverse make none, either way, and the inverse of the inverse is the placement."""
    assert listed(composed(a, inverse(a))) == near(IDENTITY)
    assert listed(composed(inverse(a), a)) == near(IDENTITY)
    assert listed(inverse(inverse(a))) == near(a)


@given(a=placements(), b=placements(), p=points)
def test_a_product_places_as_one_after_the_other(a: Matrix, b: Matrix, p: tuple[float, float, float]) -> None:
    """The rightmost placement comes first."""
    assert point_at(composed(a, b), p) == pytest.approx(point_at(a, point_at(b, p)), abs=10 * ROUNDING)


@given(a=placements(), b=placements(), c=placements())
def test_products_do_not_depend_on_the_brackets(a: Matrix, b: Matrix, c: Matrix) -> None:
    """Three placements are composed as two and one, or one and two."""
    assert listed(composed(a, b, c)) == pytest.approx(listed(composed(a, composed(b, c))), abs=10 * ROUNDING)


@given(a=placements())
def test_every_placement_here_is_rigid(a: Matrix) -> None:
    """Frames, turns and their products pass the check that placements from outside must pass."""
    assert validate_placement(a) == a
    assert validate_placement(inverse(a)) == inverse(a)


@given(a=placements(), p=points, q=points)
def test_a_direction_is_not_shifted(
    a: Matrix, p: tuple[float, float, float], q: tuple[float, float, float]
) -> None:
    """The way between two points turns with them."""
    (x0, y0, z0), (x1, y1, z1) = point_at(a, p), point_at(a, q)
    between = (q[0] - p[0], q[1] - p[1], q[2] - p[2])

    assert turned_by(a, between) == pytest.approx((x1 - x0, y1 - y0, z1 - z0), abs=10 * ROUNDING)


@given(station=lengths, degrees=st.floats(-179, 179), end_for_end=st.booleans())
def test_a_placement_along_the_axis_is_read_back(station: float, degrees: float, end_for_end: bool) -> None:
    """Shift, turn and sense come back as they went in."""
    last = opposed() if end_for_end else IDENTITY
    read = coaxial(composed(shift(station), turn(degrees), last))

    assert read is not None
    assert read[:2] == pytest.approx((station, degrees), abs=ROUNDING)
    assert read[2] is end_for_end


@pytest.mark.parametrize(
    "matrix",
    [
        frame((1e-6, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
        frame((0.0, 1e-6, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
        frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
        frame((0.0, 0.0, 0.0), (1e-8, 0.0, 1.0), (1.0, 0.0, -1e-8)),
    ],
)
def test_an_axis_that_is_off_or_leans_is_seen(matrix: Matrix) -> None:
    """A nanometre off, or a nanometre over 100 mm, is another axis."""
    assert coaxial(matrix) is None


def test_axes_meet_face_to_face() -> None:
    """What is opposed looks back along z, and quarter turns are exact."""
    assert turned_by(opposed(), (0.0, 0.0, 1.0)) == (0, 0, -1)
    assert composed(opposed(), opposed()) == IDENTITY
    assert composed(turn(90), turn(90), turn(-180)) == IDENTITY
    assert turn(450) == turn(90)


def test_a_product_of_nothing_moves_nothing() -> None:
    """No placement at all is the identity."""
    assert composed() == IDENTITY
