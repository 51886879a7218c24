"""Tolerance stacks.

Worst case: ISO 2768-1:1989, class m, for the tolerances. Root sum of squares: the combination of independent
errors as in JCGM 100:2008 (GUM), 5.1.2, from memory; figures worked by hand.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from turnmodel.analysis.spot import GENERAL, Link
from turnmodel.analysis.stack import Stack, drawn, share_outside


def link(name: str, share: float, tolerance: float, *, even: bool = False) -> Link:
    """A dimension of 10 mm."""
    return Link(
        part="part",
        name=name,
        size=10.0,
        share=share,
        minus=tolerance,
        plus=tolerance,
        even=even,
        source=GENERAL,
    )


def test_worst_case_is_a_sum_and_the_likely_a_root():
    """Of 0.3, 0.4 and 1.2 mm the sum is 1.9 mm and the root of the squares 1.3 mm."""
    found = Stack(nominal=5.0, links=(link("a", 1.0, 0.3), link("b", -1.0, 0.4), link("c", 1.0, 1.2)))

    assert found.worst == pytest.approx((3.1, 6.9))
    assert found.likely == pytest.approx((3.7, 6.3))


def test_a_share_scales_a_tolerance():
    """A dimension that counts half brings half its tolerance."""
    found = Stack(nominal=0.0, links=(link("a", 0.5, 0.4),))

    assert found.worst == pytest.approx((-0.2, 0.2))


def test_chance_has_the_deviation_of_independent_errors():
    """Normal sizes have a third of the tolerance for deviation, even ones it over root 3 (GUM, 4.3.7)."""
    found = Stack(nominal=1.0, links=(link("a", 1.0, 0.3), link("b", -2.0, 0.1, even=True)))
    values = drawn(found)
    deviation = math.hypot(0.3 / 3, 2 * 0.1 / math.sqrt(3))
    standard_error = deviation / math.sqrt(len(values))

    assert len(values) == 100_000
    assert float(values.mean()) == pytest.approx(1.0, abs=4 * standard_error)
    assert float(values.std()) == pytest.approx(deviation, rel=0.01)
    assert found.worst[0] <= values.min() <= values.max() <= found.worst[1]


def test_what_share_comes_out_beyond_a_limit():
    """Of even sizes within 1 mm a quarter is more than half a millimetre short."""
    found = Stack(nominal=0.0, links=(link("a", 1.0, 1.0, even=True),))

    assert share_outside(found, -0.5) == pytest.approx(0.25, abs=0.005)
    assert share_outside(found, -1.0, 1.0) == 0.0
    assert np.array_equal(drawn(found), drawn(Stack(nominal=0.0, links=found.links)))
