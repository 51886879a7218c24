"""Frames and rigid placements in space, as 4 x 4 matrices by rows: a rotation, and a shift in mm."""

from __future__ import annotations

import math
from functools import reduce
from typing import TYPE_CHECKING, Final

from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from turnmodel.geometry.across import Vector

__all__ = [
    "IDENTITY",
    "Matrix",
    "Row",
    "coaxial",
    "composed",
    "frame",
    "inverse",
    "opposed",
    "point_at",
    "shift",
    "turn",
    "turned_by",
]

Row = tuple[float, float, float, float]
Matrix = tuple[Row, Row, Row, Row]

IDENTITY: Final[Matrix] = (
    (1.0, 0.0, 0.0, 0.0),
    (0.0, 1.0, 0.0, 0.0),
    (0.0, 0.0, 1.0, 0.0),
    (0.0, 0.0, 0.0, 1.0),
)
"""The placement that moves nothing."""

_QUARTERS: Final = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
"""Cosine and sine of quarter turns, which the library's functions round."""

_REACH_MM: Final = 100.0
"""Over this length [mm] an axis may lean by SAME_MM, the length at which that limit was set."""


def composed(*matrices: Matrix) -> Matrix:
    """Multiply placements, the rightmost applied first.

    Examples
    --------
    >>> point_at(composed(shift(5.0), turn(90.0)), (1.0, 0.0, 0.0))
    (0.0, 1.0, 5.0)
    """
    return reduce(_product, matrices, IDENTITY)


def _product(a: Matrix, b: Matrix) -> Matrix:
    """Multiply two placements, the second applied first."""
    (bxx, bxy, bxz, bx), (byx, byy, byz, by), (bzx, bzy, bzz, bz), _ = b
    r, s, t = (
        (
            p * bxx + q * byx + r * bzx,
            p * bxy + q * byy + r * bzy,
            p * bxz + q * byz + r * bzz,
            p * bx + q * by + r * bz + at,
        )
        for p, q, r, at in a[:3]
    )
    return (r, s, t, IDENTITY[3])


def _matrix(x: Vector, y: Vector, z: Vector, origin: Vector) -> Matrix:
    """Make the placement of axes and an origin, its columns."""
    a, b, c = zip(x, y, z, origin, strict=True)
    return (a, b, c, IDENTITY[3])


def turned_by(matrix: Matrix, direction: Vector) -> Vector:
    """Turn a direction as a placement does, without its shift.

    Examples
    --------
    >>> turned_by(composed(shift(5.0), turn(90.0)), (1.0, 0.0, 0.0))
    (0.0, 1.0, 0.0)
    """
    p, q, r = direction
    (a, b, c, _), (d, e, f, _), (g, h, i, _), _ = matrix
    return (a * p + b * q + c * r, d * p + e * q + f * r, g * p + h * q + i * r)


def point_at(matrix: Matrix, point: Vector) -> Vector:
    """Place a point (x, y, z), [mm].

    Examples
    --------
    >>> point_at(shift(5.0), (1.0, 2.0, 3.0))
    (1.0, 2.0, 8.0)
    """
    x, y, z = turned_by(matrix, point)
    return (x + matrix[0][3], y + matrix[1][3], z + matrix[2][3])


def inverse(matrix: Matrix) -> Matrix:
    """Undo a rigid placement.

    Examples
    --------
    >>> inverse(shift(5.0)) == shift(-5.0)
    True
    """
    x, y, z = ((a, b, c) for a, b, c, _ in matrix[:3])
    back = _matrix(x, y, z, (0.0, 0.0, 0.0))
    p, q, r = turned_by(back, (matrix[0][3], matrix[1][3], matrix[2][3]))
    return _matrix(x, y, z, (-p, -q, -r))


def frame(origin: Vector, normal: Vector, along: Vector) -> Matrix:
    """Set up a frame.

    Parameters
    ----------
    origin : tuple of 3 floats
        Where it stands, [mm]
    normal : tuple of 3 floats
        Its z axis, a unit vector, [-]
    along : tuple of 3 floats
        Its x axis, a unit vector square to the normal, [-]

    Returns
    -------
    tuple of 4 rows of 4 floats
        The placement that takes the frame's own coordinates into space

    Examples
    --------
    >>> hole = frame((4.0, 0.0, 20.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    >>> point_at(hole, (1.0, 2.0, 3.0))
    (7.0, -2.0, 21.0)
    """
    (nx, ny, nz), (ax, ay, az) = normal, along
    return _matrix(along, (ny * az - nz * ay, nz * ax - nx * az, nx * ay - ny * ax), normal, origin)


def shift(dz: float) -> Matrix:
    """Move along z by dz [mm]."""
    return (IDENTITY[0], IDENTITY[1], (0.0, 0.0, 1.0, dz), IDENTITY[3])


def turn(degrees: float) -> Matrix:
    """Turn about z by an angle [degrees], x towards y; quarter turns are exact."""
    angle = math.radians(degrees)
    c, s = _QUARTERS.get(degrees % 360) or (math.cos(angle), math.sin(angle))
    return ((c, -s, 0.0, 0.0), (s, c, 0.0, 0.0), IDENTITY[2], IDENTITY[3])


def opposed() -> Matrix:
    """Turn half a turn about x: y and z are reversed, so that two faces meet face to face."""
    return (IDENTITY[0], (0.0, -1.0, 0.0, 0.0), (0.0, 0.0, -1.0, 0.0), IDENTITY[3])


def coaxial(matrix: Matrix) -> tuple[float, float, bool] | None:
    """Read a placement as one along the z axis.

    Parameters
    ----------
    matrix : tuple of 4 rows of 4 floats
        A rigid placement: a rotation, [-], and a shift, [mm]

    Returns
    -------
    tuple of float, float, bool or None
        Station of the origin, [mm]; turn about z, [degrees]; and whether it is turned end for end (first
        as :func:`opposed` does, then turned); None where the axes are not one line

    Examples
    --------
    >>> coaxial(composed(shift(5.0), turn(90.0), opposed()))
    (5.0, 90.0, True)
    >>> coaxial(frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))) is None
    True
    """
    (a, _, lean_x, x), (b, _, lean_y, y), (_, _, way, station), _ = matrix
    if max(abs(x), abs(y), _REACH_MM * abs(lean_x), _REACH_MM * abs(lean_y)) > SAME_MM:
        return None
    return station, math.degrees(math.atan2(b, a)), way < 0
