"""The metal left: each rule finds the part that is faulty in just its way, and nothing once that is mended.

Thicknesses are worked by hand from the diameters and depths of the parts.
"""

from __future__ import annotations

import math
import re

import pytest

from tests.held import found, plain
from turnmodel import (
    bore,
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
    relief,
    saddle,
    slot,
    tap,
    taper_bore,
    thread,
)
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.rules import metal
from turnmodel.errors import TurnmodelError

ROUNDING = 1e-9  # mm, of sums and differences of given sizes
POINT = 1 / math.tan(math.radians(59))  # length of a 118 degree point over its radius
METAL = [rule.name for rule in metal.RULES]


def only(rule: str, *parts: object, **design: object) -> object:
    """Give the one finding of a rule, and hold the rest of the family to have none."""
    (finding,) = found(rule, *parts, **design)
    assert not [f for name in METAL if name != rule for f in found(name, *parts, **design)]
    return finding


def sound(*parts: object, **design: object) -> bool:
    """Tell whether no rule of the family finds anything."""
    return not [f for name in METAL for f in found(name, *parts, **design)]


# walls


def test_a_wall_is_measured_between_the_hole_and_the_outside():
    """A hole of 17 mm in a bar of 18 leaves 0.5 mm; the drill named by the mend leaves 0.8."""
    finding = only("wall", plain(from_back=[bore(17, depth=20)]))

    assert finding.severity is Severity.CAUTION
    assert finding.value == pytest.approx(0.5, abs=ROUNDING)
    assert (finding.limit, finding.unit, finding.feature) == (0.8, "mm", "bore (from back 1)")
    assert finding.message == "post, bore (from back 1): leaves 0.50 mm of wall under cylinder (outside 1)"
    assert finding.mend == "bore (from back 1) 16.4 mm or less, or cylinder (outside 1) 18.6 mm or more"
    assert sound(plain(from_back=[bore(16.4, depth=20)]))
    assert sound(plain(cylinder(18.6, 30), from_back=[bore(17, depth=20)]))


def test_a_drill_is_mended_by_the_next_smaller_one():
    """Under a groove of 8 mm a 7 mm drill leaves 0.5 mm; 6.4 mm would leave the limit and is a drill."""
    outside = (cylinder(10, 10), groove(3, 8), cylinder(10, 10))
    finding = only("wall", plain(*outside, from_back=[drill("7 mm", depth=15)]))

    assert finding.station == pytest.approx(10.0, abs=3.0)
    assert finding.mend == "drill (from back 1) 6.4 mm or smaller, or groove (outside 2) 8.6 mm or more"
    assert sound(plain(*outside, from_back=[drill("6.4 mm", depth=15)]))


def test_a_wall_under_a_taper_is_mended_by_the_depth_that_does_it():
    """On a slope the way along the axis is longer than the wall that lacks; the least depth is told."""

    def ferrule(shallower=0.0, wider=0.0):
        return plain(
            cone(8.6 + wider, 12 + wider, length=6),
            cylinder(12, 10),
            from_front=[drill("7.4 mm", through=True)],
            from_back=[tap("7/16-28 UNEF", depth=8.5 - shallower, lead="bottoming")],
        )

    (finding,) = found("wall", ferrule())
    ways = r"make tap \(from back 1\) ([\d.]+) mm shallower, or cone \(outside 1\) ([\d.]+) mm wider"
    shallower, wider = map(float, re.match(ways, finding.mend).groups())

    assert shallower > 0.8 - finding.value
    assert found("wall", ferrule(shallower - 0.01))
    assert not found("wall", ferrule(shallower))
    assert not found("wall", ferrule(wider=wider))


def test_a_foil_is_a_fault():
    """A quarter of the limit is 0.2 mm: less is a fault, more a caution."""
    (foil,) = found("wall", plain(from_back=[bore(17.7, depth=20)]))
    (thin,) = found("wall", plain(from_back=[bore(17.5, depth=20)]))

    assert (foil.severity, thin.severity) == (Severity.FAULT, Severity.CAUTION)


