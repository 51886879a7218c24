"""Holes before the tap and for screws to pass, leads and reliefs."""

from __future__ import annotations

import pytest

from turnmodel.catalog.tapping import (
    clearance_drill,
    die_lead,
    percent_of_thread,
    relief,
    tap_drill,
    tap_lead,
)
from turnmodel.catalog.thread_limits import limits
from turnmodel.catalog.threads import standard_threads, thread
from turnmodel.errors import BadValue, UnknownName
from turnmodel.source import Basis

REACHED = [t for t in standard_threads() if 0.75 <= t.major_d - t.pitch <= 12.7]


@pytest.mark.parametrize("t", REACHED, ids=str)
def test_every_thread_has_a_tapping_drill(t):
    """The drill leaves a thread to cut: by 3H/4 between 55 and 110 % of it."""
    found = tap_drill(t)
    assert 55 < found.percent_3h4 < 110
    assert found.percent_3h4 <= found.percent_5h8


def test_an_untabled_thread_takes_diameter_less_pitch():
    """M9x0.75 is in no chart: 8.25 mm, which lies within the limits of 6H."""
    t = thread("M9x0.75")
    found = tap_drill(t)
    nut = limits(t, external=False)
    assert found.drill.name == "8.25 mm"
    assert found.source.basis is Basis.PRACTICE
    assert nut.minor_min <= found.drill.diameter <= nut.minor_max


def test_the_hand_does_not_change_the_drill():
    """A left-hand thread takes the drill of the right-hand one."""
    assert tap_drill(thread("M8x1 LH")).drill == tap_drill(thread("M8x1")).drill
    assert clearance_drill(thread("M3 LH")).drill == clearance_drill(thread("M3")).drill


def test_a_percentage_is_met_by_the_nearest_drill():
    """Half a thread in M4 by 3H/4 is 3.545 mm: drill 3.5; by 5H/8 it is 3.62: drill 3.6."""
    assert tap_drill(thread("M4"), percent=50).drill.name == "3.5 mm"
    assert tap_drill(thread("M4"), percent=50, convention="5H/8").drill.name == "3.6 mm"


def test_the_quick_rule_has_two_percentages():
    """A hole of D - P leaves 77.0 % by 3H/4 and 92.4 % by 5H/8 (formula pages on tap drills)."""
    t = thread("M10x1")
    assert percent_of_thread(t, 9.0) == pytest.approx(77.0, abs=0.05)
    assert percent_of_thread(t, 9.0, "5H/8") == pytest.approx(92.4, abs=0.05)


def test_rounded_forms_count_their_own_depth():
    """A hole at the root of a BA thread is a full thread by either name."""
    t = thread("2BA")
    assert percent_of_thread(t, t.root_d) == pytest.approx(100)
    assert percent_of_thread(t, t.root_d, "5H/8") == pytest.approx(100)


@pytest.mark.parametrize("size", ["M3", "2BA", "1/4-20", "M9x0.75", "ME 1/4-40"])
def test_a_screw_passes_its_clearance_hole(size):
    """The clearance drill is larger than the major diameter, and not by a fifth."""
    t = thread(size)
    assert t.major_d < clearance_drill(t).drill.diameter < 1.2 * t.major_d


def test_bores_past_the_drills_are_said_to_be_bored():
    """M20 wants a hole no drill here makes."""
    with pytest.raises(
        BadValue, match=r"tapping hole 17\.5 mm: the drill nearest to it for M20x2\.5 is 13 mm; bore it"
    ):
        tap_drill(thread("M20"))
    with pytest.raises(
        BadValue, match=r"clearance hole 21 mm: no drill here is as large for M20x2\.5; bore it"
    ):
        clearance_drill(thread("M20"))


def test_wrong_arguments_are_refused():
    """A percentage, a hole and a convention have their ranges."""
    t = thread("M4")
    with pytest.raises(
        BadValue, match="percent of thread 120 %: a tapped hole has 20 to 100 % of thread; take 70 %"
    ):
        tap_drill(t, percent=120)
    with pytest.raises(
        BadValue, match=r"hole 5 mm: a hole to tap M4x0\.7 is above 0 and up to 4 mm in diameter"
    ):
        percent_of_thread(t, 5.0)
    with pytest.raises(UnknownName, match="no convention for percent of thread named '75'"):
        percent_of_thread(t, 3.3, "75")


TAPS = {  # US Army TM 9-254, p. 4-27; a tap catalogue, p. Y89
    "taper": (7, 10),
    "plug": (3, 5),
    "bottoming": (1, 2),
    "form A": (6, 8),
    "B": (3.5, 5),
    "c": (2, 2.5),
    "form D": (3.5, 5),
    "E": (1.5, 2),
}


@pytest.mark.parametrize("kind", TAPS)
def test_tap_leads(kind):
    """Leads of taps in pitches, by name or form letter."""
    found = tap_lead(kind)
    assert (found.low, found.high) == TAPS[kind]


def test_die_leads():
    """A die cuts closer to a shoulder with a short lead, and closer still turned round."""
    assert die_lead().high >= die_lead("short").high >= die_lead("reversed").high
    with pytest.raises(UnknownName, match=r"no kind of die named 'shrot'; did you mean 'short'\?"):
        die_lead("shrot")


@pytest.mark.parametrize("t", standard_threads(), ids=str)
def test_every_relief_clears_its_thread(t):
    """Outside the floor lies under the root, inside over the major diameter; the short form is shorter."""
    for external in (True, False):
        regular, short = relief(t, external=external), relief(t, short=True, external=external)
        assert 0 < short.floor < regular.floor < regular.width
        assert short.width < regular.width
        assert (0 < regular.diameter < t.root_d) if external else (regular.diameter > t.major_d)
