"""Parts that meet: what they share, and how near they come."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnmodel import (
    Design,
    Part,
    bar,
    bend,
    bore,
    cross_hole,
    cross_tap,
    cylinder,
    drill,
    flat,
    joint,
    relief,
    saddle,
    shoulder,
    state,
    straight,
    tap,
    thread,
)
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.interference import _out_of_box, meetings
from turnmodel.analysis.report import report
from turnmodel.geometry.across import Block
from turnmodel.geometry.tolerance import CONTACT_MM3, circle_deficit
from turnmodel.shape.mesh import intersection_volume, tool_mesh

OVERLAP_REL = 1e-9
"""Overlap of round parts is a closed form; what is left is rounding."""


def box(**changes):
    """A box with an M10x1 spigot and a lid that screws on to its shoulder."""
    holes = changes.get("across", [])
    body = Part.turned(
        "box",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[cylinder(12, 27), shoulder("stop"), relief(short=True), thread("M10x1", 5)],
        from_back=[drill("7 mm", depth=30)],
        across=holes,
    )
    lid = Part.turned(
        "lid",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[cylinder(12, 20)],
        from_back=[drill("9 mm", depth=14), bore(10.4, depth=2.5), tap("M10x1", depth=11)],
    )
    screwed = joint.screw(lid.face("back"), body.face("stop"), turns_open=changes.get("turns_open", 0.0))
    return Design("box", parts=[body, lid], states={"closed": state(screwed)})


def test_threads_screwed_home_only_touch():
    """A pair of basic size in phase shares nothing and touches."""
    (pair,) = meetings(box(), "closed")

    assert pair.overlap == 0.0
    assert pair.least == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("turns", [1, 2])
def test_a_lid_screwed_too_far_shares_pitch_times_area_with_the_shoulder(turns):
    """The overlap is the ring that meets the shoulder, 10.4 to 12 mm, times the advance."""
    (pair,) = meetings(box(turns_open=-turns), "closed")

    assert pair.overlap == pytest.approx(math.pi / 4 * (12**2 - 10.4**2) * turns * 1.0, rel=OVERLAP_REL)


def test_half_a_turn_of_slip_clashes():
    """A lid held at the right station but half a turn out of step cuts into the thread."""
    from turnmodel.design.part import built
    from turnmodel.design.pose import body_at
    from turnmodel.geometry.engagement import body_overlap
    from turnmodel.geometry.frame import coaxial

    design = box()
    body, lid = (built(part).body for part in design.parts)
    station, degrees, flip = coaxial(design.poses["closed"].parts["lid"])

    assert body_overlap(body, body_at(lid, (station, degrees, flip))) == pytest.approx(0.0, abs=1e-9)
    assert body_overlap(body, body_at(lid, (station, degrees + 180, flip))) > 1.0


def test_a_cross_hole_sends_an_overlap_to_the_mesh():
    """A part that is not round is judged by its mesh, and touching faces are still no interference."""
    design = box(across=[cross_hole("2 mm", at=10)])
    (pair,) = meetings(design, "closed")

    assert pair.overlap == 0.0


def test_interference_is_a_fault_with_its_place():
    """The finding names both parts, the volume and the stations."""
    found = report(box(turns_open=-1), {})
    (fault,) = [f for f in found.findings if f.rule == "interference"]

    assert not found.sound
    assert fault.parts == ("box", "lid")
    assert fault.state == "closed"
    assert "fill the same" in fault.message


def test_a_saddle_on_the_mouth_of_a_cross_tap_shares_nothing():
    """What stands round the mouth without a thread is judged by the hole as drilled."""
    round_part = Part.turned(
        "round",
        material="CW614N",
        stock=bar("10 mm"),
        outside=[cylinder(10, 20)],
        across=[cross_tap("M2", at=10, depth=4, mark="mouth")],
    )
    block = Part.turned(
        "block",
        material="CW614N",
        stock=bar("5 mm"),
        outside=[cylinder(5, 2)],
        from_front=[drill("2.2 mm", through=True)],
        across=[saddle(10, mark="saddle")],
    )
    seated = joint.seat(block.face("saddle"), round_part.face("mouth"))
    (pair,) = meetings(Design("pair", parts=[round_part, block], joints=[seated]), "whole")

    assert pair.overlap == 0.0


def test_a_part_with_one_thread_at_both_ends_is_in_step_at_either():
    """A tube tapped alike at both ends takes a plug at each, in step with the thread it enters."""
    end = [drill("8.5 mm", depth=14), tap("M9x0.5", depth=8)]
    tube = Part.turned(
        "tube",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[cylinder(12, 40.2)],
        from_front=[drill("6 mm", through=True), *end],
        from_back=end,
    )
    plugs = [
        Part.turned(
            f"{side} plug",
            material="CW614N",
            stock=bar("12 mm"),
            outside=[thread("M9x0.5", 5), relief(), shoulder("stop"), cylinder(12, 5)],
        )
        for side in ("front", "back")
    ]
    joints = [
        joint.screw(plug.face("stop"), tube.face(side))
        for plug, side in zip(plugs, ("front", "back"), strict=True)
    ]
    found = meetings(Design("tube", parts=[tube, *plugs], joints=joints), "whole")

    assert [pair.overlap for pair in found] == [0.0, 0.0, 0.0]


@pytest.mark.parametrize("deep", [0.0, 0.01, 0.05])
@pytest.mark.parametrize("side", ["under", "top"])
def test_a_strip_seated_flat_shares_what_it_is_sunk_by(deep, side):
    """Flat on a post it only touches, though it bends past that face; sunk, it shares ring times depth."""
    post = Part.turned(
        "post",
        material="CW614N",
        stock=bar("6 mm"),
        outside=[cylinder(5, 4)],
        from_front=[drill("2.2 mm", through=True)],
        across=[cross_hole("1 mm", at=3)],
    )
    strip = Part.strip(
        "strip",
        material="1095 blue strip",
        thickness=0.5,
        widths=[(0, 8), (40, 8)],
        holes={"hole": (4, 2.2)},
        side=[straight(12), bend(-40 if side == "under" else 40, radius=4)],
    )
    seated = joint.seat(strip.face("hole", side), post.face("front"), gap=-deep)
    (pair,) = meetings(Design("pair", parts=[post, strip], joints=[seated]), "whole")

    assert pair.overlap == pytest.approx(deep * math.pi / 4 * (5**2 - 2.2**2), rel=2 * circle_deficit(128))
    assert pair.least == 0.0


@given(
    at=st.tuples(*[st.integers(-5, 5)] * 3),
    size=st.tuples(*[st.integers(1, 8)] * 3),
    turned=st.booleans(),
)
def test_what_is_out_of_a_box_shares_nothing(at, size, turned):
    """Of blocks beside, on, across and inside each other, those found apart share nothing by the kernel."""
    square = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    leaning = ((0.8, 0.6, 0.0), (-0.6, 0.8, 0.0), (0.0, 0.0, 1.0))
    one = tool_mesh(Block(center=(0.0, 0.0, 0.0), size=(4.0, 4.0, 4.0), axes=square))
    other = tool_mesh(Block(center=at, size=size, axes=leaning if turned else square))
    out = [_out_of_box(one, other), _out_of_box(other, one)]

    if any(out):
        assert intersection_volume(one, other) < CONTACT_MM3
    elif not turned:
        assert intersection_volume(one, other) > 0


def test_an_overlap_of_several_states_is_told_once():
    """A plug that fills the same metal in both states is one finding, which names both."""
    post = Part.turned(
        "post",
        material="CW614N",
        stock=bar("10 mm"),
        outside=[cylinder(10, 20)],
        from_back=[drill("5 mm", depth=10)],
    )
    plug = Part.turned(
        "plug",
        material="CW614N",
        stock=bar("8 mm"),
        outside=[cylinder(8, 3), shoulder("under"), cylinder(5.2, 4)],
    )
    joints = [joint.seat(plug.face("under"), post.face("back"))]
    states = {"one": state(), "other": state()}
    made = Design("object", parts=[post, plug], joints=joints, states=states)
    (fault,) = [f for f in report(made, {}).findings if f.rule == "interference"]

    assert fault.message.endswith("of post, in one and other")


def test_a_jam_of_threads_is_told_of_the_joint_alone():
    """A run-out that jams in the mouth of a cross tap is a fault of the joint, and no other besides."""
    post = Part.turned(
        "post",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[cylinder(12, 20)],
        across=[flat(at=10, length=6.5, across=11.2), cross_tap("M3", at=10, mark="mouth")],
    )
    pin = Part.turned(
        "pin",
        material="silver steel",
        stock=bar("6 mm"),
        outside=[cylinder(6, 4), shoulder("head"), thread("M3", 4)],
    )
    joints = [joint.screw(pin.face("head"), post.face("mouth"))]
    made = Design("object", parts=[post, pin], joints=joints, states={"one": state(), "other": state()})
    faults = [f.rule for f in report(made, {}).findings if f.severity is Severity.FAULT]

    assert meetings(made, "one")[0].overlap > 0.1
    assert faults == ["seating"]
