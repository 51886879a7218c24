"""The command that gives a new script to begin from."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from shlex import quote
from typing import Annotated

import typer

from turnmodel.errors import OutputError

__all__ = ["start"]


def start(
    path: Annotated[Path, typer.Argument(metavar="NEW.py", help="The script to write.")] = Path(
        "my_object.py"
    ),
) -> None:
    """Write a new script to begin from; a script that is there already stays."""
    text = files("turnmodel.cli").joinpath("first_design.py").read_text(encoding="utf-8")
    if path.suffix != ".py":
        raise OutputError(
            f"{path}: a script's name ends in .py; write {path.parent / (path.stem or 'my_object')}.py"
        )
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise OutputError(f"{path} is there already; choose another name") from None
    except OSError as error:
        raise OutputError(f"cannot write {path}: {error.strerror or error}") from error
    print(f"wrote {path}; look at it with: turnmodel check {quote(str(path))}")
