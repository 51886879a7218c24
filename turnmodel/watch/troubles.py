"""Say what is wrong with a script where it can be seen: the words, the place, the lines round it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from turnmodel.errors import DesignFaults, Fault, ScriptError, ToolFaults, TurnmodelError
from turnmodel.watch.exchange import Trouble

if TYPE_CHECKING:
    from turnmodel.errors import Where

__all__ = ["troubles"]

_ROUND: Final = 2
"""Lines shown before and after the one that is meant; house choice: a call is seen with its neighbours."""


def troubles(error: Exception) -> tuple[Trouble, ...]:
    """Take an error apart into what is shown of it.

    Parameters
    ----------
    error : Exception
        What building a design raised

    Returns
    -------
    tuple of Trouble
        One for every fault, none of them empty

    Examples
    --------
    >>> troubles(ZeroDivisionError("division by zero"))[0].text
    'ZeroDivisionError: division by zero; this is a fault of turnmodel, please report it with your script'
    """
    match error:
        case DesignFaults() | ToolFaults():
            return tuple(map(_of_fault, error.faults))
        case ScriptError():
            return (_of_fault(error.fault),)
        case TurnmodelError():
            return (Trouble(text=str(error)),)
    text = f"{type(error).__name__}: {error}; this is a fault of turnmodel, please report it with your script"
    return (Trouble(text=text),)


def _of_fault(fault: Fault) -> Trouble:
    """Part a fault's words from its place."""
    where = fault.where
    return Trouble(
        text=str(replace(fault, where=None, mend=None)),
        mend=fault.mend,
        file=Path(where.file).name if where else None,
        line=where.line if where else None,
        lines=_lines(where) if where else (),
    )


def _lines(where: Where) -> tuple[tuple[int, str], ...]:
    """Read the lines round a place, as the file stands now."""
    try:
        lines = Path(where.file).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return ()
    first, last = max(where.line - _ROUND, 1), min(where.line + _ROUND, len(lines))
    return tuple((number, lines[number - 1]) for number in range(first, last + 1))
