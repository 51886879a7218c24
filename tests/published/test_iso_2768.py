"""General tolerances against ISO 2768-1:1989.

Sources: ISO 2768-1:1989, public table of linear dimensions; radii, chamfers and angles from memory,
agreeing with a garbled print.
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.fits import general_tolerance

LENGTHS = {
    "f": {2: 0.05, 5: 0.05, 20: 0.1, 100: 0.15, 200: 0.2},
    "m": {2: 0.1, 5: 0.1, 20: 0.2, 100: 0.3, 200: 0.5},
    "c": {2: 0.2, 5: 0.3, 20: 0.5, 100: 0.8, 200: 1.2},
    "v": {5: 0.5, 20: 1.0, 100: 1.5, 200: 2.5},
}
EDGES = {
    "f": {2: 0.2, 5: 0.5, 10: 1.0},
    "m": {2: 0.2, 5: 0.5, 10: 1.0},
    "c": {2: 0.4, 5: 1.0, 10: 2.0},
    "v": {2: 0.4, 5: 1.0, 10: 2.0},
}
ANGLES = {
    "f": {5: 1.0, 20: 0.5, 100: 1 / 3},
    "m": {5: 1.0, 20: 0.5, 100: 1 / 3},
    "c": {5: 1.5, 20: 1.0, 100: 0.5},
}
CASES = [
    (of, grade, size, tolerance)
    for of, table in (("length", LENGTHS), ("edge", EDGES), ("angle", ANGLES))
    for grade, row in table.items()
    for size, tolerance in row.items()
]


@pytest.mark.parametrize(("of", "grade", "size", "tolerance"), CASES)
def test_general_tolerances_are_the_printed_ones(of, grade, size, tolerance):
    """Each cell of the three tables; class c to 3 and 6 mm is 0.2 and 0.3, not the older 0.15 and 0.2."""
    assert general_tolerance(size, grade, of) == pytest.approx(tolerance, abs=1e-9)
