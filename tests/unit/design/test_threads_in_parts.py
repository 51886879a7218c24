"""Threads beside recesses and deep chamfers: where they end, and that every volume of the part agrees."""

import pytest

from turnmodel import Design, Part, bar, chamfer, cylinder, drill, fillet, groove, recess, tap, thread
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
