"""Holes that a boring bar cannot enter or cannot reach the end of."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.bores import alone, hollows
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.mends import at_least, at_most
from turnmodel.analysis.rule import Rule
from turnmodel.catalog.toolbox import owned_reamer
from turnmodel.design.features.inside import Bore
from turnmodel.design.ledger import mm
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.analysis.finding import Finding
    from turnmodel.analysis.rule import Examined

__all__ = ["RULES"]

_BAR_SHARE: Final = 0.75
"""Diameter of a boring bar over that of its bore [-]; house choice: an eighth is left on each side."""


def _bores(seen: Examined) -> Iterator[tuple[str, str, Bore, float, float]]:
    """List the bores that are no reamer's: part, title, feature, length of cut, station of its end [mm]."""
    for part, made in seen.design.turned:
        among = hollows(made)
        for own in among:
            feature = own.bored.feature
            if not isinstance(feature, Bore):
                continue
            cut = alone(own, among)
            reamed = feature.through and owned_reamer(seen.tools, mm(feature.diameter))
            if cut and not reamed:
                end = cut[0][0] if own.bored.from_back else cut[-1][1]
                yield part.name, own.bored.title, feature, cut[-1][1] - cut[0][0], end


def _width(seen: Examined, rule: Rule) -> Iterator[Finding]:
    least = rule.limit or 0.0
    for part, title, feature, _, station in _bores(seen):
        width = mm(feature.diameter)
        if width < least:
            yield rule.finding(
                parts=(part,),
                feature=title,
                station=station,
                value=width,
                message=f"{part}, {title}: a boring bar does not enter a hole of {width:g} mm",
                mend=f"bore it {least:g} mm wide, or write drill({width:g}, ...) where its point may stay",
            )


def _reach(seen: Examined, rule: Rule) -> Iterator[Finding]:
    most = rule.limit or 0.0
    for part, title, feature, cut, station in _bores(seen):
        bar = _BAR_SHARE * mm(feature.diameter)
        if cut > most * bar * (1 + 1e-9):
            yield rule.finding(
                parts=(part,),
                feature=title,
                station=station,
                value=cut / bar,
                message=f"{part}, {title}: a bar that enters it, {bar:.1f} mm thick, stands out {cut:.1f} mm "
                f"or {cut / bar:.1f} of its diameters, and will bend",
                mend=f"bore no more than {at_most(most * bar)} mm, or make it "
                f"{at_least(cut / most / _BAR_SHARE)} mm wide; a carbide bar reaches half as far again",
            )


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
