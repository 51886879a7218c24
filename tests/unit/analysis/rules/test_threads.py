"""External threads: each rule finds the part that is faulty in just its way, and nothing once that is mended.

Leads of dies are 2.25 pitches as they come and 1.25 turned round (a die maker's note; common practice); roots
are d - 1.2269 P (ISO 898-1, from memory), minor diameters d - 1.0825 P (ISO 68-1).
"""

from __future__ import annotations

import pytest

from tests.held import found, plain
from turnmodel import cylinder, dome, drill, groove, knurl, relief, tap, thread
from turnmodel.analysis.finding import Severity
from turnmodel.errors import DesignFaults

ROUNDING = 1e-9  # mm, of sums of tabled limits


def test_a_relief_that_is_not_below_the_root():
    """M9x0.75 has its root at 8.080 mm: a relief of 8.2 mm gives the die no room, 8.05 mm does."""
    (finding,) = found("relief", plain(thread("M9x0.75", 6), relief(diameter=8.2), cylinder(12, 10)))

    assert finding.severity is Severity.CAUTION
    assert finding.limit == pytest.approx(9 - 1.226869 * 0.75, abs=1e-5)
    assert (finding.value, finding.feature, finding.station) == (8.2, "relief (outside 2)", 6.0)
    assert finding.mend == "relief 8.05 mm or less"
    assert not found("relief", plain(thread("M9x0.75", 6), relief(diameter=8.05), cylinder(12, 10)))


def test_a_relief_in_front_of_a_thread():
    """A thread cut from the back has its relief in front of it."""
    (finding,) = found("relief", plain(cylinder(12, 10), groove(2, 8.2), thread("M9x0.75", 6)))

    assert finding.feature == "groove (outside 2)"


def test_a_relief_too_narrow_for_the_die():
    """M9x0.75 needs 1.6875 mm of room, 0.9375 with the die turned round."""

    def part(width: float) -> object:
        return plain(thread("M9x0.75", 6), relief(width=width), cylinder(12, 10))

    (narrow,) = found("run-out", part(0.8))
    (turned,) = found("run-out", part(1.2))

    assert (narrow.severity, narrow.limit) == (Severity.CAUTION, 0.9375)
    assert narrow.value == pytest.approx(0.8)
    assert narrow.mend == "make it 0.94 mm wide or more, 1.69 mm for a die as it comes"
    assert turned.severity is Severity.NOTE
    assert found("run-out", part(0.94))[0].severity is Severity.NOTE
    assert not found("run-out", part(1.69))


def test_a_standard_relief_is_wide_enough():
    """Both forms of DIN 76 take a die as it comes."""
    for short in (False, True):
        part = plain(thread("M9x0.75", 6), relief(short=short), cylinder(12, 10))
        assert not found("run-out", part)
        assert not found("relief", part)


def test_a_thread_up_to_a_shoulder_without_a_relief():
    """The thread is full to the die's lead from the shoulder, and a note says so."""
    (finding,) = found("run-out", plain(thread("M8x1", 10), cylinder(12, 10)))

    assert finding.severity is Severity.NOTE
    assert finding.message == (
        "post, thread (outside 1): is full to 2.25 mm from the shoulder behind it, "
        "1.25 mm with the die turned round"
    )
    assert finding.mend == "a relief 2.5 mm wide, 6.4 mm in diameter"
    assert not found("run-out", plain(thread("M8x1", 10), cylinder(8, 10)))


def test_a_thread_between_two_shoulders_tells_them_apart():
    """Each end has its own note, which names its shoulder."""
    notes = found("run-out", plain(cylinder(12, 4), thread("M8x1", 10), cylinder(12, 10)))

    assert [note.station for note in notes] == [4.0, 14.0]
    assert ["the shoulder in front of it" in note.message for note in notes] == [True, False]
    assert ["the shoulder behind it" in note.message for note in notes] == [False, True]


