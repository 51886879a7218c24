"""The command that draws the previews."""

from __future__ import annotations

from typing import Annotated

import typer

from turnmodel.cli.options import Out, Script, Set, progress, settings
from turnmodel.errors import BadValue, OptionError, nearest

__all__ = ["picture"]

Views = Annotated[
    str | None,
    typer.Option(
        metavar="VIEW,VIEW",
        help="whole, cut, apart, close, ruler, turn, assemble; the first four if left out.",
    ),
]
Size = Annotated[str, typer.Option(metavar="WIDTHxHEIGHT", help="Largest width and height, in pixels.")]
Transparent = Annotated[bool, typer.Option("--transparent", help="Leave the paper out.")]


def picture(
    script: Script,
    given: Set = None,
    out: Out = None,
    views: Views = None,
    size: Size = "1600x1000",
    transparent: Transparent = False,
) -> None:
    """Draw every state: whole, cut open, pulled apart; joints from near; a ruler; films."""
    from turnmodel import workflow, writing
    from turnmodel.design.loading import load
    from turnmodel.output.pictures.studio import Settings

    chosen = None if views is None else _views(views)
    try:
        look = Settings(size=_size(size))
    except BadValue as fault:
        raise OptionError(f"--size {size}: {fault}") from None
    if transparent:
        look = Settings(size=look.size, background=None)
    folder = workflow.folder_for(script, out)
    with progress() as tell:
        tell("building")
        design, _ = load(script, settings(given))
        tell("drawing")
        written = writing.write_pictures(design, folder, chosen, look)
    for path in written:
        print(path)


def _views(given: str) -> tuple[str, ...]:
    """Read the names of views."""
    from turnmodel.output.pictures.album import VIEWS

    chosen = tuple(dict.fromkeys(name.strip() for name in given.split(",")))
    for name in chosen:
        if name not in VIEWS:
            near = nearest(name, VIEWS)
            hint = f"did you mean {near}?" if near else f"there is {', '.join(VIEWS)}"
            raise OptionError(f"--views {given}: there is no view {name!r}; {hint}")
    return chosen


def _size(given: str) -> tuple[int, int]:
    """Read a width and a height [px]."""
    width, _, height = given.strip().casefold().partition("x")
    if not (width.isdecimal() and height.isdecimal()):
        raise OptionError(f"--size {given}: must be WIDTHxHEIGHT in pixels, such as 1600x1000")
    return int(width), int(height)