def test_a_wall_between_corners_is_measured_across():
    """A corner of a bore 3 mm along and 4 across from that of a groove stands 5 mm off."""
    part = plain(
        cylinder(20, 10), groove(2, 14), cylinder(20, 18), stock="20 mm", from_back=[bore(6, depth=15)]
    )

    (finding,) = found("wall", part, limits={"wall": 5.1})

    assert finding.value == pytest.approx(5.0, abs=ROUNDING)
    assert not found("wall", part, limits={"wall": 5.0})


def test_the_limit_of_a_design_holds():
    """A wall of 0.9 mm is sound by the table and not where the design asks for a millimetre."""
    part = plain(from_back=[bore(16.2, depth=20)])

    assert sound(part)
    assert found("wall", part, limits={"wall": 1.0})[0].limit == 1.0


def test_edges_are_no_walls():
    """Chamfers, fillets and countersunk mouths thin the rim, not the wall."""
    edged = cylinder(10, 20, front=chamfer(0.5), back=fillet(0.6))

    assert sound(plain(edged, stock="10 mm", from_back=[bore(8.2, depth=15, mouth=chamfer(0.3))]))


def test_a_tapered_nose_is_measured_at_its_end():
    """A nose that narrows to 3 mm about a 2 mm hole has a wall of 0.8 mm where 3.6 mm is reached."""
    nose = (cone(3.0, 7.0, half_angle=15), cylinder(7, 20))
    finding = only("wall", plain(*nose, stock="8 mm", from_front=[drill("2.2 mm", through=True)]))

    behind = 0.8 * math.tan(math.radians(15))
    assert finding.value == pytest.approx(0.4 + behind, abs=ROUNDING)
    assert sound(plain(*nose, stock="8 mm", from_front=[drill("1.8 mm", through=True)]))


def test_a_sharp_groove_is_a_wall():
    """A groove of two steep cones has its bottom for a wall: 12 - 11 over 2."""
    vee = (cylinder(20, 10), cone(end_d=12, length=2), cone(end_d=20, length=2), cylinder(20, 10))

    finding = only("wall", plain(*vee, from_back=[bore(11, depth=20)]))

    assert finding.value == pytest.approx(0.5, abs=ROUNDING)


# thread roots


def test_the_root_of_a_screw_over_a_bore():
    """M8x0.75 has its root at 7.080 mm; over 6 mm it leaves 0.54 mm, over the drill of the mend 0.8."""
    outside = (thread("M8x0.75", 8), relief(), cylinder(12, 10))
    part = plain(*outside, stock="12 mm", from_front=[drill("6 mm", depth=14)])
    finding = next(iter(found("thread wall", part)))

    assert finding.value == pytest.approx((7.0798 - 6) / 2, abs=1e-4)
    assert finding.message.startswith(
        "post, thread (outside 1): 0.54 mm of wall is left between the root of M8x0.75"
    )
    assert finding.mend == "drill (from front 1) 5.4 mm or smaller"
    assert sound(plain(*outside, stock="12 mm", from_front=[drill("5.2 mm", depth=14)]))


def test_a_bore_through_the_root_of_a_screw():
    """A 7.2 mm bore comes out in the roots of M8x0.75; the mend leaves the limit."""
    outside = (cylinder(12, 10), thread("M8x0.75", 8), cylinder(8, 2))

    def part(wide: float) -> object:
        return plain(*outside, stock="12 mm", from_front=[bore(wide, depth=16)])

    (finding,) = found("thread wall", part(7.2))

    assert (finding.severity, finding.value) == (Severity.FAULT, 0.0)
    assert "nothing is left between the root of M8x0.75" in finding.message
    assert finding.mend == "bore (from front 1) 5.47 mm or less"
    assert not found("thread wall", part(5.47))


def test_the_root_of_a_tapped_hole_under_the_outside():
    """M10x1 tapped in a bar of 11 mm leaves 0.5 mm under its roots; 11.6 mm leaves 0.8."""
    hole = [drill("9 mm", depth=20), tap("M10x1", depth=10)]
    (finding,) = found("thread wall", plain(cylinder(11, 30), from_back=hole))

    assert finding.value == pytest.approx(0.5, abs=ROUNDING)
    assert finding.mend == "cylinder (outside 1) 11.6 mm or more, or a smaller thread"
    assert not found("thread wall", plain(cylinder(11.6, 30), from_back=hole))


