"""What is cut across a turned body, against closed forms and against fine meshes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest

from turnmodel import Part, chamfer, cross_hole, cylinder, dome, drill, flat, saddle, slot, thread
from turnmodel.design.part import built
from turnmodel.design.turned import Turned
from turnmodel.geometry.across import Block, CrossCylinder, Prism
from turnmodel.geometry.body import Body
from turnmodel.geometry.crossing import cut_moments
from turnmodel.geometry.frame import IDENTITY
from turnmodel.geometry.region import ring
from turnmodel.shape.measures import mesh_moments
from turnmodel.shape.part import part_mesh

if TYPE_CHECKING:
    from turnmodel.geometry.spatial import SpatialMoments

CLOSED = 1e-10
"""Relative: what the integration promises."""

FACETS = 1024

CHORDS = 3 * (2 * math.pi / FACETS) ** 2 / 6
"""Relative: polygons of the circle's area still lack a third of that in shape, on three outlines at most."""

HOLE = CrossCylinder(at=(9.0, 0.0, 10.0), direction=(-1.0, 0.0, 0.0), diameter=4.0, length=18.0)


def left(body: Body, *tools: CrossCylinder | Block) -> SpatialMoments:
    """Cut a body that has a closed form."""
    found = cut_moments(body, tools)
    assert found is not None
    return found


def cut(*across: object, domed: bool = False) -> Part:
    """Turn a bar of 12 mm, drilled 5 mm, and cut across it."""
    outside = [dome(12, length=5), cylinder(12, 15)] if domed else [cylinder(12, 20, edges=chamfer(1))]
    hole = drill("5 mm", depth=12)
    return Part.turned(
        "bar", material="brass", stock="12 mm", outside=outside, from_back=[hole], across=across
    )  # type: ignore[arg-type]


CUTS = {
    "hexagon": cut(flat(2, 8, across=10, count=6)),
    "triangle, its boxes over each other": cut(flat(2, 4, across=7, count=3)),
    "two holes through each other": cut(
        cross_hole(4.0, 10, through=True), cross_hole(3.0, 11, angle=50, through=True)
    ),
    "a hole and a slot in the dome": cut(
        cross_hole(3.0, 4, angle=30), slot(9, 3, 2, 2, angle=200), domed=True
    ),
    "saddle": cut(saddle(20, angle=20)),
    "flat, with holes in it": cut(flat(5, 10, across=9), cross_hole(3.0, 10), cross_hole(3.0, 10, angle=40)),
}


def test_two_equal_cylinders_share_a_known_solid() -> None:
    """A hole as wide as the bar takes 16 r^3 / 3, the solid two equal cylinders share."""
    body = Body(plain=ring(0, 20, 4))

    assert left(body, HOLE).volume == pytest.approx(80 * math.pi - 16 * 8 / 3, rel=CLOSED)


def test_a_hexagon_is_left_of_a_bar() -> None:
    """Six flats leave a prism of area sqrt(3)/2 s^2, of polar second moment 5 sqrt(3)/72 s^4."""
    s, body = 8.0, Body(plain=ring(0, 5, 2 * 8.0 / math.sqrt(3)))
    turns = [(math.cos(k * math.pi / 3), math.sin(k * math.pi / 3)) for k in range(6)]
    flats = [
        Block(
            center=(c * (s / 2 + 2), q * (s / 2 + 2), 2.5),
            size=(4.0, 20.0, 5.0),
            axes=((c, q, 0.0), (-q, c, 0.0), (0.0, 0.0, 1.0)),
        )
        for c, q in turns
    ]
    prism = left(body, *flats)

    assert prism.volume == pytest.approx(5 * math.sqrt(3) / 2 * s**2, rel=CLOSED)
    assert prism.inertia[2][2] == pytest.approx(5 * 5 * math.sqrt(3) / 72 * s**4, rel=CLOSED)
    assert prism.center == pytest.approx((0, 0, 2.5), abs=CLOSED)


def test_half_a_bar_balances_where_half_a_disc_does() -> None:
    """A box up to the axis leaves half a bar: centroid 4 r / 3 pi off the axis, squares of x and y alike."""
    half = Block(center=(5.0, 0.0, 5.0), size=(10.0, 20.0, 10.0), axes=tuple(row[:3] for row in IDENTITY[:3]))
    kept = left(Body(plain=ring(0, 10, 6)), half)
    off = 4 * 3 / (3 * math.pi)

    assert kept.center == pytest.approx((-off, 0, 5), abs=CLOSED)
    assert kept.volume == pytest.approx(45 * math.pi, rel=CLOSED)
    assert kept.inertia[2][2] == pytest.approx(45 * math.pi * (9 / 2 - off**2), rel=CLOSED)


@pytest.mark.parametrize("name", CUTS)
def test_the_mesh_agrees(name: str) -> None:
    """Volume, centre and inertia are those of a fine mesh, within its chords."""
    part = CUTS[name]
    made = built(part)
    assert isinstance(made, Turned)
    exact, mesh = cut_moments(made.body, made.tools), mesh_moments(part_mesh(part, "weigh", FACETS))

    assert exact is not None
    assert exact.volume == pytest.approx(mesh.volume, rel=CHORDS)
    assert exact.center == pytest.approx(mesh.center, abs=CHORDS * 20)
    assert np.allclose(exact.inertia, mesh.inertia, rtol=0, atol=5 * CHORDS * mesh.inertia[0][0])


def test_a_cutter_beside_the_bar_takes_nothing() -> None:
    """What does not reach the metal changes nothing."""
    body = Body(plain=ring(0, 5, 4))

    assert left(body, HOLE).volume == pytest.approx(20 * math.pi, rel=CLOSED)


def test_a_cut_through_a_thread_has_no_closed_form() -> None:
    """Flanks are not spread evenly over a part of the circle, nor does a leaning cutter leave a rectangle."""
    screw = built(
        Part.turned(
            "screw", material="brass", stock="8 mm", outside=[thread("M8", 10)], across=[flat(2, 4, across=7)]
        )
    )
    assert isinstance(screw, Turned)
    body = Body(plain=ring(0, 20, 8))
    leaning = CrossCylinder(at=(9.0, 0.0, 4.0), direction=(-0.6, 0.0, 0.8), diameter=2.0, length=9.0)
    plate = Prism(outline=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), thickness=1.0, matrix=IDENTITY)

    assert cut_moments(screw.body, screw.tools) is None
    assert cut_moments(body, [leaning]) is None
    assert cut_moments(body, [plate]) is None
