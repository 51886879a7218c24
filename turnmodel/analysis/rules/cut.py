"""Parts that are cut already: what was measured, and threads that were turned thin."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Severity
from turnmodel.analysis.reading import reading_words
from turnmodel.analysis.rule import Rule
from turnmodel.analysis.screwed import screwed
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.analysis.finding import Finding
    from turnmodel.analysis.rule import Examined

__all__ = ["RULES"]


def _measured(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part in seen.design.parts:
        for found in part.measured:
            yield rule.finding(
                parts=(part.name,),
                feature=found.feature,
                message=f"{part.name} is cut: {reading_words(part, found)}",
            )


def _depth(seen: Examined, rule: Rule) -> Iterator[Finding]:
    """Hold the height over which crests of screw and hole overlap to a share of the basic one."""
    told = set()
    for pair in screwed(seen.design):
        male, female = pair.male, pair.female
        crest = max(r for _, r in male.span.ceiling)
        hole = min(r for _, r in female.span.floor)
        basic = (male.span.thread.major_d - male.span.thread.minor_d) / 2
        share = 100 * (crest - hole) / basic
        key = (male.part.name, female.part.name, male.title)
        if share >= (rule.limit or 0.0) or key in told:
            continue
        told.add(key)
        most = 2 * (crest - (rule.limit or 0.0) / 100 * basic)
        yield rule.finding(
            parts=(male.part.name, female.part.name),
            state=pair.state,
            feature=male.title,
            station=male.station,
            value=share,
            message=f"{male.part.name}, {male.title}: turned to {2 * crest:.3f} mm, it overlaps the thread "
            f"of {female.part.name}, drilled {2 * hole:.3f} mm, by {share:.0f} % of the basic height",
            mend=f"drill {female.part.name} {most:.2f} mm or less, or turn it again",
        )


RULES: Final = (
    Rule(
        name="thread overlap",
        sentence="The crests of a screw and of its hole overlap by enough of the thread's basic height.",
        severity=Severity.FAULT,
        limit=60.0,
        unit="%",
        source=Source(work="common practice", place="60 to 75 % of thread", basis=Basis.PRACTICE),
        check=_depth,
    ),
    Rule(
        name="as cut",
        sentence="A part that is cut counts as it was measured, and the check says so.",
        severity=Severity.NOTE,
        source=Source(work="house choice", place="what is cut is fixed", basis=Basis.HOUSE),
        check=_measured,
    ),
)