# floors


def test_metal_behind_a_drill_point():
    """A 6 mm drill to 27.5 mm of 30 has its point 2.5 - 1.803 mm from the end; the mend leaves 1 mm."""
    finding = only("floor", plain(from_back=[drill("6 mm", depth=27.5)]))

    assert finding.value == pytest.approx(2.5 - 3 * POINT, abs=ROUNDING)
    assert finding.mend == "make it 0.31 mm shallower, 27.19 mm deep"
    assert sound(plain(from_back=[drill("6 mm", depth=27.19)]))


def test_metal_under_a_flat_floor():
    """A bore to 29.2 mm of 30 leaves 0.8 mm; 29 mm leaves the limit."""
    finding = only("floor", plain(from_back=[bore(6, depth=29.2)]))

    assert finding.value == pytest.approx(0.8, abs=ROUNDING)
    assert finding.message == "post, bore (from back 1): leaves 0.80 mm of metal before the end"
    assert sound(plain(from_back=[bore(6, depth=29.0)]))


def test_metal_under_a_dome():
    """Under a hemisphere the least metal is along its own normal: 5 mm less the corner's distance, 4.5."""
    depth = 20 - (5 - math.sqrt(4.5**2 - 3**2))

    (finding,) = found(
        "floor", plain(dome(10), cylinder(10, 15), stock="10 mm", from_back=[bore(6, depth=depth)])
    )

    assert finding.value == pytest.approx(0.5, abs=ROUNDING)


def test_a_web_between_two_holes():
    """Holes of 14 and 15.5 mm from both ends of 30 leave a web of 0.5 mm."""
    finding = only("floor", plain(from_front=[bore(6, depth=14)], from_back=[bore(8, depth=15.5)]))

    assert finding.value == pytest.approx(0.5, abs=ROUNDING)
    assert sound(plain(from_front=[bore(6, depth=13.5)], from_back=[bore(8, depth=15.5)]))


def test_a_thin_floor_at_a_shoulder():
    """A counterbore to 19.4 mm from the back of 30 leaves 0.6 mm to a shoulder 10 mm from the front."""
    outside = (cylinder(8, 10), cylinder(18, 20))
    finding = only("shoulder floor", plain(*outside, from_back=[counterbore(14, depth=19.4)]))

    assert finding.value == pytest.approx(0.6, abs=ROUNDING)
    assert finding.mend == "make it 0.4 mm shallower, 19 mm deep"
    assert sound(plain(*outside, from_back=[counterbore(14, depth=19)]))


# rims


def test_a_knife_edge_at_a_mouth():
    """A nose 2.1 mm wide at its 2 mm hole is a knife of 18 degrees; 2.4 mm leaves 0.2 mm of flat."""

    def nose(wide: float) -> object:
        outside = (cone(wide, 8.0, half_angle=18), cylinder(8, 20))
        return plain(*outside, stock="8 mm", from_front=[drill("2 mm", through=True)])

    (finding,) = found("rim", nose(2.1))

    assert finding.value == pytest.approx(0.05, abs=ROUNDING)
    assert "a flat of 0.05 mm and 18 degrees of metal make a knife edge" in finding.message
    assert finding.mend == "make the outside there 2.4 mm, or the hole smaller"
    assert not found("rim", nose(2.4))


def test_two_chamfers_that_meet_are_no_knife():
    """Chamfers of 45 degrees in and out meet in a right angle."""
    part = plain(
        cylinder(10, 20, back=chamfer(0.5)), stock="10 mm", from_back=[bore(8, depth=10, mouth=chamfer(0.5))]
    )

    assert not found("rim", part)


# across


