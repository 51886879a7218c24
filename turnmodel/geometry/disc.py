"""What a disc about the origin shares with a polygon, in closed form."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["disc_moments"]


def disc_moments(p: Floats, q: Floats, r: Floats) -> Floats:
    """Integrate 1, x, y, x^2, xy and y^2 over what a disc about the origin shares with a polygon.

    Each edge gives its part; they are to be summed round the polygon, counter-clockwise.

    Parameters
    ----------
    p, q : ndarray
        Ends of the edges, shape (n, 2), [mm]
    r : ndarray
        Radii of the discs, shape (n,), [mm]

    Returns
    -------
    ndarray
        Six sums for each edge, shape (n, 6), in mm2 to mm4

    Notes
    -----
    Closed form: a sector where the edge lies outside the disc, a triangle where it lies inside.

    Examples
    --------
    A disc of radius 1 and the quarter plane seen from the origin share a quarter of the disc:

    >>> corner = np.array([[0.0, 0.0], [9.0, 0.0], [9.0, 9.0], [0.0, 9.0]])
    >>> shared = disc_moments(corner, np.roll(corner, -1, axis=0), np.ones(4)).sum(axis=0)
    >>> np.allclose(shared, [np.pi / 4, 1 / 3, 1 / 3, np.pi / 16, 1 / 8, np.pi / 16], rtol=1e-12)
    True
    """
    d = q - p
    a = np.einsum("ij,ij->i", d, d)
    b = np.einsum("ij,ij->i", p, d)
    c = np.einsum("ij,ij->i", p, p) - r * r
    root = b * b - a * c
    deep = root > 0
    half = np.sqrt(np.where(deep, root, 0.0))
    length = np.where(a > 0, a, 1.0)
    t0 = np.clip(np.where(deep, (-b - half) / length, 0.0), 0.0, 1.0)
    t1 = np.clip(np.where(deep, (-b + half) / length, 0.0), 0.0, 1.0)
    e, f = p + t0[:, None] * d, p + t1[:, None] * d
    return _sector(p, e, r) + _triangle(e, f) + _sector(f, q, r)


def _triangle(a: Floats, b: Floats) -> Floats:
    """Sums over the triangle from the origin to an edge."""
    (ax, ay), (bx, by) = a.T, b.T
    area = (ax * by - ay * bx) / 2
    return np.stack(
        [
            area,
            area * (ax + bx) / 3,
            area * (ay + by) / 3,
            area * (ax * ax + ax * bx + bx * bx) / 6,
            area * (ax * ay + bx * by + (ax * by + bx * ay) / 2) / 6,
            area * (ay * ay + ay * by + by * by) / 6,
        ],
        axis=1,
    )


def _sector(a: Floats, b: Floats, r: Floats) -> Floats:
    """Sums over the sector of a disc seen from one point to another."""
    (ax, ay), (bx, by) = _unit(a).T, _unit(b).T
    angle = np.arctan2(ax * by - ay * bx, ax * bx + ay * by)
    r2 = r * r
    turn = (bx * by - ax * ay) / 2
    return np.stack(
        [
            r2 * angle / 2,
            r2 * r / 3 * (by - ay),
            r2 * r / 3 * (ax - bx),
            r2 * r2 / 8 * (angle + 2 * turn),
            r2 * r2 / 8 * (by * by - ay * ay),
            r2 * r2 / 8 * (angle - 2 * turn),
        ],
        axis=1,
    )


def _unit(a: Floats) -> Floats:
    """Directions; none at the origin."""
    size = np.hypot(a[:, 0], a[:, 1])
    unit: Floats = a / np.where(size > 0, size, 1.0)[:, None]
    return unit
