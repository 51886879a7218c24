"""The report: everything that is known of a design, as one finished value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from turnmodel.analysis.finding import Finding, Severity, worst_first
from turnmodel.analysis.interference import Meeting, meetings
from turnmodel.analysis.lazily import Lazily
from turnmodel.analysis.rule import Examined
from turnmodel.analysis.rules import RULES
from turnmodel.analysis.ruling import accepted, ruled
from turnmodel.analysis.weight import PartWeight, StateWeight, part_weight, state_weight
from turnmodel.analysis.witness import Witnesses, witnessed
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.part import BoughtPart, StripPart, TurnedPart
from turnmodel.geometry.tolerance import CONTACT_MM3

if TYPE_CHECKING:
    from collections.abc import Mapping

    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design

__all__ = ["PartReport", "Report", "StateReport", "as_json", "examined", "judged", "report"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartReport:
    """What is known of a part: what it weighs, what it is made of, and its volume by two or three ways."""

    weight: PartWeight
    material: str
    stock: str | None
    witnesses: Witnesses


@dataclass(frozen=True, slots=True, kw_only=True)
class StateReport:
    """What is known of a state: what it weighs and how its parts meet."""

    weight: StateWeight
    meetings: tuple[Meeting, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Everything that is known of a design; what it accepts is among its findings, as notes."""

    design: str
    parameters: Mapping[str, Any]
    parts: Mapping[str, PartReport]
    states: Mapping[str, StateReport]
    findings: tuple[Finding, ...]
    accepted: tuple[Finding, ...]

    @property
    def sound(self) -> bool:
        """Whether no finding is a fault."""
        return all(finding.severity is not Severity.FAULT for finding in self.findings)


def examined(design: Design, tools: Toolbox | None = None) -> Examined:
    """Lay out what the rules look at, computed as it is asked for; without tools, those of a common shop."""
    return Examined(
        design=design,
        tools=tools or assumed_tools(),
        parts=Lazily((part.name for part in design.parts), lambda name: part_weight(design.part(name))),
        states=Lazily(design.states, lambda name: state_weight(design, name)),
        meetings=Lazily(design.states, lambda name: meetings(design, name)),
    )


def judged(seen: Examined) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Hold a design to every rule: all findings, worst first, and those of them that it accepts."""
    rules = ruled(RULES, seen.design, seen.tools)
    found, taken = accepted((finding for rule in rules for finding in rule.check(seen, rule)), seen.design)
    return worst_first(found), taken


def report(
    design: Design, parameters: Mapping[str, Any], *, tools: Toolbox | None = None, solids: bool = False
) -> Report:
    """Examine a design and hold it to every rule.

    Parameters
    ----------
    design : Design
        The design
    parameters : mapping
        What its script was run with
    tools : Toolbox, optional
        The tools it is made with; left out, the common small-shop set
    solids : bool
        Whether CAD solids are built as a third witness

    Returns
    -------
    Report
        Everything that is known of it

    Raises
    ------
    WitnessError
        If two computations of one volume disagree
    DesignFaults, ToolFaults
        If the design or the tools name a rule that there is not
    """
    ruled(RULES, design, tools or assumed_tools())  # a wrong name is told before any work is done
    seen = examined(design, tools)
    findings, taken = judged(seen)
    return Report(
        design=design.name,
        parameters=dict(parameters),
        parts={
            part.name: PartReport(
                weight=seen.parts[part.name],
                material="bought" if isinstance(part, BoughtPart) else part.material,
                stock=_stock(part),
                witnesses=witnessed(part, solid=solids),
            )
            for part in design.parts
        },
        states={
            name: StateReport(weight=seen.states[name], meetings=seen.meetings[name])
            for name in design.states
        },
        findings=findings,
        accepted=taken,
    )


def _stock(part: object) -> str | None:
    if isinstance(part, TurnedPart):
        return part.stock.size
    if isinstance(part, StripPart):
        return (
            f"{part.thickness:g} mm strip"
            if isinstance(part.thickness, float | int)
            else f"{part.thickness} strip"
        )
    return None


def as_json(found: Report) -> dict[str, Any]:
    """Lay a report out as the one object that ``--json`` prints, numbers not rounded."""
    return {
        "design": found.design,
        "parameters": dict(found.parameters),
        "parts": {
            name: {
                "volume_mm3": part.weight.volume,
                "mass_g": part.weight.mass,
                "balance_mm": part.weight.balance,
                "length_mm": part.weight.length,
                "material": part.material,
                "stock": part.stock,
                "witnesses": {
                    "exact_mm3": part.witnesses.exact,
                    "mesh_mm3": part.witnesses.mesh,
                    "solid_mm3": part.witnesses.solid,
                    "bound": part.witnesses.bound,
                },
            }
            for name, part in found.parts.items()
        },
        "states": {
            name: {
                "mass_g": state.weight.mass,
                "balance_mm": state.weight.balance,
                "length_mm": state.weight.length,
                "interference": [
                    {"parts": list(m.parts), "volume_mm3": m.overlap}
                    for m in state.meetings
                    if m.overlap > CONTACT_MM3
                ],
                "clearance": [
                    {"parts": list(m.parts), "least_mm": m.least}
                    for m in state.meetings
                    if m.least is not None
                ],
            }
            for name, state in found.states.items()
        },
        "findings": [
            {
                "rule": f.rule,
                "severity": str(f.severity),
                "parts": list(f.parts),
                "state": f.state,
                "value": f.value,
                "limit": f.limit,
                "unit": f.unit,
                "message": f.message,
                "mend": f.mend,
                "source": str(f.source),
                "feature": f.feature,
                "station_mm": f.station,
            }
            for f in found.findings
        ],
    }
