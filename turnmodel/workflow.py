"""The story of a run: load, build, check, write."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from turnmodel import writing
from turnmodel.analysis.report import Report, report
from turnmodel.catalog.tools import find_tools, read_tools
from turnmodel.design.loading import load
from turnmodel.errors import OptionError, OutputError
from turnmodel.shape.folders import written_together

if TYPE_CHECKING:
    from collections.abc import Mapping

    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.output.mockup.calibration import Calibration
    from turnmodel.output.mockup.printing import Prepared
    from turnmodel.output.mockup.threads import Way
    from turnmodel.output.mockup.walls import Side

__all__ = ["Tell", "check", "fit_gauge", "folder_for", "make", "prepare_mockup"]

Tell = Callable[[str], None]
"""Told of each step of long work as it begins."""


def folder_for(script: Path, out: Path | None) -> Path:
    """Choose the folder that a script's files go to."""
    return out if out is not None else Path("renders") / script.stem


def check(
    script: Path, settings: Mapping[str, str], *, tools: Path | None = None, solids: bool = False
) -> tuple[Design, Report]:
    """Run a script and report on its design.

    Parameters
    ----------
    script : Path
        The script
    settings : mapping
        Parameter's name to its value as text
    tools : Path, optional
        File of tools; left out, the one that is found beside the script or for the user
    solids : bool
        Whether CAD solids are built as a third witness

    Returns
    -------
    tuple of Design and Report
        The design and everything that is known of it

    Raises
    ------
    TurnmodelError
        If the script, a setting or the tools are wrong
    """
    design, parameters = load(script, settings)
    return design, report(design, parameters, tools=find_tools(script, tools), solids=solids)


def make(
    script: Path,
    settings: Mapping[str, str],
    folder: Path,
    tell: Tell,
    *,
    tools: Path | None = None,
    lack: Tell | None = None,
) -> Report:
    """Write everything there is to a design into a folder, the report last.

    Parameters
    ----------
    script : Path
        The script
    settings : mapping
        Parameter's name to its value as text
    folder : Path
        Where all of it goes, or none of it
    tell : Tell
        Told of each step as it begins
    tools : Path, optional
        File of tools; left out, the one that is found beside the script or for the user
    lack : Tell, optional
        Told what this machine cannot make for want of a library, and what to install; all the rest is made.
        Left out, that is an error, once the rest is written

    Returns
    -------
    Report
        Everything that is known of the design

    Raises
    ------
    TurnmodelError
        If the script, a setting or the tools are wrong, or the folder cannot be written
    """
    tell("building and checking")
    lacking = _kernel_lacking()
    design, found = check(script, settings, tools=tools, solids=not lacking)
    owned = find_tools(script, tools)
    with written_together(folder, last=writing.REPORT) as draft:
        tell("meshes")
        writing.write_meshes(design, draft)
        tell("mock-up")
        writing.write_mockup(prepare_mockup(design, owned), draft)
        if not lacking:
            tell("solids")
            writing.write_solids(design, draft)
        tell("papers")
        revision = writing.revision(script, found.parameters)
        writing.write_papers(design, revision, draft)
        writing.write_cut_sheets(design, revision, draft, owned)
        tell("pictures")
        try:
            pictures = writing.taken_pictures(design)
        except OutputError as error:  # no renderer on this machine: all the rest is of use without it
            lacking.append(error)
        else:
            writing.save_pictures(pictures, draft)
        tell("page")
        writing.write_page(design, found, owned, draft)
        writing.write_report(found, draft)
    for want in lacking:
        if lack is None:
            raise want
        lack(str(want))
    return found


def _kernel_lacking() -> list[OutputError]:
    """Tell why the CAD kernel cannot be loaded, if it cannot."""
    try:
        import turnmodel.shape.solid  # noqa: F401
    except OutputError as error:
        return [error]
    return []


def prepare_mockup(
    design: Design,
    tools: Toolbox,
    *,
    process: str | None = None,
    way: Way = "coarse",
    thicken: Side | None = None,
    ballast: bool = False,
    dummies: bool = False,
) -> Prepared:
    """Make a mock-up ready for the printer among the tools, or for another process."""
    from turnmodel.catalog.printer import printer
    from turnmodel.output.mockup.printing import prepared

    if ballast and not tools.slugs:
        raise OptionError(
            "--ballast: your tools have no slugs; list some, as turnmodel facts tools --example shows"
        )
    chosen = tools.printer if process in (None, tools.printer.process) else printer(process or "")
    slugs = tools.slugs if ballast else ()
    return prepared(design, chosen, way=way, thicken=thicken, slugs=slugs, dummies=dummies)


def fit_gauge(measures: Path, tools: Path | None) -> tuple[Calibration, str]:
    """Fit a printer to a filled-in sheet, and write its record into a file of tools where one is named."""
    from turnmodel.catalog.printer import printer
    from turnmodel.output.mockup.calibration import calibrated, record
    from turnmodel.output.mockup.measures import measured
    from turnmodel.shape.files import written_whole

    found = calibrated(measured(measures))
    printer(found.process, **found.figures)
    if tools is None:
        return found, record("", found)
    read_tools(tools)
    text = record(tools.read_text(encoding="utf-8"), found)
    with written_whole(tools) as draft:
        draft.write_text(text, encoding="utf-8")
    return found, text
