"""Drills, taps and dies that are not in the crib, and what the nearest that is would change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.bores import hollows
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.rule import Rule
from turnmodel.analysis.rules.tapping import LEAST_SHARE, percents, tapped_d
from turnmodel.analysis.walls import bore_radius, skins
from turnmodel.catalog import threads
from turnmodel.catalog.run_outs import tap_lead
from turnmodel.catalog.tapping import percent_of_thread, tap_drill
from turnmodel.catalog.toolbox import drills_about, nearest_thread, owned_drill, owned_leads
from turnmodel.catalog.tools import ASSUMED
from turnmodel.design.features.across import CrossHole, CrossTap
from turnmodel.design.features.inside import Drill, Tap
from turnmodel.design.features.operation import Operation
from turnmodel.design.features.threaded import ExternalThread
from turnmodel.design.ledger import mm
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.curve import box
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source
from turnmodel.units import in_mm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.analysis.finding import Finding
    from turnmodel.analysis.rule import Examined
    from turnmodel.catalog.threads import Thread
    from turnmodel.design.design import Design

__all__ = ["RULES"]


# drills


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hole:
    """A hole that is drilled: its diameter and station [mm], and the thread that is tapped in it."""

    title: str
    station: float
    diameter: float
    thread: Thread | None = None


def _holes(made: Turned) -> Iterator[_Hole]:
    """List the holes of a part that are drilled."""
    taps = [(tapped_d(b), b.feature.thread) for b in made.inside if isinstance(b.feature, Tap)]
    for hollow in hollows(made):
        feature, title = hollow.bored.feature, hollow.bored.title
        station = made.length if hollow.bored.from_back else 0.0
        if isinstance(feature, Drill):
            wide = feature.diameter
            thread = next((t for d, t in taps if d is not None and abs(d - wide) < CONTACT_MM), None)
            yield _Hole(title=title, station=station, diameter=wide, thread=thread)
        elif isinstance(feature, Tap) and len(hollow.walls) > 1:
            wide = tap_drill(feature.thread).drill.diameter
            yield _Hole(title=title, station=station, diameter=wide, thread=feature.thread)
    for cut in made.across:
        across = cut.feature
        if isinstance(across, CrossHole | CrossTap):
            tapped = across.thread if isinstance(across, CrossTap) else None
            yield _Hole(title=cut.title, station=mm(across.at), diameter=across.diameter, thread=tapped)


def _drills(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in seen.design.turned:
        for hole in _holes(made):
            if owned_drill(seen.tools, hole.diameter) is not None:
                continue
            owned = [drill for drill in drills_about(seen.tools, hole.diameter) if drill is not None]
            usable = [d for d in owned if hole.thread is None or d.diameter < hole.thread.major_d]
            near = min(usable, key=lambda drill: abs(drill.diameter - hole.diameter), default=None)
            yield rule.finding(
                parts=(part.name,),
                feature=hole.title,
                station=hole.station,
                severity=_severity(seen, "drills", rule),
                value=hole.diameter,
                limit=near.diameter if near else None,
                message=f"{part.name}, {hole.title}: no drill of {in_mm(hole.diameter)} is in the crib",
                mend="buy it"
                if near is None
                else f"the nearest is {near.name}: {_change(hole, near.diameter)}",
            )


def _change(hole: _Hole, diameter: float) -> str:
    """Tell what another drill [mm] would change."""
    if hole.thread is not None:
        return f"it leaves {percents(hole.thread, diameter)}"
    more = diameter - hole.diameter
    return f"the hole is {abs(more):.3f} mm {'wider' if more > 0 else 'narrower'}"


# taps and dies


def _taps(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in seen.design.turned:
        entries: list[tuple[str, object]] = [(entry.title, entry.feature) for entry in made.inside]
        entries += [(entry.title, entry.feature) for entry in made.across]
        for title, feature in entries:
            if not isinstance(feature, Tap | CrossTap):
                continue
            leads = owned_leads(seen.tools.taps, feature.thread)
            lead = tap_lead(feature.lead).kind if isinstance(feature, Tap) and not feature.through else None
            if leads and (lead is None or lead in leads):
                continue
            if leads and lead is not None:
                least = min(leads, key=lambda kind: tap_lead(kind).high)
                more = (tap_lead(least).high - tap_lead(lead).high) * feature.thread.pitch
                deeper = f"{more:.2f} mm more" if more > 0 else f"{-more:.2f} mm less"
                what = f"no {lead} tap {feature.thread} is in the crib"
                mend = f'write lead="{least}", which you have: its lead takes {deeper} of the hole'
            else:
                what = f"no tap {feature.thread} is in the crib"
                taps = [tool for tool in seen.tools.taps if _fits(seen.design, feature.thread, tool.thread)]
                near = nearest_thread(taps, feature.thread)
                mend = _without(feature.thread, near, _inside(feature))
            yield rule.finding(
                parts=(part.name,),
                feature=title,
                severity=_severity(seen, "taps", rule),
                message=f"{part.name}, {title}: {what}",
                mend=mend,
            )


def _dies(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in seen.design.turned:
        for place in made.outside:
            if not isinstance(place.feature, ExternalThread):
                continue
            thread = threads.thread(place.feature.size)
            if not owned_leads(seen.tools.dies, thread):
                dies = [tool for tool in seen.tools.dies if _fits(seen.design, thread, tool.thread)]
                near = nearest_thread(dies, thread)
                yield rule.finding(
                    parts=(part.name,),
                    feature=place.title,
                    station=place.start,
                    severity=_severity(seen, "dies", rule),
                    message=f"{part.name}, {place.title}: no die {thread} is in the crib",
                    mend=_without(thread, near, "cut it with a threading tool"),
                )


def _fits(design: Design, thread: Thread, other: Thread) -> bool:
    """Whether every part with a thread has the metal for another one in its place, and the hole for it."""
    for part in design.parts:
        made = built(part)
        spans = [s for s in made.body.threads if s.thread == thread] if isinstance(made, Turned) else []
        if not spans or not isinstance(made, Turned):
            continue
        if not isinstance(part, TurnedPart):
            return False  # it is bought as it is
        for span in spans:
            ends = (span.start, (span.start + span.end) / 2, span.end)
            if span.external:
                bored = 2 * max(bore_radius(skins(made), z) for z in ends)
                if other.root_d <= bored or other.major_d > part.stock.diameter + CONTACT_MM:
                    return False
                continue
            tap = next(hole for hole in made.inside if hole.thread == span)
            own = any(cut.operation is Operation.DRILL for cut in tap.cuts)
            hole = 0.0 if own else 2 * min(r for _, r in span.floor)
            around = (c for p in made.outside for c in p.curves if p.start < span.end and p.end > span.start)
            if other.major_d >= 2 * min(box(curve).r0 for curve in around):
                return False
            if hole and (hole >= other.major_d or percent_of_thread(other, hole) < LEAST_SHARE):
                return False
    return True


def _inside(feature: Tap | CrossTap) -> str | None:
    """Tell how a thread of several starts, for which no taps are sold (common practice), is cut in a hole."""
    if feature.thread.starts == 1:
        return None
    turned = isinstance(feature, Tap)
    return "cut it with an internal threading tool" if turned else "take a thread of one start"


def _without(thread: Thread, near: Thread | None, otherwise: str | None) -> str:
    """Tell how to do without a tap or die; one of several starts cannot be bought."""
    ways = [otherwise] if otherwise else []
    if near is not None or thread.starts == 1:
        ways.append(_other_thread(thread, near))
    return ", or ".join(ways)


def _other_thread(thread: Thread, near: Thread | None) -> str:
    """Tell what another thread would change."""
    if near is None:
        return "buy it"
    wider, coarser = near.major_d - thread.major_d, near.pitch - thread.pitch
    changes = [
        f"{abs(change):.3g} mm {more if change > 0 else less}"
        for change, more, less in ((wider, "wider", "narrower"), (coarser, "more pitch", "less pitch"))
        if abs(change) > CONTACT_MM
    ]
    return f"take the nearest, {near}, in both mates: {' and '.join(changes) or 'of another form'}"


def _missing(seen: Examined, rule: Rule) -> Iterator[Finding]:
    yield from _drills(seen, rule)
    yield from _taps(seen, rule)
    yield from _dies(seen, rule)


def _assumed(seen: Examined, rule: Rule) -> Iterator[Finding]:
    tools = seen.tools
    if tools.assumed:
        named = {"parting_width": "parting tool"}
        missing = ", ".join(named.get(key, key) for key in tools.assumed)
        what = f"{tools.origin} leaves out {missing}: a common small-shop set is assumed for them"
        if tools.origin == ASSUMED:
            what = "no tools file: a common small-shop set is assumed"
        yield rule.finding(
            parts=(), message=what, mend="write your own: turnmodel facts tools --example > tools.toml"
        )


def _severity(seen: Examined, key: str, rule: Rule) -> Severity:
    """Weigh what is missing: of an assumed set it is only worth knowing."""
    return Severity.NOTE if key in seen.tools.assumed else rule.severity


RULES: Final = (
    Rule(
        name="missing tool",
        sentence="Every drill, tap and die that the design asks for is owned.",
        severity=Severity.CAUTION,
        unit="mm",
        source=Source(work="house choice", place="the file of tools", basis=Basis.HOUSE),
        check=_missing,
    ),
    Rule(
        name="tools assumed",
        sentence="What the file of tools does not tell is assumed, and said.",
        severity=Severity.NOTE,
        source=Source(work="house choice", place="a common small-shop set", basis=Basis.HOUSE),
        check=_assumed,
    ),
)
