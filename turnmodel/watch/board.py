"""What the page shows, by subject: the newest of each, for whoever waits for it."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["Board"]


class Board:
    """Subjects and what was last said of each; every thread may read it and write on it."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._number = 0
        self._said: dict[str, tuple[int, Any]] = {}
        self._closed = False

    def post(self, said: Mapping[str, Any]) -> None:
        """Say something new of some subjects, all at once."""
        with self._changed:
            self._number += 1
            self._said |= {subject: (self._number, value) for subject, value in said.items()}
            self._changed.notify_all()

    def read(self, subject: str) -> Any:
        """Read what was last said of a subject; None where nothing was."""
        with self._changed:
            return self._said.get(subject, (0, None))[1]

    def since(self, number: int, patience: float) -> tuple[int, dict[str, Any]] | None:
        """Wait for what is new.

        Parameters
        ----------
        number : int
            What was read before, 0 for nothing, [-]
        patience : float
            How long to wait, [s]

        Returns
        -------
        tuple of int and dict, or None
            The number to wait on from, and the subjects that are new; None once the board is closed
        """
        with self._changed:
            self._changed.wait_for(lambda: self._closed or self._number > number, patience)
            if self._closed:
                return None
            return self._number, {
                subject: value for subject, (when, value) in self._said.items() if when > number
            }

    def close(self) -> None:
        """Let everybody go who waits."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()
