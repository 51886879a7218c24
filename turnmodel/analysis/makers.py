"""How far the makers of a bought part differ: its outline at the largest and at the least."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from turnmodel.catalog.refills import Refill, Span, refill
from turnmodel.design.part import BoughtPart, Part, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.region import Region, polygon
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from turnmodel.geometry.curve import Point

__all__ = ["diameter_span", "largest", "row_of"]


def row_of(part: Part) -> Refill | None:
    """Give a part's row of the catalog, where it has one."""
    return refill(part.refill) if isinstance(part, BoughtPart) and part.refill else None


def diameter_span(entry: Refill, station: float, diameter: float) -> Span | None:
    """Find how far makers differ in a diameter of a refill.

    Parameters
    ----------
    entry : Refill
        The refill
    station : float
        Where the diameter begins, from the tip, [mm]
    diameter : float
        The diameter, [mm]

    Returns
    -------
    Span or None
        The least and the most; None where the catalog tells none

    Notes
    -----
    A spread is a diameter's where it holds it, on its own side of the tip's shoulder; of several, the one
    whose middle is nearest.
    """
    before = station < entry.station("tip shoulder") - CONTACT_MM
    spans = [
        span
        for name, span in entry.spreads
        if name.endswith("diameter")
        and name.startswith("tip") is before
        and span.low <= diameter <= span.high
    ]
    return min(spans, key=lambda span: abs(span.low + span.high - 2 * diameter), default=None)


@lru_cache(maxsize=64)
def largest(part: Part) -> Region:
    """Give the outline of a bought part at the greatest of each of its diameters, in its own frame."""
    entry, made = row_of(part), built(part)
    assert isinstance(made, Turned)
    if entry is None:
        return made.body.plain
    points: list[Point] = [(0.0, 0.0)]
    z = 0.0
    for step in entry.envelope:
        for at, d in ((z, step.start_d), (z + step.length, step.end_d)):
            span = diameter_span(entry, z, d) if step.start_d == step.end_d else None
            points.append((at, (d if span is None else span.high) / 2))
        z += step.length
    points.append((z, 0.0))
    return polygon([p for k, p in enumerate(reversed(points)) if p != tuple(reversed(points))[k - 1]])
