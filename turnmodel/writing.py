"""What reaches a folder: a function for each kind of file, each set of files whole or not at all."""

from __future__ import annotations

import functools
import hashlib
import inspect
import json
from typing import TYPE_CHECKING, Final, ParamSpec

from turnmodel.analysis.report import Report, as_json
from turnmodel.design.names import file_name
from turnmodel.shape.folders import written_together

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path

    import numpy as np
    from numpy.typing import NDArray

    from turnmodel.catalog.printer import Printer
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.output.mockup.printing import Prepared
    from turnmodel.output.papers.figures import Unit
    from turnmodel.output.papers.page import Paper
    from turnmodel.output.pictures.studio import Settings

__all__ = [
    "REPORT",
    "revision",
    "save_pictures",
    "taken_pictures",
    "write_cut_sheets",
    "write_gauge",
    "write_meshes",
    "write_mockup",
    "write_page",
    "write_papers",
    "write_pictures",
    "write_report",
    "write_solids",
]

REPORT: Final = "report.json"
"""It is the last to reach its folder: a folder that has it holds the files of one run."""

_Given = ParamSpec("_Given")


def _together(
    last: str | None = None,
) -> Callable[[Callable[_Given, list[Path]]], Callable[_Given, list[Path]]]:
    """Let what writes files into its parameter ``folder`` write them beside it, to be moved in together."""

    def decorated(write: Callable[_Given, list[Path]]) -> Callable[_Given, list[Path]]:
        signature = inspect.signature(write)

        @functools.wraps(write)
        def whole(*args: _Given.args, **named: _Given.kwargs) -> list[Path]:
            given = signature.bind(*args, **named)
            folder: Path = given.arguments["folder"]
            with written_together(folder, last=last) as draft:
                given.arguments["folder"] = draft
                written = write(*given.args, **given.kwargs)
            return [folder / path.relative_to(draft) for path in written]

        return whole

    return decorated


def write_report(found: Report, folder: Path) -> Path:
    """Write the report as JSON."""
    from turnmodel.shape.files import written_whole

    path = folder / REPORT
    with written_whole(path) as draft:
        draft.write_text(json.dumps(as_json(found), indent=2) + "\n", encoding="utf-8")
    return path


def write_page(design: Design, found: Report, tools: Toolbox, folder: Path) -> Path:
    """Write one page of all that is known of a design, with the pictures and drawings of a folder."""
    from turnmodel.gathering import gathered
    from turnmodel.output.page.html import page
    from turnmodel.shape.files import written_whole

    path = folder / f"{file_name(design.name)}.html"
    with written_whole(path) as draft:
        draft.write_text(page(gathered(design, found, tools, folder, file_name)), encoding="utf-8")
    return path


@_together()
def write_meshes(design: Design, folder: Path) -> list[Path]:
    """Write an STL of every part that is made and a 3MF of the set, at nominal size."""
    from turnmodel.design.part import BoughtPart
    from turnmodel.output.pictures.pieces import part_appearance
    from turnmodel.shape.files import PrintPart, write_3mf, write_stl
    from turnmodel.shape.part import part_mesh

    printed = [part for part in design.parts if not isinstance(part, BoughtPart)]
    written = []
    for part in printed:
        path = folder / "parts" / f"{file_name(part.name)}.stl"
        write_stl(part_mesh(part), path, part.name)
        written.append(path)
    path = folder / f"{file_name(design.name)}.3mf"
    parts = [
        PrintPart(name=part.name, mesh=part_mesh(part), color=part_appearance(part).base) for part in printed
    ]
    write_3mf(parts, path, design.name)
    return [*written, path]


@_together(last="mockup/mockup.md")
def write_mockup(made: Prepared, folder: Path) -> list[Path]:
    """Write a 3MF of every plate, an STL of every part as it stands, and the page that goes with them."""
    from turnmodel.output.mockup.telling import page
    from turnmodel.output.pictures.pieces import part_appearance
    from turnmodel.shape.files import PrintPart, write_3mf, write_stl, written_whole

    metal = made.mockup.metal
    colours = {part.name: part_appearance(part).base for part in metal.parts}
    owners = {part.name: part.of for part in made.standing}
    home, written = folder / "mockup", []
    for k, plate in enumerate(made.plates, start=1):
        path = home / f"{file_name(metal.name)}-plate-{k}.3mf"
        parts = [PrintPart(name=p.name, mesh=p.mesh, color=colours[owners[p.name]]) for p in plate.parts]
        write_3mf(parts, path, f"{metal.name}, plate {k}")
        written.append(path)
    for part in made.standing:
        written.append(home / f"{file_name(part.name)}.stl")
        write_stl(part.mesh, written[-1], part.name)
    written.append(home / "mockup.md")
    with written_whole(written[-1]) as draft:
        draft.write_text(page(made), encoding="utf-8")
    return written


