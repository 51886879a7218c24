"""Findings: what a check has to say of a design."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from turnmodel.source import Source

__all__ = ["Finding", "Severity", "worst_first"]


class Severity(StrEnum):
    """How bad a finding is."""

    FAULT = "fault"
    """It cannot work or cannot be made."""
    CAUTION = "caution"
    """It can, with a risk named."""
    NOTE = "note"
    """Worth knowing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing a rule has to say.

    Parameters
    ----------
    rule : str
        Name of the rule
    severity : Severity
        How bad it is
    parts : tuple of str
        Names of the parts it speaks of
    message : str
        What is so, in one sentence
    source : Source
        What the rule's limit rests on
    state : str, optional
        Name of the state it holds in
    value, limit : float, optional
        What was found and what is allowed, in ``unit``, which is empty for [-]
    unit : str, optional
        Unit of both
    mend : str, optional
        What to change, a number where one can be computed
    feature : str, optional
        Title of the feature it speaks of, in the first part
    station : float, optional
        Where along the first part's axis, [mm]
    """

    rule: str
    severity: Severity
    parts: tuple[str, ...]
    message: str
    source: Source
    state: str | None = None
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    mend: str | None = None
    feature: str | None = None
    station: float | None = None


def worst_first(findings: list[Finding]) -> tuple[Finding, ...]:
    """Sort findings by severity, keeping their order within one."""
    order = list(Severity)
    return tuple(sorted(findings, key=lambda finding: order.index(finding.severity)))
