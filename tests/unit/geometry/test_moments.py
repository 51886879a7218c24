"""Moments against closed forms that do not come from the integrals used."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from tests.zoo import ZOO, ball, cone, dome, torus
from turnmodel.geometry.curve import Arc, Line
from turnmodel.geometry.moments import (
    Moments,
    area,
    combined,
    moment_flipped,
    moment_shifted,
    moments,
    scaled,
    surface_area,
)
from turnmodel.geometry.region import Region, flipped, moved, ring

R, RR, H = 4.0, 9.0, 12.0

# Inertia of homogeneous solids from memory, as tables of statics and dynamics have them.
SOLIDS = {
    "cylinder": (
        ring(3, 3 + H, 2 * R),
        math.pi * R**2 * H,
        3 + H / 2,
        R**2 / 2,
        R**2 / 4 + H**2 / 12,
    ),
    "tube": (
        ring(0, H, 2 * RR, 2 * R),
        math.pi * (RR**2 - R**2) * H,
        H / 2,
        (RR**2 + R**2) / 2,
        (RR**2 + R**2) / 4 + H**2 / 12,
    ),
    "cone": (
        cone(-2, -2 + H, 2 * R),
        math.pi * R**2 * H / 3,
        -2 + 3 * H / 4,
        0.3 * R**2,
        3 / 80 * (4 * R**2 + H**2),
    ),
    "ball": (ball(5, 2 * R), 4 / 3 * math.pi * R**3, 5.0, 0.4 * R**2, 0.4 * R**2),
    "half ball": (dome(1, 2 * R), 2 / 3 * math.pi * R**3, 1 + 3 * R / 8, 0.4 * R**2, 83 / 320 * R**2),
    "torus": (
        torus((7, RR), 2 * R),
        2 * math.pi**2 * RR * R**2,
        7.0,
        RR**2 + 0.75 * R**2,
        RR**2 / 2 + 0.625 * R**2,
    ),
}
"""Region, volume [mm3], station [mm], axial and transverse radius of gyration squared [mm2]."""

ROUNDING = 1e-13
"""Relative: a few dozen terms at 2e-16 each."""


@pytest.mark.parametrize("name", SOLIDS)
def test_solids_of_the_tables(name: str) -> None:
    """Volume, centroid and both inertias of the solids that every handbook lists."""
    region, volume, station, axial, transverse = SOLIDS[name]
    m = moments(region)
    assert math.isclose(m.volume, volume, rel_tol=ROUNDING)
    assert math.isclose(m.station, station, abs_tol=H * ROUNDING)
    assert math.isclose(m.axial, axial * volume, rel_tol=ROUNDING)
    assert math.isclose(m.transverse, transverse * volume, rel_tol=10 * ROUNDING)


def test_areas_and_surfaces_of_the_tables() -> None:
    """Area of the half-plane region, and surface by the first theorem of Pappus."""
    assert math.isclose(area(torus((7, RR), 2 * R)), math.pi * R**2, rel_tol=ROUNDING)
    assert math.isclose(surface_area(torus((7, RR), 2 * R)), 4 * math.pi**2 * R * RR, rel_tol=ROUNDING)
    assert math.isclose(surface_area(ball(0, 2 * R)), 4 * math.pi * R**2, rel_tol=ROUNDING)
    assert math.isclose(surface_area(cone(0, 3, 8)), math.pi * 4 * (4 + 5), rel_tol=ROUNDING)


@pytest.mark.parametrize("turns", [0.001, 0.1, 0.25, 0.5, 0.75, 0.999])
def test_arcs_of_any_sweep(turns: float) -> None:
    """A circular segment's area is r^2 (a - sin a) / 2, its volume by Pappus over its centroid."""
    sweep = 2 * math.pi * turns
    r, middle = 3.0, 8.0
    first, last = -sweep / 2, sweep / 2
    start = (r * math.sin(-first), middle + r * math.cos(first))
    end = (r * math.sin(-last), middle + r * math.cos(last))
    arc = Arc(start=start, end=end, center=(0.0, middle), turn=1)
    segment = Region(loops=((arc, Line(start=end, end=start)),))
    # Below a milliradian the subtraction in the expected value itself keeps but 1e-16 of r^2 a.
    size = r**2 * (sweep - math.sin(sweep)) / 2
    swept = 2 * math.pi * (middle * size + 2 / 3 * (r * math.sin(sweep / 2)) ** 3)
    assert math.isclose(area(segment), size, rel_tol=1e-12, abs_tol=1e-14)
    assert math.isclose(moments(segment).volume, swept, rel_tol=1e-12, abs_tol=1e-12)


def test_a_flat_arc_keeps_its_digits() -> None:
    """A barrel bulged by 0.1 micrometre over 10 mm weighs more by the bulge's own parabola."""
    length, r, bulge = 10.0, 4.0, 1e-4
    radius = (length**2 / 4 + bulge**2) / (2 * bulge)
    arc = Arc(start=(length, r), end=(0.0, r), center=(length / 2, r + bulge - radius), turn=1)
    points = [(0.0, r), (0.0, 0.0), (length, 0.0), (length, r)]
    lines = [Line(start=a, end=b) for a, b in pairwise(points)]
    barrel = Region(loops=((*lines, arc),))
    parabola = math.pi * length * (r**2 + 4 / 3 * r * bulge + 8 / 15 * bulge**2)
    # Circle and parabola part by bulge^3 / length^2 in r.
    slack = 2 * math.pi * r * length * bulge**3 / length**2 + ROUNDING * parabola
    assert abs(moments(barrel).volume - parabola) <= slack


@pytest.mark.parametrize("name", ZOO)
def test_moments_move_and_turn_with_the_body(name: str) -> None:
    """Moving or turning the region or its moments is one."""
    region = ZOO[name]
    for there, here in (
        (moments(moved(region, 30)), moment_shifted(moments(region), 30)),
        (moments(flipped(region)), moment_flipped(moments(region))),
    ):
        assert math.isclose(there.volume, here.volume, rel_tol=1e-12)
        assert math.isclose(there.station, here.station, abs_tol=1e-11)
        assert math.isclose(there.axial, here.axial, rel_tol=1e-12)
        assert math.isclose(there.transverse, here.transverse, rel_tol=1e-11)


def test_parallel_axes_add_up() -> None:
    """Two bars end to end have one long bar's moments, and one taken away leaves the other's."""
    a, b = moments(ring(0, 4, 8)), moments(ring(4, 10, 8))
    whole = moments(ring(0, 10, 8))
    both, rest = combined(a, b), combined(whole, scaled(b, -1))
    assert math.isclose(both.transverse, whole.transverse, rel_tol=ROUNDING)
    assert math.isclose(rest.transverse, a.transverse, rel_tol=1e-11)
    assert math.isclose(rest.station, 2, rel_tol=1e-12)


def test_nothing_weighs_nothing() -> None:
    """An empty region and a body less itself have no moments."""
    nothing = Moments(volume=0.0, station=0.0, axial=0.0, transverse=0.0)
    m = moments(ring(0, 10, 8))
    assert moments(Region(loops=())) == combined(m, scaled(m, -1)) == combined() == nothing
