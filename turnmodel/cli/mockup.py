"""The command that writes files for printing."""

from __future__ import annotations

from turnmodel.cli.options import Out, Script, Set, progress, settings

__all__ = ["mockup"]


def mockup(script: Script, given: Set = None, out: Out = None) -> None:
    """Write an STL of every part and a 3MF of the set, at nominal size."""
    from turnmodel import workflow
    from turnmodel.design.loading import load

    folder = workflow.folder_for(script, out)
    with progress() as tell:
        tell("building")
        design, _ = load(script, settings(given))
        tell("meshing")
        written = workflow.write_mockup(design, folder)
    for path in written:
        print(path)
