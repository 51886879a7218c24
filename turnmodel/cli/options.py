"""The arguments and options that commands share."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from turnmodel.errors import OptionError

if TYPE_CHECKING:
    from turnmodel.workflow import Tell

__all__ = ["AsJson", "Out", "Script", "Set", "Tools", "progress", "settings"]

Script = Annotated[Path, typer.Argument(metavar="DESIGN.py", help="The design script.")]
Set = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="NAME=VALUE", help="Set one of the script's parameters; may be repeated."),
]
Out = Annotated[
    Path | None,
    typer.Option(
        "--out", metavar="DIR", file_okay=False, help="Folder for the files; renders/NAME if left out."
    ),
]
Tools = Annotated[
    Path | None,
    typer.Option(
        "--tools",
        metavar="FILE",
        help="Your tools; left out, tools.toml beside the design or in your configuration folder.",
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON object instead of tables.")]


def settings(given: list[str] | None) -> dict[str, str]:
    """Split NAME=VALUE settings.

    Raises
    ------
    OptionError
        If one is not of that form, or a name comes twice
    """
    found: dict[str, str] = {}
    for text in given or []:
        name, equals, value = text.partition("=")
        name = name.strip()
        if not equals or not name.isidentifier():
            raise OptionError(f"--set {text}: must be NAME=VALUE, such as --set cap_wall=1.2")
        if name in found:
            raise OptionError(f"--set {name}: given twice, as {found[name]} and {value}")
        found[name] = value.strip()
    return found


@contextmanager
def progress(*, quiet: bool = False) -> Iterator[Tell]:
    """Show what long work is at, on the error stream and only where that is a terminal."""
    if quiet or not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console

    with Console(stderr=True).status("starting") as status:
        yield status.update
