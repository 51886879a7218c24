"""The process that builds: orders in on standard input, answers out on standard output.

A script can do whatever a program can, so it runs apart from the page's server, which may end it.
"""

from __future__ import annotations

import os
import pickle
import queue
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from turnmodel.watch.build import Bench
from turnmodel.watch.imports import followed

if TYPE_CHECKING:
    from turnmodel.watch.exchange import Order

__all__ = ["main"]


def main() -> None:
    """Answer orders until there are no more: the script, and the file of tools if any, are the arguments."""
    script, *tools = map(Path, sys.argv[1:])
    # What a script prints must not run into the answers, it goes to the terminal; nor may it read the orders.
    answers, asked, home = os.fdopen(os.dup(1), "wb"), os.fdopen(os.dup(0), "rb"), Path.cwd()
    os.dup2(2, 1)
    nothing = os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)
    sys.dont_write_bytecode = True  # two saves in one second would share what is kept of the first
    orders: queue.SimpleQueue[Order] = queue.SimpleQueue()
    threading.Thread(target=_receive, args=(asked, orders), daemon=True).start()
    with followed(script.parent) as sought:
        bench = Bench(script, tools[0] if tools else None, sought)
        while True:
            order = orders.get()
            os.chdir(home)  # wherever the script went
            for answer in bench.answers(order, lambda: not orders.empty()):
                pickle.dump(answer, answers)
                answers.flush()


def _receive(stream: BinaryIO, orders: queue.SimpleQueue[Order]) -> None:
    """Take orders in; where they end the page's server has ended, and so does this, whatever it is at."""
    try:
        while True:
            orders.put(pickle.load(stream))
    except (EOFError, OSError, pickle.UnpicklingError):
        os._exit(0)


if __name__ == "__main__":
    main()
