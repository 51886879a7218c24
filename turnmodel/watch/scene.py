"""What the page shows of a design: the object, what moves it, what it weighs, what the rules found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnmodel.analysis.weight import part_weight, state_weight
from turnmodel.design.part import BoughtPart
from turnmodel.gathering import looks
from turnmodel.output.page.html import stage
from turnmodel.output.page.model import model
from turnmodel.output.page.sections import findings, summary, table

if TYPE_CHECKING:
    from collections.abc import Mapping

    from turnmodel.design.design import Design

__all__ = ["findings_shown", "model_shown", "stage_shown", "weights_shown"]


def model_shown(design: Design) -> bytes:
    """Give a design as binary glTF, a scene for each state."""
    return model(design, looks(design))


def stage_shown(design: Design) -> str:
    """Lay out the stage of a design; it is the same as long as its states and parts are called the same."""
    return stage(design.name, list(design.states), [part.name for part in design.parts])


def weights_shown(design: Design) -> tuple[str, str]:
    """Tell masses, balance points and lengths of the states, and of the parts."""
    states = []
    for name in design.states:
        whole = state_weight(design, name)
        balance = whole.balance - whole.front
        states.append(
            (
                name,
                *(f"{x:.2f}" for x in (whole.mass, balance, whole.length)),
                f"{whole.share:.0f}\N{NO-BREAK SPACE}%",
            )
        )
    parts = []
    for part in design.parts:
        weight = part_weight(part)
        mass = f"{'~' if weight.estimated else ''}{weight.mass:.2f}"
        material = "bought" if isinstance(part, BoughtPart) else part.material
        parts.append((part.name, material, mass, f"{weight.balance:.2f}", f"{weight.length:.2f}"))
    heads = ("mass, g", "balance, mm", "length, mm")
    return (
        table("States", ("state", *heads, "share"), states, numbers=" nnnn"),
        table("Parts", ("part", "material", *heads), parts, numbers="  nnn"),
    )


def findings_shown(report: Mapping[str, Any]) -> tuple[str, str]:
    """Sum a report up in a line, and list what the rules found."""
    return summary(report), findings(report).html
