"""The command line: parse, call the workflow, print, exit."""

from __future__ import annotations

from turnmodel.cli.stopping import stoppable

__all__ = ["main"]


def main() -> None:
    """Run a command and exit: 0 no fault, 1 a fault, 2 the script or the input is wrong, 130 stopped."""
    with stoppable():
        from turnmodel.cli.app import run

        run()
