"""Strips in space: meshes and solids held to closed forms, and to each other.

Expected volumes are thickness times area (Pappus' second theorem: a bend about the middle of the thickness
keeps the volume), expected centroids those of the half ring, 4 (R^3 - r^3) / 3 pi (R^2 - r^2) from its centre
(textbook, from memory).
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import cadquery as cq
import numpy as np
import pytest

from turnmodel.errors import BadValue
from turnmodel.geometry.corner import filleted
from turnmodel.geometry.curve import Line, reversed_curve
from turnmodel.geometry.region import Region, polygon, ring
from turnmodel.geometry.strip import Bent, Strip, mid_line, strip_volume
from turnmodel.geometry.strip_moments import strip_moments
from turnmodel.geometry.tolerance import FACETS, sagitta
from turnmodel.shape.files import write_stl
from turnmodel.shape.measures import mesh_moments, mesh_volume, open_edges
from turnmodel.shape.mesh import read_back
from turnmodel.shape.solid import KERNEL_BOUND, solid_strip
from turnmodel.shape.strip import hole_tools, strip_bound, strip_faces, strip_mesh

FLAT = 1e-12
"""What a few hundred sums lose, relative [-]."""


def rounded(length: float, width: float, radius: float) -> Region:
    """Half a flat outline with its corners rounded."""
    points = [(0.0, 0.0), (0.0, width / 2), (length, width / 2), (length, 0.0)]
    left, along, right = (Line(start=a, end=b) for a, b in pairwise(points))
    a, first, rest = filleted(left, along, radius)
    assert rest is not None
    chain = [c for c in (a, first, *filleted(rest, right, radius)) if c is not None]
    chain.append(Line(start=chain[-1].end, end=chain[0].start))
    return Region(loops=(tuple(reversed_curve(c) for c in reversed(chain)),))


WEDGE = polygon([(0, 0), (20, 0), (20, 1), (0, 3)])

STRIPS = {
    "bar": Strip(thickness=0.5, half=ring(0, 12, 5), holes=(), side=(Bent(length=12),)),
    "half ring": Strip(thickness=1, half=ring(0, 10, 5), holes=(), side=(Bent(length=10, turn=180),)),
    "tag with holes": Strip(
        thickness=0.5, half=rounded(20, 5, 1.5), holes=((4, 2.2), (15, 1.5)), side=(Bent(length=20),)
    ),
    "round ended clip": Strip(
        thickness=0.5,
        half=rounded(30, 5, 2.5),
        holes=((3.5, 2.2),),
        side=(Bent(length=8), Bent(length=4, turn=-90), Bent(length=10), Bent(length=8)),
    ),
    "tapered clip": Strip(
        thickness=0.5,
        half=WEDGE,
        holes=((3, 2.2),),
        side=(Bent(length=6), Bent(length=3, turn=-40), Bent(length=8), Bent(length=3, turn=60)),
    ),
    "hairpin": Strip(
        thickness=0.5, half=WEDGE, holes=(), side=(Bent(length=6, turn=170), Bent(length=14, turn=-180))
    ),
    "corners in bends": Strip(
        thickness=0.5,
        half=rounded(20, 5, 2),
        holes=((10, 2),),
        side=(Bent(length=6, turn=90), Bent(length=8), Bent(length=6, turn=-60)),
    ),
}


@pytest.mark.parametrize("facets", [16, FACETS])
@pytest.mark.parametrize("strip", STRIPS.values(), ids=STRIPS)
def test_a_mesh_is_closed_and_within_its_bound(strip: Strip, facets: int) -> None:
    """Every edge is met twice, the volume is positive, and what facets cost is bounded and no more."""
    mesh = strip_mesh(strip, facets)
    off = mesh_volume(mesh) / strip_volume(strip) - 1

    assert open_edges(mesh) == 0
    assert abs(off) <= strip_bound(strip, facets)
    if strip_bound(strip, facets) > 1e-6:
        assert abs(off) >= strip_bound(strip, facets) / 2


def test_a_straight_strip_is_exact() -> None:
    """Without arcs and bends nothing is lost but rounding."""
    mesh = strip_mesh(STRIPS["bar"])

    assert mesh_volume(mesh) == pytest.approx(30, rel=FLAT)
    assert mesh.vertices.min(axis=0).tolist() == [0, -2.5, 0]
    assert mesh.vertices.max(axis=0).tolist() == [12, 2.5, 0.5]


def test_a_hole_has_the_area_of_its_circle() -> None:
    """What a round hole takes from a straight strip is exact."""
    tag = replace(STRIPS["bar"], holes=((6.0, 3.0),))

    assert mesh_volume(strip_mesh(tag)) == pytest.approx(30 - math.pi / 4 * 9 * 0.5, rel=1e-9)


@pytest.mark.parametrize("name", ["half ring", "tapered clip", "hairpin"])
def test_bends_keep_within_the_sagitta_that_is_promised(name: str) -> None:
    """No facet of a bend stands further inside its circle than that of a 10 mm circle."""
    strip = replace(STRIPS[name], holes=())
    mesh = strip_mesh(strip)
    at = 0.0
    for bent in strip.side:
        x, z, heading = mid_line(strip, at)
        at += bent.length
        if not bent.turn:
            continue
        radius = bent.length / math.radians(bent.turn)
        center = np.array([x - radius * math.sin(heading), z + radius * math.cos(heading)])
        inside, outside = abs(radius) - strip.thickness / 2, abs(radius) + strip.thickness / 2
        distance = np.linalg.norm(mesh.vertices[:, [0, 2]] - center, axis=1)
        for wall in (inside, outside):
            ends = np.nonzero(abs(distance - wall) < 1e-9)[0]
            edges = {tuple(sorted(e)) for f in mesh.faces for e in zip(f, np.roll(f, -1), strict=True)}
            both = [(a, b) for a, b in edges if a in ends and b in ends]
            middles = [mesh.vertices[[a, b]][:, [0, 2]].mean(axis=0) for a, b in both]
            deepest = max(wall - np.linalg.norm(m - center) for m in middles)
            assert 0 < deepest <= sagitta(10, FACETS) * (1 + 1e-9)


def test_a_bend_turns_towards_the_upper_side() -> None:
    """A turn above zero lifts the end, and the upper side is the inner one."""
    up = Strip(thickness=0.5, half=ring(0, 12, 5), holes=(), side=(Bent(length=8), Bent(length=4, turn=45)))

    assert strip_mesh(up).vertices[:, 2].max() > 1
    assert (
        strip_mesh(replace(up, side=(Bent(length=8), Bent(length=4, turn=-45)))).vertices[:, 2].min() < -0.5
    )


@pytest.mark.parametrize("strip", STRIPS.values(), ids=STRIPS)
def test_centroid_of_the_mesh_nears_the_closed_one(strip: Strip) -> None:
    """With finer facets the mesh's centroid goes to the exact one, and it stays in the middle plane.

    A cell's lack of volume, the bound, moves the centroid by that share of the strip's length at the most.
    """
    for facets in (32, 256):
        center = mesh_moments(strip_mesh(strip, facets)).center
        length = sum(bent.length for bent in strip.side)

        assert math.dist(center, strip_moments(strip).center) <= 2 * strip_bound(strip, facets) * length
        assert center[1] == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("strip", STRIPS.values(), ids=STRIPS)
def test_a_solid_is_exact(strip: Strip) -> None:
    """One valid solid of the closed form's volume and centroid, holes cut."""
    made = solid_strip(strip)

    assert made.isValid()
    assert made.Volume() == pytest.approx(strip_volume(strip), rel=KERNEL_BOUND)
    assert made.Center().toTuple() == pytest.approx(strip_moments(strip).center, abs=1e-6 * 20)


