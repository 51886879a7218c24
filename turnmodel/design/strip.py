"""A strip part: a flat outline of even thickness, bent along its length."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from turnmodel.design.ledger import Ledger, Measure, angle, check_fields, mm, positive
from turnmodel.design.script import script_place
from turnmodel.errors import BadValue, Fault, TurnmodelError, Where
from turnmodel.geometry.corner import filleted
from turnmodel.geometry.curve import Curve, Line, Point, reversed_curve
from turnmodel.geometry.region import Region
from turnmodel.geometry.strip import Bent, Strip, width_at
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

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
    thickness = _measure(script.thickness, "thickness", ledger, script.where)
    corner = _measure(script.corner, "corner", ledger, script.where, zero=True)
    widths = [_pair(pair, f"width {k}", ledger, script.where) for k, pair in enumerate(script.widths, 1)]
    holes = {name: _pair(pair, f'hole "{name}"', ledger, script.where) for name, pair in script.holes.items()}
    for k, stretch in enumerate(script.side, 1):
        if isinstance(stretch, Straight | Bend):
            check_fields(stretch, ledger, f"{stretch.word} (side {k})")
        else:
            ledger.fault(f"side {k}", repr(stretch), "must be straight(...) or bend(...)", None, script.where)
    if ledger.faults:
        return None, tuple(ledger.faults)
    half = _half(widths, corner, ledger, script.where)
    if half is None:
        return None, tuple(ledger.faults)
    length = widths[-1][0]
    side = _side(script.side, thickness, length, ledger, script.where)
    strip = Strip(thickness=thickness, half=half, holes=tuple(holes.values()), side=side)
    _hold_holes(strip, holes, length, ledger, script.where)
    _hold_bends(strip, ledger, script.where)
    return (None, tuple(ledger.faults)) if ledger.faults else (strip, ())


def _measure(value: object, word: str, ledger: Ledger, where: Where | None, *, zero: bool = False) -> float:
    try:
        amount = mm(value)  # type: ignore[arg-type]
    except (TurnmodelError, TypeError, ValueError) as error:
        ledger.fault(None, f"{word} {value!r}", str(error), None, where)
        return math.nan
    if not math.isfinite(amount) or amount < 0 or (amount == 0 and not zero):
        ledger.fault(None, f"{word} {amount:g} mm", "must be more than 0 mm", None, where)
    return amount


def _pair(pair: object, word: str, ledger: Ledger, where: Where | None) -> tuple[float, float]:
    if not isinstance(pair, tuple | list) or len(pair) != 2:
        ledger.fault(None, f"{word} {pair!r}", "must be (distance along, size across)", None, where)
        return math.nan, math.nan
    return (
        _measure(pair[0], f"{word}, distance along", ledger, where, zero=True),
        _measure(pair[1], f"{word}, size", ledger, where),
    )


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


def _side(
    stretches: Sequence[Straight | Bend], thickness: float, length: float, ledger: Ledger, where: Where | None
) -> tuple[Bent, ...]:
    side = []
    for stretch in stretches:
        if isinstance(stretch, Straight):
            side.append(Bent(length=mm(stretch.length)))
        elif stretch.turn != 0:
            middle = mm(stretch.radius) + thickness / 2
            side.append(Bent(length=abs(math.radians(stretch.turn)) * middle, turn=stretch.turn))
    used = sum(piece.length for piece in side)
    if used > length + SAME_MM:
        ledger.fault(
            None, f"side view {used:.4g} mm", f"is longer than the flat outline, {length:g} mm",
            f"lengthen the outline to {used:.2f} mm", where,
        )  # fmt: skip
    elif used < length - SAME_MM:
        side.append(Bent(length=length - used))
    return tuple(side)


def _hold_holes(
    strip: Strip, holes: Mapping[str, tuple[float, float]], length: float, ledger: Ledger, where: Where | None
) -> None:
    for name, (along, d) in holes.items():
        inside = d / 2 < along < length - d / 2
        if not inside or d >= width_at(strip, along):
            ledger.fault(
                f'hole "{name}"', f"diameter {d:g} mm at {along:g} mm", "does not lie inside the outline",
                "move it along or make it smaller", where,
            )  # fmt: skip


def _hold_bends(strip: Strip, ledger: Ledger, where: Where | None) -> None:
    at = 0.0
    for piece in strip.side:
        for along, d in strip.holes:
            if piece.turn and at < along + d / 2 and along - d / 2 < at + piece.length:
                ledger.fault(
                    None, f"bend of {piece.turn:g} degrees", f"runs through the hole at {along:g} mm",
                    "move the hole or the bend", where,
                )  # fmt: skip
        at += piece.length


bend = Bend
straight = Straight
