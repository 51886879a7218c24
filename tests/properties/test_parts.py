"""Laws of parts written feature by feature: witnesses, meshes, files read back, parts split and moved."""

from __future__ import annotations

import math
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.parts import parts
from tests.strategies import many, sizes
from turnmodel import (
    Part,
    bore,
    chamfer,
    cone,
    cross_hole,
    cylinder,
    dome,
    drill,
    flat,
    groove,
    tap,
    taper_bore,
    thread,
)
from turnmodel.analysis.weight import part_weight
from turnmodel.analysis.witness import witnessed
from turnmodel.design.part import built
from turnmodel.design.turned import Turned
from turnmodel.geometry.body import Body, ThreadSpan, body_flipped, body_moved
from turnmodel.geometry.boolean import difference, intersection
from turnmodel.geometry.moments import combined, moments
from turnmodel.geometry.region import bounds, ring
from turnmodel.geometry.thread_moments import body_moments
from turnmodel.geometry.tolerance import FACETS, SAME_MM, circle_deficit
from turnmodel.shape.files import write_stl
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import bound, mesh_volume, open_edges
from turnmodel.shape.part import part_mesh

if TYPE_CHECKING:
    from turnmodel.design.part import TurnedPart
    from turnmodel.geometry.curve import Point
    from turnmodel.geometry.moments import Moments
    from turnmodel.shape.lathe import Mesh

ROUNDING: Final = 1e-9
"""Relative: some hundred terms of the size of the whole, at 2e-16 each, thousands of times over."""

KERNEL: Final = 1e-6
"""Relative: what the CAD kernel promises of its integration over exact surfaces."""

SINGLE: Final = 2.0**-23
"""Relative: a number of four bytes is right to half of this (IEEE 754, binary32)."""


def brass(outside: list[Any], **features: Any) -> TurnedPart:
    """Write a part of brass."""
    return Part.turned("thing", material="brass", stock="25 mm", outside=outside, **features)


FOUND: Final = {
    "a drilled hole opens the end of a tapped one": brass(
        [cylinder(8, 4)],
        from_front=[tap("M4", depth=3, lead="plug")],
        from_back=[drill(2.8, depth=3, mouth=chamfer(0.3))],
    ),
    "a hole is bored as wide as the crests of the thread behind it": brass(
        [cylinder(8, 4)], from_back=[bore(4, depth=3), tap("M4", depth=3.25, lead="plug")]
    ),
    "a hole steps within its thread": brass(
        [cylinder(13.25, 3.75)], from_back=[taper_bore(2, 3.75, 3), tap("M4", through=True)]
    ),
    "a cross hole meets a shoulder of two rounded ends and a flat": brass(
        [dome(8.25, length=4), dome(8.25, length=4)],
        across=[cross_hole("2 mm", at=2.00001, through=False), flat(at=1, length=3, across=7, count=2)],
    ),
    "a flat ends where the cross hole beside it begins": brass(
        [cylinder(9.75, 4), cylinder(18, 2), cylinder(8, 10)],
        across=[cross_hole("2 mm", at=5), flat(at=1, length=3, across=7, count=2)],
    ),
    "a cone begins a rounding error wider than what is before it": brass(
        [cylinder(8, 7.75), cone(8.000000000000002, 2.00001, length=9.38)]
    ),
    "a cross hole ends by a hair beside two edges": brass(
        [dome(12.5, length=1), cylinder(13.25, 2), cylinder(8, 2, back=chamfer(0.2))],
        from_front=[drill(2, depth=3)],
        across=[cross_hole("2 mm", at=2.00001)],
    ),
    "a cross hole runs 0.001 mm into a chamfer": brass(
        [cylinder(8, 7), thread("M12", 5)], across=[cross_hole("2 mm", at=9.072265625)]
    ),
    "a taper is all but a cylinder": brass([cylinder(14, 30)], from_front=[taper_bore(6.25, 6.2484, 23.75)]),
}
"""Parts that broke a law once."""

found = pytest.mark.parametrize("part", FOUND.values(), ids=FOUND.keys())


def body_of(part: TurnedPart) -> Body:
    """Give the round body of a part."""
    made = built(part)
    assert isinstance(made, Turned)
    return made.body


