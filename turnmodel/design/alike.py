"""Parts written alike are one part, so that the variants of a design share what they leave as it is."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, is_dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.errors import Where

__all__ = ["alike"]

Written = TypeVar("Written")

_KEPT = 512  # parts: some variants of the largest object
_BARE = frozenset({str, float, int, bool, type(None)})


@dataclass(frozen=True, slots=True)
class _Page:
    """What is written of a part, and in which lines; the part itself is not compared."""

    text: str
    lines: tuple[Where | None, ...]
    part: Any = field(compare=False, repr=False)


def alike(part: Written) -> Written:
    """Give the part that was first written so, in the same words and the same lines.

    What is computed of a part is kept by its identity: built, meshed, weighed and held against others once.

    Examples
    --------
    >>> from turnmodel import Part, cylinder
    >>> made = [
    ...     Part.turned("pin", material="brass", stock="6 mm", outside=[cylinder(5, length)])
    ...     for length in (20, 21, 20)
    ... ]
    >>> made[0] is made[1], made[0] is made[2]
    (False, True)
    """
    try:
        text = repr(part)
    except Exception:
        return part  # what it is made of is told to be wrong elsewhere
    first: Written = _first(_Page(f"{type(part).__name__} {text}", tuple(_lines(part)), part))
    return first


@lru_cache(maxsize=_KEPT)
def _first(page: _Page) -> Any:
    return page.part


def _lines(thing: Any) -> Iterator[Where | None]:
    """List the lines in which a thing and what it is made of were written."""
    if isinstance(thing, list | tuple):
        made_of = thing
    elif names := _names(thing.__class__):
        yield getattr(thing, "where", None)
        made_of = [getattr(thing, name) for name in names]
    else:
        return
    for entry in made_of:
        if entry.__class__ not in _BARE:
            yield from _lines(entry)


@lru_cache(maxsize=256)
def _names(kind: type) -> tuple[str, ...]:
    """List the fields of a kind of thing, but for its line; none of what is written as a bare value."""
    return tuple(entry.name for entry in fields(kind) if entry.name != "where") if is_dataclass(kind) else ()
