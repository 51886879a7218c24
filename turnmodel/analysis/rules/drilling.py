"""Holes that a drill cannot make, or makes otherwise than they are drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.bores import Hollow, alone, hollows
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.practice import DEEP, DRILL_HELD, PAST_FLUTES, PECK
from turnmodel.analysis.rule import Rule
from turnmodel.catalog.drills import nearest_drills, point_length, standard_drills
from turnmodel.catalog.toolbox import owned_drill, owned_reamer
from turnmodel.design.features.inside import Drill
from turnmodel.design.joint import Press
from turnmodel.design.ledger import mm
from turnmodel.design.mends import at_least
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.surface import surface
from turnmodel.design.turned import Turned
from turnmodel.geometry.curve import Line
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.analysis.finding import Finding
    from turnmodel.analysis.rule import Examined
    from turnmodel.catalog.drills import Drill as Tool
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.design.face import Face

__all__ = ["RULES"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drilling:
    """A drilled hole: from which depth to which it cuts where wider holes come first, and as it is listed."""

    part: str
    own: Hollow
    feature: Drill
    tool: Tool
    start: float
    end: float
    listed: float

    @property
    def title(self) -> str:
        return self.own.bored.title

    @property
    def cut(self) -> float:
        """Length that it cuts, its point included, [mm]."""
        return self.end - self.start

    @property
    def station(self) -> float:
        """Where its point ends in the part, [mm]."""
        tips = (z for wall in self.own.walls for z, _ in wall)
        return min(tips) if self.own.bored.from_back else max(tips)


def _drillings(seen: Examined) -> Iterator[_Drilling]:
    """List every drilled hole that leaves metal to its drill."""
    for part, made in seen.design.turned:
        among = hollows(made)
        for own in among:
            feature = own.bored.feature
            if not isinstance(feature, Drill):
                continue
            best = _depths(own, among, made.length, feature)
            earlier = [h for h in among[: among.index(own)] if h.bored.from_back is own.bored.from_back]
            listed = _depths(own, (*earlier, own), made.length, feature)
            if best is None or listed is None:
                continue
            tool = _tool(seen.tools, feature.diameter, best[1] - best[0])
            if tool is not None:
                yield _Drilling(
                    part=part.name,
                    own=own,
                    feature=feature,
                    tool=tool,
                    start=best[0],
                    end=best[1],
                    listed=listed[1] - listed[0],
                )


def _depths(
    own: Hollow, among: Sequence[Hollow], length: float, feature: Drill
) -> tuple[float, float] | None:
    """Tell from which depth to which a drill cuts; its point clears the far side of a through hole, [mm]."""
    cut = alone(own, among)
    if not cut:
        return None
    start, end = cut[0][0], cut[-1][1]
    if own.bored.from_back:
        start, end = length - end, length - start
    if feature.through:
        end += point_length(feature.diameter, feature.point)
    return start, end


def _to_cut_first(seen: Examined, d: _Drilling, deepest: float) -> list[str]:
    """Name the holes that must come before a drilled one for it to cut no deeper than it may, [mm].

    Those listed before it come first, and those of the other end where the cut sheet begins there.
    """
    from turnmodel.analysis.plan.planner import cut_plan  # few checks need a plan

    part = seen.design.part(d.part)
    made = built(part)
    assert isinstance(part, TurnedPart)
    assert isinstance(made, Turned)
    among, back = hollows(made), d.own.bored.from_back
    near = [h for h in among[: among.index(d.own)] if h.bored.from_back is back]
    if (cut_plan(part, seen.tools).settings[0].out == "back") is not back:
        near += [h for h in among if h.bored.from_back is not back]

    def left(*others: Hollow) -> float:
        found = _depths(d.own, (*near, *others, d.own), made.length, d.feature)
        return found[1] - found[0] if found else 0.0

    if left() <= deepest:
        return []
    rest = [h for h in among if h is not d.own and h not in near]
    return [h.bored.title for h in rest if left(h) < left() - SAME_MM]


def _tool(tools: Toolbox, diameter: float, depth: float) -> Tool | None:
    """Find the drill that is used: an owned one of the diameter, else the tabled one next under it."""
    owned = owned_drill(tools, diameter, depth)
    return owned or next((drill for drill in nearest_drills(diameter) if drill is not None), None)


def _long(diameter: float) -> Tool | None:
    """Find the long-series drill of a diameter."""
    same = (
        d for d in standard_drills() if d.kind == "metric long" and abs(d.diameter - diameter) < CONTACT_MM
    )
    return next(same, None)


def _told(
    rule: Rule, d: _Drilling, what: str, *, value: float, mend: str, severity: Severity | None = None
) -> Finding:
    """Make a finding of a drilled hole."""
    return rule.finding(
        parts=(d.part,),
        feature=d.title,
        station=d.station,
        value=value,
        severity=severity,
        message=f"{d.part}, {d.title}: {what}",
        mend=mend,
    )


def _flutes(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for d in _drillings(seen):
        flute = d.tool.flute * (rule.limit or 0.0)
        carry = f"the flutes of the {d.tool.name} drill carry chips out of {flute:.4g} mm"
        if d.cut > flute:
            long = _long(d.feature.diameter)
            mends = []
            if long is not None and long.flute >= d.cut:
                mends.append(f"use a long-series drill, {long.flute:g} mm of flute")
            if d.feature.through and d.cut / 2 <= flute:
                mends.append("drill it from both ends")
            mends.append(f"open the first {at_least(d.start + d.cut - flute, 0.1)} mm wider")
            mends.append(f"clear it every {PAST_FLUTES * d.feature.diameter:.4g} mm past {flute:.4g} mm")
            what = f"the cut is {d.cut:.1f} mm deep, and {carry}"
            yield _told(rule, d, what, value=d.cut / d.tool.flute, mend=", or ".join(mends))
        elif d.listed > flute and (first := _to_cut_first(seen, d, flute)):
            what = f"cut as listed it is {d.listed:.1f} mm deep, and {carry}"
            mend = f"cut {' and '.join(first)} first, which leaves {d.cut:.1f} mm to it"
            yield _told(rule, d, what, value=d.listed / d.tool.flute, mend=mend, severity=Severity.NOTE)


def _held(seen: Examined, rule: Rule) -> Iterator[Finding]:
    least = rule.limit or 0.0
    for d in _drillings(seen):
        left = d.tool.overall - d.end
        if left >= least:
            continue
        long = _long(d.feature.diameter)
        mends = []
        if long is not None and long.overall - d.end >= least:
            mends.append(f"use a long-series drill, {long.overall:g} mm long")
        if d.feature.through and d.tool.overall - d.end / 2 >= least:
            mends.append("drill it from both ends")
        what = (
            f"{d.end:.1f} mm deep, it leaves {max(left, 0):.1f} mm of the {d.tool.name} drill, "
            f"{d.tool.overall:g} mm long, to hold it by"
        )
        reached = Severity.CAUTION if mends else Severity.FAULT
        if not mends:
            longest = long if long is not None and long.overall > d.tool.overall else d.tool
            less = at_least(d.end + least - longest.overall, 0.1)
            mends = [f"make it {less} mm shallower, for a {longest.name} drill"]
        yield _told(rule, d, what, value=left, mend=", or ".join(mends), severity=reached)


def _pecking(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for d in _drillings(seen):
        ratio = d.cut / d.feature.diameter
        if ratio > (rule.limit or 0.0) and d.cut <= d.tool.flute:
            what = f"a cut {d.cut:.1f} mm deep is {ratio:.1f} diameters"
            first, then = PECK * d.feature.diameter, d.feature.diameter
            mend = f"draw the drill back after {first:.4g} mm, then every {then:.4g} mm, to clear its chips"
            yield _told(rule, d, what, value=ratio, mend=mend)


# the point


def _pointed_seat(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for first, second in _met_faces(seen.design):
        for face, other in ((first, second), (second, first)):
            hole = _drilled_floor(seen.design, face)
            rim = _flat_rim(seen.design, other)
            if hole is None or rim is None:
                continue
            title, feature = hole
            slope = math.tan(math.radians(feature.point / 2))
            under = rim / slope
            depth = ""
            if feature.depth is not None:
                depth = f" {mm(feature.depth) + (feature.diameter / 2 - rim) / slope:.2f} mm deep"
            yield rule.finding(
                parts=(face.part, other.part),
                feature=title,
                value=under,
                message=f"{face.part}, {title}: the end of {other.part} is flat, {2 * rim:.4g} mm wide, and "
                f"rests by its rim on the drill's point, {under:.2f} mm above its tip",
                mend=f"bore a flat floor{depth}, or turn that end to a cone of {feature.point:g} degrees",
            )


def _met_faces(design: Design) -> list[tuple[Face, Face]]:
    """List the faces that joints bring to touch each other, each pair once."""
    pairs = {(str(j.moving), str(j.fixed)): (j.moving, j.fixed) for j in design.every_joint if j.closed}
    return list(pairs.values())


def _drilled_floor(design: Design, face: Face) -> tuple[str, Drill] | None:
    """Find the drilled hole whose point a face is."""
    made = built(design.part(face.part))
    for bored in made.inside if isinstance(made, Turned) else ():
        if isinstance(bored.feature, Drill) and bored.feature.mark == face.name:
            return bored.title, bored.feature
    return None


def _flat_rim(design: Design, face: Face) -> float | None:
    """Give the outer radius of a face that is flat, [mm]; None where it is not."""
    part = design.part(face.part)
    curves = surface(part, face).curves if isinstance(built(part), Turned) else ()
    stations = [z for curve in curves for z in (curve.start[0], curve.end[0])]
    if (
        not stations
        or max(stations) - min(stations) > SAME_MM
        or not all(isinstance(c, Line) for c in curves)
    ):
        return None
    return max(r for curve in curves for r in (curve.start[1], curve.end[1]))


# the size


def _pressed(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Find holes that a part is pressed into and that only a drill sizes."""
    parts = {part.name: made for part, made in seen.design.turned}
    for joint in (joint for joint in seen.design.every_joint if isinstance(joint, Press)):
        large = mm(joint.allowance)
        if not 0 < large < (rule.limit or 0.0):
            continue
        for face, other in ((joint.moving, joint.fixed), (joint.fixed, joint.moving)):
            if face.part not in parts or other.part not in parts:
                continue
            shafts = [2 * r for p in parts[other.part].outside for c in p.curves for _, r in (c.start, c.end)]
            for bored in parts[face.part].inside:
                hole = bored.feature
                if not isinstance(hole, Drill) or not any(
                    abs(shaft - hole.diameter - large) < CONTACT_MM for shaft in shafts
                ):
                    continue
                size = hole.diameter
                how = f"depth={mm(hole.depth):g}" if hole.depth is not None else "through=True"
                reamed = hole.through and owned_reamer(seen.tools, size)
                by = f"the {size:g} mm reamer you have sizes it" if reamed else "it is bored to size"
                yield rule.finding(
                    parts=(face.part, other.part),
                    feature=bored.title,
                    value=large,
                    message=f"{face.part}, {bored.title}: {other.part} is {large:.3f} mm the larger, to be "
                    f"pressed in, and a drill cuts several hundredths over its {size:g} mm: it falls through",
                    mend=f"say bore({size:g}, {how}): {by}",
                )


