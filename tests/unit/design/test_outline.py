"""Outside features laid one behind the other: their ends, edges, threads and reliefs, by hand arithmetic."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from tests.brass import corners, made
from turnmodel import bow, chamfer, cone, cylinder, dome, fillet, groove, knurl, relief, shoulder, thread
from turnmodel.geometry.curve import Arc

DEPTH = 17 / 24 * math.sqrt(3) / 2
"""Depth of an external ISO thread of pitch 1 [mm]: 17/24 of the triangle's height (ISO 965-1:1998)."""

RUN_OUT = 2.25
"""Longest lead of a die in pitches, as the catalog has it from a die maker's note."""


def test_features_follow_each_other_from_the_front_face() -> None:
    """Each feature begins where the one before it ends, and a wall joins their diameters."""
    part = made(cylinder(10, 5), cylinder(8, 3))

    assert [(p.start, p.end) for p in part.outside] == [(0.0, 5.0), (5.0, 8.0)]
    assert corners(part.body.plain) == {(0, 0), (0, 5), (5, 5), (5, 4), (8, 4), (8, 0)}
    assert part.length == 8.0


CONES = {
    "two ends and a length": (cone(6, 10, length=2), 3, 5, 2),
    "two ends and an angle": (cone(6, 10, half_angle=45), 3, 5, 2),
    "narrowing by an angle": (cone(10, 6, half_angle=45), 5, 3, 2),
    "narrowing by an angle below zero": (cone(10, 6, half_angle=-45), 5, 3, 2),
    "one end, length and angle": (cone(6, length=2, half_angle=45), 3, 5, 2),
    "narrowing from one end": (cone(6, length=2, half_angle=-45), 3, 1, 2),
    "from a point": (cone(end_d=10, length=5), 0, 5, 5),
    "lengths as texts": (cone("6 mm", "10 mm", length="1/4 in"), 3, 5, 6.35),
}


@pytest.mark.parametrize("name", CONES)
def test_a_cone_is_fixed_by_two_of_three(name: str) -> None:
    """Two of end diameter, length and half-angle give the third."""
    feature, r0, r1, length = CONES[name]
    place = made(feature).outside[0]
    (side,) = place.curves

    assert side.start == pytest.approx((0, r0), abs=1e-12)
    assert side.end == pytest.approx((length, r1), abs=1e-12)


def test_a_cone_takes_the_diameter_before_it() -> None:
    """A cone whose first diameter is left out begins at the diameter before it."""
    place = made(cylinder(8, 5), cone(end_d=12, length=3)).outside[1]

    assert (place.curves[0].start, place.curves[0].end) == ((5, 4), (8, 6))


ARCS = {
    # three, four and five: a chord of 6 in a circle of radius 5 stands 4 off its centre
    "bulging": (bow(8, 6, radius=5, start_d=8), (3, 0), -1),
    "hollow": (bow(12, 6, radius=5, hollow=True, start_d=12), (3, 10), 1),
}


@pytest.mark.parametrize("name", ARCS)
def test_a_bow_is_an_arc_through_its_ends(name: str) -> None:
    """A bow's centre stands as far from both ends as its radius."""
    feature, center, turn = ARCS[name]
    (arc,) = made(feature).outside[0].curves

    assert isinstance(arc, Arc)
    assert arc.center == pytest.approx(center, abs=1e-12)
    assert (arc.turn, arc.radius) == (turn, pytest.approx(5))


DOMES = {
    "a hemisphere in front": ((dome(10), cylinder(10, 4)), 0, (0, 0), (5, 5), (5, 0)),
    "a hemisphere behind": ((cylinder(10, 4), dome()), 1, (4, 5), (9, 0), (4, 0)),
    # height 2 on a foot of 8: radius (4^2 + 2^2) / (2 * 2) = 5
    "a flat dome in front": ((dome(8, length=2), cylinder(10, 4)), 0, (0, 0), (2, 4), (5, 0)),
    "a flat dome behind": ((cylinder(10, 4), dome(8, length=2)), 1, (4, 4), (6, 0), (1, 0)),
}


