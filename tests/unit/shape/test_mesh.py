"""The door to the mesh kernel: what goes in is checked, what comes out is whole."""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest

from tests.threaded import hole, screw
from turnmodel.catalog.threads import thread
from turnmodel.errors import BadValue, OutputError, WitnessError
from turnmodel.geometry.across import Block, CrossCylinder, Prism
from turnmodel.geometry.body import Body
from turnmodel.geometry.engagement import body_overlap
from turnmodel.geometry.region import ring
from turnmodel.geometry.tolerance import circle_deficit
from turnmodel.shape.lathe import CUT, SKIN, THREAD, lathe
from turnmodel.shape.measures import mesh_volume, open_edges, transformed
from turnmodel.shape.mesh import (
    cut,
    gap,
    intersection,
    intersection_volume,
    joined,
    moved,
    read_back,
    tool_mesh,
)

SQUARE = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
FLAT = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))


FLAT_ON_ITS_SIDE = ((0.0, 0.0, 1.0, 0.0), (0.0, 1.0, 0.0, 0.0), (-1.0, 0.0, 0.0, 4.0), (0.0, 0.0, 0.0, 1.0))


def _block(center, size):
    return Block(center=center, size=size, axes=SQUARE)


@pytest.fixture
def bar():
    """A bar of diameter 8 and length 20, area-true."""
    return lathe(Body(plain=ring(0, 20, 8)), area_true=True)


def _shifted(mesh, x):
    matrix = np.eye(4)
    matrix[0, 3] = x
    return transformed(mesh, matrix)


def test_cross_hole_takes_its_cylinder_away(bar):
    """A hole through a square block takes the cylinder's volume, and its wall keeps the cutter's tag."""
    block = tool_mesh(_block((0, 0, 0), (10, 10, 10)))
    drill = CrossCylinder(at=(-8, 0, 0), direction=(1, 0, 0), diameter=3, length=16)
    drilled = cut(block, tool_mesh(drill, tag=CUT))

    assert mesh_volume(drilled) == pytest.approx(1000 - math.pi * 2.25 * 10, rel=1e-9)
    assert open_edges(drilled) == 0
    assert set(drilled.tags) == {SKIN, CUT}


def test_hole_across_a_bar_takes_two_cylinders_common(bar):
    """Equal cylinders crossing at right angles share 16 r^3 / 3 (Steinmetz's solid, known in closed form)."""
    drill = tool_mesh(CrossCylinder(at=(-9, 0, 10), direction=(1, 0, 0), diameter=8, length=18))

    # Both are polygons with their circle's area; the common solid errs by a polygon's lack at the most.
    expected = pytest.approx(16 * 64 / 3, rel=2 * circle_deficit(128))
    assert intersection_volume(bar, drill) == expected
    assert mesh_volume(bar) - mesh_volume(cut(bar, drill)) == expected


def test_threads_keep_their_tag_through_a_cut():
    """A flat milled on a screw leaves the rest of the thread a thread."""
    part = lathe(screw(thread("M6x1"), 8))
    milled = cut(part, tool_mesh(_block((4, 0, 4), (3, 10, 10))))

    assert set(milled.tags) == {SKIN, THREAD}
    assert mesh_volume(milled) < mesh_volume(part)


def test_cutting_everything_leaves_nothing(bar):
    """What is wholly inside the cutter is gone; no cutter leaves the part as it was."""
    assert len(cut(bar, tool_mesh(_block((0, 0, 10), (50, 50, 50)))).faces) == 0
    assert cut(bar) is bar


def test_joined_and_common_parts_add_up(bar):
    """V(A or B) + V(A and B) = V(A) + V(B)."""
    other = _shifted(bar, 3.0)
    total = mesh_volume(joined(bar, other)) + mesh_volume(intersection(bar, other))

    assert total == pytest.approx(mesh_volume(bar) + mesh_volume(other), rel=1e-12)
    assert mesh_volume(intersection(bar, other)) == pytest.approx(intersection_volume(bar, other), rel=1e-12)


def test_gap_is_measured_as_far_as_searched(bar):
    """Bars 0.4 apart read 0.4; beyond the search there is no figure; overlapping ones read nothing."""
    apart = _shifted(bar, 2 * bar.vertices[:, 0].max() + 0.4)

    assert gap(bar, apart, 1.0) == pytest.approx(0.4)
    assert gap(bar, apart, 0.3) is None
    assert gap(bar, _shifted(bar, 1.0), 0.3) == 0


