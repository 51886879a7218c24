"""The command that draws the previews."""

from __future__ import annotations

from turnmodel.cli.options import Out, Script, Set, progress, settings

__all__ = ["picture"]


def picture(script: Script, given: Set = None, out: Out = None) -> None:
    """Draw every state: whole, cut open, pulled apart."""
    from turnmodel import workflow
    from turnmodel.design.loading import load

    folder = workflow.folder_for(script, out)
    with progress() as tell:
        tell("building")
        design, _ = load(script, settings(given))
        tell("drawing")
        written = workflow.write_pictures(design, folder)
    for path in written:
        print(path)
