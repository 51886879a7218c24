"""Laws of threads and meshes: over every thread of the catalogue, and over random turned bodies."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import regions
from tests.threaded import hole, run_out_screw, screw
from turnmodel.catalog.threads import standard_threads
from turnmodel.geometry.body import Body, body_moved
from turnmodel.geometry.engagement import body_overlap, body_turned, phase_turn
from turnmodel.geometry.thread_moments import body_moments, mean_square
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import bound, mesh_volume, open_edges

THREADS = standard_threads()
DIFFERS = 3e-4  # the most that an area-true mesh of any thread may weigh wrong at the usual facets
ROUNDING = 1e-9

any_thread = st.sampled_from(THREADS)


@pytest.mark.parametrize("t", THREADS, ids=str)
def test_every_thread_meshes_closed_and_weighs_right(t):
    """Screw and hole of every size are closed, and right to 3e-4 and to their own bound."""
    for body in (run_out_screw(t), hole(t, 3.3 * t.pitch)):
        exact = body_moments(body).volume
        mesh = lathe(body, area_true=True)
        off = abs(mesh_volume(mesh) / exact - 1)
        assert open_edges(mesh) == 0
        assert off < DIFFERS
        assert off <= bound(body, area_true=True)


@given(any_thread, st.floats(0.4, 12), st.floats(-3, 3))
def test_full_depth_threads_weigh_the_mean_of_a_pitch(t, pitches, anchor):
    """Length and clocking of a full-depth thread change its volume by pi L times the mean square, no more."""
    length = pitches * t.pitch
    found = body_moments(screw(t, length, anchor=anchor)).volume

    # Rounded forms reach the bar's own diameter to 2e-6 of the pitch.
    assert found == pytest.approx(math.pi * length * mean_square(t, external=True), rel=1e-6)


@given(any_thread, st.floats(0.05, 0.95), st.floats(-20, 20), st.floats(0, 360))
def test_pairs_share_nothing_in_step_and_something_out_of_it(t, apart, shift, turn):
    """Wherever a pair stands, its phase turn brings it in step; a part of a pitch off it overlaps."""
    length = 4 * t.pitch
    male = body_turned(body_moved(screw(t, length), shift), turn)
    female = body_moved(hole(t, length, anchor=apart * t.pitch), shift)
    step = phase_turn(male.threads[0], female.threads[0])
    stepped = body_turned(male, step)
    off = body_turned(stepped, 0.1 * 360 / t.starts)
    volume = body_moments(male).volume

    assert body_overlap(stepped, female) < ROUNDING * volume
    assert body_overlap(off, female) > 1e-4 * volume


@given(any_thread, st.floats(0, 1), st.floats(-1, 1))
def test_overlap_of_threads_is_symmetric(t, apart, shift):
    """It does not matter which body is named first."""
    male, female = body_moved(screw(t, 5.0), shift), hole(t, 4.0, anchor=apart)

    assert body_overlap(male, female) == pytest.approx(body_overlap(female, male), rel=ROUNDING, abs=ROUNDING)


@given(regions, st.sampled_from([24, 40, 64]), st.sampled_from([360.0, 270.0, 90.0]))
def test_every_turned_region_meshes_closed(region, facets, sector):
    """A mesh of any region, whole or cut, is closed and within its bound."""
    body = Body(plain=region)
    mesh = lathe(body, facets, sector)

    assert open_edges(mesh) == 0
    exact = body_moments(body).volume * sector / 360
    assert mesh_volume(mesh) == pytest.approx(exact, rel=bound(body, facets) + ROUNDING)
