"""How far mass may be from its figure: sizes at their limits, and bought parts that nobody has weighed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from turnmodel.analysis.weight import part_weight
from turnmodel.catalog import fits, refills
from turnmodel.design.dimensions import changed, dimensions
from turnmodel.design.part import BoughtPart, TurnedPart
from turnmodel.errors import BadValue, DesignFaults

if TYPE_CHECKING:
    from turnmodel.design.design import Design
    from turnmodel.design.part import Part

__all__ = ["GRADE", "MassRange", "part_range", "state_range"]

GRADE: Final = "m"
"""House choice: sizes without a tolerance of their own are held to ISO 2768-1, medium, as on the drawings."""


class MassRange(NamedTuple):
    """The least and the greatest mass, [g]."""

    low: float
    high: float


def part_range(part: Part) -> MassRange:
    """Tell between which masses a part lies when every size may be at either of its limits.

    Parameters
    ----------
    part : Part
        The part

    Returns
    -------
    MassRange
        Least and greatest mass, [g]

    Notes
    -----
    The worst case: the change by each size alone, computed on the part itself, all added up. Sizes under
    0.5 mm and threads carry tolerances too small to matter here; strip is bought to its thickness. A bought
    part that was not weighed has the range of its kind; what was measured on a cut part is off by no more
    than its instrument.
    """
    mass = part_weight(part).mass
    known = {(m.feature, m.name): m.uncertainty for m in part.measured}
    if (None, "mass") in known:
        return MassRange(mass - known[None, "mass"], mass + known[None, "mass"])
    if isinstance(part, BoughtPart):
        if part.mass is not None or part.refill is None:
            return MassRange(mass, mass)
        kind = refills.refill(part.refill)
        return MassRange(kind.mass_low, kind.mass_high)
    if not isinstance(part, TurnedPart):
        return MassRange(mass, mass)
    low = high = mass
    for dimension in dimensions(part):
        try:
            usual = fits.general_tolerance(dimension.value, GRADE)
        except BadValue:
            continue
        tolerance = known.get((dimension.feature, dimension.name), usual)
        found = [mass]
        for value in (dimension.value - tolerance, dimension.value + tolerance):
            try:
                found.append(part_weight(changed(part, {dimension: value})).mass)
            except DesignFaults:
                continue  # as a size that its bar already has
        low += min(found) - mass
        high += max(found) - mass
    return MassRange(low, high)


def state_range(design: Design, state: str, parts: dict[str, MassRange]) -> MassRange:
    """Add up the ranges of the parts that are present in a state."""
    present = [parts[name] for name in design.poses[state].parts]
    return MassRange(sum(r.low for r in present), sum(r.high for r in present))
