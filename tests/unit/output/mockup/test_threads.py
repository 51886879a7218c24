"""Threads that print, those that do not, and the room between flanks in the written files."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from tests.mockups import nib_box
from turnmodel.catalog.printer import printer
from turnmodel.catalog.threads import thread
from turnmodel.design.part import built
from turnmodel.output.mockup.prepared import mockup, thread_room
from turnmodel.output.mockup.threads import cuts, fineness, shifted_thread
from turnmodel.shape.files import write_stl
from turnmodel.shape.lathe import Mesh
from turnmodel.shape.measures import section
from turnmodel.shape.part import placed_mesh

FILE_MM = 2e-5
"""Rounding [mm] of lengths up to 60 mm in four bytes, met by a distance at two ends."""


def test_a_thread_is_as_fine_as_its_pitch_over_layer_and_line():
    """M8x0.75 at 0.2 mm layers and 0.4 mm lines, by hand: 3.75, 1.875, and 1 - 0.2/(0.541266 x 0.75)."""
    found = fineness(thread("M8x0.75"), printer("filament"))

    assert (found.layers, found.lines) == pytest.approx((3.75, 1.875))
    assert found.depth == pytest.approx(1 - 0.2 / (0.541266 * 0.75), abs=1e-6)
    assert not found.prints


@pytest.mark.parametrize(
    ("size", "process", "prints"),
    [
        ("M8x0.75", "filament", False),  # 3.75 layers
        ("M5", "filament", True),  # 0.8: 4 layers, 2 lines
        ("M10x1", "filament", True),
        ("M8x0.75", "resin", True),
        ("M2", "resin", True),  # 8 layers, and 1 - 0.1/(0.541266 x 0.4) = 54 % of its depth
        ("M1.6", "resin", False),  # 7 layers, but 1 - 0.1/(0.541266 x 0.35) = 47 %
        ("M2.5", "resin", True),
    ],
)
def test_what_prints(size, process, prints):
    """Four layers, two lines and half the depth are the least."""
    assert fineness(thread(size), printer(process)).prints == prints


def test_a_thread_that_prints_is_cut_as_designed():
    """Nothing else is offered, and the reason has the numbers."""
    (cut,) = cuts(thread("M10x1"), printer("filament"), "coarse")

    assert cut.thread == thread("M10x1")
    assert str(cut) == (
        "M10x1: as designed; 5.0 layers and 2.5 lines to a pitch, 63 % of its depth left by the allowance; "
        "4, 2 and 50 % print"
    )


def test_a_coarser_pitch_is_offered_with_both_numbers():
    """M8x0.75 becomes 1 mm: the hole's diameter is kept first, then the pitch's, then the screw's."""
    ways = cuts(thread("M8x0.75"), printer("filament"), "coarse")
    m8 = thread("M8x0.75")

    first, second, third = (way.thread for way in ways[:3])
    assert (first.pitch, second.pitch, third.pitch) == (1.0, 1.0, 1.0)
    assert first.minor_d == pytest.approx(m8.minor_d)
    assert second.pitch_d == pytest.approx(m8.pitch_d)
    assert third.major_d == m8.major_d
    assert ways[-1].thread is None
    assert ways[0].reason == (
        "a pitch of 1 mm on both mates, over 8.27 mm; as designed 3.8 layers and 1.9 lines to a pitch, "
        "51 % of its depth left by the allowance; 4, 2 and 50 % print"
    )


def test_what_is_asked_is_done():
    """Too fine a thread is cut all the same, or left plain at once."""
    (fine,) = cuts(thread("M8x0.75"), printer("filament"), "fine")
    (plain,) = cuts(thread("M8x0.75"), printer("filament"), "plain")

    assert fine.thread == thread("M8x0.75")
    assert plain.thread is None
    assert "plain bores" in str(plain)


def test_each_mate_takes_half_of_the_allowance():
    """0.4 mm on M10x1: pitch diameters of 9.35 move to 9.15 and 9.55, and the form with them."""
    male, female = (
        shifted_thread(thread("M10x1"), printer(thread=0.4), external=external) for external in (True, False)
    )

    assert male.pitch_d == pytest.approx(9.1505, abs=1e-4)
    assert female.pitch_d == pytest.approx(9.5505, abs=1e-4)
    assert male.root_d == pytest.approx(thread("M10x1").root_d - 0.2)


def read_stl(path):
    """Read a binary STL by the layout of the format."""
    facet = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    corners = np.frombuffer(path.read_bytes(), facet, offset=84)["corners"].astype(float)
    faces = np.arange(3 * len(corners), dtype=np.int32).reshape(-1, 3)
    return Mesh(vertices=corners.reshape(-1, 3), faces=faces, tags=np.zeros(len(faces), np.int8))


