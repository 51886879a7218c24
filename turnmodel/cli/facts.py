"""The command that looks up what the catalog knows, the rules, and the tools."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from turnmodel.cli.options import AsJson
from turnmodel.errors import OptionError

if TYPE_CHECKING:
    from turnmodel.catalog.facts import Fact

__all__ = ["facts"]


def facts(
    kind: Annotated[
        str, typer.Argument(metavar="KIND", help="threads, drills, materials, finishes ... rules, tools")
    ],
    query: Annotated[
        str | None,
        typer.Argument(metavar="QUERY", help="A name, for tools a file; left out, all there is of the kind."),
    ] = None,
    example: Annotated[
        bool, typer.Option("--example", help="With tools: print a commented file to begin from.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Look up a thread, drill, material, bar, refill, finish, fit or rule, with its source, or your tools."""
    if example:
        _print_example(kind)
        return
    found = _looked_up(kind, query)
    if as_json:
        listed = [{"name": f.name, "facts": dict(f.rows), "sources": list(f.sources)} for f in found]
        print(json.dumps(listed, indent=2, ensure_ascii=False))
        return
    from turnmodel.cli.tables import console, table

    out = console()
    if query is None and kind.casefold() != "tools":
        labels = list(dict.fromkeys(label for fact in found for label, _ in fact.rows))
        made = table(kind, [("name", "left"), *((label, "left") for label in labels)])
        for fact in found:
            told = dict(fact.rows)
            made.add_row(fact.name, *(told.get(label, "") for label in labels))
        out.print(made)
        return
    for fact in found:
        made = table(fact.name, [("", "left"), ("", "left")])
        made.show_header = False
        for label, value in fact.rows:
            made.add_row(label, value)
        out.print(made)
        for source in fact.sources:
            out.print(f"source: {source}")


def _looked_up(kind: str, query: str | None) -> tuple[Fact, ...]:
    """Look a name up where its kind is known."""
    from turnmodel.catalog.facts import KINDS
    from turnmodel.catalog.facts import facts as in_catalog
    from turnmodel.catalog.table import find

    home = find("kind of fact", kind, {**dict.fromkeys(KINDS, "catalog"), "rules": "rules", "tools": "tools"})
    if home == "catalog":
        return in_catalog(kind, query)
    if home == "rules":
        from turnmodel.analysis.rule_facts import rule_facts

        return rule_facts(query)
    from turnmodel.catalog.tool_facts import tool_facts
    from turnmodel.catalog.tools import find_tools

    return (tool_facts(find_tools(Path("design.py"), Path(query) if query else None)),)


def _print_example(kind: str) -> None:
    """Print the file of tools to begin from."""
    from turnmodel.catalog.tools import example_tools

    if kind.casefold() != "tools":
        raise OptionError(f"--example: there is one of tools, not of {kind}; write: facts tools --example")
    print(example_tools(), end="")
