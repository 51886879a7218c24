"""The table of rules that a design is held to, a family a file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.rules import (
    assembly,
    boring,
    bought,
    cap,
    clip,
    crib,
    cut,
    drilling,
    fits,
    handling,
    meeting,
    metal,
    screwing,
    script,
    setup,
    springs,
    strip,
    tapping,
    threads,
    tip,
)

if TYPE_CHECKING:
    from turnmodel.analysis.rule import Rule

__all__ = ["RULES"]

RULES: Final[tuple[Rule, ...]] = (
    *meeting.RULES,
    *metal.RULES,
    *drilling.RULES,
    *boring.RULES,
    *tapping.RULES,
    *threads.RULES,
    *screwing.RULES,
    *cut.RULES,
    *assembly.RULES,
    *bought.RULES,
    *tip.RULES,
    *springs.RULES,
    *cap.RULES,
    *clip.RULES,
    *strip.RULES,
    *fits.RULES,
    *setup.RULES,
    *handling.RULES,
    *crib.RULES,
    *script.RULES,
)
"""Every rule, in the order their findings are listed within one severity."""
