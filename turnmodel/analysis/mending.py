"""The smallest change to a part not yet cut that mends a finding, by differences on the real model."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Severity
from turnmodel.analysis.report import examined, judged
from turnmodel.analysis.rules import RULES
from turnmodel.analysis.ruling import ruled
from turnmodel.catalog.toolbox import drills_about
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.dimensions import changed, dimensions
from turnmodel.design.part import TurnedPart
from turnmodel.design.remade import remade
from turnmodel.errors import TurnmodelError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from turnmodel.analysis.finding import Finding
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.design.dimensions import Dimension

__all__ = ["STEP", "Mend", "caused", "mended", "signature"]

STEP: Final = 0.01
"""Step of a proposed size [mm]; house choice: what the dials of a small lathe read."""

_MOST: Final = 2.0
"""Most a size is moved by [mm]; house choice: past that the part is another part."""

_SHARE: Final = 0.5
"""Most a size is moved by, as a share of itself [-]."""

_TRIED: Final = 8
"""Dimensions, those that take the least change first, whose change is held to every rule."""

Signature = tuple[str, tuple[str, ...], str | None, str | None]
"""What makes two findings one: rule, parts, state, feature."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """A change to one dimension of a part not cut yet: its new value [mm], and the name of a drill."""

    dimension: Dimension
    value: float
    drill: str | None = None

    @property
    def change(self) -> float:
        """By how much the dimension changes, [mm]."""
        return self.value - self.dimension.value

    def __str__(self) -> str:
        name = f" (drill {self.drill})" if self.drill else ""
        size = f"{self.value:.2f} mm{name}"
        return f"{self.dimension}: {size}, drawn {self.dimension.value:.3f} ({self.change:+.2f})"


def signature(finding: Finding) -> Signature:
    """Tell what makes a finding the same in two designs."""
    return finding.rule, finding.parts, finding.state, finding.feature


def _serious(findings: Iterable[Finding]) -> dict[Signature, Finding]:
    """Pick the findings that are to be mended: faults and cautions."""
    return {signature(f): f for f in findings if f.severity is not Severity.NOTE}


def caused(findings: Iterable[Finding], drawn: Iterable[Finding]) -> dict[Signature, Finding]:
    """Pick the faults and cautions that were not found on the drawing, or not as bad."""
    known = _serious(drawn)
    order = list(Severity)

    def worse(key: Signature, finding: Finding) -> bool:
        return key not in known or order.index(finding.severity) < order.index(known[key].severity)

    return {key: finding for key, finding in _serious(findings).items() if worse(key, finding)}


def mended(
    design: Design, finding: Finding, drawn: Iterable[Finding], tools: Toolbox | None = None
) -> tuple[Mend, Design] | None:
    """Find the smallest change to one dimension of a part not yet cut that mends a finding.

    Parameters
    ----------
    design : Design
        With the parts as they were cut
    finding : Finding
        What is to be mended
    drawn : iterable of Finding
        What was found before anything was cut: nothing worse may come of the change
    tools : Toolbox, optional
        The tools that the rules hold it to

    Returns
    -------
    tuple of Mend and Design, or None
        The change and the design with it; None where no single dimension mends it

    Notes
    -----
    For each dimension the finding's own figure is computed on the model with the dimension a step larger and
    a step smaller; where it moves, the change that brings it to its limit follows, is rounded up to the step,
    and is held to every rule.
    """
    drawn = tuple(drawn)
    bench = _Bench(design, finding, drawn, tools)
    now = set(caused(judged(examined(design, tools))[0], drawn))
    found = [mend for dimension in _movable(design, finding) if (mend := bench.least(dimension))]
    found.sort(key=lambda mend: (abs(mend.change), mend.dimension.part not in finding.parts))
    second: tuple[Mend, Design] | None = None
    for mend in found[:_TRIED]:
        other = bench.moved(mend.dimension, mend.value)
        if other is None:
            continue
        left = caused(judged(examined(other, tools))[0], drawn)
        fresh = [left[key].severity for key in left if key not in now]
        if signature(finding) in left or Severity.FAULT in fresh:
            continue
        if not fresh:
            return mend, other
        second = second or (mend, other)
    return second


def _movable(design: Design, finding: Finding) -> Iterator[Dimension]:
    """List the dimensions of the parts that are not cut, those the finding speaks of first."""
    free = [part for part in design.parts if isinstance(part, TurnedPart) and not part.measured]
    for part in sorted(free, key=lambda part: part.name not in finding.parts):
        yield from dimensions(part)


class _Bench:
    """A design on which one dimension after another is moved, and one rule looked at."""

    def __init__(
        self, design: Design, finding: Finding, drawn: tuple[Finding, ...], tools: Toolbox | None
    ) -> None:
        self.design, self.finding, self.drawn = design, finding, drawn
        self.tools = tools or assumed_tools()
        rules = ruled(RULES, design, self.tools)
        self.rule = next(rule for rule in rules if rule.name == finding.rule)

    def moved(self, dimension: Dimension, value: float) -> Design | None:
        """The design with a dimension at a value; None where it cannot be built."""
        part = self.design.part(dimension.part)
        assert isinstance(part, TurnedPart)
        try:
            return remade(self.design, {part.name: changed(part, {dimension: value})})
        except TurnmodelError:
            return None

    def figure(self, dimension: Dimension, change: float) -> float | None:
        """The finding's figure with a dimension moved; infinite where none is built, None where mended."""
        other = self.moved(dimension, dimension.value + change)
        if other is None:
            return math.inf
        try:
            found = list(self.rule.check(examined(other, self.tools), self.rule))
        except TurnmodelError:
            return math.inf
        same = caused(found, self.drawn).get(signature(self.finding))
        if same is None:
            return None
        return same.value if same.value is not None else math.nan

    def least(self, dimension: Dimension) -> Mend | None:
        """The smallest change of a dimension, in steps, that mends the finding; None where none does."""
        now = self.finding.value
        up, down = self.figure(dimension, STEP), self.figure(dimension, -STEP)
        for figure, sign in ((up, 1), (down, -1)):
            if figure is None:
                return self._mend(dimension, sign)
        assert up is not None
        assert down is not None
        if now is None or not all(map(math.isfinite, (up, down))) or up == down:
            return None
        slope = (up - down) / (2 * STEP)
        limit = self.finding.limit if self.finding.limit is not None else 0.0
        sign = 1 if (limit - now) * slope > 0 else -1
        most = int(min(_MOST, _SHARE * dimension.value) / STEP)
        guess = max(1, math.ceil(abs((limit - now) / slope) / STEP))
        return self._bracketed(dimension, sign, min(guess, most), most)

    def _bracketed(self, dimension: Dimension, sign: int, guess: int, most: int) -> Mend | None:
        """Widen a change until it mends the finding, then narrow it to the step at which it first does."""
        low, high = 1, guess
        while self.figure(dimension, sign * high * STEP) is not None:
            if high >= most:
                return None
            low, high = high, min(most, max(high + 1, 2 * high - low, math.ceil(1.3 * high)))
        while high - low > 1:
            middle = max(low + 1, high - 1 if high - low > 8 and low == 1 else (low + high) // 2)
            if self.figure(dimension, sign * middle * STEP) is None:
                high = middle
            else:
                low = middle
        return self._mend(dimension, sign * high)

    def _mend(self, dimension: Dimension, steps: int) -> Mend | None:
        """Tell a change in steps; that of a drill goes on to the next one that is owned."""
        value = round(dimension.value + steps * STEP, 6)
        if dimension.field == "size":
            below, above = drills_about(self.tools, value)
            drill = below if steps < 0 else above
            if drill is None or self.figure(dimension, drill.diameter - dimension.value) is not None:
                return None
            return Mend(dimension=dimension, value=drill.diameter, drill=drill.name)
        return Mend(dimension=dimension, value=value)
