"""The whole check of each demo design, beside a plain script that asks the CAD kernel what shares room."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING

import pytest

from tests.benchmarks.timing import forget, told
from turnmodel.analysis.report import Report, report
from turnmodel.design.joint import Press, Screw
from turnmodel.design.loading import load
from turnmodel.geometry.tolerance import CONTACT_MM3

if TYPE_CHECKING:
    from pytest_benchmark.fixture import BenchmarkFixture

    from turnmodel.design.design import Design
    from turnmodel.design.pose import Pose

DESIGNS = sorted((Path(__file__).parents[2] / "designs").glob("*.py"))

KERNEL_NOISE_MM3 = 1e-3
"""What the kernel may find where faces only touch: 1e-7 mm over some thousand square millimetres."""

FACE_BOUND = 1e-4
"""What the kernel's volume of a part may differ by, relative: it integrates crossings by a fixed rule."""


def _left_out(pose: Pose) -> set[frozenset[str]]:
    """List the pairs whose overlap in plain solids says nothing: screwed, or pressed, on each other."""
    found = {frozenset((j.moving.part, j.fixed.part)) for j in pose.joints if isinstance(j, Screw | Press)}
    return found | {
        frozenset((j.moving.part, j.into.name)) for j in pose.joints if isinstance(j, Screw) and j.into
    }


def _plain(design: Design) -> tuple[float, dict[str, float]]:
    """Time the kernel: it weighs the parts, and holds every two against each other, state by state.

    The solids stand before the time begins; threads, rules and witnesses are not asked of it.
    """
    from turnmodel.shape.exact import part_solid
    from turnmodel.shape.solid import location

    solids = {part.name: part_solid(part) for part in design.parts}
    begun = perf_counter()
    volumes = {name: solid.Volume() for name, solid in solids.items()}
    for pose in design.poses.values():
        placed = {name: solids[name].moved(location(matrix)) for name, matrix in pose.parts.items()}
        for a, b in combinations(placed, 2):
            if frozenset((a, b)) not in _left_out(pose):
                assert placed[a].intersect(placed[b]).Volume() < KERNEL_NOISE_MM3, (a, b)
                placed[a].distance(placed[b])
    return perf_counter() - begun, volumes


def _check(path: Path) -> Report:
    return report(load(path)[0], {})


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_whole_check(benchmark: BenchmarkFixture, path: Path) -> None:
    """Loading and every rule, nothing remembered; the kernel too finds no overlap, and the same volumes."""
    _check(path)  # imports are paid for once
    found = benchmark.pedantic(_check, (path,), setup=forget, rounds=7)

    design, _ = load(path)
    kernel, volumes = _plain(design)
    assert all(m.meant or m.overlap <= CONTACT_MM3 for s in found.states.values() for m in s.meetings)
    for name, part in found.parts.items():
        if not _threaded(design, name) and part.witnesses.exact is not None:
            assert volumes[name] == pytest.approx(part.witnesses.exact, rel=FACE_BOUND)
    told(benchmark, f"whole check, {design.name}", "kernel, volumes and pairs alone", kernel)


def _threaded(design: Design, name: str) -> bool:
    """Whether a part has a thread, which the kernel's solid shows plain."""
    return any(part.name == name and made.body.threads for part, made in design.turned) or any(
        part.name == name and cut.feature.word == "cross tap"
        for part, made in design.turned
        for cut in made.across
    )
