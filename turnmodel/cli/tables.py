"""Tables for people: at most 100 columns wide, numbers rounded as a workshop reads them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from turnmodel.analysis.finding import Severity
from turnmodel.geometry.tolerance import CONTACT_MM, CONTACT_MM3

if TYPE_CHECKING:
    from collections.abc import Iterable

    from turnmodel.analysis.finding import Finding
    from turnmodel.analysis.interference import Meeting
    from turnmodel.analysis.report import Report
    from turnmodel.analysis.weight import StateWeight

__all__ = ["console", "counted_from", "findings_table", "parts_table", "states_table", "table"]

WIDTH = 100
_ROUNDED_MM = 0.005
"""Lengths in tables are told to the hundredth: a smaller one is none, [mm]."""
_INK = {Severity.FAULT: "bold red", Severity.CAUTION: "yellow", Severity.NOTE: "dim"}


def console() -> Console:
    """Open the terminal, no wider than people's tables are; what is printed is read as it is written."""
    found = Console(highlight=False, markup=False, emoji=False)
    found.width = min(found.width, WIDTH) if found.is_terminal else WIDTH
    return found


def table(title: str, columns: Iterable[tuple[str, str]]) -> Table:
    """Begin a table; a column is its heading and 'left' or 'right'."""
    made = Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=box.SIMPLE_HEAD,
        pad_edge=False,
        caption_justify="left",
    )
    for heading, justify in columns:
        made.add_column(heading, justify="right" if justify == "right" else "left", overflow="fold")
    return made


def parts_table(found: Report) -> Table:
    """Lay out the parts."""
    made = table(
        f"{found.design}: parts",
        [
            ("part", "left"),
            ("material", "left"),
            ("stock", "left"),
            ("length mm", "right"),
            ("volume mm3", "right"),
            ("mass g", "right"),
            ("balance mm", "right"),
        ],
    )
    for name, part in found.parts.items():
        weight = part.weight
        made.add_row(
            name,
            part.material,
            part.stock or "",
            f"{weight.length:.2f}",
            f"{weight.volume:.1f}",
            f"{weight.mass:.2f}",
            f"{weight.balance:.2f}",
        )
    return made


def states_table(found: Report) -> Table:
    """Lay out the states."""
    made = table(
        "states",
        [
            ("state", "left"),
            ("mass g", "right"),
            ("balance mm", "right"),
            ("length mm", "right"),
            ("interference", "left"),
            ("least clearance mm", "left"),
        ],
    )
    for name, state in found.states.items():
        made.add_row(
            name,
            f"{state.weight.mass:.2f}",
            f"{state.weight.balance:.2f}",
            f"{state.weight.length:.2f}",
            _overlaps(state.meetings),
            _nearest(state.meetings),
        )
    weights = [state.weight for state in found.states.values()]
    made.caption = counted_from(next(iter(found.parts), ""), weights)
    return made


def counted_from(part: str, weights: Iterable[StateWeight]) -> str | None:
    """Tell from where balance points count, where that is not the front end of the whole."""
    if all(abs(weight.front) < _ROUNDED_MM for weight in weights):
        return None
    return f"balance mm counts from the front face of {part}"


def _overlaps(meetings: Iterable[Meeting]) -> str:
    found = [m for m in meetings if m.overlap > CONTACT_MM3]
    return "; ".join(f"{' and '.join(m.parts)} {m.overlap:.3g} mm3" for m in found) or "none"


def _nearest(meetings: Iterable[Meeting]) -> str:
    """The nearest two parts that do not touch."""
    apart = [(m.least, m.parts) for m in meetings if m.least is not None and m.least > CONTACT_MM]
    if not apart:
        return "all touch"
    least, parts = min(apart)
    return f"{least:.3f} {' to '.join(parts)}"


def findings_table(findings: Iterable[Finding]) -> Table:
    """Lay out findings, worst first."""
    made = table("findings", [("", "left"), ("state", "left"), ("what", "left"), ("mend", "left")])
    for finding in findings:
        severity = Text(finding.severity, style=_INK[finding.severity])
        made.add_row(severity, finding.state or "", finding.message, finding.mend or "")
    return made
