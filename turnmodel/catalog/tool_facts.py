"""The tools somebody owns, as lines to read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from turnmodel.catalog.facts import Fact
from turnmodel.units import in_mm

if TYPE_CHECKING:
    from collections.abc import Iterable

    from turnmodel.catalog.toolbox import Lathe, OwnedBar, OwnedDie, OwnedTap, Toolbox

__all__ = ["tool_facts"]


def tool_facts(tools: Toolbox) -> Fact:
    """Tell what is owned, and what of it is assumed.

    Parameters
    ----------
    tools : Toolbox
        The tools

    Returns
    -------
    Fact
        A line for each kind of tool

    Examples
    --------
    >>> from turnmodel.catalog.tools import assumed_tools
    >>> dict(tool_facts(assumed_tools()).rows)["parting tool"]
    '2 mm wide'
    """
    rows = [
        ("assumed", ", ".join(tools.assumed) or "nothing"),
        ("bars", "; ".join(map(_bar, tools.bars)) or "any usual round"),
        ("drills", ", ".join(drill.name for drill in tools.drills)),
        ("reamers", ", ".join(map(in_mm, tools.reamers))),
        ("taps", ", ".join(_threads(tools.taps))),
        ("dies", ", ".join(_threads(tools.dies))),
        ("parting tool", f"{in_mm(tools.parting_width)} wide"),
        ("lathe", _lathe(tools.lathe)),
        ("printer", ", ".join(f"{key} {value}" for key, value in tools.printer.items())),
        ("limits of your own", ", ".join(f"{name} {value:g}" for name, value in tools.limits.items())),
    ]
    return Fact(
        name=f"tools: {tools.origin}", rows=tuple((key, text or "none") for key, text in rows), sources=()
    )


def _bar(bar: OwnedBar) -> str:
    """Write a bar."""
    long = f", {in_mm(bar.length)} long" if bar.length else ""
    return f"{bar.material or 'round'} {in_mm(bar.diameter)}{long}"


def _threads(owned: Iterable[OwnedTap] | Iterable[OwnedDie]) -> list[str]:
    """Write each thread once, with its leads where they are not the standard one alone."""
    leads: dict[str, list[str]] = {}
    for tool in owned:
        leads.setdefault(str(tool.thread), []).append(tool.lead)
    usual = {("standard",): "", ("taper", "plug", "bottoming"): "set"}
    return [f"{name} {usual.get(tuple(kinds), ' '.join(kinds))}".rstrip() for name, kinds in leads.items()]


def _lathe(lathe: Lathe) -> str:
    """Write the lathe."""
    speeds = " to " if lathe.speeds.stepless else ", "
    return (
        f"swing {in_mm(lathe.swing)}, spindle bore {in_mm(lathe.spindle_bore)}, "
        f"{in_mm(lathe.between_centres)} between centres, "
        f"{speeds.join(f'{step:g}' for step in lathe.speeds.steps)} turns a minute, "
        f"{in_mm(lathe.dial_division)} of {lathe.cross_dial_reads} a division"
    )
