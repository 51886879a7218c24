"""Sizes of the corners of a turned part that are cut off or rounded."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING, Final

from turnmodel.design.features.dimension import Kind, callout_at
from turnmodel.geometry.curve import Arc, Curve, Line, mirrored, shifted
from turnmodel.output.papers.called import Called
from turnmodel.output.papers.tracing import ON_MM, is_part_of, middle_of, straightened

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.turned import Turned

__all__ = ["counted", "edge_sizes", "edges_joined", "traced"]

_MANY: Final = 3
"""Equal chamfers from this many on [-] are called out once; house choice."""

_SQUARE: Final = "{0}×45°"
"""Words of a chamfer of 45 degrees."""


def traced(made: Turned) -> list[Curve]:
    """List the curves that features trace, whatever is cut from them afterwards."""
    outside = [n for place in made.outside for n in place.curves]
    cuts = [(hole, cut) for hole in made.inside for cut in hole.cuts]
    return outside + [_stationed(c, made.length, hole.from_back) for hole, cut in cuts for c in cut.chain]


def edges_joined(loop: Sequence[Curve], outlines: Sequence[Curve]) -> list[Curve]:
    """Join the edges of two features that run on in line, as chamfers that leave nothing of a shoulder."""
    found: list[Curve] = []
    for own, run in groupby(loop, lambda curve: any(is_part_of(curve, n) for n in outlines)):
        pieces = list(run)
        found += pieces if own else straightened(pieces)
    return found


def edge_sizes(curves: Sequence[Curve], outlines: Sequence[Curve]) -> list[Called]:
    """Call out the corners that are cut off or rounded: what no feature traced."""
    found = []
    for curve in curves:
        (z0, r0), (z1, r1) = curve.start, curve.end
        if isinstance(curve, Line) and (abs(z1 - z0) < ON_MM or abs(r0) + abs(r1) < ON_MM):
            continue
        if any(is_part_of(curve, n) for n in outlines):
            continue
        if isinstance(curve, Arc):
            callout = callout_at(Kind.RADIUS, curve.radius, middle_of(curve), "R{0}")
        elif abs(r1 - r0) < ON_MM:
            continue
        else:
            angle = math.degrees(math.atan2(abs(r1 - r0), abs(z1 - z0)))
            if _between_level(curve, curves):  # both diameters are told: the angle alone is left
                callout = callout_at(Kind.HALF_ANGLE, angle, middle_of(curve), "{0}° to the axis")
                found.append(Called(callout=callout))
                continue
            told = abs(angle - round(angle, 1)) < ON_MM
            words = f"{{0}}×{round(angle, 1):g}°" if told else "{0}"
            callout = callout_at(Kind.CHAMFER, abs(z1 - z0), middle_of(curve), words)
            if not told:  # as where a bow ends in a chamfer: its angle is a size of its own
                found.append(
                    Called(callout=callout_at(Kind.HALF_ANGLE, angle, middle_of(curve), "{0}° to the axis"))
                )
        found.append(Called(callout=callout))
    return found


def _between_level(curve: Curve, curves: Sequence[Curve]) -> bool:
    """Whether a chamfer runs from one straight diameter to another."""
    level = [c for c in curves if isinstance(c, Line) and abs(c.start[1] - c.end[1]) < ON_MM]
    return all(
        any(math.dist(end, p) < ON_MM for c in level for p in (c.start, c.end))
        for end in (curve.start, curve.end)
    )


def counted(edges: Sequence[Called]) -> list[Called]:
    """Call the commonest chamfer of 45 degrees out once with its count, where there are many."""
    square = [e for e in edges if e.callout.words == _SQUARE]
    sizes = Counter(round(e.callout.value, 6) for e in square)
    if not sizes or max(sizes.values()) < _MANY:
        return list(edges)
    common = max(sizes, key=lambda value: (sizes[value], -value))
    same = [e for e in square if round(e.callout.value, 6) == common]
    first = replace(same[0].callout, words=f"{len(same)}× {_SQUARE}")
    return [replace(same[0], callout=first), *(e for e in edges if e not in same)]


def _stationed(curve: Curve, length: float, from_back: bool) -> Curve:
    """Put a curve by depths into stations."""
    return shifted(mirrored(curve), length) if from_back else curve
