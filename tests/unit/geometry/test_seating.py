"""Faces that meet round one axis, by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnmodel.geometry.curve import Arc, Curve, Line
from turnmodel.geometry.seating import Seat, radial_range, stand_off

ROUNDING = 1e-12
"""A few products at 20 mm, [mm]."""


def ahead(*curves: Curve, station: float = 0.0) -> Seat:
    """A face that looks towards +z."""
    return Seat(curves=curves, station=station, outward=1.0)


def behind(*curves: Curve, station: float = 0.0) -> Seat:
    """A face that looks towards -z."""
    return Seat(curves=curves, station=station, outward=-1.0)


def flat(station: float, inside_d: float, outside_d: float) -> Line:
    """A shoulder."""
    return Line(start=(station, inside_d / 2), end=(station, outside_d / 2))


def cup(mouth_d: float, half_angle: float) -> Seat:
    """A conical seat, its mouth at station 0, open towards +z."""
    depth = mouth_d / 2 / math.tan(math.radians(half_angle))
    return ahead(Line(start=(0, mouth_d / 2), end=(-depth, 0)))


def ball(diameter: float) -> Seat:
    """The half of a ball that looks towards -z, its station at the foremost point."""
    r = diameter / 2
    return behind(Arc(start=(r, r), end=(0, 0), center=(r, 0), turn=1))


def test_flat_on_flat() -> None:
    """Two shoulders meet at their stations, wherever these are."""
    assert stand_off(behind(flat(3, 4, 8), station=3), ahead(flat(20, 6, 12), station=20)) == 0


def test_a_boss_holds_a_flat_off() -> None:
    """A face counts by its highest place within the other's radii, not by its station."""
    stepped = ahead(flat(20, 6, 12), flat(21.5, 2, 5), station=20)

    assert stand_off(behind(flat(0, 4, 8)), stepped) == 1.5
    assert stand_off(behind(flat(0, 5, 8)), stepped) == 0


@given(d=st.floats(0.5, 10), mouth=st.floats(1, 12), half_angle=st.floats(5, 85))
def test_flat_on_cone(d: float, mouth: float, half_angle: float) -> None:
    """A flat sinks into a cone until its edge touches: (D - d) / 2 tan of the half-angle."""
    found = stand_off(behind(flat(0, 0, d)), cup(mouth, half_angle))

    expected = -max(mouth - d, 0) / 2 / math.tan(math.radians(half_angle))
    assert found == pytest.approx(expected, abs=ROUNDING, rel=ROUNDING)


@given(d=st.floats(0.5, 10), half_angle=st.floats(20, 80))
def test_ball_in_cone(d: float, half_angle: float) -> None:
    """A ball's centre stands r / sin of the half-angle over the tip (plane trigonometry)."""
    mouth = 3 * d
    angle = math.radians(half_angle)
    found = stand_off(ball(d), cup(mouth, half_angle))

    tip = -mouth / 2 / math.tan(angle)
    assert found == pytest.approx(tip + d / 2 / math.sin(angle) - d / 2, abs=1e-10)


def test_ball_on_a_sharp_mouth() -> None:
    """A ball of 10 mm on a hole of 8 mm sinks in by 2 mm: 3, 4, 5."""
    assert stand_off(ball(10), ahead(flat(0, 8, 20))) == pytest.approx(-2, abs=ROUNDING)


def test_bead_on_ball() -> None:
    """Two rounds touch on the line of their centres: 3, 4, 5 again."""
    bead = ahead(Arc(start=(0, 6), end=(0, 2), center=(0, 4), turn=-1))
    found = stand_off(ball(6), bead)

    # Centres 3 mm apart along the axis, 4 mm across; the ball's station is 3 mm ahead of its centre.
    assert found == pytest.approx(0, abs=ROUNDING)


def test_hollow_on_ball_of_its_own_radius() -> None:
    """A ball in a cup of its own radius rests all over."""
    hollow = ahead(Arc(start=(0, 5), end=(-5, 0), center=(0, 0), turn=1))

    assert stand_off(ball(10), hollow) == pytest.approx(-5, abs=ROUNDING)


def test_faces_without_a_common_radius_pass() -> None:
    """A spigot passes a bore that it equals; a shoulder passes a bore that it does not fill."""
    assert stand_off(behind(flat(0, 0, 4)), ahead(flat(9, 6, 12), station=9)) is None
    assert stand_off(behind(flat(0, 0, 6)), ahead(flat(9, 6, 12), station=9)) is None
    assert stand_off(behind(flat(0, 0, 6 + 1e-7)), ahead(flat(9, 6, 12), station=9)) is None
    assert stand_off(behind(Line(start=(0, 3), end=(5, 3))), ahead(flat(9, 0, 12), station=9)) is None


@given(d=st.floats(0.5, 10), half_angle=st.floats(20, 80))
def test_it_does_not_matter_which_face_is_named_first(d: float, half_angle: float) -> None:
    """The distance is the same both ways."""
    a, b = ball(d), cup(3 * d, half_angle)

    assert stand_off(a, b) == stand_off(b, a)


def test_the_range_of_a_bead_counts_its_side() -> None:
    """An arc that bulges outwards reaches further than its ends."""
    bead = Arc(start=(0, 4), end=(4, 4), center=(2, 4), turn=-1)

    assert radial_range(ahead(bead)) == (4, 6)
