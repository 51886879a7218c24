"""The tools somebody owns, as lines to read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from turnmodel.catalog.facts import Fact
from turnmodel.units import in_mm

if TYPE_CHECKING:
    from collections.abc import Iterable

    from turnmodel.catalog.printer import Printer
    from turnmodel.catalog.toolbox import Lathe, OwnedBar, OwnedDie, OwnedSlug, OwnedTap, Toolbox

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
        ("printer", _printer(tools.printer)),
        ("slugs", "; ".join(map(_slug, tools.slugs))),
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


def _printer(printer: Printer) -> str:
    """Write the printer."""
    return (
        f"{printer.process}, {printer.material}, lines of {in_mm(printer.line)}, "
        f"layers of {in_mm(printer.layer)}; allowed: holes {printer.hole:g}, lying holes "
        f"{printer.cross_hole:g}, shafts {printer.shaft:g}, sliding {printer.slide:g}, threads "
        f"{printer.thread:g}, depths {printer.depth:g}, first layers {printer.foot:g} mm"
    )


def _slug(slug: OwnedSlug) -> str:
    """Write an end of rod or a washer."""
    hole = f", hole {in_mm(slug.hole_d)}" if slug.hole_d else ""
    return f"{slug.count} of {slug.material} {in_mm(slug.diameter)} by {in_mm(slug.length)}{hole}"
