"""The rules a script's own numbers and names must keep, and the ledger that collects what breaks them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from functools import lru_cache
from numbers import Real
from typing import TYPE_CHECKING, Any, Final, NamedTuple, Protocol

from turnmodel.errors import BadText, BadValue, Fault, TurnmodelError, UnknownName, Where
from turnmodel.units import length

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = [
    "LEAST_MM",
    "MOST_MM",
    "NOT_NEGATIVE",
    "POSITIVE",
    "Default",
    "Ledger",
    "Measure",
    "Rule",
    "angle",
    "check_fields",
    "hold",
    "mm",
    "named",
    "not_negative",
    "number",
    "positive",
    "reason",
    "short",
    "turns",
    "whole",
]

Measure = float | str
"""A length: a number of millimetres, or a text with its unit such as '3/8 in'."""

LEAST_MM: Final = 1e-3
"""The least length [mm] that a thing can have; house choice: no workshop micrometer reads finer."""

MOST_MM: Final = 1e4
"""The greatest length [mm] that can be asked for; house choice: longer than any lathe for small work."""


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

    def refuse(
        self, feature: str | None, word: str, given: object, error: TurnmodelError, where: Where | None
    ) -> None:
        """Note an error that a value caused: the nearest right thing where the error knows it."""
        subject = error.subject if isinstance(error, BadValue) else f"{word} {short(given)}"
        self.fault(feature, subject, *reason(error), where)

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


def reason(error: TurnmodelError) -> tuple[str, str | None]:
    """Split an error into the rule that it tells and the nearest right thing."""
    match error:
        case UnknownName():
            return f"there is no such {error.kind}", error.hint
        case BadText():
            return error.rule, None
        case BadValue():
            return error.rule, error.mend
        case _:
            return str(error), None


def short(thing: object) -> str:
    """Write a thing as the script might, cut off where it is long."""
    text = repr(thing)
    if text.startswith("<"):
        return getattr(thing, "__name__", None) or f"a thing of type {type(thing).__name__}"
    return text if len(text) <= 40 else f"{text[:37]}..."


def mm(value: Measure) -> float:
    """Give a measure in millimetres."""
    return length(value) if isinstance(value, str) else float(value)


def _other_sign(unit: str) -> Callable[[float], str | None]:
    return lambda value: f"did you mean {-value:g} {unit}?" if value < 0 else None


def _more_than_0(unit: str) -> Rule:
    return Rule(
        unit=unit, test=lambda v: v > 0, sentence=f"must be more than 0 {unit}", mend=_other_sign(unit)
    )


NOT_NEGATIVE = Rule(
    unit="mm", test=lambda v: v >= 0, sentence="must not be below 0 mm", mend=_other_sign("mm")
)
POSITIVE = _more_than_0("mm")
_ANY = Rule(unit="mm", test=lambda _: True, sentence="must be a number")
_ANGLE = Rule(unit="degrees", test=lambda _: True, sentence="must be a number")
_TURNS = Rule(unit="turns", test=lambda _: True, sentence="must be a number")


def _ruled(rule: Rule, default: Any) -> Any:
    return field(metadata={"rule": rule}, **({} if default is ... else {"default": default, "kw_only": True}))


def positive(default: Any = ..., *, unit: str = "mm") -> Any:
    """Declare a length, or an amount of another unit, that must be more than zero."""
    return _ruled(POSITIVE if unit == "mm" else _more_than_0(unit), default)


def not_negative(default: Any = ..., *, by_place: bool = False) -> Any:
    """Declare a length that may be zero; one left out may also be given by its place where that is asked."""
    if by_place:
        return field(default=default, metadata={"rule": NOT_NEGATIVE})
    return _ruled(NOT_NEGATIVE, default)


def number(default: Any = ...) -> Any:
    """Declare a length of either sign."""
    return _ruled(_ANY, default)


def turns(default: Any = ...) -> Any:
    """Declare a number of turns of either sign."""
    return _ruled(_TURNS, default)


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


def whole(default: Any = ..., *, least: int = 1, most: int = 100) -> Any:
    """Declare a count between two [-], both allowed."""
    rule = Rule(
        unit="",
        test=lambda v: least <= v <= most and v == int(v),
        sentence=f"must be a whole number from {least} to {most}",
    )
    return _ruled(rule, default)


def named(look_up: Callable[[Any], Any], default: Any = ..., *, like: str) -> Any:
    """Declare the name of something in the catalog, with an example of one."""
    extra = {} if default is ... else {"default": default, "kw_only": True}
    return field(metadata={"look_up": look_up, "like": like}, **extra)


class _Written(Protocol):
    @property
    def where(self) -> Where | None: ...


class _Declared(NamedTuple):
    """A field that must keep a rule, or be the name of something in the catalog."""

    name: str
    optional: bool
    rule: Rule | None
    look_up: Callable[[Any], Any] | None
    like: str


@lru_cache(maxsize=256)
def _declared(kind: type) -> tuple[_Declared, ...]:
    """List the declared fields of a kind of thing."""
    return tuple(
        _Declared(
            name=entry.name,
            optional=entry.default is None,
            rule=entry.metadata.get("rule"),
            look_up=entry.metadata.get("look_up"),
            like=entry.metadata.get("like", ""),
        )
        for entry in fields(kind)
        if entry.metadata
    )


def check_fields(thing: _Written, ledger: Ledger, feature: str | None) -> bool:
    """Hold each declared field of a thing to its rule and note what breaks one; True where none does."""
    before = len(ledger.faults)
    for entry in _declared(type(thing)):
        value = getattr(thing, entry.name)
        if value is None and entry.optional:
            continue
        word = entry.name.replace("_", " ")
        if entry.rule:
            hold(value, entry.rule, word, ledger, feature, thing.where)
        elif entry.look_up:
            try:
                entry.look_up(value)
            except TurnmodelError as error:
                ledger.refuse(feature, word, value, error, thing.where)
            except (TypeError, AttributeError):
                ledger.fault(
                    feature,
                    f"{word} {short(value)}",
                    f'must be a text in quotes, such as "{entry.like}"',
                    where=thing.where,
                )
    return len(ledger.faults) == before


def hold(
    value: object, rule: Rule, word: str, ledger: Ledger, feature: str | None, where: Where | None
) -> None:
    """Hold one value to a rule, its size to what can be made, and note what breaks either."""
    amount = value
    if isinstance(value, str) and rule.unit == "mm":
        try:
            amount = length(value)
        except TurnmodelError as error:
            ledger.refuse(feature, word, value, error, where)
            return
    size = _float(amount)
    if size is None:
        ledger.fault(feature, f"{word} {short(value)}", f"must be {_kind(rule.unit)}", where=where)
        return
    given = f"{word} {size:g} {rule.unit}".rstrip()
    if not math.isfinite(size):
        ledger.fault(feature, given, "must be finite", where=where)
    elif not rule.test(size):
        ledger.fault(feature, given, rule.sentence, rule.mend(size), where)
    elif rule is POSITIVE and size < LEAST_MM:
        ledger.fault(feature, given, f"{LEAST_MM:g} mm is the finest there is", where=where)
    elif rule.unit == "mm" and abs(size) > MOST_MM:
        ledger.fault(feature, given, f"{MOST_MM:g} mm is the longest there is", where=where)


def _float(value: object) -> float | None:
    """Read a number of any kind; None where it is none."""
    if isinstance(value, bool) or not isinstance(value, Real):
        return None
    try:
        return float(value)
    except OverflowError:
        return math.inf


def _kind(unit: str) -> str:
    """What a value that is no number should have been."""
    match unit:
        case "mm":
            return "a length: a number of mm, or a text with its unit such as '3/8 in'"
        case "":
            return "a number"
        case _:
            return f"a number of {unit}"
