"""Read the data files, and find a row by the name somebody wrote."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from turnmodel.errors import UnknownName
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["DATA", "find", "folded", "rows", "source_of"]

T = TypeVar("T")

DATA = Path(__file__).parent / "data"
"""Where the data files are."""


def rows(name: str, data: Path = DATA) -> tuple[dict[str, str], ...]:
    """Read a data file; every row names the work, the place in it and how the figure came here.

    Parameters
    ----------
    name : str
        File without its ending
    data : Path
        Folder of the file

    Returns
    -------
    tuple of dict
        Cells by column

    Raises
    ------
    ValueError
        If a row has no source, or too few or too many cells.

    Examples
    --------
    >>> rows("drill_letters")[5]["letter"]
    'F'
    """
    with (data / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        table = tuple(csv.DictReader(file, strict=True))
    for number, row in enumerate(table, start=2):
        if None in row or None in row.values():
            raise ValueError(f"{name}.csv, line {number}: cells and columns do not match")
        try:
            source_of(row)
        except (KeyError, ValueError) as fault:
            raise ValueError(f"{name}.csv, line {number}: {fault}") from fault
    return table


def source_of(row: Mapping[str, str]) -> Source:
    """Take the source from a row's columns ``work``, ``place`` and ``basis``.

    Examples
    --------
    >>> print(source_of({"work": "ISO 261:1998", "place": "table 2", "basis": "from memory"}))
    ISO 261:1998, table 2 (from memory)
    """
    return Source(work=row["work"], place=row["place"], basis=Basis(row["basis"]))


def folded(name: str) -> str:
    """Bring a name to the form in which case and spaces do not count.

    Examples
    --------
    >>> folded(" Silver  Steel")
    'silversteel'
    """
    return "".join(name.split()).casefold()


def find(kind: str, given: str, table: Mapping[str, T]) -> T:
    """Find a record by name, whatever its case and spaces.

    Parameters
    ----------
    kind : str
        What is looked for, in the words of the message
    given : str
        The name as written
    table : Mapping
        Records by name

    Returns
    -------
    object
        The record

    Raises
    ------
    UnknownName
        If there is none; the message proposes the nearest name.

    Examples
    --------
    >>> find("letter", "b ", {"A": 1, "B": 2})
    2
    """
    wanted = folded(given)
    for name, record in table.items():
        if folded(name) == wanted:
            return record
    raise UnknownName(kind, given, table)
