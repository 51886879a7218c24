"""What can go wrong: one class a reason, values in, a sentence out.

::

    TurnmodelError
    ├── UnknownName    (LookupError)      a name that is not in a table or a script
    ├── BadText        (ValueError)       a text of the trade that cannot be read
    ├── BadValue       (ValueError)       a number outside its rule
    ├── ScriptError    (RuntimeError)     a script that cannot be run, or has no design
    ├── DesignFaults   (ValueError)       every fault of a design, at once
    ├── ToolFaults     (ValueError)       every fault of a file of tools, at once
    ├── OptionError    (ValueError)       a command-line option or parameter that is wrong
    ├── OutputError    (OSError)          a file or folder that cannot be written
    └── WitnessError   (ArithmeticError)  two computations of one figure disagree: our own fault
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = [
    "BadText",
    "BadValue",
    "DesignFaults",
    "Fault",
    "OptionError",
    "OutputError",
    "ScriptError",
    "ToolFaults",
    "TurnmodelError",
    "UnknownName",
    "Where",
    "WitnessError",
    "nearest",
]


def nearest(given: str, choices: Iterable[str]) -> str | None:
    """Pick the choice most like what was given, or None where nothing is alike.

    Examples
    --------
    >>> nearest("G22", ["A1", "G2", "H"])
    'G2'
    >>> nearest("pear", ["copper", "brass"])
    >>> nearest("alu", ["walnut", "aluminium"])
    'aluminium'
    """
    folded = {choice.casefold(): choice for choice in choices}
    name = given.casefold()
    if begun := [choice for choice in folded if len(name) > 2 and choice.startswith(name)]:
        return folded[min(begun, key=len)]
    for choice in difflib.get_close_matches(name, folded, n=3, cutoff=0.5):
        if difflib.SequenceMatcher(None, choice, name).ratio() > _ALIKE or _slip(name, choice):
            return folded[choice]
    return None


_ALIKE = 0.65
"""Share of letters [-] from which two names are alike; house choice: "pear" and "copper" have 0.6."""


def _slip(one: str, other: str) -> bool:
    """Whether one letter is wrong, missing or too many, or two are changed round."""
    if abs(len(one) - len(other)) > 1:
        return False
    pairs = zip(one, other, strict=False)
    at = next((k for k, (a, b) in enumerate(pairs) if a != b), min(len(one), len(other)))
    a, b = one[at:], other[at:]
    return b in (a, a[1:]) or a == b[1:] or a[1:] == b[1:] or (a[1::-1] + a[2:] == b)


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a script: its file, and the number of the line [-]."""

    file: str
    line: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong with a script: what was given, the rule it breaks, the nearest right thing."""

    part: str | None = None
    feature: str | None = None
    given: str
    rule: str
    mend: str | None = None
    where: Where | None = None

    def __str__(self) -> str:
        subject = ", ".join(name for name in (self.part, self.feature) if name)
        text = ": ".join(text for text in (subject, self.given, self.rule) if text)
        if self.mend:
            text = f"{text}; {self.mend}"
        return f"{self.where}: {text}" if self.where else text


class TurnmodelError(Exception):
    """Root of everything this program raises on purpose."""


_FEW = 16
"""So many names are all listed in a message; house choice: two lines of a terminal."""


class UnknownName(TurnmodelError, LookupError):
    """A name that is not in a table or a script; ``groups`` tells what there is where names are many."""

    def __init__(self, kind: str, given: str, choices: Iterable[str], groups: str | None = None) -> None:
        self.kind = kind
        self.given = given
        self.choices = tuple(choices)
        self.groups = groups
        super().__init__(kind, given, self.choices, groups)

    @property
    def hint(self) -> str | None:
        """The nearest name there is, and all of them where they are few and it is no slip of the pen."""
        near = nearest(self.given, self.choices)
        meant = f"did you mean {near!r}?" if near else None
        if near and _slip(self.given.casefold(), near.casefold()):
            return meant
        if 0 < len(self.choices) <= _FEW:
            every = f"there is {', '.join(map(repr, self.choices))}"
            return f"{meant} {every}" if meant else every
        return meant or (self.groups if self.given.strip() else None)

    def __str__(self) -> str:
        text = f"no {self.kind} named {self.given!r}"
        return f"{text}; {self.hint}" if self.hint else text


class BadText(TurnmodelError, ValueError):
    """A text of the trade (a length, a thread, a drill) that cannot be read."""

    def __init__(self, kind: str, given: str, rule: str) -> None:
        self.kind = kind
        self.given = given
        self.rule = rule
        super().__init__(kind, given, rule)

    def __str__(self) -> str:
        return f"cannot read {self.kind} {self.given!r}: {self.rule}"


class BadValue(TurnmodelError, ValueError):
    """A number outside its rule."""

    def __init__(self, what: str, given: float | None, unit: str, rule: str, mend: str | None = None) -> None:
        self.what = what
        self.given = given
        self.unit = unit
        self.rule = rule
        self.mend = mend
        super().__init__(what, given, unit, rule, mend)

    @property
    def subject(self) -> str:
        """What it is, with its amount and unit where there is one."""
        return self.what if self.given is None else f"{self.what} {self.given:g} {self.unit}".rstrip(" -")

    def __str__(self) -> str:
        text = f"{self.subject}: {self.rule}"
        return f"{text}; {self.mend}" if self.mend else text


class ScriptError(TurnmodelError, RuntimeError):
    """A script that cannot be run, or that gives no design."""

    def __init__(self, given: str, rule: str, where: Where | None = None, mend: str | None = None) -> None:
        self.fault = Fault(given=given, rule=rule, mend=mend, where=where)
        super().__init__(given, rule, where, mend)

    def __str__(self) -> str:
        return str(self.fault)


def _by_line(fault: Fault) -> tuple[str, int]:
    """Order faults by file and line, those without a place first."""
    return (fault.where.file, fault.where.line) if fault.where else ("", 0)


class DesignFaults(TurnmodelError, ValueError):
    """Every fault of a design, at once, in the order of its script."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=_by_line))
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(map(str, self.faults))


class ToolFaults(TurnmodelError, ValueError):
    """Every fault of a file of tools, at once."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(map(str, self.faults))


class OptionError(TurnmodelError, ValueError):
    """A command-line option or a design's parameter that is wrong."""


class OutputError(TurnmodelError, OSError):
    """A file or folder that cannot be written."""


class WitnessError(TurnmodelError, ArithmeticError):
    """Two computations of one figure that disagree beyond their bound: a fault of this program."""

    def __init__(self, subject: str, unit: str, figures: dict[str, float], bound: float) -> None:
        self.subject = subject
        self.unit = unit
        self.figures = dict(figures)
        self.bound = bound
        super().__init__(subject, unit, self.figures, bound)

    def __str__(self) -> str:
        listed = ", ".join(f"{name} {value:.6f} {self.unit}" for name, value in self.figures.items())
        return (
            f"{self.subject}: {listed} disagree by more than {self.bound:.1e}; "
            "this is a fault of turnmodel, please report it with your script"
        )