@pytest.mark.parametrize("name", DOMES)
def test_a_dome_is_part_of_a_sphere_on_the_axis(name: str) -> None:
    """A dome runs from the axis to its foot or back, about a centre on the axis."""
    features, index, start, end, center = DOMES[name]
    (arc,) = made(*features).outside[index].curves

    assert isinstance(arc, Arc)
    assert (arc.start, arc.end) == (pytest.approx(start), pytest.approx(end))
    assert arc.center == pytest.approx(center, abs=1e-12)


EDGES: dict[str, tuple[tuple[Any, ...], set[tuple[float, float]]]] = {
    "chamfer at the front face": ((cylinder(10, 5, front=chamfer(0.5)),), {(0, 4.5), (0.5, 5)}),
    "chamfer at the back face": ((cylinder(10, 5, back=chamfer(0.5)),), {(4.5, 5), (5, 4.5)}),
    "chamfer of 30 degrees": (
        (cylinder(10, 5, front=chamfer(1, angle=30)),),
        {(0, round(5 - math.tan(math.radians(30)), 6)), (1, 5)},
    ),
    "chamfer in a corner": (
        (cylinder(6, 5, back=chamfer(0.5)), cylinder(10, 5)),
        {(4.5, 3), (5, 3.5), (5, 5)},
    ),
    "chamfer on a shoulder": (
        (cylinder(6, 5), cylinder(10, 5, front=chamfer(0.5))),
        {(5, 3), (5, 4.5), (5.5, 5)},
    ),
    "both edges": ((cylinder(10, 5, edges=chamfer(1)),), {(0, 4), (1, 5), (4, 5), (5, 4)}),
    "one of both its own": (
        (cylinder(10, 5, edges=chamfer(1), back=chamfer(2)),),
        {(0, 4), (1, 5), (3, 5), (5, 3)},
    ),
    "edges that use up a wall": (
        (cylinder(10, 5, back=chamfer(1)), cylinder(6, 5, front=chamfer(1))),
        {(4, 5), (5, 4), (6, 3)},
    ),
}


@pytest.mark.parametrize("name", EDGES)
def test_a_chamfer_cuts_its_corner(name: str) -> None:
    """A chamfer reaches its size along the axis and its angle's share across it, on either kind of corner."""
    outside, cut = EDGES[name]

    assert cut <= corners(made(*outside).body.plain)


FILLETS = {
    "at the face": ((cylinder(10, 5, front=fillet(1)),), (0, 4), (1, 5), (1, 4)),
    "in a corner": ((cylinder(6, 5, back=fillet(1)), cylinder(10, 5)), (4, 3), (5, 4), (4, 4)),
    "on a shoulder": ((cylinder(6, 5), cylinder(10, 5, front=fillet(1))), (5, 4), (6, 5), (6, 4)),
    "at the foot of a groove": (
        (cylinder(10, 5), groove(4, 6, radius=1), cylinder(10, 5)),
        (5, 4),
        (6, 3),
        (6, 4),
    ),
}


@pytest.mark.parametrize("name", FILLETS)
def test_a_fillet_touches_both_sides(name: str) -> None:
    """A fillet is tangent to both sides of its corner: its centre is its radius away from each."""
    outside, start, end, center = FILLETS[name]
    arcs = [c for c in made(*outside).body.plain.loops[0] if isinstance(c, Arc)]

    assert any({arc.start, arc.end} == {start, end} and arc.center == pytest.approx(center) for arc in arcs)


def test_a_thread_with_a_free_end_is_chamfered_to_its_root() -> None:
    """A thread's free end takes a 45 degree chamfer to the root, and the default is said."""
    part = made(thread("M10x1", 8))
    (span,) = part.body.threads

    assert (span.start, span.end, span.external) == (0, 8, True)
    assert span.ceiling == (
        (0, pytest.approx(5 - DEPTH)),
        (pytest.approx(DEPTH), 5),
        (pytest.approx(8 - DEPTH), 5),
        (8, pytest.approx(5 - DEPTH)),
    )
    assert {(0, round(5 - DEPTH, 6)), (round(DEPTH, 6), 5)} <= corners(part.body.plain)
    assert [default.taken for default in part.defaults] == [
        "front end chamfered 45 degrees to the root, 0.61 mm",
        "back end chamfered 45 degrees to the root, 0.61 mm",
    ]


