"""The rules of metal and of threads, for every part that can be built: none raises, none overlooks."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from turnmodel import (
    Design,
    Part,
    bore,
    bow,
    chamfer,
    cone,
    counterbore,
    cross_hole,
    cross_tap,
    cylinder,
    dome,
    drill,
    fillet,
    flat,
    groove,
    joint,
    relief,
    shoulder,
    slot,
    tap,
    taper_bore,
    thread,
)
from turnmodel.analysis.rule import Examined
from turnmodel.analysis.rules import metal, screwing, threads
from turnmodel.analysis.walls import floors, rims, skins, walls
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.part import built
from turnmodel.errors import DesignFaults
from turnmodel.geometry.curve import Arc

LIMIT = 0.8
STEP = 0.1  # mm between the points that a boundary is broken into
SIZES = (
    "M5x0.5",
    "M6x0.75",
    "M6x1",
    "M8x0.75",
    "M8x1",
    "1/4-28 UNF",
    "2BA",
    "ME 1/4-40",
    "M8xPh3P1",
    "M8x1 LH",
)

lengths = st.integers(4, 60).map(lambda n: n / 4)
diameters = st.integers(12, 60).map(lambda n: n / 4)


@st.composite
def outsides(draw: st.DrawFn, *, threaded: bool = True, edged: bool = True) -> list[object]:
    """Two to five features from front to back."""
    edges = st.sampled_from((None, chamfer(0.3), fillet(0.4))) if edged else st.none()
    kinds = [
        st.builds(cylinder, diameters, lengths, front=edges, back=edges),
        st.builds(cone, diameters, diameters, length=lengths),
        st.builds(lambda d, n: bow(d, n, 40.0), diameters, lengths),
        st.builds(groove, st.sampled_from((1.0, 2.5)), diameters),
    ]
    if threaded:
        kinds += [st.builds(thread, st.sampled_from(SIZES), lengths), st.builds(relief, short=st.booleans())]
    middle = draw(st.lists(st.one_of(kinds), min_size=1, max_size=4))
    front = draw(st.sampled_from((None, "dome", "cone")))
    if front == "dome":
        middle.insert(0, dome(draw(diameters)))
    if front == "cone":
        middle.insert(
            0,
            cone(
                draw(st.sampled_from((0.0, 2.0, 4.0))), draw(diameters), half_angle=draw(st.integers(8, 80))
            ),
        )
    return middle


@st.composite
def holes(draw: st.DrawFn, *, tapped: bool = True) -> list[object]:
    """No hole, or up to three from one face."""
    sizes = st.integers(4, 40).map(lambda n: n / 4)
    kinds = [
        st.builds(drill, sizes, depth=lengths),
        st.builds(bore, sizes, depth=lengths),
        st.builds(counterbore, sizes, depth=st.sampled_from((1.0, 2.0))),
        st.builds(taper_bore, sizes, sizes, lengths),
    ]
    if tapped:
        kinds.append(st.builds(tap, st.sampled_from(SIZES), depth=lengths))
    return draw(st.lists(st.one_of(kinds), max_size=3))


acrosses = st.lists(
    st.one_of(
        st.builds(cross_hole, st.sampled_from((1.0, 2.5)), at=lengths, depth=st.none() | lengths),
        st.builds(cross_tap, st.sampled_from(("M2", "M3")), at=lengths, depth=st.none() | lengths),
        st.builds(flat, at=lengths, length=lengths, across=diameters),
        st.builds(slot, at=lengths, length=lengths, width=st.just(1.0), depth=st.sampled_from((1.0, 3.0))),
    ),
    max_size=2,
)


def part(name: str, **features: object) -> Part:
    """Turn a part from any bar that holds it."""
    return Part.turned(name, material="CW614N", stock="40 mm", **features)


def findings(design: Design) -> list[object]:
    """Hold a design to every rule of the three files; what else is known of it plays no part in them."""
    seen = Examined(design=design, tools=assumed_tools(), parts={}, states={}, meetings={})
    rules = (*metal.RULES, *threads.RULES, *screwing.RULES)
    return [finding for rule in rules for finding in rule.check(seen, rule)]


@given(outside=outsides(), front=holes(), back=holes(), across=acrosses)
def test_no_rule_raises_on_a_part(outside, front, back, across):
    """Whatever can be built is judged, and every finding has a finite value and one line of message."""
    try:
        design = Design(
            "any", parts=[part("one", outside=outside, from_front=front, from_back=back, across=across)]
        )
    except DesignFaults:
        assume(False)
    for finding in findings(design):
        assert finding.value is not None
        assert math.isfinite(finding.value)
        assert "\n" not in finding.message


@given(
    size=st.sampled_from(SIZES),
    spigot=lengths,
    relieved=st.sampled_from((None, 0.5, 1.5, 3.0)),
    deep=lengths,
    tapped=lengths,
    lead=st.sampled_from(("taper", "plug", "bottoming")),
    wide=st.sampled_from((None, 9.0)),
    turned=st.booleans(),
)
def test_no_rule_raises_on_a_joint(size, spigot, relieved, deep, tapped, lead, wide, turned):
    """Every screw joint that can be posed is judged, from either side."""
    neck = [] if relieved is None else [relief(width=relieved)]
    plug = part("plug", outside=[thread(size, spigot), *neck, shoulder("stop"), cylinder(12, 5)])
    mouth = [] if wide is None else [counterbore(wide, depth=1.0)]
    tube = part("tube", outside=[cylinder(14, 30)], from_back=[*mouth, tap(size, depth=tapped, lead=lead)])
    faces = [plug.face("stop"), tube.face("back")]
    try:
        design = Design("any", parts=[tube, plug], joints=[joint.screw(*(faces if turned else faces[::-1]))])
    except DesignFaults:
        assume(False)
    assert findings(design)


def points(curve):
    """Break a line or an arc into points."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    if isinstance(curve, Arc):
        begin = math.atan2(r0 - curve.center[1], z0 - curve.center[0])
        count = max(2, math.ceil(abs(curve.sweep) * curve.radius / STEP))
        turns = [begin + curve.sweep * k / count for k in range(count + 1)]
        return [
            (curve.center[0] + curve.radius * math.cos(t), curve.center[1] + curve.radius * math.sin(t))
            for t in turns
        ]
    count = max(2, math.ceil(math.dist(curve.start, curve.end) / STEP))
    return [(z0 + (z1 - z0) * k / count, r0 + (r1 - r0) * k / count) for k in range(count + 1)]


