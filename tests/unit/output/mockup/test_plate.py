"""Parts on the plate: which way up, what hangs over, where each stands."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnmodel import Part, bar, bore, chamfer, cone, cross_hole, cylinder, dome, drill, thread
from turnmodel.catalog.printer import printer
from turnmodel.design.part import built
from turnmodel.geometry.body import Body
from turnmodel.geometry.region import ring
from turnmodel.output.mockup.plate import Standing, facets_for, plates, roofs, stood
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import open_edges

FILAMENT = printer("filament")


def turned(*outside, **holes):
    """Describe a brass part."""
    return Part.turned("part", material="CW614N", stock=bar("25 mm"), outside=outside, **holes)


def told(part, *, back):
    """Give the roofs of a part as round figures."""
    return [
        (round(r.station, 6), round(r.inner_d, 6), round(r.outer_d, 6))
        for r in roofs(built(part), 45, back=back)
    ]


@pytest.mark.parametrize(
    ("part", "back", "expected"),
    [
        (turned(cylinder(6, 5), cylinder(12, 4)), False, [(5, 6, 12)]),
        (turned(cylinder(6, 5), cylinder(12, 4)), True, []),
        (turned(cylinder(12, 9), from_front=[bore(5, depth=6)]), False, [(6, 0, 5)]),
        (turned(cylinder(12, 9), from_front=[bore(5, depth=6)]), True, []),
        (turned(cylinder(12, 9), from_front=[bore(5, through=True), bore(8, depth=3)]), False, [(3, 5, 8)]),
        (turned(cylinder(6, 5), cone(6, 12, half_angle=44), cylinder(12, 4)), False, []),
        (turned(cylinder(6, 5), cone(6, 12, half_angle=46), cylinder(12, 4)), False, [(5, 6, 12)]),
    ],
)
def test_a_roof_is_what_looks_down_flatter_than_45_degrees(part, back, expected):
    """A shoulder over a pin, a hole's floor over its mouth; not what stands the other way up or steeper."""
    assert told(part, back=back) == expected


def test_a_part_stands_on_the_end_that_leaves_no_roof():
    """A pin on a disc is printed disc down, a cup mouth up, and a dome flat down."""
    pin = stood(turned(cylinder(6, 5), cylinder(12, 4)), FILAMENT)
    cup = stood(turned(cylinder(16, 20), from_back=[bore(12, depth=17)]), FILAMENT)
    cap = stood(turned(dome(12, length=4), cylinder(12, 10)), FILAMENT)

    assert (pin.on, cup.on, cap.on) == ("back", "front", "back")
    assert pin.roofs == cup.roofs == cap.roofs == ()
    assert pin.flat == pytest.approx(math.pi * 36)
    assert pin.steady


def test_a_part_without_a_foot_is_not_steady():
    """A pin rounded at both ends stands on a point, and on a ball however wide: it comes off the plate."""
    assert not stood(turned(dome(6, length=3), cylinder(6, 30), dome(6, length=3)), FILAMENT).steady


def test_a_roof_that_cannot_be_helped_is_told():
    """A flange in the middle hangs over either way; it is reported with where it is and how wide."""
    (roof,) = stood(turned(cylinder(6, 5), cylinder(12, 2), cylinder(6, 4)), FILAMENT).roofs

    assert (roof.station, roof.inner_d, roof.outer_d) == (5, 6, 12)
    assert roof.reach == 3
    assert roof.area == pytest.approx(math.pi * (36 - 9))


def test_a_short_bridge_and_a_narrow_ledge_need_no_support():
    """A hole of 6 mm closes by itself in filament, and a step of 0.6 mm; one of 7 mm does not."""
    narrow = turned(
        cylinder(12, 9), cylinder(13, 9), from_front=[bore(6, depth=6)], from_back=[bore(6.4, depth=1)]
    )
    wide = turned(cylinder(12, 9), from_front=[bore(7, depth=6)], from_back=[bore(7, depth=1)])

    assert stood(narrow, FILAMENT).roofs == ()
    assert len(stood(wide, FILAMENT).roofs) == 1


