"""The cutting-stock problem against a published instance.

Source: the paper-mill example of the encyclopaedia article on the cutting-stock problem, from memory: rolls
of 5600 mm, thirteen widths ordered, 308 patterns; the optimum is 73 rolls, with 0.401 % of waste.
"""

from __future__ import annotations

from turnmodel.analysis.plan.cutting_stock import Length, sawing

ROLL = 5600.0
ORDERS = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
    2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip


def test_the_paper_mill_needs_73_rolls():
    """The published optimum is reached and proven."""
    pieces = [float(width) for width, count in ORDERS.items() for _ in range(count)]
    found = sawing(pieces, [Length(length=ROLL, count=None, cost=1.0)])
    assert sum(cut.times for cut in found.cuts) == 73
    assert found.proven


def test_its_waste_is_the_published_one():
    """What the 73 rolls leave over is 0.401 % of them."""
    used = sum(width * count for width, count in ORDERS.items())
    assert round(100 * (1 - used / (73 * ROLL)), 3) == 0.401
