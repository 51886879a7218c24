"""The thread's profile, against the construction of its standards."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from turnmodel.catalog.threads import thread
from turnmodel.geometry.curve import Arc
from turnmodel.geometry.thread_form import (
    form_curves,
    form_levels,
    form_points,
    form_radius,
    half_width,
    radii,
    thread_form,
)

NAMES = ["M10x0.75", "M3x0.5", "1/4-20 UNC", "BA 2", "1/4x40 ME", "M12xPh3P1"]
ROUNDING = 1e-12  # mm, some hundred times the rounding of a radius of 10 mm
STANDARD = 2e-6  # of the pitch: the radii of BA and Whitworth forms are printed to 6 or 7 places


@pytest.fixture(params=[(n, e) for n in NAMES for e in (True, False)], ids=lambda p: f"{p[0]} {p[1]}")
def side(request):
    """A thread, and whether its screw or its hole is meant."""
    name, external = request.param
    return thread(name), external


@pytest.mark.parametrize("name", NAMES)
def test_screw_spans_root_to_major_and_hole_minor_to_major(name):
    """Crest and root of screw and hole are the diameters of the catalogue."""
    t = thread(name)
    tolerance = STANDARD * t.pitch
    male, female = thread_form(t, external=True), thread_form(t, external=False)

    assert 2 * male.high == pytest.approx(t.major_d, abs=tolerance)
    assert 2 * male.low == pytest.approx(t.root_d, abs=tolerance)
    assert 2 * female.high == pytest.approx(t.major_d, abs=tolerance)
    assert 2 * female.low == pytest.approx(t.minor_d, abs=tolerance)


def test_curves_make_one_unbroken_pitch(side):
    """Lines and arcs follow one another from valley to valley."""
    t, external = side
    curves = form_curves(t, external)

    assert curves[0].start[0] == -t.pitch / 2
    assert curves[-1].end[0] == t.pitch / 2
    assert curves[0].start[1] == pytest.approx(curves[-1].end[1], abs=ROUNDING)
    assert all(a.end == b.start for a, b in pairwise(curves))


def test_arcs_are_tangent_to_the_flanks(side):
    """Where an arc meets a flank its radius stands square to the flank."""
    t, external = side
    slope = math.tan(math.radians(t.form.angle) / 2)
    for curve in form_curves(t, external):
        if isinstance(curve, Arc):
            for u, r in (curve.start, curve.end):
                across = abs(u - curve.center[0]), abs(r - curve.center[1])
                assert math.hypot(*across) == pytest.approx(curve.radius, abs=ROUNDING)
                # The other end of half a root is the bottom of the valley.
                if across[0] > ROUNDING:
                    assert across[1] == pytest.approx(across[0] * slope, abs=ROUNDING)


def test_radius_follows_the_curves(side):
    """The radius at every end and middle of a curve is the curve's own."""
    t, external = side
    for curve in form_curves(t, external):
        points = [curve.start, curve.end]
        if isinstance(curve, Arc):
            middle = (points[0][0] + points[1][0]) / 2
            away = math.sqrt(curve.radius**2 - (middle - curve.center[0]) ** 2)
            points.append((middle, curve.center[1] - math.copysign(away, curve.turn)))
        u, r = np.array(points).T
        assert form_radius(t, external, u) == pytest.approx(r, abs=ROUNDING)


def test_radius_repeats_every_pitch(side):
    """A pitch on the radius is the same."""
    t, external = side
    u = np.linspace(-0.5, 0.5, 41) * t.pitch

    assert form_radius(t, external, u + 7 * t.pitch) == pytest.approx(form_radius(t, external, u), abs=1e-9)


def test_ridge_is_half_the_pitch_wide_on_the_pitch_line(side):
    """On the pitch line ridge and valley are equal: the meaning of the pitch diameter."""
    t, external = side

    assert half_width(thread_form(t, external), t.pitch_d / 2) == pytest.approx(t.pitch / 4, abs=ROUNDING)


def test_width_undoes_radius(side):
    """The half-width at the radius of a place is the place, off the flats."""
    t, external = side
    form = thread_form(t, external)
    u = np.linspace(0.01, 0.49, 97) * t.pitch
    r = radii(form, u)
    sloping = (r < form.high - 1e-9) & (r > form.low + 1e-9)

    assert sloping.any()
    assert half_width(form, r)[sloping] == pytest.approx(u[sloping], abs=1e-9)


def test_width_is_the_pitch_below_and_nothing_above(side):
    """Under the root the metal is whole, above the crest there is none."""
    t, external = side
    form = thread_form(t, external)

    assert half_width(form, form.low - 0.01) == t.pitch / 2
    assert half_width(form, form.high + 0.01) == 0


def test_levels_rise_from_root_to_crest(side):
    """The levels begin at the root and end at the crest."""
    form = thread_form(*side)
    levels = form_levels(form)

    assert list(levels) == sorted(set(levels))
    assert (levels[0], levels[-1]) == (form.low, form.high)


def test_widening_shifts_every_radius(side):
    """A widened form stands off the basic one by so much everywhere."""
    t, external = side
    u = np.linspace(-0.5, 0.5, 23) * t.pitch

    wider = form_radius(t, external, u, widen=0.05)

    assert wider - form_radius(t, external, u) == pytest.approx(0.05, abs=ROUNDING)


def test_chords_keep_between_root_and_crest(side):
    """No corner of the mesh's chords passes the crest, or goes under the root by more than a chord's rise."""
    form = thread_form(*side)
    u, r = form_points(*side)

    assert np.all(np.diff(u) > 0)
    assert u[0] >= -form.pitch / 2
    assert u[-1] < form.pitch / 2
    assert r.max() <= form.high + ROUNDING
    assert r.min() >= form.low - ROUNDING


def test_screw_and_hole_share_the_corners_of_the_flank():
    """Corners of the common flank stand at the same places, so that mating facets match."""
    t = thread("1/4-20 UNC")
    (u, r), (v, s) = form_points(t, external=True), form_points(t, external=False)
    flank = [x for x in v if t.pitch / 16 - 1e-9 <= abs(x) <= 3 * t.pitch / 8 + 1e-9]

    assert len(flank) >= 4
    for x in flank:
        i, j = np.argmin(abs(u - x)), np.argmin(abs(v - x))
        assert (u[i], r[i]) == pytest.approx((v[j], s[j]), abs=ROUNDING)