def hold_witnesses(part: TurnedPart) -> None:
    """Hold closed form and mesh to each other, and every mesh to being closed and looking outwards."""
    witnessed(part)
    for purpose in ("show", "weigh", "fit"):
        mesh = part_mesh(part, purpose)
        assert open_edges(mesh) == 0
        assert mesh_volume(mesh) > 0


@found
def test_parts_found_once_hold(part: TurnedPart) -> None:
    """What broke a law once keeps all of them."""
    hold_witnesses(part)
    hold_threads(part)
    hold_solid(part)
    hold_split(part, 0.4)
    hold_stl(part)


@many(10_000)
@given(parts())
def test_closed_form_and_mesh_agree_and_meshes_are_closed(part: TurnedPart) -> None:
    """The volumes are as near as their bound, and each edge of a mesh is met once from either side."""
    hold_witnesses(part)


@many(5_000)
@given(parts())
def test_threads_alone_weigh_alike_in_closed_form_and_mesh(part: TurnedPart) -> None:
    """What the threads of a part take is the same by both, as near as the bound of threads alone."""
    hold_threads(part)


def hold_threads(part: TurnedPart) -> None:
    """Hold what threads take by the closed form to what they take from the mesh."""
    body = body_of(part)
    plain = Body(plain=body.plain)
    whole, threaded = moments(body.plain).volume, body_moments(body).volume
    taken, by_mesh = whole - threaded, mesh_volume(lathe(plain)) - mesh_volume(lathe(body))
    light = circle_deficit(FACETS) * taken
    twisted = bound(body) * threaded - bound(plain) * whole + light

    assert abs(by_mesh - taken) <= light + twisted + ROUNDING * whole


def hold_solid(part: TurnedPart) -> None:
    """Hold the CAD solid, its threads plain, to the plain closed form, or to the mesh where it is cut."""
    from turnmodel.shape.exact import part_solid

    made = built(part)
    assert isinstance(made, Turned)
    solid = part_solid(part)
    assert solid.isValid()
    whole = moments(made.body.plain).volume
    if not made.across:
        assert solid.Volume() == pytest.approx(whole, rel=KERNEL)
    else:
        # What is cut across may be light by as much as the round body is, once more.
        light = bound(Body(plain=made.body.plain)) + circle_deficit(FACETS)
        assert mesh_volume(part_mesh(part, "fit")) == pytest.approx(solid.Volume(), abs=light * whole)


@many(1_000, 20)
@given(parts())
def test_the_solid_agrees_with_the_others(part: TurnedPart) -> None:
    """The CAD kernel's volume is the closed form's, or as near the mesh's as its facets allow."""
    hold_solid(part)


@many(500, 10)
@given(parts())
def test_a_step_file_read_back_is_the_same_solid(part: TurnedPart) -> None:
    """Volume, centre and extent of a solid come through a STEP file."""
    from turnmodel.shape.exact import part_solid, write_part_step
    from turnmodel.shape.solid import CUT_BOUND
    from turnmodel.shape.step import read_step

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "thing.step"
        write_part_step(part, (0.8, 0.7, 0.4), path)
        (read,) = read_step(path)
    written = part_solid(part)
    loose = CUT_BOUND if part.across else KERNEL

    assert read.solid.Volume() == pytest.approx(written.Volume(), rel=loose)
    size = written.BoundingBox().DiagonalLength
    assert (read.solid.Center() - written.Center()).Length <= loose * size + 1e-5
    for side in ("xmin", "xmax", "ymin", "ymax", "zmin", "zmax"):
        if part.across and side[0] != "z":
            continue  # round a face that is cut the kernel draws a box of its own liking
        one, other = getattr(read.solid.BoundingBox(), side), getattr(written.BoundingBox(), side)
        assert one == pytest.approx(other, abs=1e-5)  # the kernel's boxes are loose by its 1e-7 and more


def stl_triangles(path: Path) -> np.ndarray:
    """Read the corners of a binary STL: 80 bytes, a count, and 50 bytes a facet, 12 numbers and a word."""
    data = path.read_bytes()
    count = int.from_bytes(data[80:84], "little")
    assert len(data) == 84 + 50 * count
    facets = np.frombuffer(data, np.uint8, offset=84).reshape(count, 50)[:, :48]
    return np.ascontiguousarray(facets).view("<f4").reshape(count, 4, 3)[:, 1:]