def test_a_solid_is_made_of_planes_and_cylinders() -> None:
    """Where the width of a bend is even, the kernel's faces are planes and cylinders, not approximations."""
    kinds = {face.geomType() for face in solid_strip(STRIPS["round ended clip"]).Faces()}

    assert kinds == {"PLANE", "CYLINDER"}


def test_a_point_in_a_bend_is_refused_by_the_bend() -> None:
    """A strip that runs to a point in a bend has a mesh, but no solid, and the bend is named."""
    leaf = Strip(
        thickness=0.5,
        half=polygon([(0, 0), (12, 0), (0, 3)]),
        holes=(),
        side=(Bent(length=8), Bent(length=4, turn=45)),
    )

    assert open_edges(strip_mesh(leaf)) == 0
    assert abs(mesh_volume(strip_mesh(leaf)) / strip_volume(leaf) - 1) <= strip_bound(leaf)
    with pytest.raises(BadValue, match=r"strip: width 0 mm: the strip runs to a point in the bend at 8 mm"):
        solid_strip(leaf)


def test_a_strip_that_cannot_be_made_has_no_mesh() -> None:
    """What the proof of a strip refuses is neither meshed nor bounded by faces."""
    tight = replace(STRIPS["bar"], side=(Bent(length=12, turn=179), Bent(length=0.1, turn=170)))

    for make in (strip_mesh, strip_faces):
        with pytest.raises(BadValue, match="length of the side view"):
            make(tight)


def test_holes_go_straight_through_where_they_are() -> None:
    """A hole's cutter stands square to its stretch, a tenth of the thickness out of both sides."""
    bent = Strip(
        thickness=0.5,
        half=ring(0, 20, 5),
        holes=((16.0, 2.0),),
        side=(Bent(length=6), Bent(length=4, turn=90), Bent(length=10)),
    )
    (tool,) = hole_tools(bent)

    assert tool.direction == pytest.approx((-1, 0, 0), abs=1e-15)
    assert tool.at[0] - mid_line(bent, 16)[0] == pytest.approx(0.3)
    assert tool.length == pytest.approx(0.6)


def test_another_library_finds_the_mesh_closed(tmp_path) -> None:
    """A mesh written and read back is watertight and as heavy, to the digits of the file."""
    strip = STRIPS["tapered clip"]
    write_stl(strip_mesh(strip), tmp_path / "clip.stl")
    read = read_back(tmp_path / "clip.stl")

    assert read.watertight
    assert read.volume == pytest.approx(strip_volume(strip), rel=strip_bound(strip) + 1e-5)


def test_the_kernel_measures_the_radii_of_a_bend() -> None:
    """The kernel measures a bend's radii as the middle's, less and more by half the thickness."""
    strip = STRIPS["half ring"]
    cylinders = [f for f in solid_strip(strip).Faces() if f.geomType() == "CYLINDER"]
    radii = sorted(cq.Workplane(f).edges("%CIRCLE").val().radius() for f in cylinders)

    middle = 10 / math.pi
    assert radii == pytest.approx([middle - 0.5, middle + 0.5])
