"""The mesh of a turned body: closed, outward, on shared half-planes, exact where it should be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.threaded import hole, run_out_screw, screw
from tests.zoo import ZOO
from turnmodel.catalog.threads import thread
from turnmodel.errors import BadValue
from turnmodel.geometry.body import Body, ThreadSpan, body_flipped
from turnmodel.geometry.moments import area, moments
from turnmodel.geometry.region import Region, polygon, ring
from turnmodel.geometry.thread_form import form_radius
from turnmodel.geometry.thread_moments import body_moments
from turnmodel.shape.lathe import CUT, SKIN, THREAD, arc_step, chords, lathe, radius_factor
from turnmodel.shape.measures import bound, mesh_moments, mesh_volume, open_edges

ROUNDING = 1e-9
NAMES = ["M10x0.75", "3/8-16 UNC", "BA 2", "1/4x40 ME", "M12xPh3P1", "M6x1 LH"]


def _threaded(name: str) -> dict[str, Body]:
    t = thread(name)
    return {
        "screw": screw(t, 5.1),
        "tube": screw(t, 5.1, anchor=0.37, bore_d=t.root_d / 2),
        "hole": hole(t, 5.1),
        "run out": run_out_screw(t),
        "flipped": body_flipped(run_out_screw(t)),
    }


THREADED = {f"{name} {kind}": body for name in NAMES for kind, body in _threaded(name).items()}
BODIES = {name: Body(plain=region) for name, region in ZOO.items()} | THREADED
KEPT = [360.0, 270.0, 180.0, 45.0]


def _double_area(mesh):
    """Twice each face's area, with the face's direction."""
    a, b, c = (mesh.vertices[mesh.faces[:, k]] for k in range(3))
    return np.cross(b - a, c - a)


@pytest.mark.parametrize("sector", KEPT)
@pytest.mark.parametrize("name", BODIES)
def test_every_edge_is_met_once_each_way(name, sector):
    """Whatever the body and the sector kept, the mesh is closed and looks outwards."""
    mesh = lathe(BODIES[name], 64, sector)

    assert open_edges(mesh) == 0
    assert mesh_volume(mesh) > 0
    assert len(mesh.tags) == len(mesh.faces)


@pytest.mark.parametrize("name", BODIES)
def test_no_vertex_is_idle_or_doubled(name):
    """Every vertex has a face; no face names a vertex twice; vertices at one place are one vertex."""
    mesh = lathe(BODIES[name], 32)

    assert np.array_equal(np.unique(mesh.faces), np.arange(len(mesh.vertices)))
    assert (mesh.faces != np.roll(mesh.faces, 1, axis=1)).all()
    if name != "touching at a point":
        assert len(np.unique(mesh.vertices.round(7), axis=0)) == len(mesh.vertices)


@pytest.mark.parametrize("name", BODIES)
def test_no_skin_face_is_without_area(name):
    """Skin and thread have no slivers of no area at all."""
    mesh = lathe(BODIES[name], 32)

    assert np.linalg.norm(_double_area(mesh), axis=1).min() > 0


@pytest.mark.parametrize("area_true", [False, True])
@pytest.mark.parametrize("facets", [33, 64, 128])
@pytest.mark.parametrize("name", BODIES)
def test_volume_is_within_its_bound(name, facets, area_true):
    """The mesh's volume differs from the exact one by less than the derived bound."""
    body = BODIES[name]
    exact = body_moments(body).volume
    found = mesh_volume(lathe(body, facets, area_true=area_true))

    assert abs(found / exact - 1) <= bound(body, facets, area_true=area_true) + ROUNDING


@pytest.mark.parametrize(
    "name", [n for n in ZOO if n not in ("dome", "ball", "torus", "keyhole", "filleted")]
)
def test_straight_bodies_are_light_by_the_polygon_alone(name):
    """Without arcs or threads the mesh has sin a / a of the exact volume, to rounding."""
    a = 2 * math.pi / 48
    body = BODIES[name]

    assert mesh_volume(lathe(body, 48)) == pytest.approx(
        moments(body.plain).volume * math.sin(a) / a, rel=ROUNDING
    )


