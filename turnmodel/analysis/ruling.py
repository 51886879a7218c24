"""Which limits hold for a design, and which of its findings are accepted."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Finding, Severity
from turnmodel.errors import DesignFaults, Fault, ToolFaults, UnknownName
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from turnmodel.analysis.rule import Rule
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.errors import Where

__all__ = ["accepted", "ruled"]


def ruled(rules: Sequence[Rule], design: Design, tools: Toolbox) -> tuple[Rule, ...]:
    """Give each rule the limit that holds: the design's own, else that of the tools, else the rule's.

    Parameters
    ----------
    rules : sequence of Rule
        The rules
    design : Design
        The design
    tools : Toolbox
        The tools

    Returns
    -------
    tuple of Rule
        The rules with those limits

    Raises
    ------
    ToolFaults
        If the tools set the limit of a rule that there is not, or that has none
    DesignFaults
        If the design does, or accepts the findings of a rule or part that there is not
    """
    named = {rule.name: rule for rule in rules}
    if faults := _limit_faults(tools.limits, named, f"{tools.origin}, limits", None):
        raise ToolFaults(faults)
    faults = _limit_faults(design.limits, named, "limits", design.where)
    if faults := [*faults, *_accept_faults(design, named)]:
        raise DesignFaults(faults)
    limits = {**tools.limits, **design.limits}
    return tuple(
        replace(rule, limit=float(limits[rule.name])) if rule.name in limits else rule for rule in rules
    )


def accepted(findings: Iterable[Finding], design: Design) -> tuple[list[Finding], tuple[Finding, ...]]:
    """Turn the findings that a design accepts into notes that repeat the reason.

    Parameters
    ----------
    findings : iterable of Finding
        What the rules found
    design : Design
        The design

    Returns
    -------
    tuple of list and tuple
        Every finding, and those of them that are accepted; a note tells where nothing was found to accept
    """
    kept: list[Finding] = []
    taken: list[Finding] = []
    used: set[str] = set()
    for finding in findings:
        keys = (finding.rule, *(f"{finding.rule}: {part}" for part in finding.parts))
        found = [key for key in keys if key in design.accept]
        if not found:
            kept.append(finding)
            continue
        used.update(found)
        reason = design.accept[found[-1]].strip()
        note = replace(finding, severity=Severity.NOTE, message=f"{finding.message} (accepted: {reason})")
        kept.append(note)
        taken.append(note)
    kept += [
        Finding(
            rule=key.partition(": ")[0],
            severity=Severity.NOTE,
            parts=tuple(part for part in [key.partition(": ")[2]] if part),
            message=f"nothing is found that accept={{{key!r}: ...}} would be for",
            mend="take it out of accept",
            source=_ASKED,
        )
        for key in design.accept
        if key not in used
    ]
    return kept, tuple(taken)


_ASKED: Final = Source(work="house choice", place="what is accepted is found", basis=Basis.HOUSE)


def _limit_faults(
    limits: Mapping[str, float], named: Mapping[str, Rule], place: str, where: Where | None
) -> list[Fault]:
    """Hold the names of limits to those of rules that have one."""
    limited = [name for name, rule in named.items() if rule.limit is not None]
    return [
        Fault(
            feature=place,
            given=f"{name!r}",
            rule="this rule has no limit" if name in named else str(UnknownName("rule", name, limited)),
            where=where,
        )
        for name in limits
        if name not in limited
    ]


def _accept_faults(design: Design, named: Mapping[str, Rule]) -> list[Fault]:
    """Hold what is accepted to the rules and the parts there are."""
    parts = [part.name for part in design.parts]
    faults = []
    for key in design.accept:
        rule, _, part = key.partition(": ")
        for kind, name, known in (("rule", rule, list(named)), ("part", part, parts)):
            if name and name not in known:
                unknown = str(UnknownName(kind, name, known))
                faults.append(Fault(feature="accept", given=f"{key!r}", rule=unknown, where=design.where))
    return faults
