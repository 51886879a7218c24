"""Which feature of a part a point of its surface belongs to."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from turnmodel.geometry.curve import Curve, nearest_on

if TYPE_CHECKING:
    from collections.abc import Iterable

    from turnmodel.design.outline import Place
    from turnmodel.design.turned import Bored, Turned
    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.geometry.curve import Point

__all__ = ["hole_at", "outside_at", "thread_title"]


def hole_at(made: Turned, point: Point) -> Bored:
    """Find the feature inside whose cut lies nearest to a point of a part that has holes."""
    z, r = point

    def away(hole: Bored) -> float:
        depth = made.length - z if hole.from_back else z
        return _off((curve for cut in hole.cuts for curve in cut.chain), (depth, r))

    return min(made.inside, key=away)


def outside_at(made: Turned, point: Point) -> Place:
    """Find the feature outside whose surface lies nearest to a point."""
    return min((place for place in made.outside if place.curves), key=lambda place: _off(place.curves, point))


def thread_title(made: Turned, span: ThreadSpan) -> str:
    """Give the title of the feature that cut a thread."""
    if not span.external:
        return next(hole.title for hole in made.inside if hole.thread == span)
    return min(
        (place for place in made.outside if place.curves), key=lambda p: abs(p.start - span.start)
    ).title


def _off(curves: Iterable[Curve], point: Point) -> float:
    return min((math.dist(point, nearest_on(curve, point)) for curve in curves), default=math.inf)