def test_a_chamfer_that_is_asked_for_takes_the_place_of_the_default() -> None:
    """A thread's own chamfer is cut as it is asked for, and no default is said of that end."""
    part = made(thread("M10x1", 8, edges=chamfer(1)))

    assert part.body.threads[0].ceiling == ((0, 4), (1, 5), (7, 5), (8, 4))
    assert part.defaults == ()


def test_a_thread_up_to_a_shoulder_runs_out_under_the_lead_of_the_die() -> None:
    """Against a shoulder the root rises to the crest over the die's lead, and the default is said."""
    part = made(thread("M10x1", 8, front=chamfer(1)), cylinder(14, 5))
    (span,) = part.body.threads

    where = [0, 1 - DEPTH, 3, 8 - RUN_OUT, 8]  # the chamfer passes the root at 1 - DEPTH
    assert np.interp(where, *zip(*span.floor, strict=True)) == pytest.approx(
        [4, 5 - DEPTH, 5 - DEPTH, 5 - DEPTH, 5]
    )
    assert [d.taken for d in part.defaults] == [
        "runs out over 2.25 mm, the lead of a die; full thread for the rest"
    ]


RELIEFS = {
    # DIN 76-1 for a pitch of 1 mm: floor 1.6 mm under the major diameter, 3.5 mm wide, the short form 2.5 mm
    "regular": (relief(), 3.5, 8.4),
    "short": (relief(short=True), 2.5, 8.4),
    "of its own figures": (relief(width=3, diameter=8), 3, 8),
}


@pytest.mark.parametrize("name", RELIEFS)
@pytest.mark.parametrize("behind", [True, False])
def test_a_relief_has_the_width_and_depth_of_din_76(name: str, behind: bool) -> None:
    """A relief takes DIN 76's figures for its thread, whether it lies behind it or in front."""
    feature, width, diameter = RELIEFS[name]
    outside = [thread("M10x1", 8), feature, shoulder("stop"), cylinder(14, 5)]
    part = made(*(outside if behind else reversed(outside)))
    place = part.outside[1 if behind else 2]

    assert place.end - place.start == pytest.approx(width)
    assert place.curves[0].start[1] == place.curves[0].end[1] == diameter / 2


def test_a_thread_beside_its_relief_is_full_to_the_end() -> None:
    """A thread that ends in a relief deeper than its root has neither run-out nor chamfer there."""
    part = made(thread("M10x1", 8, front=chamfer(1)), relief(), shoulder("stop"), cylinder(14, 5))
    (span,) = part.body.threads

    assert span.ceiling[-1] == (8, 5)
    assert span.floor[-1] == (8, pytest.approx(5 - DEPTH))
    assert part.defaults == ()


def test_a_shoulder_stands_between_its_neighbours() -> None:
    """A shoulder has no length; it knows the radii that meet in it."""
    place = made(cylinder(8, 5), shoulder("stop"), cylinder(12, 3)).outside[1]

    assert (place.start, place.end, place.curves) == (5, 5, ())
    assert (place.radius_before, place.radius_after) == (4, 6)


@pytest.mark.parametrize(("given", "growth"), [(knurl(0.8), 0.4), (knurl(0.8, growth=0.25), 0.25)])
def test_a_knurl_says_by_how_much_it_grows(given: Any, growth: float) -> None:
    """A knurl leaves the drawn diameter and notes its growth, half its pitch unless told."""
    part = made(cylinder(10, 8, knurled=given))

    assert corners(part.body.plain) == {(0, 0), (0, 5), (8, 5), (8, 0)}
    assert [d.taken for d in part.defaults] == [f"the knurl raises the diameter by about {growth:.2f} mm"]
