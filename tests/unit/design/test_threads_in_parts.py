"""Threads beside recesses and deep chamfers: where they end, and that every volume of the part agrees."""

import re

import pytest

from turnmodel import (
    Design,
    Part,
    bar,
    chamfer,
    cone,
    cylinder,
    drill,
    fillet,
    groove,
    recess,
    tap,
    thread,
)
from turnmodel.analysis.witness import witnessed
from turnmodel.design.part import built
from turnmodel.errors import DesignFaults


def bush(**changes):
    """A bush tapped from its front face."""
    return Part.turned(
        "bush",
        material="CW614N",
        stock=bar("14 mm"),
        outside=[cylinder(14, 20)],
        from_front=[drill("9 mm", depth=14), recess(10.6, 2, 10), tap("M10x1", **changes)],
    )


def test_a_thread_runs_out_in_a_recess():
    """A recess wider than the crests takes what the lead of the tap would have left."""
    part = bush(depth=8)
    (span,) = built(part).body.threads

    assert span.end == 8.0
    witnessed(part)


def test_a_thread_does_not_go_on_behind_a_recess():
    """A tap that is asked to cut full thread past the recess is refused, with the depth that it may have."""
    with pytest.raises(DesignFaults, match=r"only to 8 mm; .* tap 8 mm deep"):
        Design("bush", parts=[bush(depth=12)])


def tapped_from_both(depth):
    """A bush of 20 mm drilled through and tapped from either face."""
    return Part.turned(
        "bush",
        material="CW614N",
        stock=bar("14 mm"),
        outside=[cylinder(14, 20)],
        from_front=[drill("7.25 mm", through=True), tap("M8x0.75", depth=8, lead="bottoming")],
        from_back=[tap("M8x0.75", depth=depth, lead="bottoming")],
    )


def test_two_threads_may_meet_in_one_hole():
    """Tapped from either face, a hole has two threads that end where each tap's lead ends."""
    part = tapped_from_both(depth=9)
    front, back = built(part).body.threads

    assert front.end <= back.start
    witnessed(part)


def test_a_thread_that_runs_into_another_is_refused():
    """Two taps from either face do not cut one thread: it is told how much shallower one must be."""
    with pytest.raises(
        DesignFaults, match=r"from back 1.* runs into the thread of tap \(from front 2\)"
    ) as told:
        Design("bush", parts=[tapped_from_both(depth=14)])
    assert "mm shallower" in str(told.value)
    Design("bush", parts=[tapped_from_both(depth=14 - 5.0)])


def test_a_chamfer_may_be_deeper_than_the_thread():
    """A chamfer below the root takes the thread with it, and the mesh agrees with the closed form."""
    part = Part.turned(
        "stud",
        material="CW614N",
        stock=bar("14 mm"),
        outside=[cylinder(12, 5), thread("M8x0.75", 10, back=chamfer(0.8))],
    )
    (span,) = built(part).body.threads

    assert span.floor[-1][1] == span.ceiling[-1][1]
    witnessed(part)


@pytest.mark.parametrize(
    "front",
    [
        groove(2, 8.25, radius=0.2),
        cylinder(8.25, 2, front=chamfer(0.2)),
        cylinder(8.25, 2, edges=fillet(0.2)),
    ],
)
def test_a_thread_into_an_end_that_an_edge_narrows_is_refused(front):
    """Where a chamfer or a rounded corner leaves less of a face than the thread's crests, it is told."""
    part = Part.turned(
        "bush",
        material="CW614N",
        stock=bar("14 mm"),
        outside=[front, cylinder(12, 10)],
        from_front=[tap("M8x0.75", depth=4)],
    )
    with pytest.raises(DesignFaults, match="opens in an end that is rounded or narrower than it"):
        Design("bush", parts=[part])


def nose(neck, *, depth=12.0, made=cylinder):
    """A nose with a neck in front, drilled and tapped from behind; the tap's lead lies under the neck."""
    return Part.turned(
        "nose",
        material="CW614N",
        stock=bar("20 mm"),
        outside=[made(neck, 16) if made is cylinder else cone(neck, 12, length=16), cylinder(18, 19)],
        from_back=[drill("10.2 mm", depth=24), tap("M12", depth=depth, lead="plug")],
    )


def test_the_lead_of_a_tap_may_lie_under_a_neck_narrower_than_the_thread():
    """Where the crests have fallen with the lead, what is under the neck is wall, no opening."""
    part = nose(11.9)
    (span,) = built(part).body.threads

    assert span.start < 16
    assert max(r for z, r in span.ceiling if z <= 16) < 11.9 / 2
    witnessed(part)


@pytest.mark.parametrize("made", [cylinder, cone])
def test_crests_that_come_through_the_side_are_told_with_the_depth_that_keeps_them_in(made):
    """Crests wider than a neck or a taper over them break through; the depth advised mends it."""
    with pytest.raises(
        DesignFaults, match=r"M12x1\.75, 12 mm over its crests: breaks through the side"
    ) as told:
        Design("nose", parts=[nose(10.3, depth=21.0 if made is cone else 12.0, made=made)])
    depth = float(re.search(r"tap it ([\d.]+) mm deep", str(told.value))[1])
    witnessed(nose(10.3, depth=depth, made=made))
    outside = float(re.search(r"leave the outside ([\d.]+) mm", str(told.value))[1])
    assert outside == 12 + 2 * 0.8


def ferrule(depth):
    """A ferrule with a taper in front, tapped from behind into the solid."""
    return Part.turned(
        "ferrule",
        material="CW614N",
        stock=bar("1/2 in"),
        outside=[cone(8.6, 12, length=7), cylinder(12, 8)],
        from_front=[drill("7.4 mm", through=True)],
        from_back=[tap("7/16-28 UNEF", depth=depth)],
    )


def test_a_tapping_drill_that_breaks_through_is_named():
    """The drill a tap took for itself is told by name and depth, with the depth of thread that mends it."""
    with pytest.raises(DesignFaults) as told:
        Design("ferrule", parts=[ferrule(9)])
    (fault,) = told.value.faults

    assert fault.given.startswith("tapping drill Y, 15.0 mm deep")
    assert "breaks through the side from 0 to 3.4" in fault.rule
    witnessed(ferrule(float(re.search(r"tap it ([\d.]+) mm deep", fault.mend)[1])))


def test_a_mouth_asked_for_that_is_wider_than_the_part_is_told():
    """A chamfer of 3 mm on the mouth of M8 opens wider than a part of 12 mm, whatever the crests leave."""
    part = Part.turned(
        "bush",
        material="CW614N",
        stock=bar("14 mm"),
        outside=[cylinder(12, 20)],
        from_front=[tap("M8x0.75", depth=8, mouth=chamfer(3))],
    )
    with pytest.raises(DesignFaults, match=r"tap \(from front 1\): diameter 1[34].* breaks through the side"):
        Design("bush", parts=[part])
