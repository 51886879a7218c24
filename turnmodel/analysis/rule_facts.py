"""Every rule with its sentence, limit, severity and source, as lines to read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from turnmodel.analysis.rules import RULES
from turnmodel.catalog.facts import Fact
from turnmodel.catalog.table import find

if TYPE_CHECKING:
    from turnmodel.analysis.rule import Rule

__all__ = ["rule_facts"]


def rule_facts(query: str | None = None) -> tuple[Fact, ...]:
    """Tell of one rule, or of all.

    Parameters
    ----------
    query : str or None
        Name of a rule

    Returns
    -------
    tuple of Fact
        A fact for each

    Raises
    ------
    UnknownName
        If there is no such rule.

    Examples
    --------
    >>> rule_facts("interference")[0].rows[0]
    ('demands', 'No two parts fill the same place in any state.')
    """
    named = {rule.name: rule for rule in RULES}
    return tuple(map(_fact, named.values())) if query is None else (_fact(find("rule", query, named)),)


def _fact(rule: Rule) -> Fact:
    """Tell of a rule."""
    rows = [("demands", rule.sentence)]
    if rule.limit is not None:
        rows.append(("limit", f"{rule.limit:g} {rule.unit}".rstrip()))
    rows += [("broken it is a", str(rule.severity)), ("rests on", str(rule.source))]
    return Fact(name=rule.name, rows=tuple(rows), sources=())
