"""The metal left beside and under what is cut across a turned part.

A point of a cut at the distances x and y from the axis lies on a circle of radius sqrt(x^2 + y^2) about it.
The radii that a radial hole, a flat or a slot reaches at a station are therefore those from its bottom
outwards, and its least distance to any surface round the axis is that of a rectangle in the half-plane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations, pairwise
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.walls import Kind, bore_radius, outside_radius, root_lines, skins
from turnmodel.design.features.across import CrossHole, CrossTap, Flat, Slot
from turnmodel.design.ledger import mm
from turnmodel.geometry.across import Block
from turnmodel.geometry.curve import Line
from turnmodel.geometry.distance import Gap, least_between
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.analysis.walls import Skin
    from turnmodel.design.turned import CrossCut, Turned
    from turnmodel.geometry.curve import Curve, Point

__all__ = ["CrossWall", "Side", "cross_walls"]

_POINT: Final = 1 / math.tan(math.radians(59))
"""Length of a drill's point of 118 degrees over its radius."""


class Side(StrEnum):
    """What a cut comes near to."""

    BORE = "the hole along the axis"
    END = "the face"
    CUT = "another cut"


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossWall:
    """The metal between a cut across and what it comes near to.

    ``gap`` runs from the cut; zero where it comes through. ``deepest`` is the greatest depth of the cut at
    which it stays clear of the hole along the axis [mm], None for a hole that is meant to enter it.
    """

    cut: CrossCut
    side: Side
    gap: Gap
    deepest: float | None = None
    other: str | None = None


@dataclass(frozen=True, slots=True)
class _Image:
    """What a cut covers in the half-plane: from its bottom line outwards."""

    cut: CrossCut
    bottom: tuple[Point, ...]
    enters: bool

    @property
    def span(self) -> tuple[float, float]:
        return self.bottom[0][0], self.bottom[-1][0]

    @property
    def lowest(self) -> float:
        return min(r for _, r in self.bottom)


def cross_walls(made: Turned, behind: float) -> tuple[CrossWall, ...]:
    """Measure the metal that each cut across leaves to the hole, to the faces beside it, and to other holes.

    Parameters
    ----------
    made : Turned
        The part
    behind : float
        How far under the surface a wall begins; nearer to it is an edge, [mm]

    Returns
    -------
    tuple of CrossWall
        One for each thing that a cut comes near to, saddles left out

    Notes
    -----
    Exact to rounding, the point of a blind hole's drill counted.
    """
    if not made.across:
        return ()
    surface = skins(made)
    inside: list[Curve] = [s.curve for s in surface if s.inside]
    inside += (line for span in made.body.threads if not span.external for line in root_lines(span))
    images = [image for image in map(_image, made.across) if image]
    found = []
    for image in images:
        lines: list[Curve] = [Line(start=a, end=b) for a, b in pairwise(_outline(image)) if a != b]
        if inside:
            gap = least_between(lines, inside)
            if gap.distance > CONTACT_MM or not image.enters:
                meant = image.enters and isinstance(image.cut.feature, CrossHole | CrossTap)
                deepest = None if meant else _deepest(image, surface)
                found.append(CrossWall(cut=image.cut, side=Side.BORE, gap=gap, deepest=deepest))
        found += _beside(image, surface, behind)
    return (*found, *_neighbours(images))


def _image(cut: CrossCut) -> _Image | None:
    feature = cut.feature
    if isinstance(feature, Flat | Slot):
        block = cut.tools[0]
        assert isinstance(block, Block)
        out = block.axes[0]
        low = sum(c * o for c, o in zip(block.center, out, strict=True)) - block.size[0] / 2
        z, half = block.center[2], block.size[2] / 2
        low = max(low, 0.0)
        return _Image(cut, ((z - half, low), (z + half, low)), isinstance(feature, Slot))
    if not isinstance(feature, CrossHole | CrossTap):
        return None
    z = mm(feature.at)
    half = (feature.thread.major_d if isinstance(feature, CrossTap) else feature.diameter) / 2
    if feature.depth is None:
        return _Image(cut, ((z - half, 0.0), (z + half, 0.0)), enters=True)
    drilled, low = feature.diameter / 2, max(cut.surface_r - mm(feature.depth), 0.0)
    tip = max(low - drilled * _POINT, 0.0)
    points = ((z - half, low), (z - drilled, low), (z, tip), (z + drilled, low), (z + half, low))
    return _Image(cut, points, enters=False)


def _outline(image: _Image) -> tuple[Point, ...]:
    z0, z1 = image.span
    top = image.cut.surface_r
    return ((z0, top), *image.bottom, (z1, top))


def _deepest(image: _Image, surface: tuple[Skin, ...]) -> float:
    """Greatest depth [mm] at which a blind cut, its point included, stays off the hole beneath it."""
    z0, z1 = image.span
    marks = {z0, z1, *(p[0] for s in surface for p in (s.curve.start, s.curve.end) if z0 < p[0] < z1)}
    widest = max(bore_radius(surface, z) for z in marks)
    return image.cut.surface_r - widest - (image.bottom[0][1] - image.lowest)


def _beside(image: _Image, surface: tuple[Skin, ...], behind: float) -> list[CrossWall]:
    """Measure from both sides of a cut to the faces that look away from it."""
    found: list[CrossWall] = []
    if not isinstance(image.cut.feature, CrossHole | CrossTap):
        return found
    for z, forward in zip(image.span, (False, True), strict=True):
        low = max(image.bottom[0][1], bore_radius(surface, z))
        if image.cut.surface_r - low <= CONTACT_MM:
            continue
        opens = min(image.cut.surface_r, outside_radius(surface, z))  # on a slope it opens lower on one side
        if opens - low <= CONTACT_MM:
            out = Gap(distance=0.0, a_at=(z, low), b_at=(z, low))
            found.append(CrossWall(cut=image.cut, side=Side.END, gap=out))
            continue
        top = max(opens - behind, (opens + low) / 2)
        faces = [
            s.curve
            for s in surface
            if not s.inside and s.kind is not Kind.WALL and _away(s.curve, z, forward)
        ]
        if faces:
            gap = least_between([Line(start=(z, low), end=(z, top))], faces)
            found.append(CrossWall(cut=image.cut, side=Side.END, gap=gap))
    return found


def _away(face: Curve, z: float, forward: bool) -> bool:
    """Tell whether a face outside lies past a station, in one sense, and looks on in that sense."""
    looks_on = (face.end[1] > face.start[1]) is forward
    ends = (face.start[0], face.end[0])
    return looks_on and (max(ends) > z - CONTACT_MM if forward else min(ends) < z + CONTACT_MM)


def _neighbours(images: list[_Image]) -> list[CrossWall]:
    """Measure between holes across that lie on one line, or that both reach the axis."""
    found = []
    for one, other in combinations(images, 2):
        a, b = one.cut.feature, other.cut.feature
        if not (isinstance(a, CrossHole | CrossTap) and isinstance(b, CrossHole | CrossTap)):
            continue
        if not ((a.angle - b.angle) % 360 == 0 or (one.lowest == 0 and other.lowest == 0)):
            continue
        first, second = (one, other) if one.span[0] <= other.span[0] else (other, one)
        between = second.span[0] - first.span[1]
        if between > CONTACT_MM:
            r = max(one.bottom[0][1], other.bottom[0][1])
            gap = Gap(distance=between, a_at=(first.span[1], r), b_at=(second.span[0], r))
            found.append(CrossWall(cut=first.cut, side=Side.CUT, gap=gap, other=second.cut.title))
    return found
