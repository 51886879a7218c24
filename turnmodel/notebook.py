"""Designs and parts in a notebook: they show themselves, and their checks come as tables.

Importing this module is what turns it on, for all that is built before or after::

    import turnmodel.notebook

A design or a part that ends a cell is then shown by picture and table, and a design has three more methods:
``design.check()``, ``design.weigh()`` and ``design.picture()``, which are the functions below. Nothing else
of this program knows of notebooks, and nothing of Jupyter is needed here: what is shown are values that say
by themselves how they look as HTML and as text.
"""

from __future__ import annotations

import base64
import io
from dataclasses import dataclass
from html import escape
from itertools import zip_longest
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Final, Literal

from turnmodel.analysis.finding import Severity
from turnmodel.analysis.report import report
from turnmodel.analysis.weight import part_weight, state_weight
from turnmodel.catalog.tools import find_tools
from turnmodel.design.design import Design
from turnmodel.design.part import BoughtPart, Part
from turnmodel.errors import OutputError, TurnmodelError, UnknownName

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Column", "Picture", "Sheet", "Table", "View", "check", "picture", "shown", "weigh"]

View = Literal["whole", "cut", "apart"]
"""What a picture shows."""

Column = tuple[str, Literal["left", "right"]]
"""Heading of a column, and the side its cells keep to."""

_WIDEST: Final = 48
"""Widest cell of a table as text, letters; house choice: two of them stand side by side."""

_INKS: Final = {Severity.FAULT: "#b3261e", Severity.CAUTION: "#8a5a00", Severity.NOTE: "inherit"}
"""Colours of severities that can be read on white and on black paper alike; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table that a person reads: as HTML in a notebook, as text anywhere else.

    Examples
    --------
    >>> print(Table(title="bars", columns=(("bar", "left"), ("g", "right")), rows=(("12 mm", "9.5"),)))
    bars
    bar      g
    12 mm  9.5
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    inks: tuple[str, ...] = ()

    def _repr_html_(self) -> str:
        head = "".join(_cell("th", heading, side) for heading, side in self.columns)
        inks = self.inks or ("inherit",) * len(self.rows)
        body = "".join(
            "<tr>"
            + "".join(
                _cell("td", cell, side, ink if not n else "inherit")
                for n, (cell, (_, side)) in enumerate(zip(row, self.columns, strict=True))
            )
            + "</tr>"
            for row, ink in zip(self.rows, inks, strict=True)
        )
        caption = f'<caption style="text-align:left;font-weight:bold">{escape(self.title)}</caption>'
        return f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"

    def __str__(self) -> str:
        heads = tuple(heading for heading, _ in self.columns)
        lines = [line for row in (heads, *self.rows) for line in _wrapped(row)]
        widths = [max(len(line[k]) for line in lines) for k in range(len(self.columns))]
        aligned = [
            "  ".join(
                cell.rjust(width) if side == "right" else cell.ljust(width)
                for cell, width, (_, side) in zip(line, widths, self.columns, strict=True)
            ).rstrip()
            for line in lines
        ]
        return "\n".join([self.title, *aligned])

    __repr__ = __str__


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture as PNG, and what it shows in words."""

    png: bytes
    words: str

    def _repr_html_(self) -> str:
        packed = base64.b64encode(self.png).decode("ascii")
        return f'<img src="data:image/png;base64,{packed}" alt="{escape(self.words)}" style="max-width:100%">'

    def __repr__(self) -> str:
        return f"picture: {self.words}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Pictures and tables, one under the other; a text among them is said as it is."""

    entries: tuple[Table | Picture | str, ...]

    def _repr_html_(self) -> str:
        return "\n".join(
            f"<p>{escape(entry)}</p>" if isinstance(entry, str) else entry._repr_html_()
            for entry in self.entries
        )

    def __str__(self) -> str:
        return "\n\n".join(map(str, self.entries))

    __repr__ = __str__


def check(design: Design, tools: Path | None = None) -> Table:
    """Hold a design to every rule and list what is found, worst first.

    Parameters
    ----------
    design : Design
        The design
    tools : Path, optional
        Your file of tools; left out, ``tools.toml`` beside the notebook or in your configuration folder

    Returns
    -------
    Table
        How bad it is, in which state, what it is, what would mend it
    """
    # The file of tools is sought beside a script; a notebook runs in its own folder.
    found = report(design, {}, tools=find_tools(Path.cwd() / "notebook", tools))
    counts = [sum(f.severity is severity for f in found.findings) for severity in Severity]
    told = ", ".join(f"{n or 'no'} {s}{'' if n == 1 else 's'}" for n, s in zip(counts, Severity, strict=True))
    return Table(
        title=f"{design.name}: {told}",
        columns=(("", "left"), ("state", "left"), ("what", "left"), ("mend", "left")),
        rows=tuple((str(f.severity), f.state or "", f.message, f.mend or "") for f in found.findings),
        inks=tuple(_INKS[f.severity] for f in found.findings),
    )


