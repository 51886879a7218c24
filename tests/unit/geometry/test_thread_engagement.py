"""Threads on one axis: phase, overlap, distance, engagement, against sums over many points."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.threaded import hole, screw
from turnmodel.catalog.threads import thread
from turnmodel.errors import BadValue
from turnmodel.geometry.body import Body, body_moved
from turnmodel.geometry.engagement import (
    body_distance,
    body_overlap,
    body_turned,
    engaged,
    flank_clearance,
    matching,
    phase_shift,
    phase_turn,
)
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.region import ring
from turnmodel.geometry.thread_form import form_radius
from turnmodel.geometry.thread_moments import body_moments
from turnmodel.geometry.tolerance import CONTACT_MM3

NAMES = ["M10x0.75", "1/4-20 UNC", "BA 2", "1/4x40 ME", "M12xPh3P1", "M6x1 LH"]
NOTHING = 1e-9  # mm3
LENGTH = 6.3  # mm, no whole number of any pitch


def _pair(name: str, apart: float = 0.0) -> tuple[Body, Body]:
    """A screw and its hole, the hole's helix a part of the pitch along."""
    t = thread(name)
    return screw(t, LENGTH), hole(t, LENGTH, anchor=apart * t.pitch)


def _summed(name: str, apart: float) -> float:
    """Overlap of a pair by a sum over a million places of the pitch."""
    t = thread(name)
    u = (np.arange(1_000_000) + 0.5) / 1_000_000 * t.pitch
    # The bar that the screw is cut in has the printed diameter.
    male = np.minimum(form_radius(t, True, u), t.major_d / 2)
    female = form_radius(t, False, u - apart * t.pitch)
    return math.pi * LENGTH * float(np.mean(np.maximum(male**2 - female**2, 0.0)))


@pytest.mark.parametrize("name", NAMES)
def test_mating_threads_in_phase_share_nothing(name):
    """A screw in its hole, in step, touches along the flanks and shares no volume."""
    assert body_overlap(*_pair(name)) < NOTHING


@pytest.mark.parametrize("apart", [0.05, 0.25, 0.5, -0.3])
@pytest.mark.parametrize("name", NAMES)
def test_mating_threads_out_of_phase_overlap_as_summed(name, apart):
    """Out of step the overlap is what adding up the teeth gives, far within what counts as contact."""
    found = body_overlap(*_pair(name, apart))

    assert found > CONTACT_MM3
    assert found == pytest.approx(_summed(name, apart), abs=1e-6)


@pytest.mark.parametrize("apart", [0.05, 0.25, 0.5, -0.3])
@pytest.mark.parametrize("name", NAMES)
def test_turning_by_the_phase_brings_helices_in_step(name, apart):
    """After the turn found the pair shares nothing, and it is the least turn there is."""
    male, female = _pair(name, apart)
    turn = phase_turn(male.threads[0], female.threads[0])

    assert abs(turn) <= 180 / thread(name).starts
    assert body_overlap(body_turned(male, turn), female) < NOTHING


@pytest.mark.parametrize("turn", [0.0, 33.0, -250.0])
@pytest.mark.parametrize("name", NAMES)
def test_shifting_by_the_phase_brings_helices_in_step(name, turn):
    """Held at a turn, the screw shifted as found shares nothing with a longer hole."""
    t = thread(name)
    male, female = screw(t, LENGTH), body_moved(hole(t, 3 * LENGTH, anchor=0.2), -LENGTH)
    shift = phase_shift(male.threads[0], female.threads[0], turn)

    assert abs(shift) <= t.pitch / 2
    assert body_overlap(body_moved(body_turned(male, turn), shift), female) < NOTHING


@pytest.mark.parametrize("name", NAMES)
def test_a_whole_turn_is_a_lead(name):
    """Turning a screw once moves its helix by the lead, the way of its hand."""
    t = thread(name)
    (span,) = screw(t, LENGTH).threads
    (turned,) = body_turned(screw(t, LENGTH), 360).threads

    assert turned.anchor - span.anchor == pytest.approx(t.lead if t.left else -t.lead)


