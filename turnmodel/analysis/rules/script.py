"""What the script leaves to the program."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.rule import Examined, Rule
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["RULES"]


def _defaults(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for default in seen.design.defaults:
        yield rule.finding(
            parts=(default.part,),
            feature=default.feature,
            message=f"{default.part}, {default.feature}: {default.taken}",
        )


RULES: Final = (
    Rule(
        name="default taken",
        sentence="What the script leaves out is taken as a turner would take it, and said.",
        severity=Severity.NOTE,
        source=Source(work="common practice", place="turning and threading", basis=Basis.PRACTICE),
        check=_defaults,
    ),
)