def hold_stl(part: TurnedPart) -> None:
    """Hold an STL file to the mesh it is of: the volume, and closed by its coordinates alone."""
    mesh: Mesh = part_mesh(part)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "thing.stl"
        write_stl(mesh, path, "thing")
        corners = stl_triangles(path)
    # Coordinates as bytes, zeros all of one sign, so that equal corners are equal keys.
    keys = np.ascontiguousarray(corners + np.float32(0)).reshape(-1, 3).view("V12").ravel()
    _, first, index = np.unique(keys, return_index=True, return_inverse=True)
    points, faces = corners.reshape(-1, 3)[first], index.reshape(-1, 3)
    kept = (faces != np.roll(faces, 1, axis=1)).all(axis=1)
    read = replace(mesh, vertices=points.astype(float), faces=faces[kept], tags=mesh.tags[kept])
    size = float(np.abs(points).max())
    skin = float(
        np.linalg.norm(np.cross(*(np.diff(corners.astype(float), axis=1).transpose(1, 0, 2))), axis=1).sum()
    )

    # A point moves by the rounding of its three coordinates, so the skin moves by no more.
    assert abs(mesh_volume(read) - mesh_volume(mesh)) <= skin * SINGLE * size
    start, end = faces[kept].astype(np.int64), np.roll(faces[kept], -1, axis=1)
    count = len(points)
    assert np.array_equal(np.sort((start * count + end).ravel()), np.sort((end * count + start).ravel()))


@many(1_000)
@given(parts())
def test_an_stl_file_read_back_is_the_same_mesh(part: TurnedPart) -> None:
    """Volume comes through an STL file to rounding, and every edge still has a face on either side."""
    hold_stl(part)


def part_of(span: ThreadSpan, start: float, end: float) -> ThreadSpan:
    """Keep the length of a thread between two stations."""

    def clipped(points: tuple[Point, ...]) -> tuple[Point, ...]:
        z, r = zip(*points, strict=True)
        ends = [(s, float(np.interp(s, z, r))) for s in (start, end)]
        return (ends[0], *(p for p in points if start < p[0] < end), ends[1])

    return replace(span, start=start, end=end, floor=clipped(span.floor), ceiling=clipped(span.ceiling))


def halves(body: Body, z: float) -> tuple[Body, Body]:
    """Cut a body across at a station."""
    box = bounds(body.plain)
    behind = ring(box.z0 - 1, z, 2 * box.r1 + 2)
    return (
        Body(
            plain=intersection(body.plain, behind),
            threads=tuple(part_of(s, s.start, min(s.end, z)) for s in body.threads if s.start < z),
        ),
        Body(
            plain=difference(body.plain, behind),
            threads=tuple(part_of(s, max(s.start, z), s.end) for s in body.threads if s.end > z),
        ),
    )


def hold_close(one: Moments, other: Moments, size: float) -> None:
    """Hold moments of bodies no larger than a size [mm] to each other, to rounding and faces snapped."""
    slack = ROUNDING * one.volume + SAME_MM * size**2 * 20
    assert abs(one.volume - other.volume) <= slack
    assert abs(one.station - other.station) * one.volume <= slack * size
    assert abs(one.axial - other.axial) <= slack * size**2
    assert abs(one.transverse - other.transverse) <= slack * size**2


def hold_split(part: TurnedPart, share: float) -> None:
    """Hold the halves of a part cut across, threads and all, to sum to the whole."""
    body = body_of(part)
    box = bounds(body.plain)
    z = box.z0 + share * (box.z1 - box.z0)
    both = [body_moments(half) for half in halves(body, z) if half.plain.loops]
    hold_close(body_moments(body), combined(*both), max(box.z1 - box.z0, 2 * box.r1))


@many(5_000)
@given(parts(), st.floats(0.001, 0.999))
def test_a_part_split_anywhere_is_the_sum_of_its_halves(part: TurnedPart, share: float) -> None:
    """Volume, balance and inertia of two halves, threads cut through, are together the whole's."""
    hold_split(part, share)


