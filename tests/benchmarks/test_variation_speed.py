"""How fast variants of the pocket pen are weighed and checked.

Asked for on two free cores: 1 000 variants for mass and balance in 5 s, 200 with every rule in 30 s.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from turnmodel.analysis.variants import axes, samples
from turnmodel.analysis.variation import Plan, vary
from turnmodel.design.loading import read_script

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


@pytest.mark.parametrize("case", CASES)
def test_variants_of_the_pocket_pen(benchmark: BenchmarkFixture, case: str) -> None:
    """Every variant is built, and has its figures."""
    ranges, count, names = CASES[case]
    spread = axes(ranges, read_script(PEN).parameters)
    plan = Plan(script=PEN, variants=samples(spread, count), names=names)
    rows = benchmark.pedantic(vary, (plan,), rounds=1)

    assert len(rows) == count
    assert all(row.broken is None for row in rows)
