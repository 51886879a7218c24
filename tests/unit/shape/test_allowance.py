"""Allowances on the profile: what moves, and what must not."""

from __future__ import annotations

import numpy as np
import pytest

from turnmodel import Part, bar, bore, chamfer, cone, cylinder, dome, drill, fillet, tap, thread
from turnmodel.design.part import ShapedPart, built
from turnmodel.geometry.curve import Line
from turnmodel.geometry.region import bounds, check_region
from turnmodel.shape.allowance import Recut, deepened, eased, footed, radius_at, runs
from turnmodel.shape.files import write_stl
from turnmodel.shape.part import part_mesh

FLOAT32 = 1e-5
"""Rounding [mm] of lengths up to 40 mm in four bytes, thirty times over."""


def turned(*outside, front=(), back=(), stock="20 mm"):
    """Build a brass part."""
    made = Part.turned(
        "part", material="CW614N", stock=bar(stock), outside=outside, from_front=front, from_back=back
    )
    return built(made)


def corners(made, tmp_path):
    """Write a part as STL and read its corners by the layout of the format: station and radius."""
    path = tmp_path / "part.stl"
    write_stl(part_mesh(ShapedPart(name="part", material="PLA", shape=made)), path)
    facet = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    x, y, z = np.frombuffer(path.read_bytes(), facet, offset=84)["corners"].reshape(-1, 3).astype(float).T
    return set(zip(z.round(4).tolist(), np.hypot(x, y).round(4).tolist(), strict=True))


def test_a_hole_of_6_with_an_allowance_of_02_is_62_in_the_file(tmp_path):
    """A 6.0 mm bore is 6.2 in the STL; the shoulder beside it and its floor have not moved."""
    made = turned(cylinder(16, 20), front=[bore(6, depth=12), bore(9, depth=4)])
    holes = [run for run in runs(made.body) if run.inside]

    found = corners(eased(made, dict.fromkeys(holes, 0.2), {}), tmp_path)

    assert found == {
        (0.0, 4.6), (4.0, 4.6), (4.0, 3.1), (12.0, 3.1), (12.0, 0.0),
        (0.0, 8.0), (20.0, 8.0), (20.0, 0.0),
    }  # fmt: skip


def test_a_spigot_gets_thinner_and_its_chamfer_and_shoulder_keep_their_stations(tmp_path):
    """0.1 mm off a 7 mm spigot: 6.9, its chamfer still 0.5 mm long at 45 degrees, the shoulder at 9 mm."""
    made = turned(cylinder(7, 9, front=chamfer(0.5)), cylinder(14, 6))
    spigot = next(run for run in runs(made.body) if radius_at(run.curves[0], run.curves[0].start[0]) < 4)

    found = corners(eased(made, {spigot: -0.1}, {}), tmp_path)

    assert found == {
        (0.0, 0.0), (0.0, 2.95), (0.5, 3.45), (9.0, 3.45), (9.0, 7.0), (15.0, 7.0), (15.0, 0.0),
    }  # fmt: skip


def test_a_fillet_moves_as_it_is():
    """An arc keeps its radius and its stations."""
    made = turned(cylinder(12, 10, front=fillet(2)))
    (outside,) = runs(made.body)

    moved = eased(made, {outside: -0.2}, {})

    arc = next(c for c in moved.body.plain.loops[0] if not isinstance(c, Line))
    assert arc.radius == pytest.approx(2)
    assert (arc.center, moved.length) == (pytest.approx((2.0, 3.9)), 10)


def test_a_dome_to_the_axis_stays():
    """What runs to the axis cannot pass it, so it stays, and the length with it."""
    made = turned(cylinder(10, 10), dome(length=3))

    moved = eased(made, dict.fromkeys(runs(made.body), -0.2), {})

    box = bounds(moved.body.plain)
    assert (box.z0, box.z1) == (pytest.approx(0, abs=1e-12), pytest.approx(13))
    assert moved.outside[0].curves[0].start[1] == pytest.approx(4.9)
    check_region(moved.body.plain)


