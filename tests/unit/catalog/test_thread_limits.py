"""Limits of size: which classes there are, and what is said where there are none."""

from __future__ import annotations

import pytest

from turnmodel.catalog.thread_limits import limits, thread_classes
from turnmodel.catalog.threads import standard_threads, thread
from turnmodel.errors import UnknownName
from turnmodel.source import Basis


def test_the_class_of_the_designation_is_taken_for_its_own_side():
    """M10x1-6e is a screw of 6e; the nut beside it stays 6H."""
    t = thread("M10x1-6e")
    assert limits(t, external=True).fit == "6e"
    assert limits(t, external=False).fit == "6H"
    assert limits(t, external=True, fit="6g").fit == "6g"
    assert limits(thread("1/4-20-3B"), external=False).fit == "3B"


def test_the_smallest_threads_have_their_own_usual_classes():
    """Where none is written M1.4 has 6h and 5H, M1.6 has 6g and 6H (ISO 965-1, from memory)."""
    for size, screw, nut in (("M1.4", "6h", "5H"), ("M1.6", "6g", "6H")):
        t = thread(size)
        assert (limits(t, external=True).fit, limits(t, external=False).fit) == (screw, nut)


MESSAGES = {
    ("M6", True, "6x"): "no class of external M6x1 named '6x'; did you mean '6h'?",
    ("1/4-20", True, "2B"): "no class of external 1/4-20 UNC named '2B'; did you mean '2A'?",
    ("2BA", True, None): "no thread with limits of size named '2BA'",
}


@pytest.mark.parametrize("case", MESSAGES)
def test_a_class_that_is_not_there_is_refused(case):
    """The message names the thread, its side and the nearest class."""
    size, external, fit = case
    with pytest.raises(UnknownName) as refusal:
        limits(thread(size), external, fit)
    assert str(refusal.value) == MESSAGES[case]


def test_an_untabled_class_in_a_designation_is_refused():
    """The class written is never passed over for the default."""
    with pytest.raises(UnknownName, match=r"no class of external M3x0\.5 named '9g'"):
        limits(thread("M3-9g"), external=True)


def test_a_combination_of_no_table_is_computed_and_says_so():
    """M10x0.6 has no cell; M10x0.75 has."""
    assert limits(thread("M10x0.6"), external=True).source.basis is Basis.COMPUTED
    assert limits(thread("M10x0.75"), external=True).source.basis is Basis.MEMORY


TOLERANCED = [t for t in standard_threads() if t.series not in ("BA", "ME", "Brass")]


@pytest.mark.parametrize("t", TOLERANCED, ids=str)
def test_every_screw_enters_every_nut(t):
    """At each class of each tabled thread limits are in order, and screws pass nuts."""
    nuts = [limits(t, external=False, fit=fit) for fit in thread_classes(t, external=False)]
    screws = [limits(t, external=True, fit=fit) for fit in thread_classes(t, external=True)]
    rounding = 0.0  # metric limits share their basic size to the bit
    if t.series != "ISO metric":
        rounding = 1e-9  # mm: inches times 25.4

    assert nuts
    assert screws
    for found in (*nuts, *screws):
        assert found.pitch_min < found.pitch_max
        assert found.minor_min < found.minor_max
        assert found.external == (found.major_max is not None) == (found.root_max is not None)
    for screw in screws:
        assert (
            screw.minor_min
            < screw.root_max
            <= screw.minor_max
            < screw.pitch_min
            < screw.major_min
            < screw.major_max
        )
    for nut in nuts:
        assert nut.minor_max < nut.pitch_max < nut.major_min
        for screw in screws:
            assert screw.pitch_max <= nut.pitch_min + rounding
            assert screw.major_max <= nut.major_min + rounding
            assert screw.minor_max <= nut.minor_min + rounding