@given(outside=outsides(threaded=False, edged=False), front=holes(tapped=False), back=holes(tapped=False))
def test_no_thin_place_is_overlooked(outside, front, back):
    """Behind the mouths no point inside is nearer than the limit to the outside, and than what is found."""
    made_of = part("one", outside=outside, from_front=front, from_back=back)
    try:
        made = built(made_of)
    except DesignFaults:
        assume(False)
    surface = skins(made)
    mouths = rims(made)
    low = max((m.at[0] + LIMIT for m in mouths if not m.back), default=-math.inf)
    high = min((m.at[0] - LIMIT for m in mouths if m.back), default=math.inf)
    inner, outer = (
        [p for s in surface if s.inside is side for p in points(s.curve) if low <= p[0] <= high]
        for side in (True, False)
    )
    assume(inner and outer)
    apart = np.array(inner)[:, None, :] - np.array(outer)[None, :, :]
    brute = float(np.hypot(apart[..., 0], apart[..., 1]).min())

    found = [gap.distance for gap in walls(made, LIMIT)] + [floor.gap.distance for floor in floors(made)]

    assert brute >= LIMIT or min(found) <= brute + 1e-9


def test_points_are_as_close_as_they_claim():
    """The points that the search above goes by lie on their curve, its ends among them."""
    quarter = Arc(start=(5.0, 0.0), end=(0.0, 5.0), center=(0.0, 0.0), turn=1)

    found = points(quarter)

    assert found[-1] == pytest.approx((0.0, 5.0))
    assert all(math.hypot(*p) == pytest.approx(5.0) for p in found)
