"""Whether an object can be put together, and whether it then stays together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.order import Stuck, loose, taken_apart
from turnmodel.analysis.roles import caps
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.analysis.screwed import jams
from turnmodel.analysis.words import came_from, listed, towards
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["RULES"]


def _order(seen: Examined, rule: Rule) -> Iterator[Finding]:
    told = set()
    for state in seen.design.states:
        for stuck in taken_apart(seen.design, state)[1]:
            if frozenset(stuck.parts) in jams(seen.design, state):
                continue  # their threads jam, which is told of the joint
            if stuck.parts not in told:
                told.add(stuck.parts)
                yield _stuck(stuck, state, rule)


def _stuck(stuck: Stuck, state: str, rule: Rule) -> Finding:
    """Tell of the way that lacks least."""
    stop, limit = stuck.stop, rule.limit or 0.0
    text = f"{listed(stuck.parts)} cannot be put together: "
    text += f"{came_from(stop.direction)}, {stop.moving} meets {stop.fixed}"
    if stop.way.at is not None:
        text += f" at its {stop.way.at:.2f} mm"
    if stop.way.short is None:
        mend = f"open a way for {stop.moving} through {stop.fixed}, or split one of them"
    else:
        need = stop.way.short + limit
        text += f", where its way is {stop.way.short:.2f} mm too narrow in diameter"
        mend = f"widen {stop.fixed} or narrow {stop.moving} there by {need:.2f} mm in diameter"
    return rule.finding(
        parts=(stop.fixed, stop.moving),
        state=state,
        value=None if stop.way.short is None else -stop.way.short,
        station=stop.way.at,
        message=text,
        mend=mend,
    )


def _loose(seen: Examined, rule: Rule) -> Iterator[Finding]:
    told: set[tuple[str, ...]] = {
        (cap.part,) for cap in caps(seen.design) if cap.posted
    }  # what holds them is told of caps
    for state in seen.design.states:
        for found in loose(seen.design, state):
            if found.parts in told:
                continue
            told.add(found.parts)
            names, verb = listed(found.parts), "comes" if len(found.parts) == 1 else "come"
            yield rule.finding(
                parts=found.parts,
                state=state,
                message=f'nothing holds {names} in state "{state}": {verb} off {towards(found.direction)}',
                mend=f"screw or press it in, put a part in its way, or lay {names} aside in this state",
            )


RULES: Final = (
    Rule(
        name="order of assembly",
        sentence="Each part can be brought to its place past everything that is there before it.",
        severity=Severity.FAULT,
        limit=0.0,
        unit="mm",
        source=Source(
            work="common practice", place="parts pass what stands in their way", basis=Basis.PRACTICE
        ),
        check=_order,
    ),
    Rule(
        name="comes apart",
        sentence="In every state each part is held by a screw, a press fit or what stands in its way.",
        severity=Severity.CAUTION,
        source=Source(work="common practice", place="nothing is held by gravity", basis=Basis.PRACTICE),
        check=_loose,
    ),
)
