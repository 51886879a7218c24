"""The building process as its server sees it: begun, given orders, ended."""

from __future__ import annotations

import os
import pickle
import signal
import subprocess
import sys
import threading
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from turnmodel.watch.exchange import Answer, Order

__all__ = ["Builder"]


class Builder:
    """A process that builds one script.

    Parameters
    ----------
    script : Path
        The script
    tools : Path or None
        The file of tools, where one was named
    tell : callable
        Told, in a thread of its own, every answer, and None when the process has ended
    """

    def __init__(
        self, script: Path, tools: Path | None, tell: Callable[[Builder, Answer | None], None]
    ) -> None:
        home = str(Path(__file__).parents[2])
        paths = [home, *filter(None, [os.environ.get("PYTHONPATH")])]
        self._process = subprocess.Popen(
            # -P: what lies beside the user's design must not stand in for a library of the same name.
            [sys.executable, "-P", "-m", "turnmodel.watch.worker", *map(str, filter(None, (script, tools)))],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env=os.environ | {"PYTHONPATH": os.pathsep.join(paths)},
            start_new_session=True,  # Ctrl-C is the server's to answer
        )
        self._tell = tell
        self._reader = threading.Thread(target=self._read, name="watch: answers")
        self._reader.start()

    def send(self, order: Order) -> None:
        """Give an order; one more than is being answered always fits."""
        assert self._process.stdin is not None
        with suppress(OSError):  # it has ended, which is told apart
            pickle.dump(order, self._process.stdin)
            self._process.stdin.flush()

    def end(self) -> None:
        """End the process, whatever it is at, and wait until nothing of it is left."""
        with suppress(ProcessLookupError):
            if hasattr(os, "killpg"):  # and what the script has begun
                os.killpg(self._process.pid, signal.SIGKILL)
        self._process.kill()
        self._process.wait()
        self._reader.join()
        for pipe in (self._process.stdin, self._process.stdout):
            assert pipe is not None
            with suppress(OSError):  # an order that was not taken
                pipe.close()

    def _read(self) -> None:
        assert self._process.stdout is not None
        with suppress(Exception):  # the end, or what is no answer: no more is to be had from it
            while True:
                self._tell(self, pickle.load(self._process.stdout))
        self._tell(self, None)
