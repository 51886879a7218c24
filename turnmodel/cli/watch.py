"""The command that follows a script with a live page."""

from __future__ import annotations

import webbrowser
from contextlib import suppress
from threading import Event
from typing import Annotated

import typer

from turnmodel.cli.options import Script, Set, Tools, settings

__all__ = ["watch"]


def watch(
    script: Script,
    given: Set = None,
    tools: Tools = None,
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Port of the page; 0 for any that is free.")
    ] = 0,
    show: Annotated[bool, typer.Option("--open", help="Open the page in your browser.")] = False,
) -> None:
    """Show the object in a page that follows every save, at a port [-] of this machine; Ctrl-C ends it."""
    from turnmodel.design.loading import read_script
    from turnmodel.watch.server import served
    from turnmodel.watch.session import Session

    if not script.is_file():
        read_script(script)  # which says what is wrong
    with (
        suppress(KeyboardInterrupt),
        Session(script, tools=tools, settings=settings(given)) as session,
        served(session, port) as address,
    ):
        print(f"{script} is shown at {address}", flush=True)
        print("Ctrl-C ends it", flush=True)
        if show:
            webbrowser.open(address)
        Event().wait()
