"""Drawn apart: nothing hides another at the end, and each step goes the way the part really goes."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from turnmodel.analysis.apart import drawn_off, moves
from turnmodel.design.loading import load
from turnmodel.shape.part import placed_mesh

DESIGNS = sorted((Path(__file__).parents[3] / "designs").glob("*.py"))


@pytest.mark.parametrize("script", DESIGNS, ids=lambda path: path.stem)
def test_parts_drawn_apart_stand_clear(script: Path) -> None:
    """In every state of every demo design, any two parts are apart along some way in the end."""
    design, _ = load(script)
    for state, pose in design.poses.items():
        points = {
            name: placed_mesh(design.part(name), place, "show", 32).vertices
            for name, place in pose.parts.items()
        }
        steps = drawn_off(design, state)
        found = moves(points, steps)
        ways = np.array([step.direction for step in steps])
        ends = {}
        for name, vertices in points.items():
            shift = np.sum([move.shift for move in found if name in move.parts], axis=0)
            along = (vertices + shift) @ ways.T
            ends[name] = (along.min(axis=0), along.max(axis=0))

        assert [move.off for move in found] == [step.off for step in steps]
        for a, b in combinations(ends, 2):
            (low, high), (other_low, other_high) = ends[a], ends[b]
            assert ((high < other_low) | (other_high < low)).any(), (state, a, b)


@pytest.mark.parametrize("script", DESIGNS, ids=lambda path: path.stem)
def test_moves_go_the_way_the_parts_go(script: Path) -> None:
    """Every move is along the direction in which its parts come off, and goes somewhere."""
    design, _ = load(script)
    state = next(iter(design.states))
    points = {
        name: placed_mesh(design.part(name), place, "show", 32).vertices
        for name, place in design.poses[state].parts.items()
    }
    steps = drawn_off(design, state)
    for step, move in zip(steps, moves(points, steps), strict=True):
        along = float(np.dot(step.direction, move.shift))

        assert along == pytest.approx(float(np.linalg.norm(move.shift)))
        assert along > 0


def test_what_came_off_a_part_goes_along_with_it() -> None:
    """The clip of a cap, drawn off it first, stays over the cap when the cap is drawn off the body."""
    design, _ = load(DESIGNS[0].parent / "pocket_pen.py")
    (cap,) = (step for step in drawn_off(design, "closed") if step.off == ("cap",))

    assert set(cap.along) == {"spacer", "clip", "screw"}
