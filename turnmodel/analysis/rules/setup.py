"""Setting up: the bar a part comes out of, how it is held, and what is left on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.finding import Severity
from turnmodel.analysis.practice import HELD, held, standing_out
from turnmodel.analysis.rule import Rule
from turnmodel.catalog.bars import bar_size, standard_bars
from turnmodel.catalog.materials import material
from turnmodel.catalog.toolbox import least_bar
from turnmodel.design.mends import at_least, at_most
from turnmodel.geometry.curve import box
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source
from turnmodel.units import in_mm

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.analysis.finding import Finding
    from turnmodel.analysis.rule import Examined
    from turnmodel.design.outline import Place
    from turnmodel.design.turned import Turned

__all__ = ["RULES"]


def _next_bar(diameter: float, like: str) -> str:
    """Name the next usual round of a diameter [mm] or more, of the same system of units as another."""
    inches = not like.strip().casefold().endswith("mm")
    rounds = (bar for bar in standard_bars() if bar.diameter >= diameter - CONTACT_MM)
    alike = (bar.name for bar in rounds if bar.name.endswith("in") is inches)
    return next(alike, in_mm(diameter))


def _finish_cut(seen: Examined, rule: Rule) -> Iterator[Finding]:
    least = rule.limit or 0.0
    for part, made in seen.design.turned:
        place, widest = _widest_place(made)
        stock = part.stock.diameter
        left = stock - widest
        if left > least - CONTACT_MM:
            continue
        what = f"the bar of {part.stock.size} leaves {left:.2f} mm on the diameter for a finish cut"
        if drawn := left < CONTACT_MM:
            what = f"at {in_mm(widest)} the bar's own skin stays, as bright and round as it was bought"
        bar = _next_bar(widest + least, part.stock.size)
        yield rule.finding(
            parts=(part.name,),
            feature=place.title,
            station=place.start,
            severity=Severity.NOTE if drawn else None,
            value=left,
            message=f"{part.name}, {place.title}: {what}",
            mend=f"for a finish cut take a bar of {bar}, or turn it to {at_most(stock - least)} mm",
        )


def _widest_place(made: Turned) -> tuple[Place, float]:
    """Find the outside feature that is widest, and its diameter, [mm]."""
    widths = [(2 * max(box(c).r1 for c in place.curves), place) for place in made.outside if place.curves]
    width, place = max(widths, key=lambda pair: pair[0])
    return place, width


def _bar_owned(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in seen.design.turned:
        stock, wanted = part.stock, material(part.material).name
        if not seen.tools.bars:
            bar = bar_size(stock.size)
            if not bar.standard:
                yield rule.finding(
                    parts=(part.name,),
                    value=bar.diameter,
                    severity=Severity.NOTE,
                    message=f"{part.name}: {stock.size} is no usual round",
                    mend=f"the next is {_next_bar(bar.diameter, stock.size)}",
                )
            continue
        if any(
            abs(bar.diameter - stock.diameter) < CONTACT_MM and bar.material in (None, wanted)
            for bar in seen.tools.bars
        ):
            continue
        near = least_bar(seen.tools.bars, stock.diameter, made.length, wanted)
        mend = "buy it"
        if near is not None:
            more = near.diameter - stock.diameter
            mend = f"the nearest is {in_mm(near.diameter)}: {more:.2f} mm more to turn away"
        yield rule.finding(
            parts=(part.name,),
            value=stock.diameter,
            limit=near.diameter if near else None,
            message=f"{part.name}: no {stock.size} bar of {wanted} is in the rack",
            mend=mend,
        )


def _needed(seen: Examined, made: Turned) -> float:
    """Length of bar that stands out of the chuck for a part, [mm]."""
    return standing_out(made.length, seen.tools.parting_width)


def _bar_length(seen: Examined, rule: Rule) -> Iterator[Finding]:
    for part, made in seen.design.turned:
        wanted, least = material(part.material).name, held(part.stock.diameter, rule.limit or 0.0)
        lengths = [
            bar.length
            for bar in seen.tools.bars
            if abs(bar.diameter - part.stock.diameter) < CONTACT_MM and bar.material in (None, wanted)
        ]
        known = [length for length in lengths if length is not None]
        if not known or len(known) < len(lengths):
            continue
        need, longest = _needed(seen, made), max(known)
        left = longest - need
        if left < least:
            yield rule.finding(
                parts=(part.name,),
                value=left,
                limit=least,
                message=f"{part.name}: faced and parted off it takes {need:.1f} mm of bar, and the longest "
                f"{part.stock.size} leaves {max(left, 0.0):.1f} mm to hold",
                mend=f"take a bar {at_least(need + least, 0.1)} mm long, or make the part "
                f"{at_least(least - left)} mm shorter",
            )


def _bar_in_lathe(seen: Examined, rule: Rule) -> Iterator[Finding]:
    lathe = seen.tools.lathe
    for part, made in seen.design.turned:
        wide, swing = part.stock.diameter, lathe.over_cross_slide or lathe.swing
        over = "cross slide" if lathe.over_cross_slide else "bed"
        what = f"{part.name}: a bar of {part.stock.size} does not"
        if wide > swing:
            yield rule.finding(
                parts=(part.name,),
                value=wide,
                limit=swing,
                message=f"{what} turn over the {over}, {swing:g} mm",
                mend=f"take a bar of {swing:g} mm or less",
            )
        elif wide > lathe.spindle_bore:
            grip = held(wide)
            yield rule.finding(
                parts=(part.name,),
                value=wide,
                limit=lathe.spindle_bore,
                severity=Severity.NOTE,
                message=f"{what} pass through the spindle, {lathe.spindle_bore:g} mm",
                mend=f"saw off {_needed(seen, made) + grip:.1f} mm, {grip:.1f} mm of it to hold by",
            )


def _overhang(seen: Examined, rule: Rule) -> Iterator[Finding]:
    most = rule.limit or 0.0
    for part, made in seen.design.turned:
        out, wide = _needed(seen, made), part.stock.diameter
        if out > most * wide * (1 + 1e-9):
            work = "turned and drilled" if made.inside else "turned"
            held = made.length - (out - most * wide)
            shorter = f"make it {at_most(held)} mm long, " if held > 0 else ""
            bar = _next_bar(out / most, part.stock.size)
            yield rule.finding(
                parts=(part.name,),
                value=out / wide,
                message=f"{part.name}: it stands {out:.1f} mm out of the chuck to be {work}, "
                f"{out / wide:.1f} diameters of its bar",
                mend=f"support its free end with a centre, {shorter}or take a bar of {bar}",
            )


_PRACTICE: Final = Basis.PRACTICE

RULES: Final = (
    Rule(
        name="finish cut",
        sentence="The bar leaves a finish cut on the widest diameter.",
        severity=Severity.CAUTION,
        limit=0.5,
        unit="mm",
        source=Source(work="common practice", place="finishing allowance on the diameter", basis=_PRACTICE),
        check=_finish_cut,
    ),
    Rule(
        name="bar owned",
        sentence="The bar is in the rack, or is one that shops stock.",
        severity=Severity.CAUTION,
        unit="mm",
        source=Source(
            work="house choice", place="the file of tools, else the usual rounds", basis=Basis.HOUSE
        ),
        check=_bar_owned,
    ),
    Rule(
        name="bar length",
        sentence="The bar is long enough to face the part, part it off and still be held.",
        severity=Severity.CAUTION,
        limit=HELD,
        unit="mm",
        source=Source(work="house choice", place="grip of a small chuck's jaws", basis=Basis.HOUSE),
        check=_bar_length,
    ),
    Rule(
        name="bar in lathe",
        sentence="The bar turns over the cross slide and passes through the spindle.",
        severity=Severity.FAULT,
        unit="mm",
        source=Source(work="common practice", place="capacity of a lathe", basis=_PRACTICE),
        check=_bar_in_lathe,
    ),
    Rule(
        name="overhang",
        sentence="Work stands out of the chuck no more than a few diameters, or its end is supported.",
        severity=Severity.CAUTION,
        limit=3.0,
        unit="diameters",
        source=Source(work="Lathe safety notes", place="support beyond three diameters", basis=Basis.READ),
        check=_overhang,
    ),
)
