"""The command that varies the parameters of a design, or finds those that meet a target."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from turnmodel.cli.options import AsJson, Script, Set, Tools, progress, settings
from turnmodel.errors import DesignFaults, OptionError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from turnmodel.analysis.variation import Row
    from turnmodel.design.design import Design
    from turnmodel.design.loading import Script as DesignScript

__all__ = ["vary"]

Samples = Annotated[
    int | None, typer.Option(metavar="N", help="N variants spread evenly over the ranges, not every one.")
]
Seed = Annotated[int, typer.Option(help="Another start gives other samples.")]

_SHOWN = 40  # rows of a table that a terminal shows
_IN_LINE = 5  # variants of a line-up that is not told which


def vary(
    script: Script,
    over: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME=...", help="FROM:TO:STEP, FROM:TO or VALUE,VALUE of a parameter; may be repeated."
        ),
    ] = None,
    target: Annotated[
        list[str] | None,
        typer.Option(metavar="FIGURE=N", help="Find the values that meet it: =, < or >; may be repeated."),
    ] = None,
    given: Set = None,
    samples: Samples = None,
    seed: Seed = 0,
    columns: Annotated[
        str | None,
        typer.Option(
            metavar="NAME,NAME", help="Figures by name, as states.open.balance_mm, parts.cap.mass_g, faults."
        ),
    ] = None,
    table_file: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE", help="Write the table as CSV.")
    ] = None,
    chart: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Draw the figures over the parameters: .png, .svg or .pdf."),
    ] = None,
    line_up: Annotated[
        Path | None,
        typer.Option("--line-up", metavar="FILE", help="Draw variants under each other at one scale."),
    ] = None,
    pick: Annotated[
        str | None,
        typer.Option(metavar="N,N", help="Which rows of the table stand in the line-up; some if left out."),
    ] = None,
    record: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Keep finished variants here; renders/NAME/vary.jsonl if left out."
        ),
    ] = None,
    tools: Tools = None,
    as_json: AsJson = False,
) -> None:
    """Tell figures over ranges of parameters, or find the parameters that meet a target."""
    from turnmodel.output.charts.canvas import picture_kind

    if target:
        _hold_alone(samples=samples, columns=columns, csv=table_file, chart=chart, line_up=line_up, pick=pick)
        from turnmodel.cli.target import told_target

        told_target(script, over or [], target, settings(given), tools, as_json=as_json)
        return
    if pick and line_up is None:
        raise OptionError(f"--pick {pick}: say where they are to stand, as --line-up FILE.png")
    for file in (chart, line_up):
        if file is not None:
            picture_kind(file)
    rows, design = _rows(
        script, over or [], settings(given), samples, seed, columns, record, tools, quiet=as_json
    )
    parameters = [text.partition("=")[0].strip() for text in over or []]
    if table_file is not None:
        _write_csv(rows, parameters, table_file)
    if chart is not None:
        from turnmodel.output.charts.variation import draw_variation

        draw_variation([_only(row, parameters) for row in rows], f"{design}: {len(rows)} variants", chart)
    if line_up is not None:
        _draw_line_up(script, rows, parameters, pick, line_up)
    if as_json:
        print(json.dumps(_laid_out(design, rows, parameters), indent=2))
        return
    from turnmodel.cli.tables import console

    out = console()
    out.print(_table(design, rows, parameters))
    for k, row in enumerate(rows[:_SHOWN], 1):
        if row.broken is not None:
            out.print(f"{k} cannot be built: {row.broken}")
    if len(rows) > _SHOWN:
        out.print(f"{len(rows) - _SHOWN} more; all of them with --csv FILE")
    for file in (table_file, chart, line_up):
        if file is not None:
            out.print(f"written to {file}")


def _hold_alone(**given: object) -> None:
    """Refuse what has no meaning beside a target."""
    for name, value in given.items():
        if value is not None:
            raise OptionError(
                f"--{name.replace('_', '-')}: has no meaning beside --target; drop one of the two"
            )


def _rows(
    path: Path,
    over: Sequence[str],
    fixed: Mapping[str, str],
    count: int | None,
    seed: int,
    columns: str | None,
    record: Path | None,
    tools: Path | None,
    *,
    quiet: bool,
) -> tuple[tuple[Row, ...], str]:
    """Plan the variants and compute them."""
    from turnmodel.analysis import variants, variation
    from turnmodel.analysis.figures import held_names, usual_names
    from turnmodel.analysis.record import Record
    from turnmodel.design.loading import read_script
    from turnmodel.workflow import folder_for

    read = read_script(path)
    spread = variants.axes(over, read.parameters)
    if not spread:
        known = ", ".join(read.parameters) or "none"
        raise OptionError(f"--over: name a parameter to vary, as --over NAME=FROM:TO:STEP; there is {known}")
    for axis in spread:
        if axis.name in fixed:
            raise OptionError(f"--set {axis.name}: is varied by --over as well; drop one of the two")
    chosen = variants.grid(spread) if count is None else variants.samples(spread, count, seed)
    base = _first_built(read, [fixed, *({**fixed, **variant} for variant in chosen)])
    names = tuple(name.strip() for name in columns.split(",")) if columns else usual_names(base)
    plan = variation.Plan(
        script=path,
        variants=tuple({**fixed, **variant} for variant in chosen),
        names=held_names(names, base, "--columns"),
        tools=tools,
    )
    kept = Record(path=record or folder_for(path, None) / "vary.jsonl")
    with progress(quiet=quiet) as tell:
        return variation.vary(plan, record=kept, tell=tell), base.name


def _first_built(script: DesignScript, settings: Sequence[Mapping[str, str]]) -> Design:
    """Build the script's own design, or the first variant that can be: all have figures of the same names."""
    from turnmodel.design.loading import design_of

    first: DesignFaults | None = None
    for given in settings:
        try:
            return design_of(script, given)[0]
        except DesignFaults as error:
            first = first or error
    assert first is not None
    raise first


