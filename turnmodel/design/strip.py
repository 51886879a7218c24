"""A strip part: a flat outline of even thickness, bent along its length."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar, NamedTuple

from turnmodel.design.ledger import (
    NOT_NEGATIVE,
    POSITIVE,
    Ledger,
    Measure,
    angle,
    check_fields,
    hold,
    mm,
    positive,
    short,
)
from turnmodel.design.script import script_place
from turnmodel.errors import BadValue, Fault, Where
from turnmodel.geometry.corner import filleted
from turnmodel.geometry.curve import Curve, Line, Point, reversed_curve
from turnmodel.geometry.region import Region
from turnmodel.geometry.strip import Bent, Strip, width_at
from turnmodel.geometry.tolerance import SAME_MM

__all__ = ["Bend", "Straight", "StripScript", "bend", "straight", "stripped"]


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight stretch of a strip's side view.

    Parameters
    ----------
    length : float or str
        Length, [mm]
    """

    word: ClassVar[str] = "straight"

    length: Measure = positive()
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Bend:
    """A bend of a strip's side view.

    Parameters
    ----------
    turn : float
        Angle it turns through, towards the upper side above zero, [degrees]
    radius : float or str
        Radius inside the bend, [mm]
    """

    word: ClassVar[str] = "bend"

    turn: float = angle(above=-180, below=180)
    radius: Measure = positive()
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)


class StripScript(NamedTuple):
    """The part as the script lists it."""

    name: str
    thickness: Measure
    widths: Sequence[tuple[Measure, Measure]]
    corner: Measure
    holes: Mapping[str, tuple[Measure, Measure]]
    side: Sequence[Straight | Bend]
    where: Where | None


def stripped(script: StripScript) -> tuple[Strip | None, tuple[Fault, ...]]:
    """Build a strip part; the faults where it cannot be built."""
    ledger = Ledger(part=script.name)
    held = _Held(ledger, script.where)
    thickness = held.length(script.thickness, "thickness")
    corner = held.length(script.corner, "corner", zero=True)
    widths = [held.pair(pair, f"width {k}") for k, pair in enumerate(held.listed(script.widths, "widths"), 1)]
    holes = {
        name: held.pair(pair, f'hole "{name}"') for name, pair in held.named(script.holes, "holes").items()
    }
    for k, stretch in enumerate(held.listed(script.side, "side"), 1):
        if isinstance(stretch, Straight | Bend):
            check_fields(stretch, ledger, f"{stretch.word} (side {k})")
        else:
            ledger.fault(
                f"side {k}", short(stretch), "must be straight(...) or bend(...)", None, script.where
            )
    if ledger.faults:
        return None, tuple(ledger.faults)
    half = _half(widths, corner, ledger, script.where)
    if half is None:
        return None, tuple(ledger.faults)
    length = widths[-1][0]
    bent = _side(script.side, thickness, length, ledger)
    side = tuple(piece for piece, _, _ in bent)
    strip = Strip(thickness=thickness, half=half, holes=tuple(holes.values()), side=side)
    _hold_holes(strip, holes, length, ledger, script.where)
    _hold_bends(bent, holes, ledger)
    return (None, tuple(ledger.faults)) if ledger.faults else (strip, ())


@dataclass(frozen=True, slots=True)
class _Held:
    """Reads the figures of a strip, each held to its rule."""

    ledger: Ledger
    where: Where | None

    def length(self, value: object, word: str, *, zero: bool = False) -> float:
        """Read a length [mm]; not a number where the ledger has a fault of it."""
        before = len(self.ledger.faults)
        hold(value, NOT_NEGATIVE if zero else POSITIVE, word, self.ledger, None, self.where)
        return mm(value) if len(self.ledger.faults) == before else math.nan  # type: ignore[arg-type]

    def pair(self, pair: object, word: str) -> tuple[float, float]:
        """Read (distance along, size across), [mm]."""
        if not isinstance(pair, tuple | list) or len(pair) != 2:
            rule, mend = "must be two lengths: distance along, size across", "write (3, 2.2)"
            self.ledger.fault(None, f"{word} {short(pair)}", rule, mend, self.where)
            return math.nan, math.nan
        along = self.length(pair[0], f"{word}, distance along", zero=True)
        return along, self.length(pair[1], f"{word}, size across")

    def listed(self, things: object, word: str) -> Sequence[Any]:
        """Read a list."""
        if isinstance(things, tuple | list):
            return things
        self.ledger.fault(None, f"{word} {short(things)}", "must be a list, in [ ]", None, self.where)
        return ()

    def named(self, things: object, word: str) -> Mapping[Any, Any]:
        """Read names and what they stand for."""
        if isinstance(things, Mapping) and all(isinstance(name, str) and name for name in things):
            return things
        rule, mend = "must be names and what they stand for", 'write {"screw": (3, 2.2)}'
        self.ledger.fault(None, f"{word} {short(things)}", rule, mend, self.where)
        return {}


