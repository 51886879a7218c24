"""How the cost grows with what is asked: parts of an object, features of a part, facets, variants.

The processor's time is fitted by a power of the size: 1 is in proportion. What grows faster says why.
"""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from tests.benchmarks.timing import exponent, growth
from turnmodel import Design, Part, bar, cylinder, drill, groove, joint
from turnmodel.analysis.report import report
from turnmodel.analysis.weight import part_weight
from turnmodel.design.part import built
from turnmodel.geometry.frame import IDENTITY
from turnmodel.shape.part import placed_mesh

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from pytest_benchmark.fixture import BenchmarkFixture

NEAR_LINEAR = 1.25
"""A power that a logarithm or a cache's limits explain; house choice."""

PAIRS = 2.25
"""Every two parts are held against each other, and each part against the way out of every other."""


def stack(count: int) -> Design:
    """Pile rings of falling bores on one axis, none like another."""
    rings = [
        Part.turned(
            f"ring {k}",
            material="brass",
            stock=bar("20 mm"),
            outside=[cylinder(18 - k / 64, 5)],
            from_front=[drill(round(8 - k / 64, 3), through=True)],
        )
        for k in range(count)
    ]
    seats = [joint.seat(b.face("front"), a.face("back")) for a, b in pairwise(rings)]
    return Design("stack", parts=rings, joints=seats)


def comb(count: int) -> Part:
    """Turn a bar of grooves: an even number of features, lands and grooves by turns."""
    lands = [[cylinder(18, 1.5), groove(0.9, diameter=15 - k / 400)] for k in range(count // 2)]
    return Part.turned(
        "comb",
        material="brass",
        stock=bar("20 mm"),
        outside=[feature for pair in lands for feature in pair] + [cylinder(18, 1.5)],
    )


def weighed(part: Part) -> None:
    """Build a part and weigh it."""
    part_weight(part)


def told_growth(
    benchmark: BenchmarkFixture, what: str, sizes: dict[int, Callable[[], Any]], most: float
) -> None:
    """Fit the growth and hold it to a power; the benchmark itself times the largest."""
    costs = growth(sizes)
    found = exponent(costs)
    benchmark.pedantic(list(sizes.values())[-1], rounds=1)
    benchmark.extra_info |= {
        "grows": f"{what}: {min(costs)} to {max(costs)}",
        "costs_ms": {size: cost * 1e3 for size, cost in costs.items()},
        "exponent": found,
    }
    assert found < most, costs


def test_parts_in_an_object(benchmark: BenchmarkFixture) -> None:
    """The whole check of 2 to 64 parts grows no faster than the number of pairs."""
    sizes = {n: partial(lambda n: report(stack(n), {}), n) for n in (2, 4, 8, 16, 32, 64)}
    told_growth(benchmark, "whole check over parts in an object", sizes, PAIRS)


@pytest.mark.parametrize("work", ["weigh", "mesh"])
def test_features_in_a_part(benchmark: BenchmarkFixture, work: str) -> None:
    """A part of 4 to 400 features is built and weighed, or meshed, nearly in proportion to them."""
    does = {"weigh": weighed, "mesh": lambda part: placed_mesh(part, IDENTITY)}[work]
    sizes = {n: partial(lambda n: does(comb(n)), n) for n in (4, 12, 40, 120, 400)}
    told_growth(benchmark, f"{work} over features in a part", sizes, NEAR_LINEAR)


def test_facets(benchmark: BenchmarkFixture) -> None:
    """A mesh costs nearly in proportion to its facets round the circle."""
    part = comb(40)
    built(part)
    sizes = {n: partial(placed_mesh, part, IDENTITY, "show", n) for n in (32, 64, 128, 256, 512, 1024)}
    told_growth(benchmark, "mesh over facets", sizes, NEAR_LINEAR)