def test_a_slender_part_stands_on_its_wider_end():
    """60 mm on a foot of 4 mm would be knocked over, whatever hangs over the other way up."""
    pen = stood(turned(cone(4, 12, length=30), cylinder(8, 10), cylinder(12, 20)), FILAMENT)

    assert pen.on == "back"


def test_the_standing_mesh_is_closed_at_the_origin_and_footed():
    """Its lowest corner is the origin, its axis upright; the first layers' spread is taken off its foot."""
    part = turned(thread("M10x1", 8), cylinder(14, 6), across=[cross_hole("3 mm", at=11)])
    standing = stood(part, FILAMENT)

    assert open_edges(standing.mesh) == 0
    assert standing.mesh.vertices.min(axis=0) == pytest.approx([0, 0, 0], abs=1e-12)
    assert standing.size == pytest.approx((14, 14, 14), abs=0.05)
    assert standing.on == "back"
    foot = standing.mesh.vertices[standing.mesh.vertices[:, 2] < 1e-9]
    assert max(math.dist(p[:2], (7, 7)) for p in foot) == pytest.approx(7 - 0.2, abs=0.05)


@given(st.floats(1, 60), st.sampled_from(["filament", "resin"]))
def test_facets_stay_within_the_chord_and_are_no_more_than_that_takes(diameter, process):
    """The sagitta is at most a twentieth of layer or line, and eight facets fewer would be more."""
    made = printer(process)
    n = facets_for(diameter, made)

    def sagitta(count):
        return diameter / 2 * (1 - math.cos(math.pi / count))

    assert sagitta(n) <= made.chord * (1 + 1e-9)
    assert n == 32 or sagitta(n - 8) > made.chord


def block(name, width, length):
    """Stand a plain round of a size."""
    mesh = lathe(Body(plain=ring(0, length, width)), 32)
    moved = mesh.vertices - mesh.vertices.min(axis=0)
    whole = type(mesh)(vertices=moved, faces=mesh.faces, tags=mesh.tags)
    return Standing(
        name=name, of=name, on="front", mesh=whole, flat=1.0, steady=True, roofs=(), facets=32, off=0.0
    )


@given(st.lists(st.floats(2, 60), min_size=1, max_size=25))
def test_parts_keep_their_gap_and_stay_on_the_bed(widths):
    """Whatever their sizes, boxes are apart by the gap, inside the bed and in the positive octant."""
    made = printer("resin")
    found, too_large = plates([block(f"{k}", w, 20.0) for k, w in enumerate(widths)], made)

    assert not too_large
    assert sorted(p.name for plate in found for p in plate.parts) == sorted(map(str, range(len(widths))))
    for plate in found:
        boxes = [(p.mesh.vertices.min(axis=0), p.mesh.vertices.max(axis=0)) for p in plate.parts]
        for low, high in boxes:
            assert (low >= -1e-9).all()
            assert (high <= [side + 1e-9 for side in made.bed]).all()
        for (a0, a1), (b0, b1) in itertools.combinations(boxes, 2):
            apart = max(max(b0[k] - a1[k], a0[k] - b1[k]) for k in (0, 1))
            assert apart >= made.gap - 1e-9


def test_a_part_that_no_plate_holds_is_named():
    """200 mm do not fit a bed of 180; the others are placed all the same."""
    found, too_large = plates([block("long", 10, 200.0), block("short", 10, 20.0)], FILAMENT)

    assert too_large == ("long",)
    assert [p.name for plate in found for p in plate.parts] == ["short"]


def test_edges_that_are_chamfered_stand_as_they_are():
    """A chamfered foot is left alone: what spreads there stays within its own outline."""
    part = turned(cylinder(14, 10, edges=chamfer(0.5)), from_front=[drill("5 mm", through=True)])

    foot = stood(part, FILAMENT)

    low = foot.mesh.vertices[foot.mesh.vertices[:, 2] < 1e-9]
    radii = {round(math.dist(p[:2], (7, 7)), 2) for p in low}
    assert max(radii) == pytest.approx(6.5, abs=0.05)
