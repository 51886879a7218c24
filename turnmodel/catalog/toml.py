"""Files of TOML that people write, read so that a wrong one is always told as such."""

from __future__ import annotations

import tomllib
from typing import Any, Final

__all__ = ["parsed"]

_WIDEST: Final = 2**63
"""Whole numbers lie from minus this to this less one: TOML v1.0.0, Integer."""


def parsed(text: str) -> dict[str, Any]:
    """Read TOML [1]_.

    Parameters
    ----------
    text : str
        The text of a file

    Returns
    -------
    dict
        Its tables; whole numbers have 64 bits at the most

    Raises
    ------
    TOMLDecodeError
        If it is no TOML, or nested deeper or with longer numbers than can be read; it says where

    Examples
    --------
    >>> parsed("length = 3")
    {'length': 3}
    >>> parsed("length = 9" + 20 * "0")
    Traceback (most recent call last):
    ...
    tomllib.TOMLDecodeError: A number is too long (at line 1, column 1)

    References
    ----------
    .. [1] TOML v1.0.0.
    """
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        raise
    except RecursionError:
        raise _wrong(text, "It is nested too deep", "[{") from None
    except ValueError:  # more digits than Python reads
        raise _wrong(text, "A number is too long", "0123456789") from None
    waiting: list[Any] = [found]
    while waiting:
        match waiting.pop():
            case dict() as table:
                waiting.extend(table.values())
            case list() as listed:
                waiting.extend(listed)
            case int() as number if not -_WIDEST <= number < _WIDEST:
                raise _wrong(text, "A number is too long", "0123456789")
    return found


def _wrong(text: str, what: str, letters: str) -> tomllib.TOMLDecodeError:
    """Tell what is wrong, and that it stands in the line that has most of some letters."""
    counts = [sum(map(line.count, letters)) for line in text.split("\n")]
    return tomllib.TOMLDecodeError(f"{what} (at line {counts.index(max(counts)) + 1}, column 1)")
