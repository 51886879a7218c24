"""Laws of designs: of places that joints give, of metal that cuts take, of values that scripts may hold."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.brass import made, turned
from turnmodel import (
    Design,
    Part,
    bore,
    chamfer,
    cone,
    cross_hole,
    cylinder,
    dome,
    drill,
    fillet,
    flat,
    groove,
    joint,
    recess,
    relief,
    shoulder,
    tap,
    thread,
)
from turnmodel.errors import DesignFaults, Fault
from turnmodel.geometry.frame import composed, inverse
from turnmodel.geometry.moments import moments
from turnmodel.geometry.thread_moments import body_moments

if TYPE_CHECKING:
    from turnmodel.geometry.frame import Matrix

ROUNDING = 1e-9
"""Rounding of a placement after a few products of frames under 100 mm [mm], thousands of times over."""

sizes = st.floats(1, 30)
"""Lengths and diameters of small objects, [mm]."""


def between(one: Matrix, other: Matrix) -> list[float]:
    """Give the placement of one part in the frame of another, as a list of numbers."""
    return [number for row in composed(inverse(one), other) for number in row]


def chain(lengths: list[float], gaps: list[float], turns: list[float], order: list[int]) -> dict[str, Matrix]:
    """Pose parts that stand one behind the other, listed in some order."""
    parts = [turned(cylinder(10, length), name=f"part {k}") for k, length in enumerate(lengths)]
    joints = [
        joint.seat(after.face("front"), before.face("back"), gap=gap, turn=angle)
        for before, after, gap, angle in zip(parts, parts[1:], gaps, turns, strict=False)
    ]
    return dict(Design("chain", parts=[parts[k] for k in order], joints=joints).poses["whole"].parts)


@given(
    lengths=st.lists(sizes, min_size=4, max_size=4),
    gaps=st.lists(st.floats(-5, 5), min_size=3, max_size=3),
    turns=st.lists(st.floats(-180, 180), min_size=3, max_size=3),
    order=st.permutations(range(4)),
)
def test_the_order_of_parts_does_not_move_them(
    lengths: list[float], gaps: list[float], turns: list[float], order: list[int]
) -> None:
    """Whichever part carries the object's frame, all stand alike to each other."""
    found, other = chain(lengths, gaps, turns, [0, 1, 2, 3]), chain(lengths, gaps, turns, order)

    for name in found:
        here, there = between(found["part 0"], found[name]), between(other["part 0"], other[name])
        assert here == pytest.approx(there, abs=ROUNDING)


@given(
    lengths=st.lists(sizes, min_size=4, max_size=4),
    gaps=st.lists(st.floats(-5, 5), min_size=3, max_size=3),
    more=st.floats(-5, 5),
)
def test_a_joint_moves_all_that_hangs_on_it_alike(
    lengths: list[float], gaps: list[float], more: float
) -> None:
    """A wider gap in one joint keeps the parts on either side as they stood to each other."""
    still = [0.0, 0.0, 0.0]
    found = chain(lengths, gaps, still, [0, 1, 2, 3])
    other = chain(lengths, [gaps[0], gaps[1] + more, gaps[2]], still, [0, 1, 2, 3])

    for a, b in (("part 0", "part 1"), ("part 2", "part 3")):
        assert between(found[a], found[b]) == pytest.approx(between(other[a], other[b]), abs=ROUNDING)
    shift = other["part 3"][2][3] - found["part 3"][2][3]
    assert shift == pytest.approx(more, abs=ROUNDING)


@given(turns=st.floats(-3, 8), more=st.floats(-3, 3))
def test_a_screw_moves_by_its_lead_for_each_turn(turns: float, more: float) -> None:
    """Whatever the turns, those added move the screw by the lead and no more."""
    box = turned(cylinder(12, 27), shoulder("stop"), relief(), thread("M10x1", 5), name="box")
    lid = turned(cylinder(12, 15), from_back=[tap("M10x1", depth=8)], name="lid")

    def station(opened: float) -> float:
        screw = joint.screw(lid.face("back"), box.face("stop"), turns_open=opened)
        return Design("object", parts=[box, lid], joints=[screw]).poses["whole"].parts["lid"][2][3]

    assert station(turns + more) - station(turns) == pytest.approx(more, abs=ROUNDING)


