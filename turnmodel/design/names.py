"""Names that people give: what may be one, and what it becomes as a file's."""

from __future__ import annotations

from typing import Final

__all__ = ["NAMED", "file_name", "is_name"]

NAMED: Final = "must be a text of one line that is not empty"
"""What a name must be."""


def is_name(given: object) -> bool:
    r"""Whether something can be a name: a text that shows, on one line.

    Examples
    --------
    >>> is_name("cap 1"), is_name(" "), is_name("cap\n1"), is_name(1)
    (True, False, False, False)
    """
    return isinstance(given, str) and bool(given.strip()) and given.isprintable()


def file_name(name: str) -> str:
    """Make a name safe as a file's.

    Examples
    --------
    >>> file_name("Cap, left"), file_name("cap/left"), file_name("?")
    ('cap-left', 'cap-left', 'unnamed')
    """
    kept = "".join(c if c.isalnum() else "-" for c in name.casefold())
    return "-".join(word for word in kept.split("-") if word) or "unnamed"
