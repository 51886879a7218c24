"""How the benchmarks measure: the best of several runs, the cost of a process, the exponent of growth."""

from __future__ import annotations

import functools
import gc
import json
import math
import subprocess
import sys
from dataclasses import dataclass
from time import perf_counter, process_time
from typing import TYPE_CHECKING, Any, Final, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from pytest_benchmark.fixture import BenchmarkFixture

__all__ = ["Cost", "best", "child", "exponent", "forget", "growth", "timed", "told"]


T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a process took: time on the clock and of the processor [s], and its largest memory [MB]."""

    wall: float
    cpu: float
    peak: float


def best(work: Callable[[], Any], rounds: int = 5) -> float:
    """Time a call by its quickest run [s], which others on the machine disturbed least."""
    return min(_timed(work, perf_counter) for _ in range(rounds))


def timed(work: Callable[[], T], rounds: int = 5) -> tuple[T, float]:
    """Give what a call answers, and the time of its quickest run [s]."""
    return work(), best(work, rounds)


def _timed(work: Callable[[], Any], clock: Callable[[], float]) -> float:
    begun = clock()
    work()
    return clock() - begun


_MEASURED: Final = """
import json, os, subprocess, sys, time
begun = time.perf_counter()
running = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
_, status, used = os.wait4(running.pid, 0)
wall = time.perf_counter() - begun
print(json.dumps([wall, used.ru_utime + used.ru_stime, used.ru_maxrss, os.waitstatus_to_exitcode(status)]))
"""
"""Starts and measures a process; where a large one does, its memory is counted to what it starts."""


def child(*words: str, folder: Path, env: Mapping[str, str] | None = None) -> Cost:
    """Run Python with some words in a process of its own; statuses 0 and 1 are answers, others are not."""
    command = [sys.executable, "-I", "-S", "-c", _MEASURED, sys.executable, *words]
    done = subprocess.run(command, cwd=folder, env=env, capture_output=True, check=True, text=True)
    wall, cpu, peak, status = json.loads(done.stdout)
    assert status in (0, 1), words
    return Cost(wall=wall, cpu=cpu, peak=peak / (1 << 20 if sys.platform == "darwin" else 1 << 10))


def growth(sizes: Mapping[int, Callable[[], Any]], rounds: int = 3) -> dict[int, float]:
    """Time the work of each size by the processor's clock [s], the best of some runs, nothing remembered."""
    found = dict.fromkeys(sizes, math.inf)
    for _ in range(rounds):
        for size, work in sizes.items():
            forget()
            found[size] = min(found[size], _timed(work, process_time))
    return found


def exponent(costs: Mapping[int, float]) -> float:
    """Fit the power of size by which cost grows, by least squares of the logarithms: 1 is in proportion."""
    x, y = [math.log(size) for size in costs], [math.log(cost) for cost in costs.values()]
    middle, level = sum(x) / len(x), sum(y) / len(y)
    slopes = sum((a - middle) * (b - level) for a, b in zip(x, y, strict=True))
    return slopes / sum((a - middle) ** 2 for a in x)


def forget() -> None:
    """Empty what the program remembers of parts and designs; its tables stay read."""
    for thing in gc.get_objects():
        if isinstance(thing, functools._lru_cache_wrapper):
            home = thing.__module__ or ""
            if home.startswith("turnmodel.") and not home.startswith("turnmodel.catalog."):
                thing.cache_clear()


def told(benchmark: BenchmarkFixture, what: str, beside: str, plain: float) -> None:
    """Store the time [s] of the plain way beside ours, and their ratio, for the table at the end."""
    benchmark.extra_info |= {"what": what, "beside": beside, "plain_s": plain}
    if benchmark.stats:
        benchmark.extra_info["times_faster"] = plain / benchmark.stats["min"]
