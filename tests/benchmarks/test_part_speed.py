"""Meshes and mass of the designs' turned parts, beside the CAD kernel and the mesh library."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.benchmarks.timing import best, told
from turnmodel.design.loading import load
from turnmodel.geometry.body import Body
from turnmodel.geometry.frame import IDENTITY
from turnmodel.geometry.moments import moments
from turnmodel.geometry.tolerance import FACETS, circle_deficit
from turnmodel.shape.lathe import CUT, Mesh, lathe
from turnmodel.shape.measures import mesh_moments, mesh_volume
from turnmodel.shape.part import placed_mesh

if TYPE_CHECKING:
    import cadquery as cq
    import trimesh
    from pytest_benchmark.fixture import BenchmarkFixture

DESIGNS = sorted((Path(__file__).parents[2] / "designs").glob("*.py"))

CHORD_MM = 0.01
"""A chord height [mm] that the facet angle keeps under on any bar, so that the angle alone rules."""

KERNEL_ANGLES = 2
"""The kernel halves the angle it is given: its circles of 2 pi/128 lack a fourth of what 128 chords do."""

KERNEL_RELATIVE = 1e-6
"""The kernel's own tolerance of 1e-7 mm on parts of some millimetres."""

SLACK = 3
"""Arcs of the profile have chords too, which each side sets its own way; times the lack of the circle."""

SAME = 1e-9
"""Two sums over one mesh differ by rounding alone, relative."""


@cache
def _round_bodies() -> tuple[Body, ...]:
    """Give every turned part of the designs, its threads plain and nothing cut across."""
    designs = (load(path)[0] for path in DESIGNS)
    return tuple(Body(plain=made.body.plain) for design in designs for _, made in design.turned)


@cache
def _solids() -> tuple[cq.Solid, ...]:
    from turnmodel.shape.solid import solid

    return tuple(map(solid, _round_bodies()))


def _tessellated(solid: cq.Solid) -> float:
    """Mesh a solid by the kernel, at chords as long as ours, and measure what the mesh encloses [mm3]."""
    points, faces = solid.tessellate(CHORD_MM, KERNEL_ANGLES * 2 * math.pi / FACETS)
    corners = np.array([p.toTuple() for p in points])[np.array(faces)]
    return float(np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))) / 6


def test_plain_parts_are_meshed_at_equal_facet_angle(benchmark: BenchmarkFixture) -> None:
    """Every turned part weighs what it does, but for the chords' lack; so do most of the kernel's meshes."""
    limit = SLACK * circle_deficit(FACETS)
    exact = [moments(body.plain).volume for body in _round_bodies()]
    right = [
        k
        for k, solid in enumerate(_solids())
        if _tessellated(solid.copy()) == pytest.approx(exact[k], rel=limit)
    ]
    copies = iter([[_solids()[k].copy() for k in right] for _ in range(3)])  # a shape keeps its first mesh
    seconds = best(lambda: [_tessellated(solid) for solid in next(copies)], rounds=3)

    ours = benchmark.pedantic(lambda: [lathe(_round_bodies()[k]) for k in right], rounds=5)

    assert len(right) > len(exact) / 2
    for mesh, k in zip(ours, right, strict=True):
        assert mesh_volume(mesh) == pytest.approx(exact[k], rel=limit)
    told(benchmark, f"mesh of {len(right)} plain parts", "kernel, chords as long", seconds)
    benchmark.extra_info["wrong by the kernel"] = len(exact) - len(right)


def test_mass_properties_in_closed_form(benchmark: BenchmarkFixture) -> None:
    """Volume, balance and inertia of every turned part are the kernel's, within its tolerance."""
    import cadquery as cq

    def kernel() -> list[tuple[float, float, float]]:
        return [
            (solid.Volume(), solid.Center().z, cq.Shape.matrixOfInertia(solid)[2][2]) for solid in _solids()
        ]

    theirs, seconds = kernel(), best(kernel)
    ours = benchmark(lambda: [moments(body.plain) for body in _round_bodies()])

    for mine, (volume, center, about_axis) in zip(ours, theirs, strict=True):
        assert mine.volume == pytest.approx(volume, rel=KERNEL_RELATIVE)
        assert mine.station == pytest.approx(center, rel=KERNEL_RELATIVE, abs=KERNEL_RELATIVE)
        assert mine.axial == pytest.approx(about_axis, rel=KERNEL_RELATIVE)
    told(benchmark, f"mass, balance, inertia of {len(ours)} parts", "kernel", seconds)


def _library(mesh: Mesh) -> trimesh.Trimesh:
    """Give a mesh to the mesh library, as it is."""
    import trimesh

    return trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)


def test_mass_properties_of_a_mesh(benchmark: BenchmarkFixture) -> None:
    """Volume, center and inertia of the same mesh are the mesh library's, but for rounding."""
    part = load(DESIGNS[0])[0].turned[0][0]
    mesh = placed_mesh(part, IDENTITY)

    def library() -> tuple[float, np.ndarray]:
        found = _library(mesh).mass_properties
        return found["mass"], found["center_mass"]

    (volume, center), seconds = library(), best(library)
    ours = benchmark(mesh_moments, mesh)

    assert ours.volume == pytest.approx(volume, rel=SAME)
    assert ours.center == pytest.approx(center, rel=SAME, abs=SAME)
    told(benchmark, f"mass of a mesh of {len(mesh.faces)} faces", "mesh library", seconds)


def test_a_part_without_its_quarter(benchmark: BenchmarkFixture) -> None:
    """A threaded part cut open weighs what it does when the mesh library takes a box off it."""
    import trimesh

    made = next(made for _, made in load(DESIGNS[0])[0].turned if made.body.threads)
    far = 1e3
    box = trimesh.creation.box((far, far, 2 * far))
    box.apply_translation((far / 2, -far / 2, 0))

    def library() -> trimesh.Trimesh:
        return trimesh.boolean.difference([_library(lathe(made.body)), box], engine="manifold")

    theirs, seconds = library(), best(library)
    ours = benchmark(lathe, made.body, sector=270.0)

    assert mesh_volume(ours) == pytest.approx(theirs.volume, rel=circle_deficit(FACETS))
    assert (ours.tags == CUT).any()
    told(benchmark, "threaded part, a quarter taken out", "mesh library, box taken off", seconds)