def test_runs_end_at_steps_and_at_threads():
    """A taper that goes on from a cylinder is one run with it; a thread is one of its own."""
    made = turned(cone(4, 8, length=5), cylinder(8, 5), thread("M10x1", 8), cylinder(14, 4))

    found = [(run.thread is not None, len(run.curves)) for run in runs(made.body)]

    # from the back: head, thread with the chamfer at its free end, cylinder and taper
    assert found == [(False, 1), (True, 2), (False, 2)]


def test_a_thread_can_be_left_plain():
    """A thread whose place is taken by an outline is gone, and its feature has the new diameter."""
    made = turned(thread("M10x1", 8), cylinder(14, 4))
    (span,) = made.body.threads

    plain = eased(made, {}, {span: Recut(thread=None, outline=((span.start, 4.4), (span.end, 4.4)))})

    assert plain.body.threads == ()
    assert plain.outside[0].curves == (Line(start=(0.0, 4.4), end=(8.0, 4.4)),)
    assert plain.outside[1].radius_before == 4.4


def test_an_outline_that_would_cross_itself_is_refused():
    """A bore made wider than the outside is no part."""
    made = turned(cylinder(12, 10), front=[bore(11, through=True)])

    with pytest.raises(ValueError, match="boundary at station"):
        eased(made, {run: 3.0 for run in runs(made.body) if run.inside}, {})


def test_the_floor_of_a_hole_moves_with_its_wall():
    """The cone that a drill leaves keeps its stations; where its tip was it becomes a flat."""
    made = turned(cylinder(16, 30), back=[drill("8 mm", depth=10)])
    (hole,) = (run for run in runs(made.body) if run.inside)

    (bored,) = eased(made, {hole: 0.2}, {}).inside

    tip = 20 - 4 / np.tan(np.radians(59))
    assert sorted(p for c in bored.floor for p in (c.start, c.end)) == [
        pytest.approx(p) for p in [(tip, 0.0), (tip, 0.1), (tip, 0.1), (20.0, 4.1)]
    ]


@pytest.mark.parametrize(("wall", "depth"), [(0.8, 12.3), (8.0, 12.0)])
def test_a_blind_hole_is_deepened_where_enough_is_left_behind_it(wall, depth):
    """0.3 mm deeper from 12 in 20 where 7.7 mm are left; not where 8 are asked for."""
    made = turned(cylinder(16, 20), front=[bore(6, depth=12)])

    deeper = deepened(made, made.inside[0], 0.3, wall)

    assert deeper.inside[0].floor[0].start[0] == pytest.approx(depth)
    assert max(z for c in deeper.body.plain.loops[0] if c.start[1] == 3 for z, _ in [c.start, c.end]) == (
        pytest.approx(depth)
    )


def test_a_sharp_foot_is_chamfered_inside_and_out():
    """Both corners of a tube's end are taken off by the first layers' spread, and the other end is not."""
    made = turned(cylinder(16, 20), front=[bore(6, through=True)])

    points = {p for c in footed(made, 0.2, back=True).body.plain.loops[0] for p in (c.start, c.end)}

    assert {(20.0, 7.8), (19.8, 8.0), (20.0, 3.2), (19.8, 3.0), (0.0, 3.0), (0.0, 8.0)} == {
        (round(z, 9), round(r, 9)) for z, r in points
    }


@pytest.mark.parametrize(
    "made",
    [
        turned(cylinder(16, 20, front=chamfer(0.5))),
        turned(thread("M10x1", 8), cylinder(14, 4)),
        turned(dome(10, length=3), cylinder(10, 10)),
    ],
    ids=["chamfered", "threaded", "domed"],
)
def test_a_foot_that_is_chamfered_threaded_or_round_stays(made):
    """There the first layers spread within the outline of those above."""
    assert footed(made, 0.2, back=False) == made


def test_a_tapped_hole_is_a_run_of_its_own():
    """Its wall is told apart from the drill's beyond it, at the end of the tap's lead."""
    made = turned(cylinder(16, 30), back=[drill("8.5 mm", depth=20), tap("M10", depth=10)])

    inside = [run for run in runs(made.body) if run.inside]

    (tapped,) = (run for run in inside if run.thread)
    assert {run.thread for run in inside} == {None, made.body.threads[0]}
    assert max(c.end[0] for c in tapped.curves) == pytest.approx(30)
    assert min(c.start[0] for c in tapped.curves) == pytest.approx(made.body.threads[0].start)