def test_oversize_screw_overlaps_as_summed():
    """A screw of a larger size but the same pitch overlaps all along, in step."""
    small, large = thread("M10x0.75"), thread("M10.2x0.75")
    u = (np.arange(1_000_000) + 0.5) / 1_000_000 * small.pitch
    excess = form_radius(large, True, u) ** 2 - form_radius(small, False, u) ** 2
    expected = math.pi * LENGTH * float(np.mean(np.maximum(excess, 0.0)))

    assert body_overlap(screw(large, LENGTH), hole(small, LENGTH)) == pytest.approx(expected, abs=1e-6)


def test_screw_in_a_plain_hole_overlaps_with_its_teeth():
    """A screw in a hole drilled under its crest shares exactly the teeth that stand proud of it."""
    t = thread("M10x0.75")
    drilled = Body(plain=ring(0, LENGTH, 20, t.pitch_d))
    u = (np.arange(1_000_000) + 0.5) / 1_000_000 * t.pitch
    proud = np.maximum(form_radius(t, True, u), t.pitch_d / 2) ** 2 - (t.pitch_d / 2) ** 2

    found = body_overlap(screw(t, LENGTH), drilled)

    assert found == pytest.approx(math.pi * LENGTH * float(np.mean(proud)), abs=1e-6)
    assert found == pytest.approx(body_overlap(drilled, screw(t, LENGTH)), abs=1e-12)


def test_threads_of_different_pitch_meet_in_every_phase():
    """A screw in a hole of another pitch overlaps as the mean over both phases."""
    a, b = thread("M10x1"), thread("M10x0.75")
    u = (np.arange(2000) + 0.5) / 2000
    male, female = form_radius(a, True, u * a.pitch), form_radius(b, False, u * b.pitch)
    mean = np.mean(np.maximum(male[:, None] ** 2 - female[None] ** 2, 0.0))

    # Two thousand places each way: the corners of the forms cost about 1e-6 of the teeth.
    assert body_overlap(screw(a, LENGTH), hole(b, LENGTH)) == pytest.approx(
        math.pi * LENGTH * float(mean), rel=1e-5
    )


def test_a_body_shares_itself():
    """The overlap with an enclosing bar is the body's own volume."""
    body = screw(thread("M6x1"), LENGTH)

    assert body_overlap(body, Body(plain=ring(-1, 20, 30))) == pytest.approx(
        body_moments(body).volume, rel=1e-12
    )


def test_plain_bodies_overlap_as_their_regions():
    """Without threads nothing is added to the plain overlap."""
    a, b = ring(0, 10, 8), ring(4, 20, 6)

    assert body_overlap(Body(plain=a), Body(plain=b)) == overlap_volume(a, b)


def test_screw_passes_a_hole_of_its_crest():
    """A clearance hole of the major diameter shares nothing with the screw."""
    t = thread("M10x0.75")

    assert body_overlap(screw(t, LENGTH), Body(plain=ring(0, LENGTH, 20, t.major_d))) == 0


@pytest.mark.parametrize("name", NAMES)
def test_engagement_is_the_common_length(name):
    """A screw part of the way in is engaged over what both have, in turns of the lead."""
    t = thread(name)
    (male,) = body_moved(screw(t, LENGTH), 2.0).threads
    (female,) = hole(t, LENGTH).threads

    found = engaged(male, female)

    assert found is not None
    assert (found.start, found.end, found.length) == pytest.approx((2.0, LENGTH, LENGTH - 2))
    assert found.turns == pytest.approx((LENGTH - 2) / t.lead)
    # BA and Whitworth forms are printed to 2e-6 of the pitch.
    assert found.depth == pytest.approx((t.major_d - t.minor_d) / 2, abs=2e-6 * t.pitch)


def test_depth_of_engagement_is_five_eighths_of_the_sharp_v():
    """Metric threads engage 0.541266 P deep (ISO 68-1, basic thread height 5H/8)."""
    t = thread("M6x1")
    found = engaged(screw(t, 5).threads[0], hole(t, 5).threads[0])

    assert found is not None
    assert found.depth == pytest.approx(0.541266, abs=0.5e-6)


