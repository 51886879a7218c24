"""The crib: what is not owned is named with the nearest that is, and what using it would change."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.held import found, plain
from turnmodel import bore, cross_hole, cross_tap, cylinder, drill, relief, state, tap, thread
from turnmodel.analysis.finding import Severity
from turnmodel.catalog import threads
from turnmodel.catalog.drills import drill as tabled
from turnmodel.catalog.toolbox import OwnedDie, OwnedTap
from turnmodel.catalog.tools import assumed_tools


def owned(**kinds: object):
    """Give a small crib of the user's own."""
    crib = {
        "drills": tuple(map(tabled, ("2 mm", "3 mm", "6.8 mm", "7 mm"))),
        "taps": (OwnedTap(thread=threads.thread("M8x1"), lead="plug"),),
        "dies": (OwnedDie(thread=threads.thread("M8x1"), lead="standard"),),
    }
    return replace(assumed_tools(), origin="tools.toml", assumed=(), **{**crib, **kinds})


def test_a_missing_drill_names_the_nearest():
    """The nearest drill and by how much the hole would differ; the mend applied is sound."""
    (finding,) = found("missing tool", plain(from_back=[drill("2.9 mm", depth=8)]), tools=owned())

    assert finding.severity is Severity.CAUTION
    assert (finding.value, finding.limit, finding.unit) == (2.9, 3.0, "mm")
    assert finding.message == "post, drill (from back 1): no drill of 2.9 mm is in the crib"
    assert finding.mend == "the nearest is 3 mm: the hole is 0.100 mm wider"
    assert not found("missing tool", plain(from_back=[drill("3 mm", depth=8)]), tools=owned())


def test_a_drill_by_another_name_is_the_same():
    """A quarter inch is also letter E: the diameter counts, not the name."""
    crib = owned(drills=(tabled("E"),))

    assert not found("missing tool", plain(from_back=[drill("1/4 in", depth=8)]), tools=crib)


def test_a_missing_tapping_drill_tells_the_percent_of_thread():
    """M8x1 in 6.8 mm: 1.2 of 1.299 mm, 92 % by 3H/4."""
    crib = owned(drills=(tabled("6.8 mm"),))
    (finding,) = found(
        "missing tool", plain(from_back=[drill("7 mm", depth=20), tap("M8x1", depth=8)]), tools=crib
    )

    assert finding.mend == "the nearest is 6.8 mm: it leaves 92 % of thread by 3H/4, 111 % by 5H/8"


def test_the_tapping_drill_that_is_taken_by_default_is_asked_for():
    """A tap without a hole before it, and a cross tap, need their tapping drills."""
    bare = plain(from_back=[tap("M8x1", depth=8)], across=[cross_tap("M8x1", at=8, depth=5)])
    findings = found("missing tool", bare, tools=owned(drills=(tabled("6.8 mm"),)))

    assert [finding.feature for finding in findings] == ["tap (from back 1)", "cross tap (across 1)"]
    assert not found("missing tool", bare, tools=owned())


def test_a_cross_hole_asks_for_its_drill():
    """Its finding stands at its station."""
    (finding,) = found("missing tool", plain(across=[cross_hole("2.5 mm", at=12)]), tools=owned())

    assert (finding.feature, finding.station) == ("cross hole (across 1)", 12.0)


def test_a_missing_tap_names_the_nearest_thread():
    """Taking it changes both mates: by diameter and pitch."""
    (finding,) = found(
        "missing tool", plain(from_back=[drill("7 mm", depth=20), tap("M8", depth=8)]), tools=owned()
    )

    assert finding.message == "post, tap (from back 2): no tap M8x1.25 is in the crib"
    assert finding.mend == "take the nearest, M8x1, in both mates: 0.25 mm less pitch"


def test_a_missing_lead_names_the_one_that_is_owned():
    """A plug tap leads in 5 pitches where a bottoming one takes 2: 3 mm more of the hole at M8x1."""
    hole = [drill("7 mm", depth=20)]
    (finding,) = found(
        "missing tool", plain(from_back=[*hole, tap("M8x1", depth=8, lead="bottoming")]), tools=owned()
    )

    assert finding.mend == 'write lead="plug", which you have: its lead takes 3.00 mm more of the hole'
    assert not found(
        "missing tool", plain(from_back=[*hole, tap("M8x1", depth=8, lead="plug")]), tools=owned()
    )


