"""What the page's server and the process that builds say to each other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

__all__ = ["Answer", "Findings", "Kind", "Order", "Parameter", "Shape", "Trouble", "Wrong"]

Kind = Literal["number", "whole", "text", "truth"]
"""What a parameter is: a number, a whole number, a text, true or false."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is to be built.

    Parameters
    ----------
    number : int
        Counts the orders, [-]
    again : bool
        Whether the script is to be read again
    settings : mapping
        Parameter's name to its value as text
    strict : bool
        Whether a setting that the script has no parameter for is an error, and not passed over
    """

    number: int
    again: bool
    settings: Mapping[str, str]
    strict: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """A parameter of a script as it is shown.

    Parameters
    ----------
    name : str
        Its name
    kind : {"number", "whole", "text", "truth"}
        What it is, [-]
    value, default : bool, int, float or str
        What the object was built with, and what the script says, in the script's unit, [-]
    low, high, step : float or None
        Ends and step of its slider; None where it has none, [-]
    unwritable : str or None
        Why its default in the script cannot be written over
    """

    name: str
    kind: Kind
    value: bool | int | float | str
    default: bool | int | float | str
    low: float | None
    high: float | None
    step: float | None
    unwritable: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What every answer says: the number of its order [-], and the files that it rests on."""

    number: int
    files: frozenset[Path]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape(Answer):
    """The object's shape and weights, which come first: as binary glTF, and as HTML."""

    design: str
    parameters: tuple[Parameter, ...]
    model: bytes
    stage: str
    states: str
    parts: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings(Answer):
    """What the rules have to say, which follows, as HTML."""

    summary: str
    findings: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """One thing wrong with a script, and the lines round it, each with its number [-]."""

    text: str
    mend: str | None = None
    file: str | None = None
    line: int | None = None
    lines: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong(Answer):
    """Why there is no object."""

    troubles: tuple[Trouble, ...]
