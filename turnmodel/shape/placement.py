"""Where a part stands: a placement that comes from outside is held to a rotation and a shift."""

from __future__ import annotations

import math
from itertools import combinations_with_replacement
from typing import TYPE_CHECKING, Final

from turnmodel.errors import BadValue
from turnmodel.geometry.frame import IDENTITY, Matrix

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["validate_placement"]

_RIGID: Final = 1e-9
"""Products of a rotation's columns may be off by this [-]: rounding of many rotations one after another stays
a thousand times below, and it moves a point at 100 mm by a tenth of CONTACT_MM."""


def validate_placement(matrix: Sequence[Sequence[float]]) -> Matrix:
    """Hold a placement to a rotation and a shift, and return it as rows of floats.

    Parameters
    ----------
    matrix : sequence of 4 rows of 4 floats
        Rotation [-] in the upper left, shift [mm] in the last column; an array will do

    Returns
    -------
    tuple of 4 rows of 4 floats
        The same placement

    Raises
    ------
    BadValue
        If it is of another shape, or would stretch, shear or mirror a part.

    Examples
    --------
    >>> validate_placement([[1, 0, 0, 5], [0, 1, 0, 0], [0, 0, 1, 0], [0, 0, 0, 1]])[0]
    (1.0, 0.0, 0.0, 5.0)
    """
    if [len(row) for row in matrix] != [4, 4, 4, 4]:
        raise BadValue("rows of a placement", len(matrix), "-", "must be 4 rows of 4 numbers")
    rows = [(float(a), float(b), float(c), float(d)) for a, b, c, d in matrix]
    if rows[3] != IDENTITY[3]:
        raise BadValue("end of a placement's last row", rows[3][3], "-", "the row must be 0, 0, 0, 1")
    if not all(math.isfinite(row[3]) for row in rows):
        raise BadValue("shift of a placement", math.hypot(*(row[3] for row in rows)), "mm", "must be finite")
    x, y, z = ((rows[0][k], rows[1][k], rows[2][k]) for k in range(3))
    for u, v in combinations_with_replacement((x, y, z), 2):
        product = sum(p * q for p, q in zip(u, v, strict=True))
        if not abs(product - (u is v)) <= _RIGID:
            raise BadValue("product of a placement's columns", product, "-", "must not stretch or shear")
    (a, b, c), (d, e, f), (g, h, i) = x, y, z
    determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    if determinant < 0:
        raise BadValue("determinant of a placement", determinant, "-", "must not mirror; +1 is a rotation")
    return rows[0], rows[1], rows[2], rows[3]
