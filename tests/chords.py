"""The independent answer: polygons of chords inscribed in a region, and what they leave out."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import shapely

from turnmodel.geometry.curve import Arc

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.geometry.curve import Curve, Point
    from turnmodel.geometry.region import Region

__all__ = ["inscribed", "left_out", "sagitta"]

CHORDS: Final = 256
"""Chords laid under each arc."""


def inscribed(region: Region) -> shapely.Geometry:
    """Lay chords under the arcs of a region whose loops are all outer."""
    return shapely.unary_union(
        [shapely.Polygon([p for c in loop for p in chord_ends(c)]) for loop in region.loops]
    )


def chord_ends(curve: Curve) -> Iterator[Point]:
    """List the starts of the chords of a curve."""
    yield curve.start
    if isinstance(curve, Arc):
        (cz, cr), start = curve.center, curve.start
        first = math.atan2(start[1] - cr, start[0] - cz)
        for k in range(1, CHORDS):
            angle = first + curve.sweep * k / CHORDS
            yield cz + curve.radius * math.cos(angle), cr + curve.radius * math.sin(angle)


def sagitta(region: Region) -> float:
    """Tell how far chords stand off the arcs of a region at most, [mm]."""
    return max((c.radius * (1 - math.cos(c.sweep / CHORDS / 2)) for c in arcs(region)), default=0.0)


def left_out(region: Region) -> float:
    """Bound the area between the arcs of a region and their chords: sagitta times length, [mm2]."""
    return sagitta(region) * sum(c.radius * abs(c.sweep) for c in arcs(region))


def arcs(region: Region) -> list[Arc]:
    """List the arcs of a region."""
    return [c for loop in region.loops for c in loop if isinstance(c, Arc)]
