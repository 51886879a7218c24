"""Fits in numbers: the limits of holes and shafts that are pressed together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.fits import fit_limits
from turnmodel.design.joint import Press
from turnmodel.design.ledger import mm
from turnmodel.design.part import built
from turnmodel.design.turned import Turned
from turnmodel.output.papers.callouts import drawn_sizes
from turnmodel.output.papers.figures import Unit
from turnmodel.units import inch

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.design.design import Design
    from turnmodel.design.part import Part

__all__ = ["Fitted", "fitted"]

_HOLE: Final = "H7"
"""Class of a hole that a part is pressed into: what a reamer leaves, ISO 286-1; house choice."""
_LEAST: Final = 0.5
"""Share of the allowance [-] that a shaft may keep at least over the hole as it was made; house choice."""
_SAME: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """A diameter [mm] of a part that fits another, inside or outside, and what is written after it."""

    diameter: float
    inside: bool
    words: str


def fitted(design: Design, part: Part, unit: Unit) -> tuple[Fitted, ...]:
    """List the diameters of a part that are pressed into or over another.

    Parameters
    ----------
    design : Design
        The design
    part : Part
        One of its parts
    unit : Unit
        What lengths are written in

    Returns
    -------
    tuple of Fitted
        The hole with its limits of ISO 286-1; the shaft with how much larger it is turned than the hole as it
        was made, which a small lathe can hold where two independent tolerances would not
    """
    found: list[Fitted] = []
    for joint in design.every_joint:
        names = (joint.moving.part, joint.fixed.part)
        if not isinstance(joint, Press) or part.name not in names or mm(joint.allowance) <= 0:
            continue
        other = design.part(names[1] if names[0] == part.name else names[0])
        allowance = mm(joint.allowance)
        for inside in (True, False):
            for own in _diameters(part, inside=inside):
                for mate in _diameters(other, inside=not inside):
                    shaft, hole = (mate, own) if inside else (own, mate)
                    if abs(shaft - hole - allowance) < _SAME:
                        words = _hole_words(hole, unit) if inside else _shaft_words(allowance, unit)
                        found.append(Fitted(diameter=own, inside=inside, words=words))
    return tuple(dict.fromkeys(found))


def _diameters(part: Part, *, inside: bool) -> Iterator[float]:
    made = built(part)
    if isinstance(made, Turned):
        for called in drawn_sizes(made).labels:
            (z0, _), (z1, _) = called.callout.over
            if called.callout.kind == "diameter" and called.inside is inside and z0 != z1:
                yield called.callout.value


def _hole_words(hole: float, unit: Unit) -> str:
    limits = fit_limits(_HOLE, hole)
    return f" {_HOLE} {_signed(limits.upper, unit)}/{_signed(limits.lower, unit)}"


def _shaft_words(allowance: float, unit: Unit) -> str:
    low, high = _signed(_LEAST * allowance, unit), _signed(allowance, unit)
    return f", hole {high}/{low}"


def _signed(deviation: float, unit: Unit) -> str:
    """Write a deviation with its sign, to the micrometre or the ten-thousandth of an inch."""
    if abs(deviation) < _SAME:
        return "0"
    if unit is Unit.MM:
        return f"{deviation:+.3f}"
    return f"{deviation / inch:+.4f}".replace("0.", ".")
