"""How Ctrl-C ends the program, whatever it is at."""

from __future__ import annotations

import os
import signal
import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["STOPPED", "stoppable"]

STOPPED: Final = 130
"""Exit status of what was stopped: 128 and the number of the signal, as shells have it."""

_PATIENCE: Final = 3
"""So many times Ctrl-C is pressed [-] by somebody who will not wait for what is being cleaned up."""


@contextmanager
def stoppable() -> Iterator[None]:
    """End the process with one word when Ctrl-C was pressed.

    Libraries that are being loaded turn the interruption into errors of their own, and may crash when they
    are taken down half loaded: once files are cleaned up, whatever is raised ends here, and at once.
    """
    pressed = 0

    def press(*_: object) -> None:
        nonlocal pressed
        pressed += 1
        if pressed == 1:
            raise KeyboardInterrupt
        if pressed >= _PATIENCE:
            os._exit(STOPPED)

    before = signal.signal(signal.SIGINT, press)
    try:
        yield
    except BaseException as end:
        if not pressed or (isinstance(end, SystemExit) and end.code in (None, 0, 1)):
            raise
        sys.stdout.flush()
        print("stopped", file=sys.stderr, flush=True)
        os._exit(STOPPED)
    finally:
        signal.signal(signal.SIGINT, before)
