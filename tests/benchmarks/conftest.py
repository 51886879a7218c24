"""The table that a run of the benchmarks ends with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytest_benchmark.fixture import BenchmarkFixture

collect_ignore = ["plain_section.py"]
"""Scripts that are run beside ours: they hold no tests."""

_ROWS = pytest.StashKey[list[dict[str, Any]]]()


@pytest.fixture(autouse=True)
def kept(benchmark: BenchmarkFixture, request: pytest.FixtureRequest) -> Iterator[None]:
    """Keep what a benchmark tells, once it is over."""
    yield
    rows = request.config.stash.setdefault(_ROWS, [])
    if benchmark.stats:
        rows.append(benchmark.extra_info | {"ours_s": benchmark.stats["min"]})


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print every figure with the one it was held against, both of this run."""
    rows = config.stash.get(_ROWS, [])
    write = terminalreporter.write_line
    if beside := [row for row in rows if "what" in row]:
        terminalreporter.section("side by side, in this run")
        write("| what | turnmodel | memory | beside it | | ratio |")
        write("|---|--:|--:|---|--:|--:|")
        for row in beside:
            peak = f"{row['peak_MB']:.0f} MB" if "peak_MB" in row else ""
            ratio = _two_figures(row["plain_s"] / row["ours_s"])
            ours, plain = _time(row["ours_s"]), _time(row["plain_s"])
            write(f"| {row['what']} | {ours} | {peak} | {row['beside']} | {plain} | {ratio} |")
    if grown := [row for row in rows if "grows" in row]:
        terminalreporter.section("growth, in this run")
        write("| what | least | most | power |")
        write("|---|--:|--:|--:|")
        for row in grown:
            ends = [f"{size}: {_time(row['costs'][size])}" for size in (min(row["costs"]), max(row["costs"]))]
            write(f"| {row['grows']} | {' | '.join(ends)} | {row['exponent']:.2f} |")


def _two_figures(number: float) -> str:
    """Write a number with two figures, and no powers of ten."""
    return f"{float(f'{number:.2g}'):g}"


def _time(seconds: float) -> str:
    """Write a time with two figures, or those before the point, and its unit."""
    for unit, factor in (("s", 1), ("ms", 1e3)):
        if seconds * factor >= 1:
            return (
                f"{seconds * factor:.0f} {unit}"
                if seconds * factor >= 10
                else f"{seconds * factor:.1f} {unit}"
            )
    return f"{seconds * 1e6:.0f} µs"