@pytest.mark.parametrize("name", THREADED)
def test_area_true_threads_are_within_three_parts_in_ten_thousand(name):
    """At the usual facets a thread's mesh weighs right to 3e-4."""
    body = THREADED[name]

    assert mesh_volume(lathe(body, area_true=True)) == pytest.approx(body_moments(body).volume, rel=3e-4)


@pytest.mark.parametrize("name", NAMES)
def test_thread_vertices_lie_on_the_helix(name):
    """Every vertex of a full-depth thread is on the form, turned along by the lead."""
    t = thread(name)
    mesh = lathe(hole(t, 5.1, anchor=0.2), 48)
    x, y, z = mesh.vertices[np.unique(mesh.faces[mesh.tags == THREAD])].T
    lead = -t.lead if t.left else t.lead
    u = z - 0.2 - lead * np.arctan2(y, x) / (2 * math.pi)
    r = form_radius(t, False, u)
    # Corners of an arc stand outside it by its chord's sagitta at most.
    away = 0.05 * t.pitch if t.form.internal_crest.radius else 1e-6

    assert np.hypot(x, y) == pytest.approx(r, abs=away)


@pytest.mark.parametrize("name", BODIES)
def test_vertices_stand_on_shared_half_planes(name):
    """Every vertex lies at a whole number of facets from angle zero."""
    mesh = lathe(BODIES[name], 40)
    x, y, _ = mesh.vertices.T
    off = np.hypot(x, y) > 1e-9
    turns = np.arctan2(y[off], x[off]) / (2 * math.pi) * 40

    assert np.abs(turns - np.rint(turns)).max() < 1e-9


@pytest.mark.parametrize("name", BODIES)
def test_cut_faces_fill_the_section(name):
    """The two faces of a cut have the area of the body's section, as chorded, and look out of the metal."""
    body = BODIES[name]
    mesh = lathe(body, 64, 270)
    double = _double_area(mesh)[mesh.tags == CUT]
    size = np.linalg.norm(double, axis=1).sum() / 2

    # One face at angle 0 looks to -y, the other at 270 degrees looks to +x.
    assert double[:, [0, 1]].sum(axis=0) / 2 == pytest.approx([size / 2, -size / 2], rel=0.05)
    if not body.threads:
        chorded = [polygon([p for curve in loop for p in chords(curve, 64)]) for loop in body.plain.loops]
        assert size == pytest.approx(2 * sum(map(area, chorded)), rel=ROUNDING)


def test_sector_keeps_its_share():
    """A quarter out leaves three quarters of the volume."""
    body = BODIES["stepped"]

    assert mesh_volume(lathe(body, 64, 270)) == pytest.approx(
        0.75 * mesh_volume(lathe(body, 64)), rel=ROUNDING
    )


def test_sector_takes_out_the_quarter_named():
    """Nothing of a quarter-cut bar stands where x > 0 and y < 0."""
    mesh = lathe(BODIES["bar"], 64, 270)
    x, y, _ = mesh.vertices.T

    assert not ((x > 1e-9) & (y < -1e-9)).any()


def test_tags_tell_skin_cut_and_thread():
    """Plain faces, cut faces and threads are told apart."""
    assert set(lathe(BODIES["bar"], 32).tags) == {SKIN}
    assert set(lathe(run_out_screw(thread("M6x1")), 32, 270).tags) == {SKIN, CUT, THREAD}


