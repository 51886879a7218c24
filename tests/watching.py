"""A script to watch, and the patience to wait for what comes of it."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from collections.abc import Callable

    from turnmodel.watch.session import Session

__all__ = ["PIN", "Follower"]

PIN: Final = """\
from turnmodel import *

EDGE = 0.2


def design(length: float = 20.0, turns: int = 2, alloy: str = "CW614N", long: bool = False, d=5 * 1.0):
    pin = Part.turned(
        "pin",
        material=alloy,
        stock="6 mm",
        outside=[cylinder(d, length, edges=chamfer(EDGE))],
    )
    return Design("pin", parts=[pin])
"""
"""A design that is built in a moment."""

PATIENCE_S: Final = 60.0
"""Longer than anything takes on a busy machine; a test that waits so long has failed."""


class Follower:
    """Reads what a session says, as a page does."""

    def __init__(self, session: Session) -> None:
        self._board = session.board
        self._number = 0
        self.now: dict[str, Any] = {}

    def until(self, met: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
        """Read on until what was said meets a condition."""
        end = time.monotonic() + PATIENCE_S
        while not met(self.now):
            news = self._board.since(self._number, 1.0)
            assert news is not None, "the session has ended"
            assert time.monotonic() < end, f"never came: {self.now}"
            self._number, said = news
            self.now |= said
        return self.now

    def built(self) -> dict[str, Any]:
        """Read on until an object is there and its findings with it."""
        return self.until(
            lambda now: now.get("findings", {}).get("number", 0) == now.get("shape", {}).get("number", -1)
        )

    def value(self, name: str) -> Any:
        """Tell what a parameter was last built with."""
        return next(p.value for p in self.now["parameters"] if p.name == name)
