"""The whole check of a demo design, beside a plain script that asks the CAD kernel the same."""

from __future__ import annotations

from itertools import combinations, count
from pathlib import Path
from time import perf_counter

import pytest

from turnmodel.analysis.report import report
from turnmodel.design.loading import load
from turnmodel.geometry.tolerance import CONTACT_MM3

PEN = Path(__file__).parents[2] / "designs" / "pocket_pen.py"

KERNEL_NOISE_MM3 = 1e-3
"""What the kernel may find where faces only touch: 1e-7 mm over some thousand square millimetres."""


def _plain(design):
    """Weigh the parts by the kernel and intersect every two that are not screwed together, state by state."""
    from turnmodel.shape.exact import part_solid
    from turnmodel.shape.solid import location

    solids = {part.name: part_solid(part) for part in design.parts}
    begun = perf_counter()
    volumes = {name: solid.Volume() for name, solid in solids.items()}
    shared = {}
    for state, pose in design.poses.items():
        screwed = {frozenset((j.moving.part, j.fixed.part)) for j in pose.joints if j.word == "screw"}
        screwed |= {
            frozenset((j.moving.part, j.into.name))
            for j in pose.joints
            if getattr(j, "into", None) is not None
        }
        placed = {
            name: solids[name].moved(location(matrix))
            for name, matrix in pose.parts.items()
        }
        for a, b in combinations(placed, 2):
            if frozenset((a, b)) not in screwed:
                shared[state, a, b] = placed[a].intersect(placed[b]).Volume()
                placed[a].distance(placed[b])
    return perf_counter() - begun, volumes, shared


@pytest.mark.benchmark(group="whole check")
def test_whole_check_of_the_pocket_pen(benchmark):
    """The check finds no overlap where the kernel finds none; the kernel's time is put beside it."""
    report(load(PEN)[0], {})  # imports are paid for once

    fresh = count(1)

    def another():
        """Every part is new to the program, so that nothing is remembered from the round before."""
        step = next(fresh)
        given = {
            "barrel_length": 16 + step / 100,
            "cap_d": 10 - step / 1000,
            "spacer_height": 1 + step / 1000,
        }
        return (load(PEN, {name: str(value) for name, value in given.items()})[0],), {}

    found = benchmark.pedantic(lambda design: report(design, {}), setup=another, rounds=10)

    design, _ = load(PEN)
    kernel, _, shared = _plain(design)
    assert all(volume < KERNEL_NOISE_MM3 for volume in shared.values())
    assert all(m.overlap <= CONTACT_MM3 for state in found.states.values() for m in state.meetings)
    benchmark.extra_info["kernel_ms"] = kernel * 1e3
    if benchmark.stats:
        benchmark.extra_info["times_faster"] = kernel / benchmark.stats["median"]
