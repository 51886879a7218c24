"""Placements: rigid, or refused with the reason."""

from __future__ import annotations

import math

import numpy as np
import pytest

from turnmodel.errors import BadValue
from turnmodel.geometry.frame import IDENTITY, Matrix
from turnmodel.shape.placement import validate_placement

X, Y, Z, END = IDENTITY


def test_an_array_becomes_rows() -> None:
    """An array of a rotation and a shift comes back as rows of floats, its figures untouched."""
    cosine, sine = math.cos(0.3), math.sin(0.3)
    turned = np.array([[cosine, -sine, 0, 7], [sine, cosine, 0, -2], [0, 0, 1, 0.5], [0, 0, 0, 1]])

    assert validate_placement(turned) == tuple(map(tuple, turned.tolist()))


@pytest.mark.parametrize(
    ("matrix", "said"),
    [
        ((X, Y, (0.0, 0.0, -1.0, 0.0), END), "determinant of a placement -1: must not mirror"),
        (((2.0, 0.0, 0.0, 0.0), Y, Z, END), "columns 4: must not stretch or shear"),
        (((1.0, 0.5, 0.0, 0.0), Y, Z, END), "columns 0.5: must not stretch or shear"),
        (((math.nan, 0.0, 0.0, 0.0), Y, Z, END), "columns nan: must not stretch or shear"),
        (((1.0, 0.0, 0.0, math.inf), Y, Z, END), "shift of a placement inf mm: must be finite"),
        ((X, Y, Z), "rows of a placement 3: must be 4 rows of 4 numbers"),
        ((X, Y, Z, (0.0, 0.0, 0.0, 2.0)), "last row 2: the row must be 0, 0, 0, 1"),
    ],
)
def test_what_is_not_rigid_is_refused(matrix: Matrix, said: str) -> None:
    """A part is turned and moved, never stretched, sheared, mirrored or sent away."""
    with pytest.raises(BadValue, match=said):
        validate_placement(matrix)