def test_a_blind_hole_across_that_comes_out_inside():
    """Over a bore of 8 mm in 18 a 3 mm hole, its point counted, may be 5 - 0.9 - 0.8 mm deep."""
    finding = only(
        "cross wall", plain(from_back=[bore(8, depth=25)], across=[cross_hole("3 mm", at=15, depth=4.5)])
    )

    deepest = math.floor((5 - 1.5 * POINT - 0.8) * 100) / 100
    assert (finding.severity, finding.value) == (Severity.FAULT, 0.0)
    assert finding.message == "post, cross hole (across 1): comes out in the hole along the axis"
    assert finding.mend == f"make it {deepest:g} mm deep or less"
    assert sound(plain(from_back=[bore(8, depth=25)], across=[cross_hole("3 mm", at=15, depth=deepest)]))


def test_the_point_of_a_tapping_drill_counts():
    """M3 tapped 4 mm deep over a bore of 8 in 18 leaves 1 - 0.75 mm to the point of its 2.5 mm drill."""
    finding = only(
        "cross wall", plain(from_back=[bore(8, depth=25)], across=[cross_tap("M3", at=15, depth=4)])
    )

    assert finding.value == pytest.approx(1 - 1.25 * POINT, abs=ROUNDING)
    assert finding.severity is Severity.CAUTION


def test_a_hole_across_without_a_depth_is_meant_to_enter():
    """A vent into the bore, and one through both walls, are sound."""
    vents = [cross_hole("2 mm", at=15), cross_hole("2 mm", at=20, through=True), cross_tap("M3", at=8)]

    assert sound(plain(from_back=[bore(8, depth=25)], across=vents))


def test_a_hole_across_beside_a_drill_point():
    """Past the end of the hole along the axis the metal between them counts."""
    finding = only("cross wall", plain(from_back=[bore(8, depth=20)], across=[cross_hole("3 mm", at=8)]))

    assert finding.value == pytest.approx(0.5, abs=ROUNDING)
    assert finding.mend == "move it 0.3 mm along, away from the hole along the axis"
    assert sound(plain(from_back=[bore(8, depth=20)], across=[cross_hole("3 mm", at=7.7)]))


def test_a_hole_across_near_the_end_face():
    """2 mm from the end a 3 mm hole leaves 0.5 mm; 2.3 mm leaves the limit."""
    finding = only("cross wall", plain(from_back=[bore(8, depth=20)], across=[cross_hole("3 mm", at=28)]))

    assert finding.value == pytest.approx(0.5, abs=ROUNDING)
    assert finding.mend == "move it 0.3 mm along, away from the face"
    assert sound(plain(from_back=[bore(8, depth=20)], across=[cross_hole("3 mm", at=27.7)]))


def domed(at):
    """A lid of 15 mm under a dome 3 mm high, with a 1.6 mm hole across."""
    across = [cross_hole(1.6, at=at, through=True)]
    return plain(dome(15, length=3), cylinder(15, 10), across=across)


def _on_the_dome(z):
    """Radius of that dome at a station, by Pythagoras: its sphere has a radius of (7.5^2 + 3^2) / 6 mm."""
    sphere = (7.5**2 + 3**2) / 6
    return math.sqrt(2 * sphere * z - z * z)


@pytest.mark.parametrize("at", [0.85, 1.0, 1.7, 2.5, 2.7, 3.0])
def test_a_hole_across_that_enters_on_a_dome_is_told_of_the_dome(at):
    """It leaves what lies before it 0.8 mm under its lower edge; the least move that mends it is told."""
    (finding,) = found("cross wall", domed(at))
    edge = _on_the_dome(at - 0.8)
    sphere = (7.5**2 + 3**2) / 6
    under = max(edge - 0.8, edge / 2)
    left = sphere - math.hypot(sphere - (at - 0.8), under)

    assert finding.value == pytest.approx(left, abs=ROUNDING)
    assert finding.message == f"post, cross hole (across 1): leaves {left:.2f} mm to dome (outside 1)"
    by = float(re.fullmatch(r"move it ([\d.]+) mm along, away from dome \(outside 1\)", finding.mend)[1])
    assert sound(domed(at + by))
    assert found("cross wall", domed(at + by - 0.01))


