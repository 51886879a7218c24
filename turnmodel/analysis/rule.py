"""What a rule is: a name, a sentence, a limit, a source, and the function that holds a design to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.analysis.finding import Finding, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from turnmodel.analysis.interference import Meeting
    from turnmodel.analysis.weight import PartWeight, StateWeight
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.source import Source

__all__ = ["Examined", "Rule"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Examined:
    """A design with everything that rules look at computed once, and the tools it is made with."""

    design: Design
    tools: Toolbox
    parts: Mapping[str, PartWeight]
    states: Mapping[str, StateWeight]
    meetings: Mapping[str, tuple[Meeting, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rule of the trade.

    Parameters
    ----------
    name : str
        Its name in findings, by which its limit is set and its findings are accepted
    sentence : str
        What it demands
    severity : Severity
        How bad it is to break it
    source : Source
        What it rests on
    check : callable
        Gives the findings of a design, by this rule with the limit that holds for it
    limit : float, optional
        Its limit where none is set, in ``unit``, which is empty for [-]
    unit : str, optional
        Unit of the limit and of what is held to it
    """

    name: str
    sentence: str
    severity: Severity
    source: Source
    check: Callable[[Examined, Rule], Iterable[Finding]]
    limit: float | None = None
    unit: str = ""

    def finding(
        self,
        *,
        parts: tuple[str, ...],
        message: str,
        mend: str | None = None,
        state: str | None = None,
        value: float | None = None,
        limit: float | None = None,
        feature: str | None = None,
        station: float | None = None,
        severity: Severity | None = None,
        source: Source | None = None,
    ) -> Finding:
        """Make a finding of this rule, the station in [mm]; what is left out is the rule's own."""
        return Finding(
            rule=self.name,
            severity=severity or self.severity,
            parts=parts,
            message=message,
            source=source or self.source,
            state=state,
            value=value,
            limit=self.limit if limit is None else limit,
            unit=self.unit,
            mend=mend,
            feature=feature,
            station=station,
        )
