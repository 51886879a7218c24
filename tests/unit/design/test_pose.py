"""Joints and states: where parts come to stand, by hand arithmetic."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.brass import turned
from turnmodel import (
    Design,
    Part,
    bore,
    chamfer,
    cone,
    countersink,
    cross_hole,
    cross_tap,
    cylinder,
    drill,
    joint,
    relief,
    saddle,
    shoulder,
    state,
    straight,
    tap,
    thread,
)
from turnmodel.design.pose import body_at
from turnmodel.errors import DesignFaults
from turnmodel.geometry.engagement import body_overlap
from turnmodel.geometry.frame import coaxial, composed, inverse

if TYPE_CHECKING:
    from turnmodel.design.joint import Joint
    from turnmodel.geometry.frame import Matrix


def placed(parts: list[Part], *joints: Joint, **states: Any) -> dict[str, Matrix]:
    """Pose a design in its one state."""
    (pose,) = Design("object", parts=parts, joints=joints, states=states or None).poses.values()
    return dict(pose.parts)


def along(matrix: Matrix) -> tuple[float, bool]:
    """Read a placement on the axis: its station and whether it is turned end for end."""
    found = coaxial(matrix)
    assert found is not None
    return pytest.approx(found[0], abs=1e-9), found[2]


STEM = turned(cylinder(6, 12), shoulder("stop"), cylinder(10, 20), name="stem")
RING = turned(cylinder(10, 5), from_front=[drill("6 mm", through=True)], name="ring")
PLATE = turned(cylinder(20, 3), name="plate")


def test_a_seat_brings_face_to_face() -> None:
    """A ring's back on a shoulder at 12 mm stands from 7 to 12 mm, the way it was drawn."""
    found = placed([STEM, RING], joint.seat(RING.face("back"), STEM.face("stop")))

    assert along(found["ring"]) == (7, False)
    assert along(found["stem"]) == (0, False)


def test_a_seat_turns_a_part_end_for_end_where_its_face_asks() -> None:
    """A ring's front on the same shoulder stands over the same length, turned round."""
    found = placed([STEM, RING], joint.seat(RING.face("front"), STEM.face("stop")))

    assert along(found["ring"]) == (12, True)


def test_a_gap_holds_the_faces_apart() -> None:
    """A gap of 0.5 mm moves a part back by as much."""
    found = placed([STEM, RING], joint.seat(RING.face("back"), STEM.face("stop"), gap=0.5))

    assert along(found["ring"]) == (6.5, False)


def test_either_part_may_be_the_one_that_stands() -> None:
    """A joint of a part that stands to one that does not places the other, just as well."""
    seat = joint.seat(RING.face("back"), STEM.face("stop"))
    found, other = placed([RING, STEM], seat), placed([STEM, RING], seat)

    assert along(found["stem"]) == (-7, False)
    assert composed(inverse(found["stem"]), found["ring"]) == composed(inverse(other["stem"]), other["ring"])


@pytest.mark.parametrize("turn", [0.0, 90.0, -30.0])
def test_a_turn_is_about_the_joint_s_own_axis(turn: float) -> None:
    """The moving part is turned about the normal of the fixed face."""
    found = coaxial(
        placed([PLATE, STEM], joint.seat(STEM.face("front"), PLATE.face("back"), turn=turn))["stem"]
    )

    assert found == (pytest.approx(3), pytest.approx(turn), False)


def test_a_cone_rests_where_it_first_touches() -> None:
    """A flat end of 4 mm sits in a 90 degree countersink of 10 mm where that is 4 mm wide: 3 mm down."""
    block = turned(cylinder(20, 20), from_front=[countersink(10, mark="cup")], name="block")
    pin = turned(cylinder(4, 30), name="pin")
    found = placed([block, pin], joint.seat(pin.face("back"), block.face("cup")))

    assert along(found["pin"]) == (3 - 30, False)


def test_a_cone_on_a_cone_of_its_angle_rests_on_all_of_it() -> None:
    """A 90 degree nose that ends 2 mm wide sits in a 90 degree countersink 1 mm above its bottom of 5 mm."""
    block = turned(cylinder(20, 20), from_front=[countersink(10, mark="cup")], name="block")
    pin = turned(cone(2, 6, half_angle=45, mark="nose"), cylinder(6, 30), name="pin")
    found = placed([block, pin], joint.seat(pin.face("nose"), block.face("cup")))

    assert along(found["pin"]) == (4, True)


BOX = turned(
    cylinder(12, 27), shoulder("stop"), relief(short=True), thread("M10x1", 5), name="box", stock="12 mm"
)