def test_what_was_cut_or_moved_is_cut_again_as_if_handed_over_anew(bar):
    """What the kernel holds of a mesh is that mesh: a second cut equals that of a plain copy, tags too."""
    drilled = cut(
        bar, tool_mesh(CrossCylinder(at=(-9, 0, 6), direction=(1, 0, 0), diameter=3, length=18), tag=CUT)
    )
    turned = moved(drilled, FLAT_ON_ITS_SIDE)
    flat = tool_mesh(_block((14, 0, 4), (8, 30, 4)))

    for mesh in (drilled, turned):
        again, anew = cut(mesh, flat), cut(replace(mesh), flat)
        assert mesh_volume(again) == pytest.approx(mesh_volume(anew), rel=1e-12)
        assert set(again.tags) == set(anew.tags) == {SKIN, CUT}
        assert open_edges(again) == 0
    assert np.array_equal(turned.vertices, transformed(drilled, FLAT_ON_ITS_SIDE).vertices)


@pytest.mark.parametrize("name", ["M6x1", "1/4-20 UNC"])
def test_mating_thread_meshes_share_nothing_in_step(name):
    """Facets of screw and hole are the same on the common flank: the kernel finds no overlap."""
    t = thread(name)

    assert intersection_volume(lathe(screw(t, 3), 64), lathe(hole(t, 3), 64)) < 1e-9


def test_thread_meshes_out_of_step_overlap_as_the_exact_form():
    """Out of step the kernel finds what the exact form has, but for the facets."""
    t = thread("1/4-20 UNC")
    male, female = screw(t, 3), hole(t, 3, anchor=t.pitch / 4)
    found = intersection_volume(lathe(male), lathe(female))

    assert found == pytest.approx(body_overlap(male, female), rel=2 * circle_deficit(128))


def test_shapes_have_their_volumes():
    """A cylinder, a turned box and a raised outline have the volumes of the books."""
    axes = ((0.0, 1.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    prism = Prism(outline=((0, 0), (4, 0), (0, 3)), thickness=2, matrix=FLAT)

    assert mesh_volume(
        tool_mesh(CrossCylinder(at=(1, 2, 3), direction=(0.6, 0, 0.8), diameter=2, length=5))
    ) == pytest.approx(5 * math.pi)
    assert mesh_volume(tool_mesh(Block(center=(1, 2, 3), size=(1, 2, 3), axes=axes))) == pytest.approx(6)
    assert mesh_volume(tool_mesh(prism)) == pytest.approx(12)


def test_cylinder_runs_from_its_point_along_its_direction():
    """The cylinder's ends are where the record says."""
    mesh = tool_mesh(CrossCylinder(at=(1, 2, 3), direction=(0, 1, 0), diameter=2, length=5))

    assert mesh.vertices[:, 1].min() == pytest.approx(2)
    assert mesh.vertices[:, 1].max() == pytest.approx(7)
    assert mesh.vertices[:, [0, 2]].mean(axis=0) == pytest.approx([1, 3])


def test_block_stands_on_its_axes():
    """A box's sizes are along its own axes."""
    axes = ((0.0, 1.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    mesh = tool_mesh(Block(center=(0, 0, 0), size=(2, 4, 6), axes=axes))

    assert np.ptp(mesh.vertices, axis=0) == pytest.approx([4, 2, 6])


def test_crossed_outline_is_refused():
    """An outline that crosses itself is named by what it encloses."""
    bow_tie = Prism(outline=((0, 0), (3, 0), (0, 2), (3, 3)), thickness=1, matrix=FLAT)

    with pytest.raises(BadValue, match="does not cross itself"):
        tool_mesh(bow_tie)


def test_open_mesh_is_refused_by_name(bar):
    """A mesh with a face missing is our own fault, and says whose it is."""
    broken = replace(bar, faces=bar.faces[1:], tags=bar.tags[1:])

    with pytest.raises(WitnessError) as caught:
        cut(broken, bar, name="barrel")
    assert str(caught.value).startswith("barrel: open edges of the mesh: found 3")


def test_mesh_inside_out_is_refused_by_name(bar):
    """A mesh that encloses less than nothing is refused, not read as no interference."""
    turned = replace(bar, faces=np.ascontiguousarray(bar.faces[:, ::-1]))

    with pytest.raises(WitnessError) as caught:
        intersection_volume(bar, turned, names=("barrel", "cap"))
    assert str(caught.value).startswith("cap: volume of the mesh: found -")


def test_unreadable_file_is_named(tmp_path):
    """A file that is no mesh gives one clear error."""
    path = tmp_path / "note.stl"
    path.write_text("no mesh")

    with pytest.raises(OutputError, match=r"cannot read .*note\.stl back as a mesh"):
        read_back(path)


def test_checking_does_not_load_the_reader():
    """Booleans cost the kernel's import alone: the library that reads files back stays out."""
    code = "import sys, turnmodel.shape.mesh; sys.exit('trimesh' in sys.modules)"

    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
