"""The command that weighs a design."""

from __future__ import annotations

import json

from turnmodel.cli.options import AsJson, Script, Set, settings

__all__ = ["weigh"]


def weigh(script: Script, given: Set = None, as_json: AsJson = False) -> None:
    """Tell mass and balance by part and state."""
    from turnmodel.analysis.weight import part_weight, state_weight
    from turnmodel.design.loading import load

    design, _ = load(script, settings(given))
    parts = {part.name: part_weight(part) for part in design.parts}
    states = {name: state_weight(design, name) for name in design.states}
    if as_json:
        laid_out = {
            "design": design.name,
            "parts": {n: {"mass_g": w.mass, "balance_mm": w.balance} for n, w in parts.items()},
            "states": {
                n: {"mass_g": w.mass, "balance_mm": w.balance, "length_mm": w.length}
                for n, w in states.items()
            },
        }
        print(json.dumps(laid_out, indent=2))
        return
    from turnmodel.cli.tables import console, table

    out = console()
    made = table(f"{design.name}: parts", [("part", "left"), ("mass g", "right"), ("balance mm", "right")])
    for name, part in parts.items():
        made.add_row(name, f"{part.mass:.2f}", f"{part.balance:.2f}")
    out.print(made)
    columns = [
        ("state", "left"),
        ("mass g", "right"),
        ("balance mm", "right"),
        ("% of length", "right"),
        ("length mm", "right"),
    ]
    made = table("states", columns)
    for name, state in states.items():
        share = 100 * (state.balance - state.front) / state.length
        made.add_row(name, f"{state.mass:.2f}", f"{state.balance:.2f}", f"{share:.0f}", f"{state.length:.2f}")
    out.print(made)
