"""The program: its commands, and how it ends."""

from __future__ import annotations

import os
import sys
from io import TextIOWrapper

import typer

from turnmodel.cli.ascut import ascut
from turnmodel.cli.check import check
from turnmodel.cli.facts import facts
from turnmodel.cli.make import make
from turnmodel.cli.mockup import mockup
from turnmodel.cli.papers import papers
from turnmodel.cli.picture import picture
from turnmodel.cli.start import start
from turnmodel.cli.vary import vary
from turnmodel.cli.watch import watch
from turnmodel.cli.weigh import weigh
from turnmodel.errors import TurnmodelError, WitnessError

__all__ = ["run"]

SOUND, FAULTY, WRONG_INPUT, OUR_FAULT = 0, 1, 2, 3
"""Exit statuses: no fault; a fault of the design; a wrong script or input; our own fault."""

app = typer.Typer(
    name="turnmodel",
    help="Design objects of several turned parts as a short script: see, check, weigh and make them.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
for command in (make, check, weigh, vary, ascut, picture, mockup, papers, watch, facts, start):
    app.command()(command)


def run() -> None:
    """Run a command and exit with its status."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a terminal may not have every letter
    try:
        try:
            app(prog_name="turnmodel")
        finally:
            sys.stdout.flush()
    except WitnessError as error:
        print(error, file=sys.stderr)
        sys.exit(OUR_FAULT)
    except TurnmodelError as error:
        print(error, file=sys.stderr)
        sys.exit(WRONG_INPUT)
    except OSError as error:
        if error.filename is not None:
            raise
        # Of no file: the answer itself could not be written. What is left of it is not tried again.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        print(f"cannot write the answer: {error.strerror or error}", file=sys.stderr)
        sys.exit(WRONG_INPUT)