@given(diameter=st.floats(1, 18), depth=st.floats(1, 29), more=st.floats(0.01, 1))
@pytest.mark.parametrize("side", ["from_front", "from_back"])
def test_a_wider_or_deeper_bore_leaves_less(side: str, diameter: float, depth: float, more: float) -> None:
    """Volume falls by the ring, or the disc, that a larger bore takes."""

    def volume(d: float, deep: float) -> float:
        return moments(made(cylinder(20, 30.1), **{side: [bore(d, depth=deep)]}).body.plain).volume

    whole = volume(diameter, depth)
    wider, deeper = volume(diameter + more, depth), volume(diameter, min(depth + more, 30))
    ring = math.pi / 4 * ((diameter + more) ** 2 - diameter**2) * depth
    disc = math.pi / 4 * diameter**2 * (min(depth + more, 30) - depth)

    assert whole - wider == pytest.approx(ring, abs=1e-9 * whole)
    assert whole - deeper == pytest.approx(disc, abs=1e-9 * whole)


@given(lengths=st.lists(sizes, min_size=1, max_size=6), diameters=st.lists(sizes, min_size=6, max_size=6))
def test_a_part_is_as_long_and_heavy_as_its_lengths(lengths: list[float], diameters: list[float]) -> None:
    """Cylinders one behind the other add up in length and in volume."""
    part = made(*(cylinder(d, length) for d, length in zip(diameters, lengths, strict=False)))
    volume = sum(math.pi / 4 * d**2 * length for d, length in zip(diameters, lengths, strict=False))

    assert part.length == pytest.approx(sum(lengths), rel=1e-12)
    assert moments(part.body.plain).volume == pytest.approx(volume, rel=1e-9)


@given(drilled=st.floats(2, 8), depth=st.floats(2, 20), nose=st.floats(3, 10))
def test_a_part_turned_end_for_end_holds_as_much(drilled: float, depth: float, nose: float) -> None:
    """The same part written from its other end has the same volume, its balance from the other face."""
    outside = [cone(nose, 12, length=6), cylinder(12, 20), groove(2, 10), cylinder(12, 4)]
    turned_round = [cylinder(12, 4), groove(2, 10), cylinder(12, 20), cone(12, nose, length=6)]
    holes = [drill(drilled, depth=depth)]
    one = body_moments(made(*outside, from_back=holes).body)
    other = body_moments(made(*turned_round, from_front=holes).body)

    assert other.volume == pytest.approx(one.volume, rel=1e-9)
    assert other.station == pytest.approx(32 - one.station, abs=1e-6)


odd = st.one_of(
    st.floats(-1, 20),
    st.sampled_from([0, -0.0, 1e-9, 1e-3, 1e9, math.nan, math.inf, "3/8 in", "12", "x", "", None, True, [1]]),
)
"""Values as scripts hold them: sound ones, wrong ones, no numbers at all."""


@given(data=st.data())
def test_whatever_a_script_holds_is_built_or_refused(data: st.DataObject) -> None:
    """No value makes the program fail: a part is built, or each fault of it has a part, a rule and a line."""

    def value() -> Any:
        return data.draw(odd)

    edges = [None, chamfer(value()), fillet(value())]
    outside = [
        cylinder(value(), value(), front=data.draw(st.sampled_from(edges))),
        cone(value(), value(), length=value()),
        dome(value(), length=value()),
        thread("M10x1", value(), back=data.draw(st.sampled_from(edges))),
        groove(value(), value(), radius=value()),
        relief(width=value()),
        shoulder("stop"),
        cylinder(12, 20),
    ]
    inside = [
        drill(value(), depth=value()),
        bore(value(), depth=value()),
        tap("M6", depth=value()),
        recess(value(), value(), depth=value()),
    ]
    across = [cross_hole(value(), at=value()), flat(at=value(), length=value(), across=value())]
    listed = st.lists(st.sampled_from(outside), min_size=1, max_size=4)
    part = turned(
        *data.draw(listed),
        from_front=data.draw(st.lists(st.sampled_from(inside), max_size=2)),
        from_back=data.draw(st.lists(st.sampled_from(inside), max_size=2)),
        across=data.draw(st.lists(st.sampled_from(across), max_size=1)),
        stock="40 mm",
    )
    for fault in faults_of(part):
        assert fault.part == "part"
        assert fault.rule
        assert fault.where is not None


def faults_of(part: Part) -> tuple[Fault, ...]:
    """Build a design of one part; its faults where it is refused."""
    try:
        Design("object", parts=[part])
    except DesignFaults as refused:
        return refused.faults
    return ()
