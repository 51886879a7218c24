"""Cutting external threads: room for the die behind them and in front, and the diameter turned before."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.rule import Rule
from turnmodel.analysis.thread_blank import thread_blank
from turnmodel.catalog import run_outs
from turnmodel.catalog import threads as catalog
from turnmodel.design.features.threaded import ExternalThread, Groove, Relief
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.curve import box
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.analysis.rule import Examined
    from turnmodel.design.outline import Place

__all__ = ["RULES"]


def _threaded(seen: Examined) -> Iterator[tuple[str, Sequence[Place], int, catalog.Thread]]:
    """List the threads outside: part, its runs from front to back, the place in them, the thread."""
    for part in seen.design.parts:
        made = built(part)
        if isinstance(part, TurnedPart) and isinstance(made, Turned):
            runs = [place for place in made.outside if place.curves]
            for k, place in enumerate(runs):
                if isinstance(place.feature, ExternalThread):
                    yield part.name, runs, k, catalog.thread(place.feature.size)


def _beside(runs: Sequence[Place], k: int, step: int) -> tuple[Place | None, float]:
    """Give the run on one side of another, and the radius that stands beyond it, 0 past the part's end."""
    if not 0 <= k + step < len(runs):
        return None, 0.0
    beside = runs[k + step]
    return beside, beside.radius_after if step > 0 else beside.radius_before


def _widest(places: Sequence[Place], size: catalog.Thread) -> tuple[float, Place] | None:
    """Find the widest of some runs, threads of one size left out, and its radius."""
    others = [
        place
        for place in places
        if not (isinstance(place.feature, ExternalThread) and catalog.thread(place.feature.size) == size)
    ]
    widest = ((max(box(curve).r1 for curve in place.curves), place) for place in others)
    return max(widest, default=None, key=lambda found: found[0])


def _down(value: float) -> str:
    """Write a diameter rounded down to a twentieth of a millimetre, as it would be turned."""
    return f"{math.floor(value * 20 + 1e-6) / 20:g}"


def _relief(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, runs, k, size in _threaded(seen):
        for step in (-1, 1):
            beside, beyond = _beside(runs, k, step)
            if beside is None or not isinstance(beside.feature, Relief | Groove):
                continue
            d = 2 * beside.curves[0].start[1]
            if d > size.root_d + CONTACT_MM and 2 * beyond > size.root_d:
                yield rule.finding(
                    parts=(part,),
                    feature=beside.title,
                    station=beside.start,
                    value=d,
                    limit=size.root_d,
                    message=f"{part}, {beside.title}: {d:g} mm is not below the root of {size}, "
                    f"{size.root_d:.2f} mm, so the die has no room to run out",
                    mend=f"relief {_down(size.root_d)} mm or less",
                )


def _run_out(seen: Examined, rule: Rule) -> Iterator[Finding]:
    whole, reversed_ = run_outs.die_lead(), run_outs.die_lead("reversed")
    for part, runs, k, size in _threaded(seen):
        place = runs[k]
        for step in (-1, 1):
            beside, beyond = _beside(runs, k, step)
            if beside is None:
                continue
            least, room = reversed_.high * size.pitch, 0.0
            if isinstance(beside.feature, Relief | Groove):
                if beyond <= size.root_d / 2:
                    continue
                room = beside.end - beside.start
            elif max(box(curve).r1 for curve in beside.curves) <= size.major_d / 2 + CONTACT_MM:
                continue
            needed = whole.high * size.pitch
            if room >= needed - CONTACT_MM:
                continue
            standard = run_outs.relief(size, short=True)
            if room >= least - CONTACT_MM:
                severity = Severity.NOTE
                message = f"leaves {room:g} mm for the die to run out; turn it round for the last turns"
                mend = f"make it {needed:.2f} mm wide for a die as it comes"
            elif room > 0:
                severity = rule.severity
                message = (
                    f"leaves {room:g} mm for the die to run out, and turned round it needs {least:.2f} mm"
                )
                mend = f"make it {least:.2f} mm wide or more, {needed:.2f} mm for a die as it comes"
            else:
                severity = Severity.NOTE
                shoulder = f"the shoulder {'behind' if step > 0 else 'in front of'} it"
                message = (
                    f"is full to {needed:.2f} mm from {shoulder}, {least:.2f} mm with the die turned round"
                )
                mend = f"a relief {standard.width:g} mm wide, {standard.diameter:g} mm in diameter"
            title = beside.title if room else place.title
            yield rule.finding(
                parts=(part,),
                feature=title,
                station=beside.start if step > 0 else beside.end,
                value=room,
                limit=least,
                severity=severity,
                message=f"{part}, {title}: {message}",
                mend=mend,
            )


def _die_path(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, runs, k, size in _threaded(seen):
        ways = [_widest(runs[:k], size), _widest(runs[k + 1 :], size)]
        blocked = [way for way in ways if way and 2 * way[0] > size.root_d + CONTACT_MM]
        if len(blocked) < 2:
            continue
        radius, place = min(blocked, key=lambda way: way[0])
        passes = 2 * radius <= size.minor_d + CONTACT_MM
        yield rule.finding(
            parts=(part,),
            feature=place.title,
            station=place.start,
            value=2 * radius,
            limit=size.root_d,
            severity=Severity.CAUTION if passes else rule.severity,
            message=f"{part}, {place.title}: {2 * radius:.2f} mm "
            + ("is scraped by" if passes else "stops")
            + f" the die for {size}, which passes {size.root_d:.2f} mm",
            mend=f"turn it {_down(size.root_d)} mm or less"
            + ("" if passes else ", which its nut needs as well, or put the thread in front of it"),
        )


def _before(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, runs, k, size in _threaded(seen):
        feature = runs[k].feature
        assert isinstance(feature, ExternalThread)
        blank = thread_blank(feature)
        reach = ""
        if blank.limits is not None and blank.span is not None:
            low, high = blank.span
            reach = f", the middle of {low:.3f} to {high:.3f} mm ({blank.limits.fit})"
        yield rule.finding(
            parts=(part,),
            feature=runs[k].title,
            station=runs[k].start,
            value=blank.diameter,
            message=f"{part}, {runs[k].title}: turn it {blank.diameter:.2f} mm before the die cuts "
            f"{size}{reach}",
            source=rule.source if blank.limits is None else blank.limits.source,
        )


RULES: Final = (
    Rule(
        name="relief",
        sentence="A relief beside a thread is turned below the thread's root.",
        severity=Severity.CAUTION,
        unit="mm",
        source=Source(
            work="common practice",
            place="a relief is a little under the minor diameter",
            basis=Basis.PRACTICE,
        ),
        check=_relief,
    ),
    Rule(
        name="run-out",
        sentence="Between a thread and a shoulder there is room for the lead of the die.",
        severity=Severity.CAUTION,
        unit="mm",
        source=run_outs.die_lead("reversed").source,
        check=_run_out,
    ),
    Rule(
        name="die path",
        sentence="The die passes over everything in front of a thread, or behind it.",
        severity=Severity.FAULT,
        unit="mm",
        source=Source(
            work="common practice", place="a die passes what its teeth do not cut", basis=Basis.PRACTICE
        ),
        check=_die_path,
    ),
    Rule(
        name="before threading",
        sentence="The bar is turned a little under the major diameter before a die.",
        severity=Severity.NOTE,
        unit="mm",
        source=Source(
            work="Die maker's technical note", place="rods for dies: M2 1.93 to 1.95, M3 2.89 to 2.94 mm"
        ),
        check=_before,
    ),
)
