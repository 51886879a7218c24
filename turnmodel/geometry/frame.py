"""Frames and rigid placements in space, as 4 x 4 matrices by rows."""

from __future__ import annotations

import math
from typing import Final

from turnmodel.geometry.across import Vector
from turnmodel.geometry.tolerance import SAME_MM

__all__ = ["IDENTITY", "Matrix", "coaxial", "composed", "frame", "inverse", "opposed", "point_at", "shift", "turn"]

Row = tuple[float, float, float, float]
Matrix = tuple[Row, Row, Row, Row]

IDENTITY: Final[Matrix] = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))
"""The placement that moves nothing."""

_LAST: Final[Row] = (0.0, 0.0, 0.0, 1.0)


def composed(*matrices: Matrix) -> Matrix:
    """Multiply placements, the leftmost applied last."""
    result = matrices[0]
    for matrix in matrices[1:]:
        columns = tuple(zip(*matrix, strict=True))
        a, b, c = (
            tuple(sum(x * y for x, y in zip(row, column, strict=True)) for column in columns)
            for row in result[:3]
        )
        result = (_row(a), _row(b), _row(c), _LAST)
    return result


def _row(values: tuple[float, ...]) -> Row:
    a, b, c, d = values
    return (a, b, c, d)


def frame(origin: Vector, normal: Vector, along: Vector) -> Matrix:
    """Set up a frame: its z along a unit normal, its x along a unit vector square to it."""
    (nx, ny, nz), (ax, ay, az) = normal, along
    y = (ny * az - nz * ay, nz * ax - nx * az, nx * ay - ny * ax)
    a, b, c = (
        (along[k], y[k], normal[k], origin[k]) for k in range(3)
    )  # fmt: skip
    return (a, b, c, _LAST)


def inverse(matrix: Matrix) -> Matrix:
    """Undo a rigid placement."""
    moved = [-sum(matrix[k][j] * matrix[k][3] for k in range(3)) for j in range(3)]
    a, b, c = ((matrix[0][j], matrix[1][j], matrix[2][j], moved[j]) for j in range(3))
    return (a, b, c, _LAST)


def shift(dz: float) -> Matrix:
    """Move along z by dz [mm]."""
    return (IDENTITY[0], IDENTITY[1], (0.0, 0.0, 1.0, dz), _LAST)


def turn(degrees: float) -> Matrix:
    """Turn about z by an angle [degrees]; quarter turns are exact."""
    quarter = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}.get(degrees % 360)
    c, s = quarter or (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    return ((c, -s, 0.0, 0.0), (s, c, 0.0, 0.0), IDENTITY[2], _LAST)


def opposed() -> Matrix:
    """Half a turn about x: z and y reversed, so that two faces meet face to face."""
    return (IDENTITY[0], (0.0, -1.0, 0.0, 0.0), (0.0, 0.0, -1.0, 0.0), _LAST)


def point_at(matrix: Matrix, point: Vector) -> Vector:
    """Place a point [mm]."""
    x, y, z = (sum(row[k] * point[k] for k in range(3)) + row[3] for row in matrix[:3])
    return (x, y, z)


def coaxial(matrix: Matrix) -> tuple[float, float, bool] | None:
    """Read a placement as one along the z axis.

    Returns
    -------
    tuple of float, float, bool or None
        Station of the origin [mm], turn about z [degrees], and whether it is turned end for end (first end
        for end about x, then turned); None where the axes are not one line

    Examples
    --------
    >>> coaxial(composed(shift(5.0), turn(90.0), opposed()))
    (5.0, 90.0, True)
    >>> coaxial(frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))) is None
    True
    """
    off = max(abs(matrix[0][3]), abs(matrix[1][3]), *(100 * abs(matrix[k][2]) for k in (0, 1)))
    if off > SAME_MM:
        return None
    degrees = math.degrees(math.atan2(matrix[1][0], matrix[0][0]))
    return matrix[2][3], degrees, matrix[2][2] < 0