def test_run_out_and_chamfer_are_not_full_engagement():
    """Where an envelope slopes, the threads are not at full depth."""
    t = thread("M6x1")
    (male,), (female,) = screw(t, 10).threads, hole(t, 10).threads
    crest, root = t.major_d / 2, t.root_d / 2
    male = replace(
        male,
        floor=((0.0, 1.0), (7.0, root), (10.0, crest)),
        ceiling=((0.0, root), (crest - root, crest), (10.0, crest)),
    )

    found = engaged(male, female)

    assert found is not None
    assert found.start == pytest.approx(crest - root)
    # The run-out reaches the hole's crest a little behind where it leaves the screw's root.
    assert found.end == pytest.approx(7 + 3 * (t.minor_d / 2 - root) / (crest - root))


def test_chamfers_over_each_other_are_not_engaged():
    """Where a screw's chamfer alone reaches over a hole's, the crests share depth but nowhere the full one.

    The chamfers are drawn 1 mm long. Overlapped by 1.8 mm of their 2 the common depth peaks short of full.
    """
    t = thread("M6x1")
    crest, root, minor = t.major_d / 2, t.root_d / 2, t.minor_d / 2
    male, female = screw(t, 5).threads[0], hole(t, 5).threads[0]
    male = replace(male, ceiling=((0.0, crest), (4.0, crest), (5.0, root)))
    female = replace(female, floor=((0.0, crest), (1.0, minor), (5.0, minor)))

    def at(shift: float) -> float | None:
        (moved_,) = body_moved(Body(plain=ring(0, 5, 6), threads=(male,)), shift).threads
        found = engaged(moved_, female)
        return found.length if found else None

    assert at(-3.2) is None
    assert at(-3.0) is None
    assert at(-2.5) == pytest.approx(0.5)


def test_apart_or_strange_threads_are_not_engaged():
    """Threads that miss along the axis, or do not match, are not engaged."""
    t, other = thread("M6x1"), thread("M6x0.75")
    (male,), (female,) = screw(t, 5).threads, hole(t, 5).threads

    assert engaged(body_moved(screw(t, 5), 5).threads[0], female) is None
    assert engaged(male, hole(other, 5).threads[0]) is None
    assert engaged(female, male) is None
    assert engaged(male, hole(thread("M8x1"), 5).threads[0]) is None
    assert not matching(male, hole(thread("M6x1 LH"), 5).threads[0])


def test_phase_of_strange_threads_is_refused():
    """A phase is asked of a pair that screws together; the message names both."""
    with pytest.raises(BadValue) as caught:
        phase_turn(screw(thread("M6x1"), 5).threads[0], hole(thread("M6x0.75"), 5).threads[0])
    assert str(caught.value) == (
        "pitch 1 mm: a screw M6x1 does not go into a hole M6x0.75; the hole's pitch is 0.75 mm"
    )


def test_engaged_pair_touches_on_the_pitch_line():
    """The least distance of a screw and its hole is nothing, at the pitch diameter."""
    t = thread("M6x1")
    gap = body_distance(screw(t, 4), hole(t, 8))

    assert gap.distance == 0
    assert gap.a_at == (2.0, t.pitch_d / 2)


def test_unengaged_thread_counts_as_its_crest():
    """A screw through a clearance hole stands off by the difference of the radii."""
    gap = body_distance(screw(thread("M6x1"), 4), Body(plain=ring(0, 4, 12, 6.4)))

    assert gap.distance == pytest.approx(0.2)


def test_flank_clearance_is_the_parallel_shift_of_a_flank():
    """Room on diameter, square to the flank, and along the axis belong to one right triangle."""
    play = flank_clearance(thread("M6x1"), 5.212, 5.500)

    assert play.pitch_d == pytest.approx(0.288)
    assert play.normal == pytest.approx(0.072)  # half of 0.288 times sin 30 degrees
    assert play.axial == pytest.approx(2 * play.normal / math.cos(math.radians(30)))


def test_tight_flanks_have_negative_clearance():
    """A screw larger on the pitch line than its hole interferes."""
    assert flank_clearance(thread("M6x1"), 5.4, 5.35).normal < 0
