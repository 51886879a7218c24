"""A turned part: from what the script lists to the exact body, its cross cuts and its faces."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from turnmodel.design.bored import Bored, bored
from turnmodel.design.features.across import Across, Flat, Round
from turnmodel.design.hollowed import hollowed
from turnmodel.design.ledger import Default, Ledger, mm
from turnmodel.design.listed import sound_across, sound_holes, sound_marks, sound_outside, titles
from turnmodel.design.outline import Outline, Place, most_radius, outline
from turnmodel.errors import BadValue, Fault
from turnmodel.geometry.body import Body
from turnmodel.geometry.boolean import intersection
from turnmodel.geometry.region import Region, bounds, ring
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.features.inside import Inside
    from turnmodel.design.features.outside import Outside, Shoulder
    from turnmodel.geometry.across import Tool

__all__ = ["Bored", "CrossCut", "Turned", "TurnedScript", "turned"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossCut:
    """Where an across feature came to lie: its stations, what it removes, the surface it starts from [mm]."""

    title: str
    feature: Across
    start: float
    end: float
    tools: tuple[Tool, ...]
    surface_r: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """A turned part, built: the exact body, what is cut across it, where its features lie; length in [mm]."""

    body: Body
    outside: tuple[Place, ...]
    inside: tuple[Bored, ...]
    across: tuple[CrossCut, ...]
    length: float
    defaults: tuple[Default, ...]

    @property
    def tools(self) -> tuple[Tool, ...]:
        """Everything that is cut across it."""
        return tuple(tool for cut in self.across for tool in cut.tools)


class TurnedScript(NamedTuple):
    """The part as the script lists it, with the diameter of its bar [mm]."""

    name: str
    outside: tuple[Outside | Shoulder, ...]
    from_front: tuple[Inside, ...]
    from_back: tuple[Inside, ...]
    across: tuple[Across, ...]
    stock_d: float | None


def turned(script: TurnedScript) -> tuple[Turned | None, tuple[Fault, ...]]:
    """Build a turned part; the faults where it cannot be built."""
    ledger = Ledger(part=script.name)
    outside = sound_outside(script.outside, ledger)
    front = sound_holes(script.from_front, "from front", ledger)
    back = sound_holes(script.from_back, "from back", ledger)
    across = sound_across(script.across, ledger)
    if outside and front and back and across:
        sound_marks((*script.outside, *script.from_front, *script.from_back, *script.across), ledger)
    outer = outline(script.outside, ledger) if outside else None
    if outer is None:
        return None, tuple(ledger.faults)
    _hold_to_bar(outer, script.stock_d, ledger)
    holes = bored(outer.length, script.from_front, script.from_back, ledger) if front and back else []
    plain = hollowed(outer, holes, ledger)
    crossed = _crossed(outer, script.across, ledger) if across else []
    for cut in crossed:
        _hold_flats(cut, plain, ledger)
    if ledger.faults:
        return None, tuple(ledger.faults)
    threads = outer.threads + tuple(b.thread for b in holes if b.thread is not None)
    built = Turned(
        body=Body(plain=plain, threads=threads),
        outside=outer.places,
        inside=tuple(holes),
        across=tuple(crossed),
        length=outer.length,
        defaults=tuple(ledger.defaults),
    )
    return built, ()


def _hold_to_bar(outer: Outline, stock_d: float | None, ledger: Ledger) -> None:
    if stock_d is None:
        return
    for place in outer.places:
        widest = 2 * most_radius(outer, place.start, place.end) if place.curves else 0.0
        if widest > stock_d + SAME_MM:
            ledger.fault(
                place.title, f"diameter {widest:g} mm", f"is wider than its bar, {stock_d:g} mm",
                f"turn it to {stock_d:g} mm or less, or take a thicker bar", place.feature.where,
            )  # fmt: skip


def _hold_flats(cut: CrossCut, plain: Region, ledger: Ledger) -> None:
    """Hold flats all round to leaving metal between them and the hole."""
    if not isinstance(cut.feature, Flat) or cut.feature.count < 3:
        return
    corner = cut.feature.height(cut.surface_r) / math.cos(math.pi / cut.feature.count)
    left = intersection(plain, ring(cut.start, cut.end, 2 * corner))
    reached = cut.start
    for z0, z1 in sorted(bounds(Region(loops=(loop,)))[:2] for loop in left.loops):
        if z0 > reached + SAME_MM:
            break
        reached = max(reached, z1)
    if reached < cut.end - SAME_MM:
        ledger.fault(
            cut.title, f"across {mm(cut.feature.across):g} mm",
            f"nothing is left round the hole at {reached:.4g} mm",
            "leave the flats wider, or the hole narrower", cut.feature.where,
        )  # fmt: skip


def _crossed(outer: Outline, features: Sequence[Across], ledger: Ledger) -> list[CrossCut]:
    part = Round(length=outer.length, radius=lambda z0, z1: most_radius(outer, z0, z1))
    cuts = []
    for title, feature in zip(titles(features, "across"), features, strict=True):
        try:
            start, end = feature.span(part)
            if start < -SAME_MM or end > outer.length + SAME_MM:
                over = max(-start, end - outer.length)
                fits = end - start <= outer.length
                mend = f"move it {over:.4g} mm" if fits else f"shorten it to {outer.length:.4g} mm"
                ledger.fault(
                    title, f"from {start:.4g} to {end:.4g} mm",
                    f"lies past the end of the part, {outer.length:.4g} mm long", mend, feature.where,
                )  # fmt: skip
                continue
            tools = feature.tools(part)
        except BadValue as error:
            ledger.fault(title, error.subject, error.rule, error.mend, feature.where)
            continue
        middle = (start + end) / 2
        surface_r = part.radius(middle, middle)
        cuts.append(
            CrossCut(title=title, feature=feature, start=start, end=end, tools=tools, surface_r=surface_r)
        )
    return cuts
