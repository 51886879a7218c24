"""The metal left: walls, floors, rims, and what is cut across."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.cross_walls import Side, cross_walls
from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.least_change import least_change
from turnmodel.analysis.owners import hole_at, outside_at, thread_title
from turnmodel.analysis.rule import Rule
from turnmodel.analysis.walls import Kind, floors, rims, thread_wall, walls
from turnmodel.catalog.drills import drill, nearest_drills
from turnmodel.design.features.across import Flat
from turnmodel.design.features.inside import Bore, Drill
from turnmodel.design.features.outside import Cylinder
from turnmodel.design.features.threaded import Groove, Relief
from turnmodel.design.hollowed import LEAST_FLOOR, LEAST_WALL
from turnmodel.design.ledger import mm
from turnmodel.design.mends import at_least, at_most
from turnmodel.design.part import Part, TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.curve import box
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from turnmodel.analysis.cross_walls import CrossWall
    from turnmodel.analysis.rule import Examined
    from turnmodel.analysis.walls import Floor
    from turnmodel.design.design import Design
    from turnmodel.design.features.inside import Inside
    from turnmodel.design.outline import Place
    from turnmodel.design.turned import Bored
    from turnmodel.geometry.distance import Gap

__all__ = ["RULES"]

_FOIL: Final = 0.25
"""Share of its limit under which metal is a foil and its thinness a fault (house choice): a quarter of 0.8 mm
deflects by more under a tool than the tool cuts."""

_KNIFE: Final = 60.0
"""Angle of metal at a rim [degrees] from which it is no knife edge (house choice): over a taper's, under that
of two chamfers of 45 degrees that meet."""


def _turned(design: Design) -> Iterator[tuple[Part, Turned]]:
    """List the parts that are turned here, built."""
    for part in design.parts:
        made = built(part)
        if isinstance(part, TurnedPart) and isinstance(made, Turned):
            yield part, made


def _severity(rule: Rule, left: float) -> Severity:
    return Severity.FAULT if left < _FOIL * _limit(rule) else rule.severity


def _limit(rule: Rule) -> float:
    return rule.limit or 0.0


def _short(rule: Rule, left: float) -> bool:
    """Tell whether a thickness is under a rule's limit, rounding aside."""
    return left < _limit(rule) - CONTACT_MM


def _lacking(rule: Rule, gap: Gap, axis: int) -> float:
    """Tell how far one side of a gap must move along z (0) or r (1) for the gap to reach the limit.

    A distance grows at least as the shift times the cosine of its direction, which is the start of a convex
    curve: the shift is enough, and exact where the gap runs along it.
    """
    along = abs(gap.b_at[axis] - gap.a_at[axis])
    if gap.distance == 0:
        return _limit(rule) + along
    return (_limit(rule) - gap.distance) * gap.distance / along if along > CONTACT_MM else _limit(rule)


def _narrower(feature: Inside, title: str, by: float) -> str | None:
    """Tell what to drill or bore so that a hole's wall moves in by a distance."""
    if isinstance(feature, Drill) and feature.diameter > 2 * by:
        kinds = {drill(feature.size).kind} if isinstance(feature.size, str) else {"metric"}
        size = nearest_drills(feature.diameter - 2 * by, kinds)[0]
        return f"{title} {size.name} or smaller" if size else None
    if isinstance(feature, Bore) and mm(feature.diameter) > 2 * by:
        return f"{title} {at_most(mm(feature.diameter) - 2 * by)} mm or less"
    return None


