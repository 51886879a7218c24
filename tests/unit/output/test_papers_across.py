"""What is cut across a part, as its drawing shows it."""

from __future__ import annotations

import pytest

from turnmodel import Part, bar, cross_hole, cross_tap, cylinder, drill, flat
from turnmodel.design.part import built
from turnmodel.geometry.curve import Arc, Line
from turnmodel.output.papers.callouts import drawn_sizes
from turnmodel.output.papers.shape import shown


def tube(*across):
    """A tube of 12 by 7 mm with cuts across it."""
    part = Part.turned(
        "tube",
        material="brass",
        stock=bar("14 mm"),
        outside=[cylinder(12, 40)],
        from_front=[drill("7 mm", through=True)],
        across=list(across),
    )
    return built(part)


def test_a_hole_opens_in_a_round_with_an_arc():
    """ISO 128-3 lets an arc stand for the curve in which a hole meets a round."""
    seen = shown(tube(cross_hole("3 mm", at=5)))

    assert sorted(round(edge.start[1], 6) for edge in seen.edges if isinstance(edge, Arc)) == [3.5, 6]


def test_a_hole_opens_in_a_flat_with_a_line():
    """Over a hole in a flat there is no metal left of the round: its mouth is the flat, seen edge on."""
    made = tube(flat(at=2, length=6, across=11), cross_tap("M3", at=5))
    seen = shown(made)
    heights = [abs(edge.start[1]) for edge in seen.edges if edge.start[0] == pytest.approx(5 - 1.25)]
    (called,) = (c.callout for c in drawn_sizes(made).labels if "M3" in c.callout.words)

    assert sorted(heights) == pytest.approx([3.5, 5])
    assert [type(edge) for edge in seen.edges if abs(edge.start[1]) == pytest.approx(5)] == [Line]
    assert called.over[0][1] == pytest.approx(5)


def test_a_thread_across_has_its_root_drawn():
    """ISO 6410-1 draws the major diameter of a tapped hole narrow, within the metal, along the hole."""
    seen = shown(tube(cross_tap("M3", at=5)))

    assert [(root.start[0], root.end[0]) for root in seen.roots] == [(3.5, 3.5), (6.5, 6.5)]
    for root in seen.roots:
        assert sorted((root.start[1], root.end[1])) == pytest.approx([3.5, 6], abs=1e-4)
