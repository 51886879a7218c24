"""Refills against what retailers quote of their standards.

Sources: collectors' and retailers' notes that quote JIS S 6039 (forms D, G2, B, E, F) and JIS S 6054
(rollerball A).
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.refills import refill

SPREADS = {
    ("D", "length"): (67.0, 67.3),
    ("D", "tube diameter"): (2.3, 2.4),
    ("G2", "length"): (98.1 - 0.35, 98.1 + 0.40),
    ("G2", "tip diameter"): (2.54 - 0.04, 2.54 + 0.03),
    ("G2", "tail diameter"): (6 - 0.2, 6 + 0.1),
    ("B 107 mm", "tip diameter"): (2.28 - 0.04, 2.28 + 0.04),
    ("E 107 mm", "tip diameter"): (2.25 - 0.03, 2.25 + 0.03),
    ("F 107 mm", "tip diameter"): (2.30 - 0.03, 2.30 + 0.03),
    ("B 107 mm", "tube diameter"): (2.9, 3.2),
    ("rollerball A", "length"): (109, 113),
    ("rollerball A", "tip diameter"): (2.2, 2.4),
}


@pytest.mark.parametrize(("name", "dimension"), SPREADS)
def test_spreads_are_the_quoted_ones(name, dimension):
    """The least and the most of each quoted dimension."""
    span = dict(refill(name).spreads)[dimension]
    assert (span.low, span.high) == pytest.approx(SPREADS[name, dimension], abs=1e-9)


NOMINAL = {"G2": (98.1, 6.0), "D": (67.15, 2.35)}


@pytest.mark.parametrize("name", NOMINAL)
def test_envelopes_have_the_quoted_length_and_diameter(name):
    """The outline is as long and as wide as quoted; for D the middle of what is quoted."""
    found = refill(name)
    assert (found.length, found.largest_d) == pytest.approx(NOMINAL[name], abs=1e-9)
