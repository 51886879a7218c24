"""Filling flat sections with triangles."""

from __future__ import annotations

import numpy as np
import pytest

from tests.zoo import ZOO
from turnmodel.shape.cap import triangulated
from turnmodel.shape.lathe import chords


def _loops(region):
    """Number the corners of a region's chorded loops."""
    loops, count = [], 0
    for loop in region.loops:
        points = np.array([p for curve in loop for p in chords(curve, 64)])
        loops.append((np.arange(count, count + len(points)), points[:, 0], points[:, 1]))
        count += len(points)
    return loops


def _areas(triangles, loops):
    z = np.concatenate([loop[1] for loop in loops])
    r = np.concatenate([loop[2] for loop in loops])
    (z0, z1, z2), (r0, r1, r2) = z[triangles].T, r[triangles].T
    return ((z1 - z0) * (r2 - r0) - (z2 - z0) * (r1 - r0)) / 2


@pytest.mark.parametrize("name", ZOO)
def test_triangles_fill_the_section(name):
    """No triangle is turned over, and together they have the section's area."""
    loops = _loops(ZOO[name])
    areas = _areas(triangulated(loops), loops)
    shoelace = sum((z * np.roll(r, -1) - np.roll(z, -1) * r).sum() / 2 for _, z, r in loops)

    assert areas.min() > -1e-12
    assert areas.sum() == pytest.approx(shoelace, rel=1e-12)


@pytest.mark.parametrize("name", ZOO)
def test_triangles_use_every_edge_of_the_outline_once(name):
    """Each piece of outline is the side of one triangle, in its own sense."""
    loops = _loops(ZOO[name])
    triangles = triangulated(loops)
    sides = {(int(a), int(b)) for t in triangles for a, b in zip(t, np.roll(t, -1), strict=True)}
    outline = {(int(a), int(b)) for ids, *_ in loops for a, b in zip(ids, np.roll(ids, -1), strict=True)}

    assert outline <= sides
    assert {(a, b) for a, b in sides if (b, a) not in sides} == outline


def test_several_holes_are_left_open():
    """A plate with a row of square holes is filled but for them."""

    def square(middle, half, turn):
        z = middle + half * np.array([-1.0, 1.0, 1.0, -1.0])[::turn]
        r = 5 + half * np.array([-1.0, -1.0, 1.0, 1.0])[::turn]
        return z, r

    shapes = [(np.array([0.0, 30.0, 30.0, 0.0]), np.array([0.0, 0.0, 10.0, 10.0]))]
    shapes += [square(m, 2.0, -1) for m in (5.0, 12.0, 25.0)]
    loops = [(np.arange(4) + 4 * i, z, r) for i, (z, r) in enumerate(shapes)]
    areas = _areas(triangulated(loops), loops)

    assert areas.min() > 0
    assert areas.sum() == pytest.approx(300 - 3 * 16)


def test_nothing_has_no_triangles():
    """No loops, no triangles."""
    assert triangulated([]).shape == (0, 3)
