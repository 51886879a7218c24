"""How fast variants of the pocket pen are weighed and checked, beside a plain loop over them.

Asked for on two free cores: 1 000 variants for mass and balance in 5 s, 200 with every rule in 30 s.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.benchmarks.timing import best, forget, told
from turnmodel.analysis.figures import figures
from turnmodel.analysis.variants import axes, samples
from turnmodel.analysis.variation import Plan, vary
from turnmodel.catalog.tools import find_tools
from turnmodel.design.loading import load, read_script

if TYPE_CHECKING:
    from pytest_benchmark.fixture import BenchmarkFixture

PEN = Path(__file__).parents[2] / "designs" / "pocket_pen.py"

WEIGHED = tuple(f"states.{state}.{word}" for state in ("open", "closed") for word in ("mass_g", "balance_mm"))

RANGES = ["barrel_length=14:18", "cap_d=10:10.8", "spacer_height=0.9:1.2"]

CASES = {
    "one parameter, weighed": (RANGES[:1], 1000, WEIGHED),
    "three parameters, weighed": (RANGES, 1000, WEIGHED),
    "three parameters, checked": (RANGES, 200, (*WEIGHED, "faults")),
}

LOOPED = 20
"""Variants of the plain loop, whose time is scaled to their number: one costs what another does."""


@pytest.mark.parametrize("case", CASES)
def test_variants_of_the_pocket_pen(benchmark: BenchmarkFixture, case: str) -> None:
    """Every variant is built, and has the figures that a plain loop of load and measure finds."""
    ranges, count, names = CASES[case]
    spread = axes(ranges, read_script(PEN).parameters)
    plan = Plan(script=PEN, variants=samples(spread, count), names=names)
    rows = benchmark.pedantic(vary, (plan,), rounds=1)

    assert len(rows) == count
    assert all(row.broken is None for row in rows)

    def loop() -> list[dict[str, float | None]]:
        forget()
        tools = find_tools(PEN, None)
        return [dict(figures(load(PEN, row.settings)[0], names, tools)) for row in rows[:LOOPED]]

    assert loop() == [dict(row.figures) for row in rows[:LOOPED]]
    told(
        benchmark,
        f"{count} variants, {case}",
        "plain loop",
        best(loop, 3) * count / LOOPED,
    )
