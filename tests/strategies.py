"""Random turned regions: stepped bars with tapers and rounds, solid or bored; balls and tori."""

from __future__ import annotations

import math
import os
from typing import TYPE_CHECKING, Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from tests.zoo import ball, torus
from turnmodel.geometry.curve import Arc, Curve, Line, Point, reversed_curve
from turnmodel.geometry.region import Region

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["balls", "many", "regions", "sizes", "stations", "steps", "tori"]

_STEP = 0.25
"""Half of all sizes lie on this grid [mm], so that faces and diameters of two parts often coincide."""

_BULGE = math.tan(math.pi / 8)
"""Sagitta over half a chord of a quarter turn, the most that an arc of an outline sweeps."""


def many(count: int, usual: int | None = None) -> Any:
    """Set how many examples a law is held to in the long run, and how many in the usual one if not as all."""
    long = os.environ.get("HYPOTHESIS_PROFILE") == "long"
    return settings(
        max_examples=count if long else usual or settings().max_examples,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
    )


def sizes(least: float, most: float) -> st.SearchStrategy[float]:
    """Draw lengths [mm], half of them on a coarse grid."""
    grid = st.integers(math.ceil(least / _STEP), math.floor(most / _STEP)).map(lambda n: n * _STEP)
    return grid | st.floats(least, most)


stations = sizes(-5, 40)
"""Places along the axis [mm]."""


@st.composite
def _outlines(draw: Callable, start: float, lengths: list[float], least: float, most: float) -> list[Curve]:
    """Draw a chain of lines and arcs over given lengths, its radii between two bounds [mm]."""
    chain: list[Curve] = []
    at: Point = (start, draw(sizes(least, most)))
    for length in lengths:
        if chain and draw(st.booleans()):
            to = (at[0], draw(sizes(least, most)))
            if abs(to[1] - at[1]) > 1e-3:
                chain.append(Line(start=at, end=to))
                at = to
        end = (at[0] + length, draw(st.just(at[1]) | sizes(least, most)))
        kind = draw(st.sampled_from(["line", "up", "down"]))
        curve = _bulged(at, end, 1 if kind == "up" else -1) if kind != "line" else None
        chain.append(curve if curve and _within(curve, least, most) else Line(start=at, end=end))
        at = end
    return chain


def _bulged(start: Point, end: Point, side: int) -> Arc | None:
    """Lay an arc of a quarter turn over a chord that rises in z, up or down from it."""
    dz, dr = end[0] - start[0], end[1] - start[1]
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    center = (middle[0] + side * dr / 2, middle[1] - side * dz / 2)
    return Arc(start=start, end=end, center=center, turn=-side) if abs(dr) < dz else None


def _within(arc: Arc, least: float, most: float) -> bool:
    """Tell whether an arc keeps between two radii, by the circle's half chord and sagitta."""
    sagitta = math.dist(arc.start, arc.end) / 2 * _BULGE
    radii = (arc.start[1], arc.end[1])
    return min(radii) - sagitta >= least and max(radii) + sagitta <= most


@st.composite
def steps(draw: Callable) -> Region:
    """Draw a turned part of one to five steps, solid or bored, somewhere on the axis."""
    start = draw(stations)
    lengths = draw(st.lists(sizes(0.5, 12), min_size=1, max_size=5))
    outside = draw(_outlines(start, lengths, 4, 9))
    bore = draw(st.none() | st.lists(st.just(0), min_size=1, max_size=2))
    if bore is None:
        z0, z1 = outside[0].start[0], outside[-1].end[0]
        inside: list[Curve] = [Line(start=(z0, 0.0), end=(z1, 0.0))]
    else:
        inside = draw(_outlines(start, lengths, 0.5, 3.5))
    back = [reversed_curve(c) for c in reversed(outside)]
    chain = [*inside, Line(start=inside[-1].end, end=outside[-1].end), *back]
    chain.append(Line(start=outside[0].start, end=inside[0].start))
    return Region(loops=(tuple(chain),))


@st.composite
def balls(draw: Callable) -> Region:
    """Draw a ball on the axis."""
    center, radius = draw(stations), draw(sizes(0.5, 9))
    return ball(center, 2 * radius)


@st.composite
def tori(draw: Callable) -> Region:
    """Draw a torus clear of the axis."""
    center, middle = draw(stations), draw(sizes(2, 9))
    return torus((center, middle), 2 * draw(sizes(0.25, middle)))


regions = steps() | balls() | tori()
"""Any of them."""
