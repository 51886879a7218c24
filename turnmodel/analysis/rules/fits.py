"""Fits and limits: plain mates by ISO 286, other sizes by ISO 2768-1, gaps that a script names."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.roles import axial_body, own_station
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.analysis.spot import face_spot, size_tolerance
from turnmodel.analysis.stack import RARE, Stack, drawn, share_outside, stack
from turnmodel.analysis.words import between, listed
from turnmodel.catalog.fits import Fit, Limits, fit
from turnmodel.design.joint import Press
from turnmodel.design.ledger import mm
from turnmodel.design.part import TurnedPart
from turnmodel.errors import BadValue
from turnmodel.geometry.pieces import pieces
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.design.design import Design
    from turnmodel.design.gap import Gap
    from turnmodel.geometry.body import Body

__all__ = ["RULES"]

_NEAR_MM: Final = 0.1
"""Diameters [mm] nearer than this are of one nominal size; house choice: no running fit here is looser."""

_LENGTH_MM: Final = 0.5
"""Length [mm] over which two diameters must stand in each other to be mates; house choice."""

_SLIDING: Final = ("H7/h6", "H7/g6", "H8/f7")
_PRESSED: Final = ("H7/p6", "H7/r6", "H7/s6")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mate:
    """A plain shaft in a plain hole of one nominal size, [mm]."""

    shaft: str
    hole: str
    shaft_d: float
    hole_d: float
    station: float
    pressed: bool

    @property
    def clearance(self) -> float:
        """Clearance on the diameter, below zero for interference, [mm]."""
        return self.hole_d - self.shaft_d


@lru_cache(maxsize=64)
def _mates(design: Design) -> tuple[tuple[_Mate, str], ...]:
    """List the plain mates of an object, each with the first state it stands in."""
    found: dict[_Mate, str] = {}
    for state, pose in design.poses.items():
        pressed = {frozenset((j.moving.part, j.fixed.part)) for j in pose.joints if isinstance(j, Press)}
        bodies = [
            (part.name, body)
            for part in design.parts
            if isinstance(part, TurnedPart) and part.name in pose.parts
            if (body := axial_body(part, pose.parts[part.name])) is not None
        ]
        for inner, one in bodies:
            for outer, other in bodies:
                if inner == outer:
                    continue
                for shaft_d, hole_d, at in _pairs(one, other):
                    mate = _Mate(
                        shaft=inner,
                        hole=outer,
                        shaft_d=round(shaft_d, 6),
                        hole_d=round(hole_d, 6),
                        station=own_station(design, state, outer, at),
                        pressed=frozenset((inner, outer)) in pressed,
                    )
                    found.setdefault(mate, state)
    return tuple(found.items())


def _pairs(inner: Body, outer: Body) -> Iterator[tuple[float, float, float]]:
    """Straight lengths of one body that stand in straight holes of another of nearly one size."""
    shafts, holes = _straight(inner, -1), _straight(outer, 1)
    for z0, z1, r in shafts:
        for z2, z3, h in holes:
            start, end = max(z0, z2), min(z1, z3)
            if end - start >= _LENGTH_MM and 2 * abs(h - r) <= _NEAR_MM and r > 0:
                yield 2 * r, 2 * h, (start + end) / 2


def _straight(body: Body, sense: int) -> list[tuple[float, float, float]]:
    """Straight lengths of a body's outside (-1) or hole (1), but for its threads."""
    return [
        (p.z0, p.z1, p.r0)
        for p in pieces(body.plain.loops)
        if p.sense == sense
        and not p.side
        and p.r0 == p.r1
        and not any(t.external == (sense < 0) and t.start < (p.z0 + p.z1) / 2 < t.end for t in body.threads)
    ]


