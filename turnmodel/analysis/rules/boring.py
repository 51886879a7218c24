"""Holes that a boring bar cannot enter or cannot reach the end of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.bores import alone, hollows
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.rule import Rule
from turnmodel.catalog.toolbox import owned_reamer
from turnmodel.design.features.inside import Bore
from turnmodel.design.hollowed import LEAST_WALL
from turnmodel.design.ledger import mm
from turnmodel.design.mends import at_least, at_most
from turnmodel.geometry.curve import box
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.analysis.finding import Finding
    from turnmodel.analysis.rule import Examined
    from turnmodel.design.turned import Turned

__all__ = ["RULES"]

_BAR_SHARE: Final = 0.75
"""Diameter of a boring bar over that of its bore [-]; house choice: an eighth is left on each side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bored:
    """A bore that is no reamer's: what of it is cut, where that ends, what stands round it, all in [mm]."""

    part: str
    title: str
    width: float
    cut: float
    station: float
    outside: float


def _bores(seen: Examined) -> Iterator[_Bored]:
    """List the bores that are no reamer's."""
    for part, made in seen.design.turned:
        among = hollows(made)
        for own in among:
            feature = own.bored.feature
            if not isinstance(feature, Bore):
                continue
            cut = alone(own, among)
            reamed = feature.through and owned_reamer(seen.tools, mm(feature.diameter))
            if cut and not reamed:
                start, end = cut[0][0], cut[-1][1]
                yield _Bored(
                    part=part.name,
                    title=own.bored.title,
                    width=mm(feature.diameter),
                    cut=end - start,
                    station=start if own.bored.from_back else end,
                    outside=_outside(made, start, end),
                )


def _outside(made: Turned, start: float, end: float) -> float:
    """Least diameter of the lengths outside between two stations, their edges left out, [mm]."""
    over = [p for p in made.outside if p.start < end - CONTACT_MM and p.end > start + CONTACT_MM]
    return 2 * min((max(box(c).r1 for c in p.curves) for p in over if p.curves), default=0.0)


def _width(seen: Examined, rule: Rule) -> Iterator[Finding]:
    least = rule.limit or 0.0
    for b in _bores(seen):
        if b.width < least:
            yield rule.finding(
                parts=(b.part,),
                feature=b.title,
                station=b.station,
                value=b.width,
                message=f"{b.part}, {b.title}: a boring bar does not enter a hole of {b.width:g} mm",
                mend=f"bore it {least:g} mm wide, or write drill({b.width:g}, ...) where its point may stay",
            )


def _reach(seen: Examined, rule: Rule) -> Iterator[Finding]:
    most = rule.limit or 0.0
    for b in _bores(seen):
        bar = _BAR_SHARE * b.width
        if b.cut > most * bar * (1 + 1e-9):
            wide = at_least(b.cut / most / _BAR_SHARE)
            yield rule.finding(
                parts=(b.part,),
                feature=b.title,
                station=b.station,
                value=b.cut / bar,
                message=f"{b.part}, {b.title}: a bar that enters it, {bar:.1f} mm thick, stands out "
                f"{b.cut:.1f} mm or {b.cut / bar:.1f} of its diameters, and will bend",
                mend=f"bore no more than {at_most(most * bar)} mm, or make it {wide} mm wide"
                f"{_walled(float(wide), b.outside)}; a carbide bar reaches half as far again",
            )


def _walled(wide: float, outside: float) -> str:
    """Tell how wide the outside must be round a wider bore, where it leaves too little wall now; [mm]."""
    needed = wide + 2 * LEAST_WALL
    return "" if needed <= outside + CONTACT_MM else f" and the outside {at_least(needed)} mm or more there"


RULES: Final = (
    Rule(
        name="bore width",
        sentence="A bore is wide enough for a boring bar to enter.",
        severity=Severity.CAUTION,
        limit=4.0,
        unit="mm",
        source=Source(work="house choice", place="the smallest bars of small-lathe sets", basis=Basis.HOUSE),
        check=_width,
    ),
    Rule(
        name="bore reach",
        sentence="A boring bar, three quarters as thick as its bore, stands out few of its own diameters.",
        severity=Severity.CAUTION,
        limit=4.0,
        unit="diameters",
        source=Source(work="common practice", place="steel boring bars, overhang", basis=Basis.PRACTICE),
        check=_reach,
    ),
)