def lid(size: str = "M10x1", drilled: str = "9 mm") -> Part:
    """Write a lid tapped 8 mm deep."""
    inside = [drill(drilled, depth=10.5), tap(size, depth=8, lead="bottoming")]
    return turned(cylinder(12, 15), from_back=inside, name="lid", stock="12 mm")


LID = lid()


@pytest.mark.parametrize("turns", [0, 0.25, 1, 3.5, -0.5])
def test_turns_open_move_a_screw_by_its_lead(turns: float) -> None:
    """Each turn that a screw is left open moves it by its lead, 1 mm of an M10x1."""
    screw = joint.screw(LID.face("back"), BOX.face("stop"), turns_open=turns)
    found = placed([BOX, LID], screw)

    # the lid's mouth looks to its own back; it stands turned round on the box, its front 15 mm from the stop
    assert along(found["lid"]) == (27 + 15 + turns, True)


@pytest.mark.parametrize("turns", [0, 0.25, 1, 2.6])
@pytest.mark.parametrize("first", ["box", "lid"])
def test_a_screwed_part_is_turned_into_step(turns: float, first: str) -> None:
    """However far it is screwed, a screw's helix lies in the groove of its nut: they share no metal."""
    parts = [BOX, LID] if first == "box" else [LID, BOX]
    found = placed(parts, joint.screw(LID.face("back"), BOX.face("stop"), turns_open=turns))
    bodies = []
    for part in (BOX, LID):
        place = coaxial(found[part.name])
        assert place is not None
        bodies.append(body_at(part_body(part), place))

    assert body_overlap(*bodies) == pytest.approx(0, abs=1e-6)


def part_body(part: Part) -> Any:
    """Give the exact body of a turned part."""
    from turnmodel.design.part import built
    from turnmodel.design.turned import Turned

    made = built(part)
    assert isinstance(made, Turned)
    return made.body


def test_a_thread_of_two_starts_moves_two_pitches_a_turn() -> None:
    """The lead of two starts of 0.75 mm is 1.5 mm."""
    screw = turned(cylinder(12, 20), shoulder("stop"), relief(), thread("M8xPh1.5P0.75", 5), name="screw")
    nut = turned(cylinder(12, 15), from_back=[tap("M8xPh1.5P0.75", depth=9)], name="nut")
    open_by = [
        coaxial(placed([screw, nut], joint.screw(nut.face("back"), screw.face("stop"), turns_open=n))["nut"])
        for n in (0, 2)
    ]

    assert open_by[0]
    assert open_by[1]
    assert open_by[1][0] - open_by[0][0] == pytest.approx(3.0)


def test_a_press_stands_where_a_seat_would() -> None:
    """A pressed part meets its face; the allowance is for the rules to judge."""
    press = joint.press(RING.face("back"), STEM.face("stop"), allowance=0.02)

    assert along(placed([STEM, RING], press)["ring"]) == (7, False)


def test_a_spring_holds_its_length() -> None:
    """A spring of 8 mm stands between its two faces."""
    spring = joint.spring(RING.face("back"), STEM.face("stop"), length=8, free=12, rate=0.5)

    assert along(placed([STEM, RING], spring)["ring"]) == (-1, False)


def stack() -> tuple[list[Part], tuple[Joint, ...]]:
    """Write a spacer, a strip and a screw that stand across a tube, the screw in the tube's wall."""
    tube = turned(
        cylinder(10, 30),
        from_back=[bore(6, depth=20)],
        across=[cross_tap("M2", at=12, mark="pin")],
        name="tube",
    )
    post = turned(
        cylinder(6, 12),
        from_front=[drill("2.2 mm", through=True)],
        across=[saddle(10, mark="saddle")],
        name="post",
    )
    clip = Part.strip(
        "clip",
        material="1095 blue strip",
        thickness=0.5,
        widths=[(0, 5), (30, 5)],
        holes={"screw": (3, 2.2)},
        side=[straight(30)],
    )
    screw = turned(cylinder(3.8, 1.5), shoulder("under head"), thread("M2", 15), name="screw")
    return [tube, post, clip, screw], (
        joint.screw(screw.face("under head"), clip.face("screw", "top"), into=tube),
        joint.seat(clip.face("screw", "under"), post.face("front")),
        joint.seat(post.face("saddle"), tube.face("pin")),
    )


