"""Blind holes against the chamfers of hand taps.

Source: US Army TM 9-254, p. 4-27: the chamfer of a taper tap is 7 to 10 threads long, of a plug tap 3 to 5,
of a bottoming tap 1 to 2. That one pitch is left clear below the tap is common practice. Depths by hand.
"""

from __future__ import annotations

import pytest

from tests.held import found, plain
from turnmodel import cylinder, drill, tap
from turnmodel.analysis.finding import Severity
from turnmodel.catalog.run_outs import tap_lead
from turnmodel.units import inch

CHAMFERS = {"taper": (7, 10), "plug": (3, 5), "bottoming": (1, 2)}

HOLES = {
    # thread and drill: pitch, then the hole for 3/8 in (9.525 mm) of full thread by lead [mm]
    ("1/4-20 UNC", "#7"): (1.27, {"taper": 23.495, "plug": 17.145, "bottoming": 13.335}),
    ("M6x0.75", "5.25 mm"): (0.75, {"taper": 17.775, "plug": 14.025, "bottoming": 11.775}),
    ("#10-32 UNF", "#21"): (0.79375, {"taper": 18.25625, "plug": 14.2875, "bottoming": 11.90625}),
}
CASES = [
    (size, name, lead, depth) for (size, name), (_, holes) in HOLES.items() for lead, depth in holes.items()
]
A_MICROMETRE = 1e-3  # mm
A_HUNDREDTH = 1e-2  # mm, what mends are rounded to


@pytest.mark.parametrize("kind", CHAMFERS)
def test_the_chamfer_is_the_printed_one(kind):
    """Shortest and longest, in threads."""
    found_lead = tap_lead(kind)

    assert (found_lead.low, found_lead.high) == CHAMFERS[kind]


def drilled(size: str, name: str, lead: str, depth: float) -> list:
    """Hold 3/8 in of full thread in a blind hole to the rule."""
    holes = [drill(name, depth=depth), tap(size, depth=0.375 * inch, lead=lead)]
    return found("blind tap", plain(cylinder(18, 40), from_back=holes))


@pytest.mark.parametrize(("size", "name", "lead", "depth"), CASES)
def test_a_blind_hole_is_as_deep_as_thread_chamfer_and_clearance(size, name, lead, depth):
    """At the depth worked by hand it passes, a micrometre short not; the mend is the hundredth above."""
    assert not drilled(size, name, lead, depth)
    (finding,) = drilled(size, name, lead, depth - A_MICROMETRE)

    assert finding.severity is Severity.CAUTION
    mended = float((finding.mend or "").split()[2])
    assert 0 <= mended - depth < A_HUNDREDTH
    assert not drilled(size, name, lead, mended)


@pytest.mark.parametrize(("size", "name"), HOLES)
def test_no_tap_cuts_full_thread_where_its_shortest_chamfer_finds_no_room(size, name):
    """Short of the shortest plug chamfer, 3 threads, it is a fault."""
    pitch, _ = HOLES[size, name]
    least = 0.375 * inch + 3 * pitch

    assert {f.severity for f in drilled(size, name, "plug", least + A_MICROMETRE)} == {Severity.CAUTION}
    assert {f.severity for f in drilled(size, name, "plug", least - A_MICROMETRE)} == {Severity.FAULT}