def test_a_missing_die_names_the_nearest_thread():
    """Or the thread is cut with a tool; the nearest die's own thread is sound."""
    (finding,) = found("missing tool", plain(cylinder(18, 20), relief(), thread("M10x1", 6)), tools=owned())

    assert finding.message == "post, thread (outside 3): no die M10x1 is in the crib"
    assert finding.mend == (
        "cut it with a threading tool, or take the nearest, M8x1, in both mates: 2 mm narrower"
    )
    assert finding.station == pytest.approx(20 + 3.5, abs=0.1)
    assert not found("missing tool", plain(cylinder(18, 20), relief(), thread("M8x1", 6)), tools=owned())


def test_a_tap_of_several_starts_is_not_sold():
    """A two-start thread is cut with a tool, inside as outside (common practice): nothing is to be bought."""
    size = "M9xPh1.5P0.75"
    part = plain(
        thread(size, 6), relief(), cylinder(12, 20), from_back=[drill("8.3 mm", depth=16), tap(size, depth=8)]
    )
    crib = owned(drills=(tabled("8.3 mm"),))
    mends = {finding.feature: finding.mend for finding in found("missing tool", part, tools=crib)}

    assert mends == {
        "tap (from back 2)": "cut it with an internal threading tool",
        "thread (outside 1)": "cut it with a threading tool",
    }


def test_an_empty_crib_says_to_buy():
    """Where nothing is owned there is no nearest."""
    crib = owned(drills=(), taps=(), dies=())
    findings = found(
        "missing tool",
        plain(cylinder(18, 20), thread("M8x1", 8), from_front=[tap("M4", depth=5)]),
        tools=crib,
    )

    assert len(findings) == 3
    assert all((finding.mend or "").endswith("buy it") for finding in findings)


def test_what_an_assumed_set_lacks_is_only_noted():
    """Nobody said that it is not owned."""
    (note,) = found("missing tool", plain(from_back=[drill(2.93, depth=8)]))

    assert note.severity is Severity.NOTE


def test_an_assumed_set_is_told_once():
    """Without a file all is assumed; with one, what it leaves out; with a full one nothing is said."""
    (note,) = found("tools assumed", plain())
    assert (note.severity, note.parts) == (Severity.NOTE, ())
    assert note.message == "no tools file: a common small-shop set is assumed"

    part = replace(assumed_tools(), origin="tools.toml", assumed=("taps", "parting_width"))
    (note,) = found("tools assumed", plain(), tools=part)
    assert (
        note.message
        == "tools.toml leaves out taps, parting tool: a common small-shop set is assumed for them"
    )
    assert not found("tools assumed", plain(), tools=owned())


@pytest.mark.parametrize(
    ("tube", "owned_too", "mend"),
    [
        ([bore(9.0, depth=20), tap("M10x1", depth=8)], "M11x1", "or take the nearest, M11x1"),
        ([bore(9.0, depth=20), tap("M10x1", depth=8)], "M8x1", "cut it with a threading tool, or buy it"),
        ([bore(9.0, depth=20), tap("M10x1", depth=8)], "M9.5x1", "cut it with a threading tool, or buy it"),
        ([tap("M10x1", depth=8)], "M9x1", "or take the nearest, M9x1"),
    ],
)
def test_no_thread_is_advised_that_a_mate_has_no_metal_for(tube, owned_too, mend):
    """Bored 9 mm, a hole holds no M8, too little of M9.5, and M11; where the tap drills, M9 will do."""
    mate = plain(from_back=tube, name="tube")
    screw = plain(thread("M10x1", 8), relief(), cylinder(14, 10), name="screw")
    dies = tuple(OwnedDie(thread=threads.thread(size), lead="standard") for size in ("M8x1", owned_too))
    apart = {"apart": state(aside=mate)}
    findings = found("missing tool", mate, screw, states=apart, tools=owned(dies=dies))
    (finding,) = [f for f in findings if "no die" in f.message]

    assert mend in finding.mend
