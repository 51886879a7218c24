"""The table of rules that a design is held to, a family a file."""

from __future__ import annotations

from typing import Final

from turnmodel.analysis.rule import Rule
from turnmodel.analysis.rules import meeting, script

__all__ = ["RULES"]

RULES: Final[tuple[Rule, ...]] = (*meeting.RULES, *script.RULES)
"""Every rule, in the order their findings are listed within one severity."""