@many(5_000)
@given(parts(), st.floats(-100, 100))
def test_a_part_moved_or_turned_end_for_end_keeps_its_figures(part: TurnedPart, dz: float) -> None:
    """A shift adds to the balance, a turn end for end changes its sign; nothing else changes."""
    body = body_of(part)
    here, size = body_moments(body), 200.0
    there, turned = body_moments(body_moved(body, dz)), body_moments(body_flipped(body))

    hold_close(replace(here, station=here.station + dz), there, size)
    hold_close(replace(here, station=-here.station), turned, size)


@st.composite
def written(draw: Any) -> Any:
    """Draw a part that can be written at any scale: its sizes, of which a function of the scale is made."""
    steps = draw(
        st.lists(
            st.tuples(
                st.sampled_from(["cylinder", "cone", "groove"]), sizes(8, 20), sizes(2, 14), sizes(8, 20)
            ),
            min_size=1,
            max_size=5,
        )
    )
    through, deep, wide = draw(sizes(1, 3)), draw(sizes(1, 30)), draw(sizes(3.5, 7))

    def at(scale: float, unit: str = "") -> TurnedPart:
        def said(value: float) -> Any:
            return f"{value * scale!r} {unit}" if unit else value * scale

        kinds = {
            "cylinder": lambda d, long, _: cylinder(said(d), said(long)),
            "cone": lambda d, long, e: cone(said(d), said(e), length=said(long)),
            "groove": lambda d, long, _: groove(said(long), diameter=said(d)),
        }
        outside = [cylinder(said(20), said(4))] + [kinds[kind](*rest) for kind, *rest in steps]
        return Part.turned(
            "thing",
            material="brass",
            stock="300 mm",
            outside=[*outside, cylinder(said(18), said(5))],
            from_front=[bore(said(through), through=True)],
            from_back=[bore(said(wide), depth=said(deep))],
        )

    return at


def built_or_not(part: TurnedPart) -> TurnedPart:
    """Give a part, if it can be built."""
    from turnmodel.design.part import part_faults

    assume(not part_faults(part))
    return part


@many(2_000)
@given(written(), st.sampled_from([0.5, 2.0, 3.0, 25.4 / 16]) | st.floats(0.6, 4))
def test_a_part_written_larger_weighs_by_the_cube(at: Any, scale: float) -> None:
    """Mass grows by the cube of a scale, balance by the scale, inertia by its fifth power."""
    one, large = part_weight(built_or_not(at(1.0))), part_weight(built_or_not(at(scale)))

    assert large.mass == pytest.approx(one.mass * scale**3, rel=1e-7)
    assert large.balance == pytest.approx(one.balance * scale, rel=1e-7)
    assert large.inertia[2][2] == pytest.approx(one.inertia[2][2] * scale**5, rel=1e-7)


@many(2_000)
@given(written(), st.sampled_from([("in", 1 / 25.4), ("um", 1000.0), ("thou", 1000 / 25.4), ("mm", 1.0)]))
def test_a_part_written_in_another_unit_is_the_same(at: Any, unit: tuple[str, float]) -> None:
    """Sizes written as inches, thousandths or micrometres make the part that millimetres make."""
    name, count = unit
    one, same = part_weight(built_or_not(at(1.0))), part_weight(built_or_not(at(count, name)))

    assert same.mass == pytest.approx(one.mass, rel=ROUNDING)
    assert same.balance == pytest.approx(one.balance, rel=ROUNDING)
    assert same.inertia[0][0] == pytest.approx(one.inertia[0][0], rel=1e-8)


@many(2_000)
@given(parts(), st.sampled_from([24, 48, 96]))
def test_finer_facets_come_nearer(part: TurnedPart, facets: int) -> None:
    """The mesh of a plain body is lighter than it by no more than its chords are, at any number of facets."""
    body = Body(plain=body_of(part).plain)
    exact, found = moments(body.plain).volume, mesh_volume(lathe(body, facets))

    assert abs(found / exact - 1) <= bound(body, facets) + ROUNDING
    assert math.isfinite(found)
