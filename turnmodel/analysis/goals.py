"""Targets for figures, and the bounds between which parameters may be moved to meet them."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.figures import COUNTS, held_names
from turnmodel.errors import OptionError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.analysis.variants import Axis
    from turnmodel.design.design import Design

__all__ = ["CLOSE", "Target", "bounds", "targets"]

CLOSE: Final = 1e-6
"""How near a figure comes to its target, in its own unit: a nanometre, a microgram."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What a figure is to be: equal to a value, below it or above it, in the figure's own unit [-]."""

    name: str
    relation: str
    value: float

    @property
    def counts(self) -> bool:
        """Whether it is a count of findings."""
        return self.name in COUNTS

    def miss(self, figure: float | None) -> float:
        """By how much a figure misses it, zero where it is met, [-]."""
        if figure is None or not math.isfinite(figure):
            return math.inf
        over = figure - self.value
        if self.relation == "=":
            return over
        return max(over, 0.0) if self.relation == "<" else min(over, 0.0)

    def met(self, figure: float | None) -> bool:
        """Whether a figure [-] meets it."""
        return abs(self.miss(figure)) <= (0.0 if self.counts else CLOSE)

    def __str__(self) -> str:
        return f"{self.name} {self.relation} {self.value:g}"


def targets(given: Sequence[str], design: Design) -> tuple[Target, ...]:
    """Read FIGURE=N, FIGURE<N and FIGURE>N.

    Raises
    ------
    OptionError
        At the first that is wrong
    """
    found = []
    for text in given:
        parts = re.fullmatch(r"\s*([^=<>]+?)\s*(=|<=?|>=?)\s*([^=<>\s]+)\s*", text)
        try:
            value = float(parts[3]) if parts else math.nan
        except ValueError:
            value = math.nan
        if parts is None or not math.isfinite(value):
            raise OptionError(
                f"--target {text}: must be FIGURE=N, FIGURE<N or FIGURE>N, such as states.open.balance_mm=52"
            )
        (name,) = held_names([parts[1]], design, "--target")
        found.append(Target(name=name, relation=parts[2][0], value=value))
    return tuple(found)


def bounds(spread: Sequence[Axis]) -> dict[str, tuple[float, float]]:
    """Read the bounds of parameters that may be moved.

    Raises
    ------
    OptionError
        If there are none, or one of them is no range of numbers
    """
    if not spread:
        raise OptionError("--target: say what may be moved and between which bounds, as --over cap_d=9:12")
    found = {}
    for axis in spread:
        if axis.low is None or axis.high is None:
            raise OptionError(f"--over {axis.name}: a target needs bounds, as --over {axis.name}=FROM:TO")
        if axis.whole:
            raise OptionError(f"--over {axis.name}: is a whole number; vary it without --target and look")
        found[axis.name] = (axis.low, axis.high)
    return found