def _only(row: Row, parameters: Sequence[str]) -> Row:
    """Leave the settings that do not vary."""
    from dataclasses import replace

    return replace(row, settings={name: row.settings[name] for name in parameters})


def _names(rows: Sequence[Row]) -> list[str]:
    """Names of the figures, in the order asked for."""
    return list(next((row.figures for row in rows if row.broken is None), {}))


def _write_csv(rows: Sequence[Row], parameters: Sequence[str], path: Path) -> None:
    """Write every variant, numbers not rounded."""
    from turnmodel.shape.files import written_whole

    text = io.StringIO()
    names = _names(rows)
    page = csv.writer(text, lineterminator="\n")
    page.writerow([*parameters, *names, "broken"])
    for row in rows:
        figures = ("" if (value := row.figures.get(name)) is None else repr(value) for name in names)
        page.writerow([*(row.settings[name] for name in parameters), *figures, row.broken or ""])
    with written_whole(path) as draft:
        draft.write_text(text.getvalue(), encoding="utf-8")


def _laid_out(design: str, rows: Sequence[Row], parameters: Sequence[str]) -> dict[str, Any]:
    return {
        "design": design,
        "variants": [
            {
                "settings": {name: row.settings[name] for name in parameters},
                "figures": dict(row.figures),
                "broken": row.broken,
            }
            for row in rows
        ],
    }


def _table(design: str, rows: Sequence[Row], parameters: Sequence[str]) -> Any:
    from turnmodel.cli.tables import table
    from turnmodel.output.charts.variation import label

    names = _names(rows)
    made = table(
        f"{design}: {len(rows)} variants",
        [
            ("", "right"),
            *((name.replace("_", " "), "right") for name in parameters),
            *((label(n), "right") for n in names),
        ],
    )
    for k, row in enumerate(rows[:_SHOWN], 1):
        cells = [_rounded(row.settings[name]) for name in parameters]
        if row.broken is None:
            made.add_row(str(k), *cells, *(_cell(row.figures[name]) for name in names))
        else:
            made.add_row(str(k), *cells, "not built")
    return made


def _rounded(text: str) -> str:
    """Shorten a sampled value to what a workshop reads."""
    try:
        return text if len(text) <= 6 else f"{float(text):.3f}"
    except ValueError:
        return text


def _cell(value: float | None) -> str:
    if value is None:
        return ""
    return str(value) if isinstance(value, int) else f"{value:.3f}" if abs(value) < 10 else f"{value:.2f}"


def _draw_line_up(
    path: Path, rows: Sequence[Row], parameters: Sequence[str], pick: str | None, file: Path
) -> None:
    """Build the variants that were picked once more, and stand them under each other."""
    from turnmodel.analysis.weight import state_weight
    from turnmodel.design.loading import design_of, read_script
    from turnmodel.output.charts.variation import Stood, draw_line_up

    whole = [k for k, row in enumerate(rows) if row.broken is None]
    picked = _picked(pick, rows) if pick else whole[:: max(1, -(-len(whole) // _IN_LINE))]
    if not picked:
        raise OptionError("--line-up: none of the variants can be built")
    read = read_script(path)
    stood = []
    for k in picked:
        design, _ = design_of(read, rows[k].settings)
        state = next(iter(design.states))
        weight = state_weight(design, state)
        said = ", ".join(
            f"{name.replace('_', ' ')} {_rounded(rows[k].settings[name])}" for name in parameters
        )
        stood.append(
            Stood(
                title=f"{k + 1}: {said}; {weight.mass:.1f} g, {weight.balance:.1f} mm",
                design=design,
                weight=weight,
            )
        )
    draw_line_up(stood, state, file)


def _picked(text: str, rows: Sequence[Row]) -> list[int]:
    """Read numbers of rows, counted from 1."""
    picked = []
    for piece in text.split(","):
        if not piece.strip().isdecimal() or not 1 <= int(piece) <= len(rows):
            raise OptionError(f"--pick {text}: must be numbers of rows from 1 to {len(rows)}, such as 1,5,9")
        if rows[int(piece) - 1].broken is not None:
            raise OptionError(
                f"--pick {text}: variant {int(piece)} cannot be built: {rows[int(piece) - 1].broken}"
            )
        picked.append(int(piece) - 1)
    return picked
