"""Everything that the scales would tell of a design, as one finished value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from turnmodel.analysis.mass_range import MassRange, part_range, state_range
from turnmodel.analysis.swarf import Blank, blank
from turnmodel.analysis.weight import PartWeight, StateWeight, part_weight, state_weight
from turnmodel.catalog.materials import material
from turnmodel.design.part import BoughtPart, TurnedPart
from turnmodel.errors import OptionError, nearest

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from turnmodel.design.design import Design

__all__ = ["PartWeighed", "StateWeighed", "Weighed", "as_json", "compared", "weighed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartWeighed:
    """What a part weighs, of what, between which masses [g], what it is cut from, and whether it is cut."""

    weight: PartWeight
    material: str
    range: MassRange
    blank: Blank | None
    cut: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StateWeighed:
    """What an object weighs in a state, between which masses [g], and each part's share of the mass [%]."""

    weight: StateWeight
    range: MassRange
    shares: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """What a design weighs, by part and by state."""

    design: str
    parts: Mapping[str, PartWeighed]
    states: Mapping[str, StateWeighed]


def weighed(design: Design, materials: Mapping[str, str] | None = None) -> Weighed:
    """Weigh a design, some of its parts in another material.

    Parameters
    ----------
    design : Design
        The design
    materials : mapping, optional
        Part's name to the material to take instead of its own

    Returns
    -------
    Weighed
        By part and by state

    Raises
    ------
    OptionError
        If there is no such part, or it is bought
    UnknownName
        If there is no such material
    """
    taken = dict(materials or {})
    _hold_parts(design, taken)
    parts = {}
    for part in design.parts:
        of = taken.get(part.name)
        weight, own = part_weight(part, of=of), part_weight(part)
        low, high = (mass * weight.mass / own.mass for mass in part_range(part))
        parts[part.name] = PartWeighed(
            weight=weight,
            material="bought" if isinstance(part, BoughtPart) else material(of or part.material).name,
            range=MassRange(low, high),
            blank=blank(part, of=of),
            cut=bool(part.measured),
        )
    ranges = {name: part.range for name, part in parts.items()}
    states = {}
    for name, pose in design.poses.items():
        state = state_weight(design, name, taken)
        states[name] = StateWeighed(
            weight=state,
            range=state_range(design, name, ranges),
            shares={part: 100 * parts[part].weight.mass / state.mass for part in pose.parts},
        )
    return Weighed(design=design.name, parts=parts, states=states)


def compared(
    design: Design, names: Sequence[str], kept: Mapping[str, str] | None = None
) -> dict[str, dict[str, StateWeight]]:
    """Weigh a design with its turned parts in one material after another.

    Parameters
    ----------
    design : Design
        The design
    names : sequence of str
        The materials
    kept : mapping, optional
        Parts whose material stays, with that material

    Returns
    -------
    dict
        Material's name to state's name to what it weighs; strip and bought parts stay as they are

    Raises
    ------
    OptionError
        If there is no such part to keep, or it is bought
    UnknownName
        If there is no such material
    """
    held = dict(kept or {})
    _hold_parts(design, held)
    turned = [part.name for part in design.parts if isinstance(part, TurnedPart)]
    found = {}
    for name in names:
        taken = {**dict.fromkeys(turned, name), **held}
        found[material(name).name] = {state: state_weight(design, state, taken) for state in design.states}
    return found


def _hold_parts(design: Design, materials: Mapping[str, str]) -> None:
    """Hold the names of parts that are given a material to those that can have one."""
    made = [part.name for part in design.parts if not isinstance(part, BoughtPart)]
    for name, given in materials.items():
        if name not in made:
            near = nearest(name, made)
            known = f"did you mean {near!r}?" if near else f"there is {', '.join(made)}"
            bought = any(part.name == name for part in design.parts)
            what = f"{name!r} is bought and stays as it is" if bought else f"no part named {name!r}"
            raise OptionError(f"--material {name}={given}: {what}; {known}")
        material(given)


def as_json(found: Weighed) -> dict[str, Any]:
    """Lay out what was weighed as the one object that ``--json`` prints, numbers not rounded."""
    return {
        "design": found.design,
        "parts": {
            name: {
                "mass_g": part.weight.mass,
                "mass_low_g": part.range.low,
                "mass_high_g": part.range.high,
                "estimated": part.weight.estimated,
                "as_cut": part.cut,
                "material": part.material,
                "balance_mm": part.weight.balance,
                "length_mm": part.weight.length,
                "inertia_g_mm2": [list(row) for row in part.weight.inertia],
                "blank_g": part.blank.mass if part.blank else None,
                "swarf_percent": part.blank.swarf if part.blank else None,
            }
            for name, part in found.parts.items()
        },
        "states": {
            name: {
                "mass_g": state.weight.mass,
                "mass_low_g": state.range.low,
                "mass_high_g": state.range.high,
                "balance_mm": state.weight.balance,
                "balance_percent": state.weight.share,
                "off_axis_mm": state.weight.off_axis,
                "length_mm": state.weight.length,
                "swing_g_mm2": state.weight.swing,
                "spin_g_mm2": state.weight.spin,
                "shares_percent": dict(state.shares),
            }
            for name, state in found.states.items()
        },
    }
