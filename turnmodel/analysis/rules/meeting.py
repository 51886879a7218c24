"""Parts that run into each other, and parts that are pressed together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.analysis.screwed import jams
from turnmodel.analysis.words import listed
from turnmodel.design.joint import Press
from turnmodel.design.ledger import mm
from turnmodel.design.part import built
from turnmodel.design.turned import Turned
from turnmodel.geometry.tolerance import CONTACT_MM, CONTACT_MM3
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.analysis.interference import Meeting
    from turnmodel.design.design import Design

__all__ = ["RULES"]


def _interference(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Tell of each overlap once, with the states that have it; a jam of threads is told of their joint."""
    met: dict[Meeting, list[str]] = {}
    for state, pairs in seen.meetings.items():
        for pair in pairs:
            if pair.overlap <= CONTACT_MM3:
                continue
            if not (_in_thread(seen.design, pair) and frozenset(pair.parts) in jams(seen.design, state)):
                met.setdefault(pair, []).append(state)
    for pair, states in met.items():
        first, second = pair.parts
        where = f" from {pair.place[0]:.2f} to {pair.place[1]:.2f} mm of {first}" if pair.place else ""
        yield rule.finding(
            parts=pair.parts,
            state=states[0],
            severity=Severity.NOTE if pair.meant else Severity.FAULT,
            value=pair.overlap,
            station=pair.place[0] if pair.place else None,
            message=f"{first} and {second} fill the same {pair.overlap:.3g} mm3{where}"
            + (f", in {listed(states)}" if len(states) > 1 else "")
            + ("; the press joint means it" if pair.meant else ""),
            mend=None if pair.meant else "move one of them, or take the shared metal off one",
        )


def _in_thread(design: Design, pair: Meeting) -> bool:
    """Whether two parts overlap nowhere but where a thread is."""
    made = built(design.part(pair.parts[0]))
    if pair.place is None or not isinstance(made, Turned):
        return pair.place is None
    low, high = pair.place
    spans = made.body.threads
    return any(span.start - CONTACT_MM < low and high < span.end + CONTACT_MM for span in spans)


def _press(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for state, pairs in seen.meetings.items():
        meetings = {frozenset(pair.parts): pair for pair in pairs}
        for joint in seen.design.poses[state].joints:
            pair = meetings.get(frozenset((joint.moving.part, joint.fixed.part)))
            if not isinstance(joint, Press) or pair is None or pair.overlap > CONTACT_MM3:
                continue
            if mm(joint.allowance) > 0:
                yield rule.finding(
                    parts=pair.parts,
                    state=state,
                    value=0.0,
                    message=f"{pair.parts[0]} and {pair.parts[1]} are pressed together but share no metal",
                    mend=f"make the inner diameter {mm(joint.allowance):g} mm larger than the hole",
                )


RULES: Final = (
    Rule(
        name="interference",
        sentence="No two parts fill the same place in any state.",
        severity=Severity.FAULT,
        limit=CONTACT_MM3,
        unit="mm3",
        source=Source(work="house choice", place="contact is no interference", basis=Basis.HOUSE),
        check=_interference,
    ),
    Rule(
        name="press",
        sentence="Parts that are pressed together overlap by their allowance.",
        severity=Severity.CAUTION,
        limit=0.0,
        unit="mm3",
        source=Source(work="common practice", place="interference fits", basis=Basis.PRACTICE),
        check=_press,
    ),
)