@_together(last="gauge.toml")
def write_gauge(printer: Printer, folder: Path) -> list[Path]:
    """Write the pieces of the gauge, all of them on a plate, and the sheet to write their measures on."""
    from turnmodel.output.mockup.gauge import gauge, sheet
    from turnmodel.shape.files import PrintPart, write_3mf, write_stl, written_whole

    pieces, written = gauge(printer), []
    for piece in pieces:
        written.append(folder / f"gauge-{piece.name}.stl")
        write_stl(piece.mesh, written[-1], f"gauge {piece.name}")
    written.append(folder / "gauge.3mf")
    write_3mf([PrintPart(name=p.name, mesh=p.mesh) for p in pieces], written[-1], "gauge")
    written.append(folder / "gauge.toml")
    with written_whole(written[-1]) as draft:
        draft.write_text(sheet(printer), encoding="utf-8")
    return written


@_together()
def write_solids(design: Design, folder: Path) -> list[Path]:
    """Write a STEP of every part and of every state."""
    from turnmodel.output.pictures.pieces import part_appearance
    from turnmodel.shape.exact import write_part_step, write_step

    colours = {part.name: part_appearance(part).base for part in design.parts}
    written = []
    for part in design.parts:
        path = folder / "parts" / f"{file_name(part.name)}.step"
        write_part_step(part, colours[part.name], path)
        written.append(path)
    for state, pose in design.poses.items():
        path = folder / f"{file_name(design.name)}-{file_name(state)}.step"
        write_step(design.parts, pose.parts, colours, path, f"{design.name}, {state}")
        written.append(path)
    return written


@_together()
def write_pictures(
    design: Design, folder: Path, views: Sequence[str] | None = None, settings: Settings | None = None
) -> list[Path]:
    """Write the pictures of a design; left out, those that are usual."""
    return save_pictures(taken_pictures(design, views, settings), folder)


def taken_pictures(
    design: Design, views: Sequence[str] | None = None, settings: Settings | None = None
) -> dict[str, NDArray[np.uint8]]:
    """Take the pictures of a design, by the names of their files."""
    from turnmodel.output.pictures.album import USUAL, album

    return album(design, file_name, USUAL if views is None else views, settings)


def save_pictures(pictures: Mapping[str, NDArray[np.uint8]], folder: Path) -> list[Path]:
    """Write pictures that were taken [-], by the names of their files."""
    from turnmodel.output.pictures.album import save_album

    return save_album(pictures, folder)


def revision(script: Path, parameters: Mapping[str, object]) -> str:
    """Tell one version of a design from another: seven letters from its script and its parameters."""
    told = json.dumps({name: repr(value) for name, value in sorted(parameters.items())})
    return hashlib.sha256(script.read_bytes() + told.encode()).hexdigest()[:7]


@_together()
def write_papers(
    design: Design, revision: str, folder: Path, *, paper: Paper | None = None, unit: Unit | None = None
) -> list[Path]:
    """Write the drawings and the templates: one PDF of all, and each sheet as DXF and as SVG."""
    from turnmodel.output.papers.drawings import drawings
    from turnmodel.output.papers.dxf import dxf
    from turnmodel.output.papers.pdf import pdf
    from turnmodel.output.papers.svg import svg
    from turnmodel.shape.files import written_whole

    sheets = drawings(design, revision=revision, paper=paper, unit=unit)
    path = folder / f"{file_name(design.name)}-drawings.pdf"
    with written_whole(path) as draft:
        draft.write_bytes(pdf(sheets))
    written = [path]
    for number, sheet in enumerate(sheets, 1):
        name = f"{number:02d}-{file_name(sheet.title.rpartition(': ')[2])}"
        for ending, write in ((".dxf", dxf), (".svg", svg)):
            path = folder / "drawings" / f"{name}{ending}"
            with written_whole(path) as draft:
                draft.write_text(write(sheet), encoding="utf-8")
            written.append(path)
    return written


@_together()
def write_cut_sheets(
    design: Design,
    revision: str,
    folder: Path,
    tools: Toolbox,
    *,
    paper: Paper | None = None,
    unit: Unit | None = None,
    count: int = 1,
) -> list[Path]:
    """Write cut sheets and the buying list for a count of objects [-], each as PDF and as plain text."""
    from turnmodel.analysis.plan.buying import buying_list
    from turnmodel.analysis.plan.planner import cut_plans
    from turnmodel.output.papers.buying_sheet import buying_sheet, buying_text
    from turnmodel.output.papers.cut_entries import cut_words
    from turnmodel.output.papers.cut_sheet import cut_sheet
    from turnmodel.output.papers.cut_text import cut_text
    from turnmodel.output.papers.page import Paper
    from turnmodel.output.papers.pdf import pdf
    from turnmodel.shape.files import written_whole

    plans = cut_plans(design, tools, None if unit is None else unit.value)
    wanted = buying_list(design, plans, tools, count)
    size = paper or Paper.A4
    sheets = [s for plan in plans.values() for s in cut_sheet(plan, tools, size, design.name, revision)]
    text = "\n\n".join(cut_text(cut_words(plan, tools)) for plan in plans.values())
    written = []
    for name, pages, words in (
        ("cut-sheets", sheets, text),
        ("buying-list", buying_sheet(wanted, size, revision), buying_text(wanted)),
    ):
        path = folder / f"{file_name(design.name)}-{name}.pdf"
        with written_whole(path) as draft:
            draft.write_bytes(pdf(pages))
        plain = path.with_suffix(".txt")
        with written_whole(plain) as draft:
            draft.write_text(words, encoding="utf-8")
        written += [path, plain]
    return written
