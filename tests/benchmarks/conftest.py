"""The table that a run of the benchmarks ends with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytest_benchmark.fixture import BenchmarkFixture

_ROWS = pytest.StashKey[list[dict[str, Any]]]()


@pytest.fixture(autouse=True)
def kept(benchmark: BenchmarkFixture, request: pytest.FixtureRequest) -> Iterator[None]:
    """Keep what a benchmark tells, once it is over."""
    yield
    rows = request.config.stash.setdefault(_ROWS, [])
    if benchmark.stats and "what" in benchmark.extra_info:
        rows.append(benchmark.extra_info | {"ours_s": benchmark.stats["min"]})


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print every figure with the one it was held against, both of this run."""
    rows = config.stash.get(_ROWS, [])
    if not rows:
        return
    terminalreporter.section("side by side, in this run")
    terminalreporter.write_line("| what | turnmodel | memory | beside it | | ratio |")
    terminalreporter.write_line("|---|--:|--:|---|--:|--:|")
    for row in rows:
        ratio = row["plain_s"] / row["ours_s"]
        peak = f"{row['peak_MB']:.0f} MB" if "peak_MB" in row else ""
        terminalreporter.write_line(
            f"| {row['what']} | {_time(row['ours_s'])} | {peak} | {row['beside']} | {_time(row['plain_s'])} "
            f"| {ratio:.2g} |"
        )


def _time(seconds: float) -> str:
    """Write a time with three figures and its unit."""
    return f"{seconds:.3g} s" if seconds >= 1 else f"{seconds * 1e3:.3g} ms"
