"""Facts are lines to read, with their sources."""

from __future__ import annotations

import pytest

from turnmodel.catalog.facts import KINDS, facts
from turnmodel.errors import BadText, UnknownName

QUERIES = {
    "threads": (
        "M10x0.75",
        ("tapping drill", "9.2 mm (9.200 mm, 0.3622 in): 82 % of thread by 3H/4, 99 % by 5H/8"),
    ),
    "drills": ("#29", ("diameter", "3.454 mm, 0.1360 in")),
    "materials": ("brass", ("density", "8.47 g/cm3")),
    "bars": ("1/2", ("diameter", "12.7 mm, 1/2 in")),
    "refills": ("G2", ("length, spread", "97.75 to 98.5 mm")),
    "finishes": ("blued 290", ("dark blue", "seen from 290 to 302 degrees C, by 3 works")),
    "fits": ("H7/g6 12 mm", ("clearance", "+0.006 to +0.035 mm")),
    "reliefs": (
        "M9x0.75",
        ("screw, short", "diameter 7.8 mm, width up to 1.9 mm, floor at least 0.9 mm, radius 0.4 mm"),
    ),
}


def test_every_kind_can_be_asked():
    """The kinds are those tried here."""
    assert set(KINDS) == set(QUERIES)


@pytest.mark.parametrize("kind", QUERIES)
def test_a_name_gives_its_lines_and_sources(kind):
    """One fact, with the line that matters and at least one source."""
    query, line = QUERIES[kind]
    (found,) = facts(kind, query)
    assert line in found.rows
    assert found.sources
    assert all(value for _, value in found.rows)


@pytest.mark.parametrize("kind", KINDS)
def test_without_a_name_the_names_are_listed(kind):
    """Each name once."""
    names = [fact.name for fact in facts(kind)]
    assert len(set(names)) == len(names) > 1


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in ("fits", "refills")])
def test_every_listed_name_can_be_asked_again(kind):
    """What is listed is found."""
    for listed in facts(kind):
        assert facts(kind, listed.name)[0].name == listed.name


def test_a_thread_past_the_drills_is_still_told():
    """A large thread says to bore the hole, a BA thread that it has no limits; limits are in both units."""
    assert ("tapping drill", "bore it") in facts("threads", "M20")[0].rows
    assert ("limits of size", "none here for this form") in facts("threads", "2BA")[0].rows
    assert ("pitch diameter 2A", "5.403 to 5.497 mm, 0.2127 to 0.2164 in") in facts("threads", "1/4-20")[
        0
    ].rows
    assert ("lead", "3 mm, 3 starts") in facts("threads", "M12xPh3P1")[0].rows


def test_unknown_kinds_and_names_are_refused():
    """The message proposes the nearest."""
    with pytest.raises(UnknownName, match=r"no kind of fact named 'thread'; did you mean 'threads'\?"):
        facts("thread")
    with pytest.raises(UnknownName, match="no material named"):
        facts("materials", "unobtainium")
    with pytest.raises(BadText, match="cannot read fit 'H7': write the class and the size, as 'H7/g6 12 mm'"):
        facts("fits", "H7")