def test_a_stack_stands_across_its_tube() -> None:
    """Post, strip and screw stand on each other out from the tube, listed in whatever order.

    The saddle's bottom, 1 mm under the post's rim of 12 mm, is on the tube's 5 mm radius: the post's front is
    5 + 11 = 16 mm out, the strip's top 16.5 mm, the screw's front 18 mm.
    """
    parts, joints = stack()
    found = placed(parts, *joints)

    def out(name: str) -> tuple[float, ...]:
        return tuple(row[3] for row in found[name][:3])

    assert out("post") == pytest.approx((16, 0, 12))
    assert out("screw") == pytest.approx((18, 0, 12))
    assert [row[2] for row in found["post"][:3]] == pytest.approx([-1, 0, 0])
    assert [row[2] for row in found["screw"][:3]] == pytest.approx([-1, 0, 0])
    hole = [sum(a * b for a, b in zip(row, (3, 0, 0.5, 1), strict=True)) for row in found["clip"][:3]]
    assert hole == pytest.approx([16.5, 0, 12])


def test_what_is_laid_aside_takes_along_what_only_it_holds() -> None:
    """With the tube laid aside only what is not on it is left; with the post aside the tube stays."""
    parts, joints = stack()
    base = turned(cylinder(20, 4), name="base")
    joints = (*joints, joint.seat(parts[0].face("front"), base.face("back")))
    every = [base, *parts]

    assert set(placed(every, *joints, apart=state(aside=parts[0]))) == {"base"}
    assert set(placed(every, *joints, bare=state(aside=parts[1]))) == {"base", "tube"}


def test_a_state_makes_its_own_joints_besides_the_standing_ones() -> None:
    """A part may stand in one place in one state, in another in the next, and aside in a third."""
    design = Design(
        "object",
        parts=[STEM, RING],
        states={
            "on": state(joint.seat(RING.face("back"), STEM.face("stop"))),
            "off": [joint.seat(RING.face("front"), STEM.face("back"), gap=2)],
            "away": state(aside=RING),
        },
    )

    assert along(design.poses["on"].parts["ring"]) == (7, False)
    assert along(design.poses["off"].parts["ring"]) == (12 + 20 + 2, False)
    assert set(design.poses["away"].parts) == {"stem"}


def test_two_joints_may_agree() -> None:
    """A part that two joints hold to the same place is held twice, which is no fault."""
    cap = turned(cylinder(10, 17), from_back=[bore(6, depth=12, mark="floor")], name="cap")
    joints = (
        joint.seat(cap.face("back"), STEM.face("stop")),
        joint.seat(cap.face("floor"), STEM.face("front")),
    )

    assert along(placed([STEM, cap], *joints)["cap"]) == (-5, False)


def test_a_joint_that_cannot_be_made_does_not_breed_others() -> None:
    """What is placed by a refused joint is not held to other joints: one cause, one fault."""
    post = turned(cylinder(4, 10), name="post")
    wide = turned(cylinder(20, 8), from_back=[bore(8, depth=4)], name="wide")
    joints = (
        joint.seat(wide.face("back"), post.face("front")),
        joint.seat(wide.face("front"), post.face("front")),
    )
    with pytest.raises(DesignFaults) as refused:
        Design("object", parts=[post, wide], joints=joints)

    assert len(refused.value.faults) == 1
    assert "without touching" in refused.value.faults[0].rule


def test_parts_that_nothing_holds_are_told_together() -> None:
    """Of parts that hang together and float, one fault names them all."""
    joints = [joint.seat(RING.face("back"), STEM.face("stop"))]
    with pytest.raises(DesignFaults) as refused:
        Design("object", parts=[PLATE, STEM, RING], joints=joints)

    (fault,) = refused.value.faults
    assert (fault.part, fault.rule) == ("stem", "no joint holds it to the rest, nor ring that it carries")


def test_a_standing_joint_is_refused_once_for_all_states() -> None:
    """A joint that stands in every state is told once, without a state's name."""
    joints = [joint.seat(STEM.face("stop"), STEM.face("front"))]
    with pytest.raises(DesignFaults) as refused:
        Design("object", parts=[STEM], joints=joints, states={"one": [], "two": []})

    (fault,) = refused.value.faults
    assert fault.feature == "seat on stem"


def test_threads_that_share_no_axis_do_not_screw() -> None:
    """A screw across a part that is tapped along its axis is refused."""
    rod = turned(
        cylinder(12, 30, edges=chamfer(0.2)),
        from_back=[tap("M4", depth=8)],
        across=[cross_hole("4.5 mm", at=8, mark="side")],
        name="rod",
    )
    bolt = turned(cylinder(8, 3), shoulder("head"), thread("M4", 6), name="bolt")
    with pytest.raises(DesignFaults, match="do not share an axis"):
        Design("object", parts=[rod, bolt], joints=[joint.screw(bolt.face("head"), rod.face("side"))])
