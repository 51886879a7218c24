"""The command that looks up what the catalog knows."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from turnmodel.cli.options import AsJson

__all__ = ["facts"]


def facts(
    kind: Annotated[
        str, typer.Argument(metavar="KIND", help="threads, drills, materials, bars, refills ...")
    ],
    query: Annotated[
        str | None, typer.Argument(metavar="QUERY", help="A name; left out, all names of the kind.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Look up a thread, drill, material, bar, refill or fit, with its source."""
    from turnmodel.catalog.facts import facts as looked_up

    found = looked_up(kind, query)
    if as_json:
        listed = [{"name": f.name, "facts": dict(f.rows), "sources": list(f.sources)} for f in found]
        print(json.dumps(listed, indent=2, ensure_ascii=False))
        return
    from turnmodel.cli.tables import console, table

    out = console()
    if query is None:
        made = table(kind, [("name", "left"), ("", "left")])
        for fact in found:
            made.add_row(fact.name, "; ".join(value for _, value in fact.rows))
        out.print(made)
        return
    for fact in found:
        made = table(fact.name, [("", "left"), ("", "left")])
        made.show_header = False
        for label, value in fact.rows:
            made.add_row(label, value)
        out.print(made)
        for source in fact.sources:
            out.print(f"source: {source}", markup=False)