def weigh(design: Design) -> Sheet:
    """Weigh a design.

    Parameters
    ----------
    design : Design
        The design

    Returns
    -------
    Sheet
        A table of the states, and one of the parts
    """
    rows = []
    for name in design.states:
        whole = state_weight(design, name)
        figures = (whole.mass, whole.balance, whole.length)
        rows.append((name, *(f"{figure:.2f}" for figure in figures), f"{whole.share:.0f}"))
    columns = (*_columns("state"), ("% of length", "right"))
    states = Table(title=f"{design.name}: states", columns=columns, rows=tuple(rows))
    return Sheet(entries=(states, _parts(f"{design.name}: parts", design.parts)))


def picture(design: Design, state: str | None = None, view: View = "whole", width: int = 900) -> Picture:
    """Take a picture of a design.

    Parameters
    ----------
    design : Design
        The design
    state : str, optional
        Name of the state; left out, the first
    view : {"whole", "cut", "apart"}
        What it shows
    width : int
        Largest width, [px]

    Returns
    -------
    Picture
        The picture

    Raises
    ------
    UnknownName
        If there is no such state or view
    OutputError
        If this machine cannot render; the message says why
    """
    from PIL import Image

    from turnmodel.output.pictures.pieces import pieces
    from turnmodel.output.pictures.studio import Settings
    from turnmodel.output.pictures.views import render

    state = next(iter(design.states)) if state is None else state
    if state not in design.states:
        raise UnknownName("state", state, design.states)
    taken = render(pieces(design, state, cut=view == "cut"), view, Settings(size=(width, width)))
    file = io.BytesIO()
    Image.fromarray(taken).save(file, format="PNG")
    how = {"whole": "", "cut": ", cut open", "apart": ", drawn apart"}[view]
    where = f" {state}" if len(design.states) > 1 else ""
    return Picture(png=file.getvalue(), words=f"{design.name}{where}{how}")


def shown(thing: Design | Part) -> Sheet:
    """Show a design or a part: by its picture, and by a table of what it weighs.

    Parameters
    ----------
    thing : Design or Part
        What is shown

    Returns
    -------
    Sheet
        The picture, or the reason why there is none, and the table; or what is wrong with the part
    """
    try:
        design = thing if isinstance(thing, Design) else Design(thing.name, parts=[thing])
    except TurnmodelError as error:
        return Sheet(entries=(str(error),))
    title = f"{design.name}: parts" if isinstance(thing, Design) else "part"
    table = _parts(title, design.parts)
    try:
        return Sheet(entries=(picture(design), table))
    except OutputError as error:
        return Sheet(entries=(str(error), table))


def _parts(title: str, parts: Sequence[Part]) -> Table:
    """Weigh parts."""
    rows = []
    for part in parts:
        weight = part_weight(part)
        mass = f"{'~' if weight.estimated else ''}{weight.mass:.2f}"
        material = "bought" if isinstance(part, BoughtPart) else part.material
        rows.append((part.name, material, mass, f"{weight.balance:.2f}", f"{weight.length:.2f}"))
    name, *figures = _columns("part")
    return Table(title=title, columns=(name, ("material", "left"), *figures), rows=tuple(rows))


def _columns(what: str) -> tuple[Column, ...]:
    return (what, "left"), ("mass g", "right"), ("balance mm", "right"), ("length mm", "right")


def _wrapped(row: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Break long cells, so that a row takes several lines."""
    cells = [wrap(cell, _WIDEST) or [""] for cell in row]
    return [tuple(line) for line in zip_longest(*cells, fillvalue="")]


def _cell(tag: str, text: str, side: str, ink: str = "inherit") -> str:
    style = f"text-align:{side}" + (f";color:{ink}" if ink != "inherit" else "")
    return f'<{tag} style="{style}">{escape(text)}</{tag}>'


def _bundle(thing: Design | Part, include: object = None, exclude: object = None) -> dict[str, str]:  # noqa: ARG001
    """Give what a notebook asks of a value that it shows."""
    sheet = shown(thing)
    return {"text/html": sheet._repr_html_(), "text/plain": str(sheet)}


for _kind, _methods in (
    (Design, {"_repr_mimebundle_": _bundle, "check": check, "picture": picture, "weigh": weigh}),
    (Part, {"_repr_mimebundle_": _bundle}),
):
    for _name, _method in _methods.items():
        setattr(_kind, _name, _method)
