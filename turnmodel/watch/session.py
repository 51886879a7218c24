"""Watching one script: what changed is built, what came of it is told, what takes too long is ended.

One thread decides everything, so that nothing happens at once: it looks at the files, takes what the page
asks for and what the builder answers, and gives at most one order more than is being answered.
"""

from __future__ import annotations

import hashlib
import queue
import threading
import time
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, NamedTuple, Self

from turnmodel.catalog.tools import FILE_NAME
from turnmodel.watch.board import Board
from turnmodel.watch.builder import Builder
from turnmodel.watch.defaults import write_defaults
from turnmodel.watch.exchange import Answer, Findings, Order, Parameter, Shape, Trouble, Wrong
from turnmodel.watch.lookout import LOOK_S, Lookout

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

__all__ = ["LIMIT_S", "SLOW_S", "Session"]

SLOW_S: Final = 2.0
"""After so long a build is called slow, and gives way to a newer save, [s]; house choice: ten usual ones."""

LIMIT_S: Final = 60.0
"""After so long a build is ended, [s]; house choice."""


class _Asked(NamedTuple):
    """The page sets parameters."""

    settings: Mapping[str, str]


class _Reset(NamedTuple):
    """The page gives all parameters back to the script."""


class _Written(NamedTuple):
    """Parameters now stand in the script."""

    names: frozenset[str]


class _Stop(NamedTuple):
    """The page wants the build that runs ended."""


class _Heard(NamedTuple):
    """The builder answered, or has ended."""

    builder: Builder
    answer: Answer | None


_Event = _Asked | _Reset | _Written | _Stop | _Heard


@dataclass(slots=True)
class _Work:
    """The order that is being answered: since when [s], and whether its shape is there."""

    order: Order
    since: float
    shaped: bool = False
    slow: bool = False


