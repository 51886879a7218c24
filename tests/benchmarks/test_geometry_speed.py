"""Overlap and least distance on the half-plane against the CAD kernel's, on one pair in one run.

The kernel's answers are held against ours; what is stored beside each timing is the ratio.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from tests.benchmarks.timing import timed, told
from turnmodel.geometry.body import Body
from turnmodel.geometry.boolean import difference, union
from turnmodel.geometry.curve import Arc, Curve, Line, Point
from turnmodel.geometry.distance import least_distance
from turnmodel.geometry.moments import moments
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.region import Region, check_region, moved, ring

if TYPE_CHECKING:
    import cadquery as cq
    from pytest_benchmark.fixture import BenchmarkFixture

KERNEL_RELATIVE = 1e-6
"""The kernel's own tolerance of 1e-7 mm on parts of some millimetres."""

KERNEL_MM = 1e-6
"""The kernel's extrema are found by iteration to about its tolerance of 1e-7 mm."""


def chain(*points: Point) -> list[Curve]:
    """Join points by lines."""
    return [Line(start=a, end=b) for a, b in pairwise(points)]


def holder() -> Region:
    """Turn a pencil holder's body, bored in three steps: 18 curves."""
    bore = chain((0, 1.25), (20, 1.25), (20, 1.75), (60, 1.75), (60, 2.1), (70, 2.1), (70, 5.3))
    shank = chain((70, 5.3), (69.7, 5.5), (30, 5.5), (30, 4.2))
    nose = chain((29.7, 3.9), (26, 3.9), (26, 4.5), (22, 4.5), (21.6, 4.1), (19, 4.1))
    fillets = [
        Arc(start=(30, 4.2), end=(29.7, 3.9), center=(29.7, 4.2), turn=-1),
        Arc(start=(19, 4.1), end=(18, 3.1), center=(18, 4.1), turn=-1),
    ]
    return Region(
        loops=((*bore, *shank, fillets[0], *nose, fillets[1], *chain((18, 3.1), (4, 2.6), (0, 1.25))),)
    )


def cap() -> Region:
    """Turn the cap over its nose, domed: 14 curves."""
    inside = chain((-5, 0), (-4, 2), (-4, 3.6), (18, 3.6), (18.5, 4.12), (21.5, 4.12), (22, 4.52))
    mouth = chain((22, 4.52), (26.2, 4.52), (26.2, 4.4), (29, 4.4), (29, 5.2))
    rim = Arc(start=(29, 5.2), end=(28.7, 5.5), center=(28.7, 5.2), turn=1)
    crown = Arc(start=(-4, 5.5), end=(-9.5, 0), center=(-4, 0), turn=1)
    return Region(
        loops=((*inside, *mouth, rim, *chain((28.7, 5.5), (-4, 5.5)), crown, *chain((-9.5, 0), (-5, 0))),)
    )


PAIRS = {"in its place": 0.0, "pushed 2 mm too far": 2.0, "pulled off": -60.0}


def solids(a: Region, b: Region) -> tuple[cq.Solid, cq.Solid]:
    """Revolve both by the kernel."""
    solid = pytest.importorskip("turnmodel.shape.solid").solid
    return solid(Body(plain=a)), solid(Body(plain=b))


@pytest.mark.parametrize("pair", PAIRS)
def test_overlap_against_the_kernel(benchmark: BenchmarkFixture, pair: str) -> None:
    """The volume in common is the kernel's, within its tolerance."""
    a, b = holder(), moved(cap(), PAIRS[pair])
    check_region(a)
    check_region(b)
    one, other = solids(a, b)
    volume, seconds = timed(lambda: one.intersect(other).Volume())
    exact = benchmark(overlap_volume, a, b)
    assert math.isclose(exact, volume, rel_tol=KERNEL_RELATIVE, abs_tol=KERNEL_RELATIVE)
    told(benchmark, f"overlap of two parts, {pair}", "kernel", seconds)


@pytest.mark.parametrize("pair", PAIRS)
def test_least_distance_against_the_kernel(benchmark: BenchmarkFixture, pair: str) -> None:
    """The least distance is the kernel's, within its tolerance."""
    a, b = holder(), moved(cap(), PAIRS[pair])
    one, other = solids(a, b)
    distance, seconds = timed(lambda: one.distance(other))
    exact = benchmark(lambda: least_distance(a, b).distance)
    assert math.isclose(exact, distance, abs_tol=KERNEL_MM)
    told(benchmark, f"least distance of two parts, {pair}", "kernel", seconds)


def test_a_part_of_ten_cuts_against_the_kernel(benchmark: BenchmarkFixture) -> None:
    """Ten grooves cut at once leave the kernel's volume, within its tolerance."""
    bar, grooves = ring(0, 70, 11), [ring(6 * k, 6 * k + 3, 20, 7 - 0.3 * k) for k in range(10)]
    stock, *tools = (solids(r, r)[0] for r in (bar, *grooves))
    volume, seconds = timed(lambda: stock.cut(*tools).Volume())
    exact = moments(benchmark(difference, bar, *grooves)).volume
    assert math.isclose(exact, volume, rel_tol=KERNEL_RELATIVE)
    told(benchmark, "ten grooves cut into a bar", "kernel", seconds)


def test_joining_two_parts_against_the_kernel(benchmark: BenchmarkFixture) -> None:
    """The union of holder and cap weighs the kernel's volume, within its tolerance."""
    a, b = holder(), moved(cap(), 2.0)
    one, other = solids(a, b)
    volume, seconds = timed(lambda: one.fuse(other).Volume())
    exact = moments(benchmark(union, a, b)).volume
    assert math.isclose(exact, volume, rel_tol=KERNEL_RELATIVE)
    told(benchmark, "two parts joined to one", "kernel", seconds)