_LENGTHS: Final = Source(
    work="ISO 235, DIN 338; ASME B94.11M",
    place="flute and overall lengths of jobber drills",
    basis=Basis.MEMORY,
)

RULES: Final = (
    Rule(
        name="drill flutes",
        sentence="Chips leave a drilled hole by the flutes: what is cut is no deeper than they are long.",
        severity=Severity.CAUTION,
        limit=1.0,
        unit="flute length",
        source=_LENGTHS,
        check=_flutes,
    ),
    Rule(
        name="drill held",
        sentence="At full depth enough of the drill stands out to hold it by.",
        severity=Severity.FAULT,
        limit=DRILL_HELD,
        unit="mm",
        source=Source(work="house choice", place="grip of a small drill chuck's jaws", basis=Basis.HOUSE),
        check=_held,
    ),
    Rule(
        name="deep hole",
        sentence="A drill in a deep hole is drawn back over and over to clear its chips.",
        severity=Severity.NOTE,
        limit=DEEP,
        unit="diameters",
        source=Source(
            work="common practice", place="drilling, withdrawing to clear chips", basis=Basis.PRACTICE
        ),
        check=_pecking,
    ),
    Rule(
        name="drilled press fit",
        sentence="A hole that a part is pressed into is reamed or bored: a drill cuts it too large.",
        severity=Severity.CAUTION,
        limit=0.1,
        unit="mm",
        source=Source(
            work="common practice", place="drills cut several hundredths oversize", basis=Basis.PRACTICE
        ),
        check=_pressed,
    ),
    Rule(
        name="drill point seat",
        sentence="A flat end does not rest on the point that a drill leaves.",
        severity=Severity.CAUTION,
        limit=0.0,
        unit="mm",
        source=Source(
            work="Drill geometry tables", place="point length (d / 2) / tan(angle / 2)", basis=Basis.READ
        ),
        check=_pointed_seat,
    ),
)