def flanks(mesh, low, high):
    """Cut a mesh through its axis; keep what slopes as a flank of 60 degrees does: ends (station, radius)."""
    found = []
    for (x0, _, z0), (x1, _, z1) in section(mesh, (0.0, 1e-7, 0.0), (0.0, 1.0, 0.0)):
        inside = min(x0, x1) > 4 and low < min(z0, z1) and max(z0, z1) < high
        if inside and abs(z1 - z0) > 1e-3 and abs(abs((x1 - x0) / (z1 - z0)) - math.sqrt(3)) < 0.05:
            found.append(((z0, x0), (z1, x1)))
    return found


def rising(flank):
    """Tell whether a flank's radius grows with its station."""
    (z0, r0), (z1, r1) = flank
    return (r1 - r0) * (z1 - z0) > 0


def distance(p, a, b):
    """Distance of a point from a line between two points."""
    p, a, b = map(np.array, (p, a, b))
    t = np.clip((p - a) @ (b - a) / ((b - a) @ (b - a)), 0, 1)
    return float(np.linalg.norm(p - a - t * (b - a)))


@pytest.mark.parametrize("room", [0.2, 0.4, 0.5])
@pytest.mark.parametrize(("size", "process"), [("M12x1.5", "filament"), ("M12x1", "resin")])
def test_the_flank_gap_in_the_files_is_what_was_asked(room, size, process, tmp_path):
    """Screwed home, read back and cut: flanks stand room/2 sin 30 degrees apart, square to each, alike."""
    mock = mockup(nib_box(size), printer(process, thread=room), way="fine")
    pose = mock.design.poses["closed"]
    meshes = {}
    for name in ("box", "lid"):
        path = tmp_path / f"{name}.stl"
        write_stl(placed_mesh(mock.design.part(name), pose.parts[name], "show", 96), path)
        meshes[name] = read_stl(path)

    low, high = 35.0, 40.0  # well inside the engagement, from 33 to 42 mm less chamfers
    male, female = (flanks(meshes[name], low, high) for name in ("box", "lid"))

    asked = room / 2 * math.sin(math.radians(30))
    for up in (True, False):  # the flanks that look to the back, and those that look to the front
        theirs = [flank for flank in female if rising(flank) == up]
        ours = [point for flank in male if rising(flank) == up for point in flank]
        found = [min(distance(p, *f) for f in theirs) for p in ours if low + 1.5 < p[0] < high - 1.5]
        assert len(found) > 2
        assert min(found) == pytest.approx(asked, abs=FILE_MM)
    assert thread_room(mock.threads[0], mock.printer).normal == pytest.approx(asked)


@pytest.mark.parametrize("way", ["fine", "coarse"])
def test_a_screw_is_led_in_down_to_its_root(way):
    """At its free end the thread's outline begins at the root; beside the relief it has its full crest."""
    mock = mockup(nib_box("M12x0.75"), printer("filament"), way=way)
    (span,) = built(mock.design.part("box")).body.threads

    assert span.ceiling[-1][1] == pytest.approx(span.thread.root_d / 2)
    assert span.ceiling[0][1] == pytest.approx(span.thread.major_d / 2)
    assert all(a[0] <= b[0] for a, b in pairwise(span.ceiling))


def test_a_tapped_hole_opens_to_its_crest():
    """The mouth of the printed hole is as wide as its thread, so that the screw starts by hand."""
    mock = mockup(nib_box("M12x0.75"), printer("filament"))
    (span,) = built(mock.design.part("lid")).body.threads

    assert span.floor[-1] == (pytest.approx(20.0), pytest.approx(span.thread.major_d / 2))


def test_plain_bores_slide_with_the_printers_allowance_alone():
    """Hole and pin have one size on paper, and the allowances of hole and shaft between them in the file."""
    mock = mockup(nib_box("M12x0.75"), printer("filament"), way="plain")
    lid, box = (built(mock.design.part(name)) for name in ("lid", "box"))

    assert lid.body.threads == box.body.threads == ()
    bore = 11.25 + 0.2  # the tapping drill, diameter less pitch, and the allowance on holes
    pin = max(place.curves[0].start[1] for place in box.outside if place.start == 33.0)
    assert bore - 2 * pin == pytest.approx(0.2 + 0.1)
    assert {joint.word for joint in mock.design.poses["closed"].joints} == {"press", "seat"}
    (fit,) = (fit for fit in mock.fits if fit.kind == "friction")
    assert (fit.hole, fit.shaft, fit.designed) == ("lid", "box", 0.0)
    assert fit.printed == pytest.approx(0.3)