class Session:
    """A script that is watched, from entering to leaving.

    Parameters
    ----------
    script : Path
        The script
    tools : Path, optional
        The file of tools
    settings : mapping, optional
        Parameter's name to its value as text, to begin with
    limit : float
        Longest time for a build, [s]
    """

    def __init__(
        self,
        script: Path,
        *,
        tools: Path | None = None,
        settings: Mapping[str, str] | None = None,
        limit: float = LIMIT_S,
    ) -> None:
        self.board = Board()
        self._script, self._tools, self._limit = script, tools, limit
        self._settings = dict(settings or {})
        self._inbox: queue.SimpleQueue[_Event | None] = queue.SimpleQueue()
        self._lookout = Lookout([script, tools or script.parent / FILE_NAME])
        self._builder: Builder | None = None
        self._work: _Work | None = None
        self._wanted: Order | None = Order(number=1, again=True, settings=self._settings, strict=True)
        self._count = 1
        self._thread = threading.Thread(target=self._run, name="watch: session")

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._inbox.put(None)
        self._thread.join()
        self.board.close()

    def set(self, settings: Mapping[str, str]) -> None:
        """Build with other values of some parameters."""
        self._inbox.put(_Asked(settings))

    def reset(self) -> None:
        """Build with what the script says."""
        self._inbox.put(_Reset())

    def stop(self) -> None:
        """End the build that runs."""
        self._inbox.put(_Stop())

    def write(self) -> tuple[str, ...]:
        """Write what differs from the script into it.

        Returns
        -------
        tuple of str
            The parameters whose defaults were written

        Raises
        ------
        TurnmodelError
            If a default cannot be written over; nothing is written then
        """
        shown: tuple[Parameter, ...] = self.board.read("parameters") or ()
        values = {p.name: p.value for p in shown if p.value != p.default}
        if values:
            write_defaults(self._script, values)
            self._inbox.put(_Written(frozenset(values)))
        return tuple(values)

    # Below, the session's own thread.

    def _run(self) -> None:
        looked = time.monotonic()
        while True:
            with suppress(queue.Empty):
                heard = self._inbox.get(timeout=LOOK_S)
                if heard is None:
                    break
                self._take(heard)
            if time.monotonic() - looked >= LOOK_S:
                looked = time.monotonic()
                if self._lookout.changed():
                    self._want(again=True)
                self._hold_to_time()
            self._give()
        self._dismiss()

    def _take(self, heard: _Event) -> None:
        match heard:
            case _Reset():
                self._settings.clear()
                self._want()
            case _Asked(settings):
                self._settings |= settings
                self._want()
            case _Written(names):
                for name in names:
                    self._settings.pop(name, None)
                self._want(again=True)
            case _Stop():
                self._end_build("was stopped")
            case _Heard(builder, answer) if builder is self._builder:
                self._answered(answer) if answer else self._end_build("ended the program that ran it")

    def _want(self, *, again: bool = False) -> None:
        """Want a build, besides what is wanted already."""
        self._count += 1
        again = again or (self._wanted is not None and self._wanted.again)
        self._wanted = Order(number=self._count, again=again, settings=dict(self._settings))

    def _give(self) -> None:
        """Give the order that is wanted as soon as the builder can take it."""
        if self._wanted is None or (self._work is not None and not self._work.shaped):
            return
        if self._builder is None:
            self._builder = Builder(self._script, self._tools, lambda b, a: self._inbox.put(_Heard(b, a)))
        self._builder.send(self._wanted)
        self._work, self._wanted = _Work(self._wanted, time.monotonic()), None
        self.board.post({"build": self._state("building")})

    def _answered(self, answer: Answer) -> None:
        """Tell what came of an order; findings that a newer order has overtaken are told of nobody."""
        self._lookout.follow(answer.files)
        work = self._work
        if work is None or answer.number != work.order.number:
            return
        done = {"build": self._state("done")}
        match answer:
            case Shape():
                work.shaped = True
                # The model has a name by what is in it, so that the page fetches it only where it is new.
                name = hashlib.blake2b(answer.model, digest_size=12).hexdigest()
                shape = {
                    "number": answer.number,
                    "model": name,
                    **_said(answer, "design", "stage", "states", "parts"),
                }
                said = {"shape": shape, "parameters": answer.parameters, "troubles": ()}
                self.board.post(said | {"model": answer.model})
            case Findings():
                self._work = None
                found = {"number": answer.number, **_said(answer, "summary", "findings")}
                self.board.post({"findings": found} | done)
            case Wrong():
                self._work = None
                self.board.post({"troubles": answer.troubles} | done)

    def _state(self, state: str) -> dict[str, object]:
        """Say what the builder is at, and whether any parameter is not the script's own."""
        return {"state": state, "set": bool(self._settings)}

    def _hold_to_time(self) -> None:
        """Say that a build is slow; end it where it has had its time or a newer save waits."""
        if self._work is None:
            return
        taken = time.monotonic() - self._work.since
        if taken > SLOW_S and self._wanted is not None and self._wanted.again:
            self._dismiss()
        elif taken > self._limit:
            self._end_build(f"ran longer than {self._limit:g} s and was stopped")
        elif taken > SLOW_S and not self._work.slow:
            self._work.slow = True
            self.board.post({"build": self._state("slow")})

    def _end_build(self, why: str) -> None:
        """End the build that runs and say why."""
        if self._builder is None:
            return
        ran = self._work is not None
        self._dismiss()
        if ran:
            trouble = Trouble(text=f"{self._script.name} {why}", mend="save it to run it again")
            self.board.post({"troubles": (trouble,), "build": self._state("done")})

    def _dismiss(self) -> None:
        """End the builder; the next order begins another."""
        if self._builder is not None:
            self._builder.end()
        self._builder = self._work = None


def _said(answer: Answer, *names: str) -> dict[str, str]:
    """Take texts out of an answer."""
    return {name: getattr(answer, name) for name in names}
