"""How long the program takes to show its help, beside the library that parses its command line."""

from __future__ import annotations

import subprocess
import sys
from statistics import median
from time import perf_counter

import pytest

ROUNDS = 7
"""Odd, so that the median is one of them; enough that one disturbed run does not count."""

MOST = 2.5
"""How many times the parser's own import the help may take; house choice: it is felt as at once."""


def seconds(*words: str) -> float:
    """Time a process of its own."""
    begun = perf_counter()
    subprocess.run([sys.executable, *words], check=True, capture_output=True)
    return perf_counter() - begun


@pytest.mark.benchmark(group="cold start")
def test_help_is_there_at_once(benchmark):
    """The help costs little more than the interpreter and the parser that it cannot do without."""
    floor, whole = ("-c", "import typer"), ("-m", "turnmodel", "--help")
    seconds(*floor)
    seconds(*whole)  # compiled once
    pairs = [(seconds(*floor), seconds(*whole)) for _ in range(ROUNDS)]
    benchmark.pedantic(seconds, args=whole, rounds=3)
    ratio = median(b for _, b in pairs) / median(a for a, _ in pairs)
    benchmark.extra_info["times the parser's import"] = round(ratio, 2)

    assert ratio < MOST
