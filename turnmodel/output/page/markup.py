"""HTML as text: every text that is put into it is escaped."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = ["Markup", "joined", "tag", "text"]


class Markup(str):
    """Text that is HTML already."""

    __slots__ = ()


def text(value: str) -> Markup:
    """Escape a text, unless it is HTML already.

    Examples
    --------
    >>> text('1/4" < 7 mm')
    '1/4&quot; &lt; 7 mm'
    """
    return value if isinstance(value, Markup) else Markup(escape(value))


def joined(parts: Iterable[str], between: str = "") -> Markup:
    """Set texts one after another."""
    return Markup(between.join(map(text, parts)))


def tag(name: str, /, *inside: str, **attributes: str | bool | None) -> Markup:
    """Write an element; an attribute that is None or False is left out.

    A trailing underscore of an attribute's name is dropped, and others become hyphens.

    Examples
    --------
    >>> tag("p", "a < b", class_="small", data_part="cap")
    '<p class="small" data-part="cap">a &lt; b</p>'
    >>> tag("input", type="checkbox", checked=True)
    '<input type="checkbox" checked>'
    """
    said = "".join(
        f" {key.rstrip('_').replace('_', '-')}" + ("" if value is True else f'="{text(value)}"')
        for key, value in attributes.items()
        if value is not None and value is not False
    )
    if name in _EMPTY:
        return Markup(f"<{name}{said}>")
    return Markup(f"<{name}{said}>{joined(inside)}</{name}>")


_EMPTY = frozenset({"br", "img", "input", "link", "meta"})