def test_a_hole_across_the_tip_of_a_dome_breaks_out_of_it():
    """Where its side passes the tip itself, nothing is left before it."""
    (finding,) = found("cross wall", domed(0.8))

    assert (finding.severity, finding.value) == (Severity.FAULT, 0.0)
    assert "breaks out" in finding.message


def test_a_hole_across_that_clears_nothing_is_to_be_narrower():
    """A 3 mm hole across a disc of 4 mm has no place with 0.8 mm on either side, and no move is advised."""
    (first, *_) = found("cross wall", plain(length=4, across=[cross_hole("3 mm", at=1.8)]))

    assert first.mend == "make it narrower: no place along it is clear"


def test_two_holes_across_side_by_side():
    """3 mm holes 3.5 mm apart leave 0.5 mm; on opposite sides, blind, they do not see each other."""
    side_by_side = [cross_hole("3 mm", at=10, depth=4), cross_hole("3 mm", at=13.5, depth=4)]
    opposite = [cross_hole("3 mm", at=10, depth=4), cross_hole("3 mm", at=13.5, depth=4, angle=180)]

    finding = only("cross wall", plain(across=side_by_side))

    assert finding.value == pytest.approx(0.5, abs=ROUNDING)
    assert "cross hole (across 2)" in finding.mend
    assert sound(plain(across=opposite))


def test_a_flat_over_a_bore():
    """A flat read as 14 mm over a 9 mm bore in 18 leaves 5 - 4.5 mm; 14.3 leaves the limit."""
    finding = only(
        "cross wall", plain(from_back=[bore(9, depth=25)], across=[flat(at=10, length=6, across=14)])
    )

    assert finding.value == pytest.approx(0.5, abs=ROUNDING)
    assert finding.mend == "leave 14.3 mm across or more"
    assert sound(plain(from_back=[bore(9, depth=25)], across=[flat(at=10, length=6, across=14.3)]))


def test_a_slot_may_open_a_bore_and_may_not_leave_a_foil():
    """A slot through the wall is meant; one that leaves 0.1 mm is not."""
    bored = [bore(9, depth=25)]

    assert sound(plain(from_back=bored, across=[slot(at=10, length=8, width=2, depth=6)]))
    (finding,) = found(
        "cross wall", plain(from_back=bored, across=[slot(at=10, length=8, width=2, depth=4.4)])
    )
    assert finding.value == pytest.approx(0.1, abs=ROUNDING)
    assert finding.severity is Severity.FAULT


def test_saddles_and_solid_parts_are_left_alone():
    """What has no hole has no wall, and a saddle is an end."""
    assert sound(plain(across=[saddle(40)]))
    assert sound(plain(cone(18, 4, length=30), from_front=[taper_bore(10, 6, depth=8)]))


@pytest.mark.parametrize("hole", [lambda deep: drill("6 mm", depth=deep), lambda deep: bore(6, depth=deep)])
@pytest.mark.parametrize("depth", [30.4, 31.0])
@pytest.mark.parametrize("end", ["from_front", "from_back"])
def test_a_hole_kept_in_the_part_as_the_fault_says_leaves_its_floor(hole, depth, end):
    """Where a hole comes out of the far end, the depth advised keeps the floor, and none deeper does."""
    with pytest.raises(TurnmodelError, match=r"make it [\d.]+ mm shallower, or through=True") as fault:
        found("floor", plain(**{end: [hole(depth)]}))
    short = float(re.search(r"make it ([\d.]+) mm", str(fault.value))[1])

    assert not found("floor", plain(**{end: [hole(depth - short)]}))
    assert found("floor", plain(**{end: [hole(depth - short + 0.01)]}))


def test_a_part_too_short_for_a_floor_is_to_be_longer():
    """A taper bore 1 mm deep in 0.8 mm of metal cannot be 1.2 mm shallower, nor go through by a word."""
    short = cylinder(18, 0.8)
    with pytest.raises(
        TurnmodelError, match=r"is deeper than the part, which is 0\.8 mm long; make the part 1\.2 mm longer"
    ):
        found("floor", plain(short, from_back=[taper_bore(6, 3, depth=1)]))
