"""Moments of threaded bodies, against sums over many points and closed forms of other shapes."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.threaded import brute_moments, hole, run_out_screw, screw
from tests.zoo import ball
from turnmodel.catalog.threads import thread
from turnmodel.errors import BadValue
from turnmodel.geometry.body import Body, ThreadSpan, between_steps, body_flipped, body_moved
from turnmodel.geometry.moments import combined, moments, scaled
from turnmodel.geometry.region import polygon, ring
from turnmodel.geometry.thread_form import form_radius, thread_form
from turnmodel.geometry.thread_moments import body_moments, mean_square, shared_moments
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import bound, mesh_volume, open_edges

NAMES = ["M10x0.75", "3/8-16 UNC", "BA 2", "3/8x32 ME", "M12xPh3P1", "M6x1 LH"]
SUMMED = 1e-8  # relative: at a corner a midpoint sum errs by h^2/8 times the bend, h being P/400
ROUNDING = 1e-12  # relative, some thousand times the rounding of a double


@pytest.mark.parametrize("external", [True, False])
@pytest.mark.parametrize("name", NAMES)
def test_mean_square_agrees_with_a_sum(name, external):
    """The closed form is what adding up a million radii gives."""
    t = thread(name)
    u = (np.arange(1_000_000) + 0.5) / 1_000_000 * t.pitch

    assert mean_square(t, external) == pytest.approx(np.mean(form_radius(t, external, u) ** 2), rel=1e-11)


@pytest.mark.parametrize("name", ["M10x0.75", "1/4-20 UNC"])
def test_mean_square_of_the_hole_is_that_of_a_truncated_v(name):
    """Flats P/8 and P/4 and straight flanks, as ISO 68-1 has them: R^2/8 + 5/24 (R^2 + R r + r^2) + r^2/4."""
    t = thread(name)
    high, low = t.major_d / 2, t.major_d / 2 - 5 / 16 * math.sqrt(3) * t.pitch
    expected = high**2 / 8 + 5 / 24 * (high**2 + high * low + low**2) + low**2 / 4

    assert mean_square(t, external=False) == pytest.approx(expected, rel=ROUNDING)


def test_basic_form_has_the_volume_integrated_elsewhere():
    """A 3/8-16 of basic form (root flat P/4, as the hole's) and 12.7 mm encloses 734.76791 mm3.

    The figure is a numerical integral of r^2 over the form, made apart from this program.
    """
    assert math.pi * 12.7 * mean_square(thread("3/8-16 UNC"), external=False) == pytest.approx(
        734.76791, abs=0.5e-5
    )


@pytest.mark.parametrize("length", [0.31, 2.0, 7.77])
@pytest.mark.parametrize("name", NAMES)
def test_full_depth_thread_of_any_length_has_its_mean_volume(name, length):
    """Volume is pi L times the mean square, whether or not the length is whole pitches."""
    t = thread(name)
    # The bar's own crest is the printed diameter; rounded forms reach it to 2e-6 of the pitch.
    volume = body_moments(screw(t, length)).volume

    assert volume == pytest.approx(math.pi * length * mean_square(t, external=True), rel=1e-8)


@pytest.mark.parametrize("name", NAMES)
def test_run_in_and_run_out_agree_with_a_sum(name):
    """All four moments of a chamfered screw with a run-out are what adding up gives."""
    t = thread(name) if not name.endswith("LH") else thread("M6x1")
    body = run_out_screw(t)
    (span,) = body.threads
    blank = polygon([(span.start, 0.0), (span.end, 0.0), *reversed(span.ceiling)])
    rest = combined(moments(body.plain), scaled(moments(blank), -1))
    v, first, j, k = brute_moments(span, 4000, 400)
    v += rest.volume
    station = (first + rest.volume * rest.station) / v
    k += rest.transverse + rest.volume * rest.station**2 - v * station**2

    found = body_moments(body)

    assert found.volume == pytest.approx(v, rel=SUMMED)
    assert found.station == pytest.approx(station, rel=SUMMED)
    assert found.axial == pytest.approx(j + rest.axial, rel=SUMMED)
    assert found.transverse == pytest.approx(k, rel=SUMMED)


def stepped_hole(t) -> Body:
    """Tap a tube that is bored wider over its first half, its wall leaning outwards."""
    minor, outside = thread_form(t, external=False).low, t.major_d
    half, end, wide, wider = 3.3, 7.1, minor + 0.2 * t.pitch, minor + 0.4 * t.pitch
    floor = ((0.0, wider), (half, wide), (half, minor), (end, minor))
    ceiling = ((0.0, outside / 2), (end, outside / 2))
    span = ThreadSpan(thread=t, external=False, start=0.0, end=end, anchor=0.3, floor=floor, ceiling=ceiling)
    plain = polygon([*floor, (end, outside), (0.0, outside)])
    return Body(plain=plain, threads=(span,))


def test_a_thread_over_a_step_agrees_with_a_sum():
    """Where its hole steps, a thread takes what it takes on either side of the step, and no more."""
    body = stepped_hole(thread("M6x1"))
    (span,) = body.threads
    taken = moments(body.plain).volume - body_moments(body).volume

    one, two = between_steps(span)
    sums = [brute_moments(piece, 4000, 400)[0] for piece in (one, two)]
    drilled = [
        moments(polygon([(p.start, 0.0), (p.end, 0.0), *reversed(p.floor)])).volume for p in (one, two)
    ]

    assert taken == pytest.approx(sum(sums) - sum(drilled), rel=1e-6)  # the difference of larger sums


def test_a_mesh_keeps_the_step_in_a_thread():
    """The face of a step within a thread is flat: the mesh takes no more than its facets are off."""
    body = stepped_hole(thread("M6x1"))
    mesh = lathe(body, 96, area_true=True)

    assert open_edges(mesh) == 0
    assert abs(mesh_volume(mesh) / body_moments(body).volume - 1) < bound(body, 96, area_true=True)


def test_hand_and_clocking_do_not_weigh():
    """A left-hand thread weighs as a right-hand one, and a turned one as before."""
    right, left = (body_moments(screw(thread(n), 3.3)) for n in ("M6x1", "M6x1 LH"))

    assert left == right
    assert body_moments(screw(thread("M6x1"), 3.3, anchor=0.4)) == right


def test_moments_move_and_turn_with_the_body():
    """Shifting shifts the centroid alone; turning end for end mirrors it."""
    body = run_out_screw(thread("M10x0.75"))
    here, there, back = (body_moments(b) for b in (body, body_moved(body, 5.0), body_flipped(body)))

    assert there.station == pytest.approx(here.station + 5, rel=ROUNDING)
    assert back.station == pytest.approx(-here.station, rel=ROUNDING)
    for other in (there, back):
        assert (other.volume, other.axial) == pytest.approx((here.volume, here.axial), rel=ROUNDING)
        assert other.transverse == pytest.approx(here.transverse, rel=ROUNDING)


def test_tapping_takes_metal_away():
    """A tapped tube weighs less than the drilled one by the pitch-mean of its grooves."""
    t = thread("1/4-20 UNC")
    tapped = hole(t, 6.0)
    taken = math.pi * 6 * (mean_square(t, external=False) - (t.minor_d / 2) ** 2)

    assert moments(tapped.plain).volume - body_moments(tapped).volume == pytest.approx(taken, rel=1e-10)


def test_whole_share_gives_plain_moments():
    """Where every circle is full, shared moments are those of the region."""
    region = ring(3, 9, 8, 2)
    full, plain = shared_moments(region, np.ones_like, ()), moments(region)

    assert (full.volume, full.station) == pytest.approx((plain.volume, plain.station), rel=ROUNDING)
    assert (full.axial, full.transverse) == pytest.approx((plain.axial, plain.transverse), rel=ROUNDING)


def test_whole_share_gives_plain_moments_of_arcs():
    """A ball filled everywhere has the moments of a ball: 4/3 pi R^3 and 8/15 pi R^5."""
    full = shared_moments(ball(4.0, 6.0), np.ones_like, (1.0, 2.5))

    assert full.volume == pytest.approx(36 * math.pi, rel=ROUNDING)
    assert full.station == pytest.approx(4.0, rel=ROUNDING)
    assert full.axial == pytest.approx(8 / 15 * math.pi * 3**5, rel=ROUNDING)
    assert full.transverse == pytest.approx(8 / 15 * math.pi * 3**5, rel=ROUNDING)


def test_floor_above_ceiling_is_refused():
    """Envelopes that cross are named with their diameters and station."""
    body = screw(thread("M6x1"), 5.0)
    (span,) = body.threads
    crossed = replace(span, floor=((0.0, 2.0), (5.0, 3.5)))

    with pytest.raises(BadValue) as caught:
        body_moments(replace(body, threads=(crossed,)))
    assert str(caught.value) == (
        "thread envelope: floor diameter 7 mm: is above the ceiling, 6 mm, at station 5 mm"
    )
