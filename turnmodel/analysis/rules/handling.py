"""What is left on a part as it comes off the lathe: its edges, and the surface it is held by again."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.bores import hollows
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.rule import Rule
from turnmodel.catalog import threads
from turnmodel.design.features.outside import Cylinder, raised
from turnmodel.design.features.threaded import ExternalThread
from turnmodel.geometry.corner import turn_at
from turnmodel.geometry.curve import box
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source
from turnmodel.units import in_mm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.analysis.finding import Finding
    from turnmodel.analysis.rule import Examined
    from turnmodel.design.outline import Place
    from turnmodel.design.turned import Turned

__all__ = ["RULES"]

_SHARP: Final = 80.0
"""An edge that turns by more [degrees] is sharp: a chamfer of 45 degrees leaves two that turn by 45."""


def _sharp_edges(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in seen.design.turned:
        edges = sorted(_sharp(made))
        if len(edges) <= (rule.limit or 0.0):
            continue
        at = ", ".join(f"{2 * r:.4g} mm wide at {z:.4g} mm" for z, r in edges)
        count = "1 edge is" if len(edges) == 1 else f"{len(edges)} edges are"
        yield rule.finding(
            parts=(part.name,),
            value=float(len(edges)),
            station=edges[0][0],
            message=f"{part.name}: {count} left sharp, {at}",
            mend="break them with edges=chamfer(0.2), mouth=chamfer(0.2), or a file",
        )


def _sharp(made: Turned) -> set[tuple[float, float]]:
    """Find the sharp edges on the outside and at the mouths of holes: station and radius, [mm]."""
    among = hollows(made)
    crests = [  # the die leaves the ends of a thread as they are
        (end, place.curves[0].start[1])
        for place in made.outside
        if isinstance(place.feature, ExternalThread)
        for end in (place.start, place.end)
    ]
    found = set()
    for loop in made.body.plain.loops:
        for before, after in pairwise((*loop, loop[0])):
            z, r = after.start
            inside = max((hollow.radius(z) for hollow in among), default=0.0)
            face = min(abs(z), abs(z - made.length)) < CONTACT_MM
            crest = any(math.dist(after.start, end) < CONTACT_MM for end in crests)
            seen = face or r > inside + CONTACT_MM
            if r > CONTACT_MM and seen and not crest and turn_at(before, after) > _SHARP:
                found.add((round(z, 6), round(r, 6)))
    return found


def _gripped(seen: Examined, rule: Rule) -> Iterator[Finding]:
    least = rule.limit or 0.0
    for part, made in seen.design.turned:
        front, back = _ends(made)
        if not front or not back:
            continue
        grips = [
            (place.end - place.start, place)
            for place in made.outside
            if isinstance(place.feature, Cylinder) and place.feature.knurled is None
        ]
        long, grip = max(grips, key=lambda pair: pair[0], default=(0.0, None))
        why = f"{part.name}: {front[0]} and {back[0]} are cut from opposite ends, so it is held again by "
        if grip is None or long < least:
            yield rule.finding(
                parts=(part.name,),
                value=long,
                severity=Severity.CAUTION,
                message=f"{why}a finished surface, and no cylinder of it is {least:g} mm long",
                mend=f"leave a cylinder of {least:g} mm, or turn a bush to hold it in",
            )
            continue
        wide = in_mm(2 * grip.curves[0].start[1])
        yield rule.finding(
            parts=(part.name,),
            feature=grip.title,
            station=grip.start,
            value=long,
            message=f"{why}{grip.title}, {wide} wide and {long:.4g} mm long, which is finished",
            mend=_holding(made, grip, wide),
        )


def _holding(made: Turned, grip: Place, wide: str) -> str:
    """Tell what a cylinder is held in: a collet goes on from an end past which nothing is wider."""
    runs = [place for place in made.outside if place.curves]
    at, width = runs.index(grip), 2 * grip.curves[0].start[1] + CONTACT_MM
    sides = {"front": runs[:at], "back": runs[at + 1 :]}
    ends = [end for end, side in sides.items() if all(_grown(place) <= width for place in side)]
    if len(ends) == 2:
        return f"use a collet of {wide} or bored soft jaws"
    jaws = f"soft jaws bored to {wide} and relieved behind that for what is wider"
    return f"use {jaws}, or a collet of {wide} from its {ends[0]} end" if ends else f"use {jaws}"


def _grown(place: Place) -> float:
    """Greatest diameter of a length outside, a knurl's as it has grown, [mm]."""
    return 2 * max(box(c).r1 for c in place.curves) + raised(place.feature)


def _ends(made: Turned) -> tuple[list[str], list[str]]:
    """List what can be cut from the front end only, and from the back end only."""
    front: list[str] = []
    back: list[str] = []
    for bored in made.inside:
        if not getattr(bored.feature, "through", False):
            (back if bored.from_back else front).append(bored.title)
    runs = [place for place in made.outside if place.curves]
    for k, place in enumerate(runs):
        if isinstance(place.feature, ExternalThread):
            crest = threads.thread(place.feature.size).major_d / 2 + CONTACT_MM
            from_front, from_back = (
                all(max(c.start[1], c.end[1]) <= crest for other in side for c in other.curves)
                for side in (runs[:k], runs[k + 1 :])
            )
            if from_front is not from_back:
                (front if from_front else back).append(place.title)
    return front, back


RULES: Final = (
    Rule(
        name="sharp edges",
        sentence="No edge that a hand or a mate meets is left sharp.",
        severity=Severity.NOTE,
        limit=0.0,
        unit="edges",
        source=Source(work="common practice", place="break all edges", basis=Basis.PRACTICE),
        check=_sharp_edges,
    ),
    Rule(
        name="gripped again",
        sentence="A part that is cut from both ends has a straight surface to be held by again.",
        severity=Severity.NOTE,
        limit=5.0,
        unit="mm",
        source=Source(work="house choice", place="least length that a collet holds true", basis=Basis.HOUSE),
        check=_gripped,
    ),
)