def test_the_die_is_stopped_by_what_stands_in_front():
    """A nose of 8 mm stops the die of M8x0.75, which passes 7.08 mm; the nose of the mend does not."""
    behind = (relief(), cylinder(12, 10))
    (finding,) = found("die path", plain(cylinder(8, 10), thread("M8x0.75", 6), *behind))

    assert finding.severity is Severity.FAULT
    assert (finding.value, finding.feature) == (8.0, "cylinder (outside 1)")
    assert finding.limit == pytest.approx(8 - 1.226869 * 0.75, abs=1e-5)
    assert finding.mend.startswith("turn it 7.05 mm or less")
    assert not found("die path", plain(cylinder(7.05, 10), thread("M8x0.75", 6), *behind))


def test_the_die_scrapes_what_the_nut_passes():
    """Between the root, 7.080, and the minor diameter, 7.188, the die marks a nose that the nut passes."""
    (finding,) = found(
        "die path", plain(cylinder(7.15, 10), thread("M8x0.75", 6), relief(), cylinder(12, 10))
    )

    assert finding.severity is Severity.CAUTION
    assert "is scraped by the die for M8x0.75" in finding.message


def test_a_die_may_come_from_behind():
    """A thread with a head in front of it is cut from the back."""
    assert not found("die path", plain(cylinder(12, 3), thread("M8x0.75", 10)))


def test_the_same_thread_twice_lets_its_die_pass():
    """A die runs over a thread of its own size, and over a smaller one, not over a larger."""
    same = plain(thread("M8x1", 5), groove(3, 6.4), thread("M8x1", 5), relief(), cylinder(12, 8))
    smaller = plain(thread("M6x1", 5), thread("M8x1", 8), relief(), cylinder(12, 8))
    larger = plain(thread("M10x1", 5), groove(3, 6.4), thread("M8x1", 5), relief(), cylinder(12, 8))

    assert not found("die path", same)
    assert not found("die path", smaller)
    assert found("die path", larger)[0].feature == "thread (outside 1)"


def test_a_dome_in_front_counts_by_its_foot():
    """What is widest in front stops the die, whatever its shape."""
    (finding,) = found("die path", plain(dome(10), thread("M8x1", 8), relief(), cylinder(12, 8)))

    assert (finding.value, finding.feature) == (10.0, "dome (outside 1)")


def test_a_knurl_does_not_confuse():
    """A knurled head behind a thread is passed from the front."""
    assert not found("die path", plain(thread("M8x1", 8), cylinder(14, 8, knurled=knurl(1))))


def test_the_bar_is_turned_to_the_middle_of_the_class():
    """M2, M2.5 and M3 are turned as a die maker's note advises: 1.93-1.95, 2.43-2.45, 2.89-2.94 mm."""
    for size, low, high in (("M2", 1.93, 1.95), ("M2.5x0.45", 2.43, 2.45), ("M3", 2.89, 2.94)):
        (finding,) = found("before threading", plain(thread(size, 6), cylinder(12, 10)))
        assert finding.severity is Severity.NOTE
        assert low - ROUNDING <= finding.value <= high + ROUNDING


def test_a_form_without_limits_is_turned_a_share_of_its_pitch_under():
    """2BA, 4.7 mm at 0.81 mm of pitch, is turned 0.15 of it under (house choice)."""
    (finding,) = found("before threading", plain(thread("2BA", 6), cylinder(12, 10)))

    assert finding.value == pytest.approx(4.7 - 0.15 * 0.81)
    assert finding.message == "post, thread (outside 1): turn it 4.58 mm before the die cuts 2BA"


def test_a_bar_is_turned_as_the_script_writes():
    """A diameter written with the thread goes before the middle of its class."""
    (finding,) = found("before threading", plain(thread("M8", 6, diameter=7.8), cylinder(12, 10)))

    assert finding.value == 7.8
    assert finding.message == "post, thread (outside 1): turn it 7.80 mm before the die cuts M8x1.25"


def test_the_tap_is_stopped_by_a_smaller_bore_in_front():
    """A hole too small in front of what is tapped is refused when the part is built."""
    front, back = [drill("6.8 mm", depth=24)], [drill("3 mm", depth=9), tap("M8", depth=20)]

    with pytest.raises(DesignFaults, match=r"the hole takes M8x1\.25 only to 0\.6 mm"):
        found("die path", plain(from_front=front, from_back=back))
