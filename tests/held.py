"""Hold a small design to one rule of the table."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnmodel import Design, Part, cylinder
from turnmodel.analysis.report import examined
from turnmodel.analysis.rules import RULES
from turnmodel.analysis.ruling import ruled
from turnmodel.catalog.tools import assumed_tools

if TYPE_CHECKING:
    from turnmodel.analysis.finding import Finding
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.part import Part as AnyPart
    from turnmodel.design.part import TurnedPart

__all__ = ["found", "plain"]


def found(rule: str, *parts: AnyPart, tools: Toolbox | None = None, **design: Any) -> list[Finding]:
    """List what a rule finds in a design of these parts."""
    made = Design("object", parts=parts, **design)
    seen = examined(made, tools)
    (held,) = (each for each in ruled(RULES, made, tools or assumed_tools()) if each.name == rule)
    return list(held.check(seen, held))


def plain(
    *outside: Any, stock: str = "20 mm", length: float = 30.0, name: str = "post", **features: Any
) -> TurnedPart:
    """Describe a brass part, a plain cylinder of 18 mm where nothing is said of its outside."""
    return Part.turned(
        name, material="CW614N", stock=stock, outside=outside or (cylinder(18, length),), **features
    )
