"""The rules a script's own numbers and names must keep, and the ledger that collects what breaks them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING, Any, Protocol

from turnmodel.errors import Fault, TurnmodelError, Where
from turnmodel.units import length

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = [
    "Default",
    "Ledger",
    "Measure",
    "Rule",
    "angle",
    "check_fields",
    "fraction",
    "mm",
    "named",
    "not_negative",
    "number",
    "positive",
    "whole",
]

Measure = float | str
"""A length: a number of millimetres, or a text with its unit such as '3/8 in'."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Default:
    """Something the script left out, and what a turner would take for it."""

    part: str
    feature: str
    taken: str


@dataclass(slots=True, kw_only=True)
class Ledger:
    """Collects every fault and every default of one part while it is built."""

    part: str
    faults: list[Fault] = field(default_factory=list)
    defaults: list[Default] = field(default_factory=list)

    def fault(
        self, feature: str | None, given: str, rule: str, mend: str | None = None, where: Where | None = None
    ) -> None:
        """Note one thing that is wrong."""
        self.faults.append(
            Fault(part=self.part, feature=feature, given=given, rule=rule, mend=mend, where=where)
        )

    def default(self, feature: str, taken: str) -> None:
        """Note one thing that was left out and what was taken for it."""
        self.defaults.append(Default(part=self.part, feature=feature, taken=taken))


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What a number must be: its unit, the test, the sentence, and the nearest right thing."""

    unit: str
    test: Callable[[float], bool]
    sentence: str
    mend: Callable[[float], str | None] = lambda _: None


def mm(value: Measure) -> float:
    """Give a measure in millimetres."""
    return length(value) if isinstance(value, str) else float(value)


def _other_sign(unit: str) -> Callable[[float], str | None]:
    return lambda value: f"did you mean {-value:g} {unit}?" if value < 0 else None


_POSITIVE = Rule(unit="mm", test=lambda v: v > 0, sentence="must be more than 0 mm", mend=_other_sign("mm"))
_NOT_NEGATIVE = Rule(
    unit="mm", test=lambda v: v >= 0, sentence="must not be below 0 mm", mend=_other_sign("mm")
)
_ANY = Rule(unit="mm", test=lambda _: True, sentence="must be a number")
_ANGLE = Rule(unit="degrees", test=lambda _: True, sentence="must be a number")
_FRACTION = Rule(unit="", test=lambda v: 0 <= v <= 1, sentence="must lie between 0 and 1")


def _ruled(rule: Rule, default: Any) -> Any:
    return field(metadata={"rule": rule}, **({} if default is ... else {"default": default, "kw_only": True}))


def positive(default: Any = ...) -> Any:
    """Declare a length that must be more than zero."""
    return _ruled(_POSITIVE, default)


def not_negative(default: Any = ...) -> Any:
    """Declare a length that may be zero."""
    return _ruled(_NOT_NEGATIVE, default)


def number(default: Any = ...) -> Any:
    """Declare a length of either sign."""
    return _ruled(_ANY, default)


def fraction(default: Any = ...) -> Any:
    """Declare a share between 0 and 1."""
    return _ruled(_FRACTION, default)


def angle(default: Any = ..., *, below: float = math.inf, above: float = -math.inf) -> Any:
    """Declare an angle [degrees], where asked between two bounds, both left out."""
    rule = _ANGLE
    if math.isfinite(below) or math.isfinite(above):
        rule = Rule(
            unit="degrees",
            test=lambda v: above < v < below,
            sentence=f"must lie between {above:g} and {below:g} degrees",
        )
    return _ruled(rule, default)


def whole(default: Any = ..., *, least: int = 1) -> Any:
    """Declare a count of at least so many [-]."""
    rule = Rule(
        unit="", test=lambda v: v >= least and v == int(v), sentence=f"must be a count of {least} or more"
    )
    return _ruled(rule, default)


def named(look_up: Callable[[str], Any], default: Any = ...) -> Any:
    """Declare the name of something in the catalog."""
    extra = {} if default is ... else {"default": default, "kw_only": True}
    return field(metadata={"look_up": look_up}, **extra)


class _Written(Protocol):
    @property
    def where(self) -> Where | None: ...


def check_fields(thing: _Written, ledger: Ledger, feature: str | None) -> bool:
    """Hold each declared field of a thing to its rule and note what breaks one; True where none does."""
    before = len(ledger.faults)
    for entry in fields(thing):  # type: ignore[arg-type]
        value = getattr(thing, entry.name)
        if value is None:
            continue
        word = entry.name.replace("_", " ")
        if look_up := entry.metadata.get("look_up"):
            try:
                look_up(value)
            except TurnmodelError as error:
                ledger.fault(feature, f"{word} {value!r}", str(error), where=thing.where)
            except (TypeError, AttributeError):
                ledger.fault(feature, f"{word} {value!r}", "must be a name in quotes", where=thing.where)
        elif rule := entry.metadata.get("rule"):
            _hold(value, rule, word, ledger, feature, thing.where)
    return len(ledger.faults) == before


def _hold(
    value: object, rule: Rule, word: str, ledger: Ledger, feature: str | None, where: Where | None
) -> None:
    amount = value
    if isinstance(value, str) and rule.unit == "mm":
        try:
            amount = length(value)
        except TurnmodelError as error:
            ledger.fault(feature, f"{word} {value!r}", str(error), where=where)
            return
    if isinstance(amount, bool) or not isinstance(amount, (int, float)) or not math.isfinite(amount):
        ledger.fault(feature, f"{word} {value!r}", "must be a finite number", where=where)
    elif not rule.test(amount):
        given = f"{word} {amount:g} {rule.unit}".rstrip()
        ledger.fault(feature, given, rule.sentence, rule.mend(amount), where)
