"""Tables whose entries are computed when they are first looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TypeVar

__all__ = ["Lazily"]

Value = TypeVar("Value")


class Lazily(Mapping[str, Value]):
    """A table of names whose values are computed by a function, each at most once.

    Examples
    --------
    >>> table = Lazily(["one", "three"], len)
    >>> table["three"], list(table)
    (5, ['one', 'three'])
    """

    def __init__(self, names: Iterable[str], compute: Callable[[str], Value]) -> None:
        self._names = tuple(names)
        self._compute = compute
        self._known: dict[str, Value] = {}

    def __getitem__(self, name: str) -> Value:
        if name not in self._known:
            if name not in self._names:
                raise KeyError(name)
            self._known[name] = self._compute(name)
        return self._known[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)
