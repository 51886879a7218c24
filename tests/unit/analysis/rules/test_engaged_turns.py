"""How many turns a screw engages that hardly reaches its hole, and what is told to mend it."""

from __future__ import annotations

import re

import pytest

from tests.held import found
from turnmodel import Part, counterbore, cylinder, drill, joint, relief, shoulder, tap, thread
from turnmodel.analysis.finding import Severity

EXACT = 1e-6  # turns, over the digits that constants are given with


def held(rule: str, plug: Part, tube: Part) -> list[object]:
    """Hold the two, screwed together, to one rule."""
    return found(rule, tube, plug, joints=[joint.screw(plug.face("stop"), tube.face("back"))])


def sunk(length: float) -> tuple[Part, Part]:
    """A spigot with so much thread, and a tube whose thread begins under a counterbore of 9 mm."""
    bored = [drill("7 mm", depth=27), counterbore(9, depth=9), tap("M8x1", depth=17)]
    outside = [thread("M8x1", length), relief(), shoulder("stop"), cylinder(12, 10)]
    plug = Part.turned("plug", material="CW614N", stock="12 mm", outside=outside)
    tube = Part.turned("tube", material="CW614N", stock="20 mm", outside=[cylinder(12, 30)], from_back=bored)
    return plug, tube


@pytest.mark.parametrize("length", [5.2, 5.8, 6.1])
def test_a_screw_that_hardly_goes_in_does_not_engage_and_is_told_how_far_it_lacks(length):
    """Short of its hole, or in it by its chamfer alone, it holds nothing; the mend as told makes one turn."""
    (finding,) = held("engaged turns", *sunk(length))
    assert finding.value == 0
    assert not held("stripping", *sunk(length))

    lacking = re.fullmatch(r"make thread \(outside 1\) of plug (\S+) mm longer", finding.mend or "")
    assert lacking is not None
    (mended,) = held("engaged turns", *sunk(length + float(lacking[1])))
    assert mended.severity is Severity.NOTE
    assert mended.value == pytest.approx(1, abs=0.01 + EXACT)  # mends are rounded up to hundredths


def test_a_longer_screw_never_engages_less():
    """From before a first touch on, each longer thread engages as many turns or more."""
    turns = [held("engaged turns", *sunk(5 + 0.15 * k))[0].value for k in range(20)]

    assert turns == sorted(turns)
    assert turns[0] == 0 < turns[-1]