def test_two_threads_on_one_body():
    """A stud threaded inside and out at both ends is closed and within its bound."""
    outer, inner = thread("M12x1"), thread("M6x1")
    minor = inner.minor_d / 2

    def span(t, external, start, end, floor, ceiling):
        ends = {"floor": ((start, floor), (end, floor)), "ceiling": ((start, ceiling), (end, ceiling))}
        return ThreadSpan(thread=t, external=external, start=start, end=end, anchor=start, **ends)

    spans = (
        span(outer, True, 0.0, 5.0, 4.5, 6.0),
        span(outer, True, 20.0, 30.0, 4.5, 6.0),
        span(inner, False, 0.0, 8.0, minor, 4.0),
    )
    plain = polygon(
        [(0, minor), (12, minor), (12, 0), (30, 0), (30, 6), (15, 6), (15, 5), (8, 5), (8, 6), (0, 6)]
    )
    body = Body(plain=plain, threads=spans)
    for sector in KEPT:
        mesh = lathe(body, 96, sector)
        assert open_edges(mesh) == 0
        assert mesh_volume(mesh) * 360 / sector == pytest.approx(
            body_moments(body).volume, rel=bound(body, 96)
        )


def test_centroid_and_inertia_follow_the_exact_ones():
    """Moments of the mesh of a threaded body are the exact ones, the helix's lean aside."""
    body = run_out_screw(thread("M10x0.75"))
    exact, found = body_moments(body), mesh_moments(lathe(body, area_true=True))
    polygon_lack = (2 * math.pi / 128) ** 2 / 6

    assert found.center == pytest.approx((0, 0, exact.station), abs=1e-3)
    assert found.inertia[2][2] == pytest.approx(exact.axial, rel=2 * polygon_lack)
    assert found.inertia[0][0] == pytest.approx(exact.transverse, rel=2 * polygon_lack)


def test_equal_diameters_of_two_parts_share_their_vertices():
    """A pin and its bush have the very same circle of vertices."""
    pin = lathe(Body(plain=ring(0, 10, 8)), 64)
    bush = lathe(Body(plain=ring(0, 10, 12, 8)), 64)
    rim = {tuple(v) for v in pin.vertices if np.hypot(v[0], v[1]) > 1e-9}

    assert rim <= {tuple(v) for v in bush.vertices}


def test_empty_region_makes_an_empty_mesh():
    """A body of nothing has no faces."""
    mesh = lathe(Body(plain=Region(loops=())))

    assert (len(mesh.vertices), len(mesh.faces), len(mesh.tags)) == (0, 0, 0)
    assert len(lathe(Body(plain=Region(loops=())), sector=270).faces) == 0


def test_small_arcs_get_few_chords_and_large_ones_many():
    """The angle under a chord falls with the radius, from a widest step."""
    assert arc_step(0.1, 128) == 15
    assert arc_step(5, 128) == pytest.approx(360 / 128)
    assert arc_step(50, 128) < arc_step(5, 128)


def test_radius_factor_gives_the_polygon_its_circle():
    """A hexagon enlarged by the factor has the circle's area."""
    factor = radius_factor(6)

    assert 6 / 2 * math.sin(math.pi / 3) * factor**2 == pytest.approx(math.pi)


def test_two_facets_are_refused():
    """A circle needs three facets."""
    with pytest.raises(BadValue) as caught:
        lathe(BODIES["bar"], 2)
    assert str(caught.value) == "facets 2: a circle needs 3 at the least"


@pytest.mark.parametrize("sector", [1.0, 0.0, 400.0])
def test_part_of_a_facet_is_refused(sector):
    """A sector is whole facets and no more than a turn."""
    with pytest.raises(BadValue) as caught:
        lathe(BODIES["bar"], 64, sector)
    assert str(caught.value) == f"sector {sector:g} degrees: is not a whole number of facets of 5.625 degrees"


def test_thread_off_its_body_is_refused():
    """A thread whose crest is not on the body's outside is named by its stations."""
    body = screw(thread("M6x1"), 5.0)
    thinner = replace(body, plain=ring(0, 5, 5.5))

    with pytest.raises(BadValue) as caught:
        lathe(thinner)
    assert str(caught.value) == (
        "thread from station 0 mm: does not begin and end on the body's outside; its end is at 5 mm"
    )