def _half(
    widths: Sequence[tuple[float, float]], corner: float, ledger: Ledger, where: Where | None
) -> Region | None:
    """Trace the upper half of the flat outline."""
    rising = all(a[0] < b[0] for a, b in itertools.pairwise(widths))
    if len(widths) < 2 or widths[0][0] != 0 or not rising:
        ledger.fault(
            None, "widths", "must begin at 0 and go along the strip, two or more",
            "write [(0, width), (length, width)]", where,
        )  # fmt: skip
        return None
    points: list[Point] = [(0.0, 0.0), *((x, w / 2) for x, w in widths), (widths[-1][0], 0.0)]
    chain: list[Curve] = [Line(start=a, end=b) for a, b in itertools.pairwise(points)]
    if corner > 0:
        try:
            first = filleted(chain[0], chain[1], corner)
            last = filleted(first[2] if len(chain) == 3 and first[2] else chain[-2], chain[-1], corner)
        except BadValue as error:
            most = min(widths[0][1], widths[-1][1]) / 2
            ledger.fault(None, f"corner {corner:g} mm", error.rule, f"{most:g} mm is the most here", where)
            return None
        head = [c for c in first[:2] if c]
        tail = [c for c in last if c]
        middle = [c for c in (first[2], *chain[2:-2]) if c] if len(chain) > 3 else []
        chain = [*head, *middle, *tail]
    chain.append(Line(start=chain[-1].end, end=chain[0].start))
    return Region(loops=(tuple(reversed_curve(c) for c in reversed(chain)),))


_Stretch = tuple[Bent, str, "Where | None"]
"""A stretch of the side view, its title, its place in the script."""


def _side(
    stretches: Sequence[Straight | Bend], thickness: float, length: float, ledger: Ledger
) -> list[_Stretch]:
    """Lay the side view along the strip; what is left of the outline is straight."""
    side: list[_Stretch] = []
    for k, stretch in enumerate(stretches, 1):
        title = f"{stretch.word} (side {k})"
        if isinstance(stretch, Straight):
            side.append((Bent(length=mm(stretch.length)), title, stretch.where))
        elif stretch.turn != 0:
            middle = mm(stretch.radius) + thickness / 2
            piece = Bent(length=abs(math.radians(stretch.turn)) * middle, turn=stretch.turn)
            side.append((piece, title, stretch.where))
    used = sum(piece.length for piece, _, _ in side)
    if used > length + SAME_MM:
        ends = itertools.accumulate(piece.length for piece, _, _ in side)
        _, title, where = next(s for s, end in zip(side, ends, strict=True) if end > length + SAME_MM)
        ledger.fault(
            title, f"side view of {used:.4g} mm", f"is longer than the flat outline, {length:g} mm",
            f"lengthen the outline to {used:.2f} mm", where,
        )  # fmt: skip
    elif used < length - SAME_MM:
        side.append((Bent(length=length - used), "rest", None))
    return side


def _hold_holes(
    strip: Strip, holes: Mapping[str, tuple[float, float]], length: float, ledger: Ledger, where: Where | None
) -> None:
    for name, (along, d) in holes.items():
        inside = d / 2 < along < length - d / 2
        if not inside or d >= width_at(strip, along):
            ledger.fault(
                f'hole "{name}"', f"diameter {d:g} mm at {along:g} mm", "does not lie inside the outline",
                f"it runs from 0 to {length:g} mm; move the hole or make it smaller", where,
            )  # fmt: skip


def _hold_bends(side: Sequence[_Stretch], holes: Mapping[str, tuple[float, float]], ledger: Ledger) -> None:
    at = 0.0
    for piece, title, where in side:
        for name, (along, d) in holes.items():
            if piece.turn and at < along + d / 2 and along - d / 2 < at + piece.length:
                ledger.fault(
                    title, f"bend of {piece.turn:g} degrees from {at:.4g} to {at + piece.length:.4g} mm",
                    f'runs through the hole "{name}" at {along:g} mm', "move the hole or the bend", where,
                )  # fmt: skip
        at += piece.length


bend = Bend
straight = Straight