def _wall(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in _turned(seen.design):
        for title, gap in _thin(made, rule).items():
            place = outside_at(made, gap.b_at)
            yield rule.finding(
                parts=(part.name,),
                feature=title,
                station=gap.a_at[0],
                value=gap.distance,
                severity=_severity(rule, gap.distance),
                message=f"{part.name}, {title}: leaves {gap.distance:.2f} mm of wall under {place.title}",
                mend=_thicker(rule, gap, part, hole_at(made, gap.a_at), place),
            )


def _thin(made: Turned, rule: Rule) -> dict[str, Gap]:
    """Find the thinnest wall under the limit of each hole, by title; a floor is none."""
    least: dict[str, Gap] = {}
    thin = [gap for gap in walls(made, _limit(rule)) if _short(rule, gap.distance)]
    told = [floor.gap for floor in floors(made)] if thin else []
    for gap in thin:
        if not any(_same(gap, other) for other in told):
            title = hole_at(made, gap.a_at).title
            if title not in least or gap.distance < least[title].distance:
                least[title] = gap
    return least


def _same(gap: Gap, other: Gap) -> bool:
    """Tell whether two gaps are one place."""
    return math.dist(gap.a_at, other.a_at) <= CONTACT_MM and abs(gap.distance - other.distance) <= CONTACT_MM


def _thicker(rule: Rule, gap: Gap, part: Part, hole: Bored, place: Place) -> str:
    """Tell how a wall reaches the limit: a narrower hole or a wider outside, or a shallower hole."""
    if abs(gap.b_at[0] - gap.a_at[0]) > abs(gap.b_at[1] - gap.a_at[1]):
        return f"make {hole.title} {at_least(_lacking(rule, gap, axis=0))} mm shallower"
    by = _lacking(rule, gap, axis=1)
    ways = [_narrower(hole.feature, hole.title, by)]
    if isinstance(place.feature, Cylinder | Groove | Relief):
        ways.append(f"{place.title} {at_least(2 * (place.curves[0].start[1] + by))} mm or more")
    if not any(ways):  # on a slope, along the axis is farther than across
        by_depth = least_change(part, hole.title, "depth", -1, lambda m: hole.title not in _thin(m, rule), by)
        ways.append(f"make {hole.title} {by_depth:g} mm shallower" if by_depth else None)
        ways.append(f"{place.title} {at_least(2 * by)} mm wider from end to end")
    return ", or ".join(way for way in ways if way)


def _thread_wall(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in _turned(seen.design):
        for span in made.body.threads:
            gap = thread_wall(made, span, _limit(rule))
            if gap is None or not _short(rule, gap.distance):
                continue
            title, by = thread_title(made, span), _lacking(rule, gap, axis=1)
            if span.external:
                hole = hole_at(made, gap.b_at)
                other, mend = hole.title, _narrower(hole.feature, hole.title, by)
            else:
                place = outside_at(made, gap.b_at)
                other = place.title
                mend = f"{other} {at_least(2 * (gap.b_at[1] + by))} mm or more, or a smaller thread"
            left = f"{gap.distance:.2f} mm of wall is left" if gap.distance else "nothing is left"
            yield rule.finding(
                parts=(part.name,),
                feature=title,
                station=gap.a_at[0],
                value=gap.distance,
                severity=_severity(rule, gap.distance),
                message=f"{part.name}, {title}: {left} between the root of {span.thread} and {other}",
                mend=mend or f"a thread {at_least(2 * by)} mm larger",
            )


def _floor(seen: Examined, rule: Rule) -> Iterator[Finding]:
    yield from _floors(seen, rule, lambda floor: floor.other is not Kind.FACE or floor.web)


def _shoulder_floor(seen: Examined, rule: Rule) -> Iterator[Finding]:
    yield from _floors(seen, rule, lambda floor: floor.other is Kind.FACE and not floor.web)


def _floors(seen: Examined, rule: Rule, wanted: Callable[[Floor], bool]) -> Iterator[Finding]:
    for part, made in _turned(seen.design):
        least: dict[str, Floor] = {}
        for floor in floors(made):
            if wanted(floor) and _short(rule, floor.gap.distance):
                title = hole_at(made, floor.gap.a_at).title
                if title not in least or floor.gap.distance < least[title].gap.distance:
                    least[title] = floor
        for title, floor in least.items():
            gap = floor.gap
            feature, by = hole_at(made, gap.a_at).feature, _lacking(rule, gap, axis=0)
            depth = getattr(feature, "depth", None)
            other = hole_at(made, gap.b_at).title if floor.web else outside_at(made, gap.b_at).title
            if floor.other is Kind.END:
                other = "the end"
            yield rule.finding(
                parts=(part.name,),
                feature=title,
                station=gap.a_at[0],
                value=gap.distance,
                severity=_severity(rule, gap.distance),
                message=f"{part.name}, {title}: leaves {gap.distance:.2f} mm of metal before {other}",
                mend=f"make it {at_least(by)} mm shallower"
                + (f", {at_most(mm(depth) - by)} mm deep" if depth is not None and mm(depth) > by else ""),
            )


def _rim(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in _turned(seen.design):
        for rim in rims(made):
            if _short(rule, rim.width) and rim.angle < _KNIFE:
                end = "back" if rim.back else "front"
                yield rule.finding(
                    parts=(part.name,),
                    feature=outside_at(made, rim.at).title,
                    station=rim.at[0],
                    value=rim.width,
                    message=f"{part.name}: a flat of {rim.width:.2f} mm and {rim.angle:.0f} degrees of metal "
                    f"make a knife edge of the mouth at the {end}",
                    mend=f"make the outside there {at_least(2 * (rim.at[1] + _limit(rule) - rim.width))} mm, "
                    "or the hole smaller",
                )


def _cross_wall(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in _turned(seen.design):
        for wall in cross_walls(made, _limit(rule)):
            left = wall.gap.distance
            if not _short(rule, left):
                continue
            other = _beside(made, wall)
            if left > CONTACT_MM:
                what = f"leaves {left:.2f} mm to {other}"
            else:
                what = f"comes out in {other}" if wall.side is Side.BORE else f"breaks out of {other}"
            yield rule.finding(
                parts=(part.name,),
                feature=wall.cut.title,
                station=wall.gap.a_at[0],
                value=left,
                severity=_severity(rule, left),
                message=f"{part.name}, {wall.cut.title}: {what}",
                mend=_clear(rule, part, wall, other),
            )


def _beside(made: Turned, wall: CrossWall) -> str:
    """Name what a cut comes near to: a face by that word, what is rounded or slopes by its own."""
    if wall.side is Side.END:
        place = outside_at(made, wall.gap.b_at)
        if any(box(c).z0 + CONTACT_MM < wall.gap.b_at[0] < box(c).z1 - CONTACT_MM for c in place.curves):
            return place.title
    return wall.other or wall.side


def _clear(rule: Rule, part: Part, wall: CrossWall, other: str) -> str:
    """Tell how to keep a cut's distance."""
    feature, gap = wall.cut.feature, wall.gap
    if wall.side is Side.BORE and wall.deepest is not None:
        deepest = wall.deepest - _limit(rule)
        if isinstance(feature, Flat):
            even = feature.count % 2 == 0
            height = wall.cut.surface_r - deepest
            return f"leave {at_least(2 * height if even else height + wall.cut.surface_r)} mm across or more"
        if deepest > 0:
            return f"make it {at_most(deepest)} mm deep or less"
        return "move it away from the hole"
    title, sign = wall.cut.title, 1 if gap.a_at[0] < (wall.cut.start + wall.cut.end) / 2 else -1

    def clear(made: Turned) -> bool:
        return not any(
            w.cut.title == title and _short(rule, w.gap.distance) for w in cross_walls(made, _limit(rule))
        )

    by = least_change(part, title, "at", sign, clear, _lacking(rule, gap, axis=0))
    return (
        f"move it {by:g} mm along, away from {other}"
        if by
        else "make it narrower: no place along it is clear"
    )


def _house(reason: str) -> Source:
    return Source(work="house choice", place=reason, basis=Basis.HOUSE)


RULES: Final = (
    Rule(
        name="wall",
        sentence="Enough wall is left between every hole and the outside.",
        severity=Severity.CAUTION,
        limit=LEAST_WALL,
        unit="mm",
        source=_house("0.8 mm of brass stands the chuck and the drill; less can be turned, with care"),
        check=_wall,
    ),
    Rule(
        name="thread wall",
        sentence="Enough wall is left between the root of a thread and the other side of the part.",
        severity=Severity.CAUTION,
        limit=LEAST_WALL,
        unit="mm",
        source=_house("as any wall; tap and die press on it besides"),
        check=_thread_wall,
    ),
    Rule(
        name="floor",
        sentence="Enough metal is left behind the floor or the drill point of every hole.",
        severity=Severity.CAUTION,
        limit=LEAST_FLOOR,
        unit="mm",
        source=_house(
            "a drill breaks through a thinner floor as soon as its depth is misread by a dial's turn"
        ),
        check=_floor,
    ),
    Rule(
        name="shoulder floor",
        sentence="Enough metal is left between a shoulder outside and the floor of a hole behind it.",
        severity=Severity.CAUTION,
        limit=1.0,
        unit="mm",
        source=_house("it carries the pull of the joint in shear"),
        check=_shoulder_floor,
    ),
    Rule(
        name="rim",
        sentence="A mouth is left no knife edge.",
        severity=Severity.CAUTION,
        limit=0.2,
        unit="mm",
        source=_house("a thinner rim of less than 60 degrees cuts the hand and dents"),
        check=_rim,
    ),
    Rule(
        name="cross wall",
        sentence="What is cut across leaves enough metal, and comes out inside only where it has no depth.",
        severity=Severity.CAUTION,
        limit=LEAST_WALL,
        unit="mm",
        source=_house("as any wall, the point of the drill counted"),
        check=_cross_wall,
    ),
)