def _fits(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Tell for each mate which fit it comes to, and what to cut it to."""
    for mate, state in _mates(seen.design):
        chosen = _nearest(mate)
        if chosen is None:
            continue
        name, limits = chosen
        said = f"{mate.shaft} {mate.shaft_d:g} mm in {mate.hole} {mate.hole_d:g} mm"
        cut = (
            f"{name}: hole {_limits(limits.hole)}, shaft {_limits(limits.shaft)}, "
            f"clearance {limits.clearance_min:+.3f} to {limits.clearance_max:+.3f} mm"
        )
        severity, mend = Severity.NOTE, None
        if not mate.pressed and mate.clearance <= 0:
            severity = Severity.CAUTION
            said += " has no room to slide, and no press joint means it"
            mend = f"turn {mate.shaft} to {limits.shaft.least_d:.3f} to {limits.shaft.greatest_d:.3f} mm"
        elif mate.pressed and -mate.clearance > -limits.clearance_min + 1e-9 and name == _PRESSED[-1]:
            severity = Severity.CAUTION
            said += f" is pressed by {-mate.clearance:.3f} mm, more than {name} ever gives"
            mend = f"turn {mate.shaft} to {limits.shaft.least_d:.3f} to {limits.shaft.greatest_d:.3f} mm"
        yield rule.finding(
            parts=(mate.hole, mate.shaft),
            state=state,
            severity=severity,
            value=mate.clearance,
            station=mate.station,
            message=f"{said}; nearest {cut}",
            mend=mend,
            source=limits.hole.source,
        )


def _nearest(mate: _Mate) -> tuple[str, Fit] | None:
    """Find the fit whose middle comes nearest to what is drawn; one that slides has room."""
    names: tuple[str, ...] = _PRESSED if mate.pressed else _SLIDING
    if not mate.pressed and mate.clearance <= 0:
        names = ("H7/g6",)
    try:
        all_ = [(name, fit(name, mate.hole_d)) for name in names]
    except BadValue:
        return None
    return min(
        all_, key=lambda each: abs((each[1].clearance_min + each[1].clearance_max) / 2 - mate.clearance)
    )


def _limits(found: Limits) -> str:
    return f"{found.name} {found.least_d:.3f} to {found.greatest_d:.3f} mm"


def _general(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Tell once what sizes without a tolerance may come out at."""
    made = [part.name for part in seen.design.parts if isinstance(part, TurnedPart)]
    if made:
        steps = ", ".join(f"{size_tolerance(size):g} up to {size:g}" for size in (6, 30, 120))
        yield rule.finding(
            parts=tuple(made),
            message=f"sizes without a tolerance of their own are cut to ISO 2768-m: within {steps} mm",
        )


def _gaps(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Add up the gaps that the script names."""
    design = seen.design
    for name, gap in design.gaps.items():
        told: set[Stack] = set()
        first, second = (face_spot(design.part(face.part), face) for face in (gap.first, gap.second))
        parts = tuple(dict.fromkeys((first.part, second.part)))
        for state in design.states:
            found = stack(design, state, first, second)
            if found is not None and found not in told:
                told.add(found)
                yield _gap(name, gap, found, state, parts, rule)
        if not told:
            yield rule.finding(
                parts=parts,
                severity=Severity.CAUTION,
                message=f'gap "{name}" cannot be added up: {listed(parts)} share no axis, or a face is aside',
                mend="name faces of parts that share an axis and are joined",
            )


def _gap(name: str, gap: Gap, found: Stack, state: str, parts: tuple[str, ...], rule: Rule) -> Finding:
    least = -math.inf if gap.least is None else mm(gap.least)
    most = math.inf if gap.most is None else mm(gap.most)
    wrong = not least - 1e-9 <= found.nominal <= most + 1e-9
    share = share_outside(found, least, most)
    severity = Severity.FAULT if wrong else Severity.CAUTION if share > RARE else Severity.NOTE
    low, high = (float(v) for v in np.quantile(drawn(found), (RARE / 2, 1 - RARE / 2)))
    text = f'gap "{name}" is {found.nominal:.3f} mm: {between(found.worst)} at worst, '
    text += f"{between(found.likely)} by root sum of squares, "
    text += f"{between((low, high))} for all but {RARE:.1%} made by chance"
    mend, limit = None, None
    if severity is not Severity.NOTE:
        limit = least if found.worst[0] < least else most
        more = _shift(found, least, most)
        text += f"; {share:.1%} come out beyond its bounds"
        mend = f"make it {abs(more):.2f} mm {'larger' if more > 0 else 'smaller'}"
        widest = max(found.links, key=lambda link: abs(link.share) * (link.plus + link.minus), default=None)
        if widest is not None:
            mend += f"; most of its spread is {widest.part}, {widest.name}"
    return rule.finding(
        parts=parts, state=state, severity=severity, value=found.nominal, limit=limit, message=text, mend=mend
    )


def _shift(found: Stack, least: float, most: float) -> float:
    """By how much a gap must grow to lie between its bounds at worst, or midway where it cannot, [mm]."""
    low, high = found.worst
    if high - low > most - least:
        return (least + most - low - high) / 2
    return max(least - low, 0.0) - max(high - most, 0.0)


RULES: Final = (
    Rule(
        name="fit",
        sentence="Plain mates of one size have the clearance or the interference of a fit.",
        severity=Severity.NOTE,
        unit="mm",
        source=Source(work="ISO 286-1", place="limits and fits", basis=Basis.READ),
        check=_fits,
    ),
    Rule(
        name="general tolerances",
        sentence="Sizes that carry no tolerance are cut to the medium class.",
        severity=Severity.NOTE,
        source=Source(work="ISO 2768-1:1989", place="class m"),
        check=_general,
    ),
    Rule(
        name="named gap",
        sentence="A gap that the script names stays between its bounds over every tolerance.",
        severity=Severity.NOTE,
        unit="mm",
        source=Source(
            work="common practice", place="tolerance stacks, worst case and by chance", basis=Basis.PRACTICE
        ),
        check=_gaps,
    ),
)
