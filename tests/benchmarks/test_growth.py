"""How the cost grows with what is asked: parts of an object, features of a part, facets, variants.

The processor's time is fitted by a power of the size: 1 is in proportion. What grows faster says why.
"""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pytest

from tests.benchmarks.timing import exponent, growth
from turnmodel import Design, Part, bar, cylinder, drill, groove, joint
from turnmodel.analysis.report import report
from turnmodel.analysis.variants import axes, samples
from turnmodel.analysis.variation import Plan, vary
from turnmodel.analysis.weight import part_weight
from turnmodel.design.loading import read_script
from turnmodel.design.part import built
from turnmodel.geometry.frame import IDENTITY
from turnmodel.shape.part import placed_mesh

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from pytest_benchmark.fixture import BenchmarkFixture

PEN: Final = Path(__file__).parents[2] / "designs" / "pocket_pen.py"

NEAR_LINEAR: Final = 1.4
"""In proportion, but for the memory that larger work no longer finds near; house choice."""

ALL_OVER_ALL: Final = 1.8
"""A comb's lands all have the same radii: looked at along the axis, each stands over all the others."""

PAIRS: Final = 2.25
"""Every two parts are held against each other, and drawn off each other, once."""

TAIL: Final = 3
"""The largest sizes, which alone are fitted: among the smallest, what is paid once hides the growth."""


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


def told_growth(
    benchmark: BenchmarkFixture, what: str, sizes: dict[int, Callable[[], Any]], most: float
) -> None:
    """Fit the growth and hold it to a power; the benchmark itself times the largest."""
    costs = growth(sizes)
    found = exponent(dict(list(costs.items())[-TAIL:]))
    benchmark.pedantic(list(sizes.values())[-1], rounds=1)
    benchmark.extra_info |= {"grows": what, "costs": costs, "exponent": found}
    assert found < most, costs


def test_parts_in_an_object(benchmark: BenchmarkFixture) -> None:
    """The whole check of 2 to 64 parts grows no faster than the number of pairs."""
    sizes = {n: partial(lambda n: report(stack(n), {}), n) for n in (2, 4, 8, 16, 32, 64)}
    told_growth(benchmark, "check, parts of an object", sizes, PAIRS)


WORKS: Final = {
    "weigh": (part_weight, NEAR_LINEAR),
    "mesh": (lambda part: placed_mesh(part, IDENTITY), NEAR_LINEAR),
    "check": (lambda part: report(Design("comb", parts=[part]), {}), ALL_OVER_ALL),
}
"""What is done to a part of many features, and how fast it may grow."""


@pytest.mark.parametrize("work", WORKS)
def test_features_in_a_part(benchmark: BenchmarkFixture, work: str) -> None:
    """A part of 4 to 400 features is built, and weighed, meshed or checked, in less than their square."""
    does, most = WORKS[work]
    sizes = {n: partial(lambda n: does(comb(n)), n) for n in (4, 12, 40, 120, 400)}
    told_growth(benchmark, f"{work}, features of a part", sizes, most)


def test_facets(benchmark: BenchmarkFixture) -> None:
    """A mesh costs nearly in proportion to its facets round the circle."""
    part = comb(40)
    built(part)
    sizes = {n: partial(placed_mesh, part, IDENTITY, "show", n) for n in (32, 64, 128, 256, 512, 1024)}
    told_growth(benchmark, "mesh, facets round the circle", sizes, NEAR_LINEAR)


def test_variants(benchmark: BenchmarkFixture) -> None:
    """Variants that are weighed one after another cost in proportion to their number."""
    spread = axes(["barrel_length=14:18"], read_script(PEN).parameters)
    sizes = {
        n: partial(
            vary,
            Plan(script=PEN, variants=samples(spread, n), names=("states.closed.balance_mm",)),
            workers=1,
        )
        for n in (8, 32, 128)
    }
    told_growth(benchmark, "weigh, variants", sizes, NEAR_LINEAR)
