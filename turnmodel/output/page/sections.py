"""What the page tells of a design: findings, weights, the list of parts, pictures and drawings."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from turnmodel.output.page.balance import balance_drawing, frame_of, ink
from turnmodel.output.page.markup import Markup, joined, tag

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from turnmodel.output.page.content import Content, Drawing, Picture

__all__ = [
    "Section",
    "drawings",
    "findings",
    "parameters",
    "parts",
    "pictures",
    "summary",
    "table",
    "weights",
]


@dataclass(frozen=True, slots=True)
class Section:
    """A section of the page: its heading and what stands under it, which may be nothing."""

    title: str
    inside: Markup

    @property
    def name(self) -> str:
        """What links call it."""
        return self.title.casefold().replace(" ", "-")

    @property
    def html(self) -> Markup:
        """The section as HTML."""
        head = tag("h2", self.title, id=f"{self.name}-title")
        return tag("section", head, self.inside, id=self.name, aria_labelledby=f"{self.name}-title")


def table(caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]], numbers: str = "") -> Markup:
    """Write a table that may be wider than the page; ``numbers`` names the heads over figures by letter.

    The first cell of each row is its head; a column is one of figures where its letter in ``numbers`` is "n".
    """
    kinds = [letter == "n" for letter in numbers.ljust(len(heads))]
    head = tag("tr", joined(_cell("th", h, n, scope="col") for h, n in zip(heads, kinds, strict=True)))
    body = [
        tag(
            "tr",
            joined(
                _cell("td" if k else "th", cell, kinds[k], scope=None if k else "row")
                for k, cell in enumerate(row)
            ),
        )
        for row in rows
    ]
    inside = tag("table", tag("caption", caption), tag("thead", head), tag("tbody", joined(body)))
    return tag("div", inside, class_="wide", role="region", aria_label=caption, tabindex="0")


def _cell(name: str, value: str, figure: bool, scope: str | None = None) -> Markup:
    return tag(name, value, class_="figure" if figure else None, scope=scope)


def summary(report: Mapping[str, Any]) -> Markup:
    """Tell the whole object in a line: its parts, its mass and length, and whether anything is wrong."""
    state, first = next(iter(report["states"].items()))
    counts = [
        _counted(sum(f["severity"] == severity for f in report["findings"]), severity)
        for severity in ("fault", "caution")
    ]
    facts = [
        _counted(len(report["parts"]), "part"),
        f"{first['mass_g']:.1f} g, {first['length_mm']:.1f} mm {state}".removesuffix(" whole"),
        ", ".join(counts),
    ]
    return tag("p", joined((tag("span", fact) for fact in facts), " "), class_="summary")


def _counted(count: int, what: str) -> str:
    return f"{count or 'no'} {what}{'' if count == 1 else 's'}"


def parameters(values: Mapping[str, Any]) -> Markup:
    """List what the script was run with."""
    if not values:
        return Markup("")
    told = [tag("div", tag("dt", name), tag("dd", _given(value))) for name, value in values.items()]
    return tag("dl", joined(told), class_="given")


def _given(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def findings(report: Mapping[str, Any]) -> Section:
    """List findings, worst first; notes stay folded."""
    found = report["findings"]
    worse = [f for f in found if f["severity"] != "note"]
    notes = [f for f in found if f["severity"] == "note"]
    said = [
        tag("ul", joined(map(_finding, worse)), class_="findings")
        if worse
        else tag("p", "Nothing found that keeps it from being made or from working.")
    ]
    if notes:
        listed = tag("ul", joined(map(_finding, notes)), class_="findings")
        said.append(tag("details", tag("summary", _counted(len(notes), "note")), listed))
    return Section("Findings", joined(said))


def _finding(found: Mapping[str, Any]) -> Markup:
    where = f" ({found['state']})" if found["state"] else ""
    lines = [
        tag("span", found["severity"], class_="severity"),
        tag("p", found["message"] + where, class_="message"),
    ]
    if found["mend"]:
        lines.append(tag("p", tag("b", "Mend:"), " ", found["mend"], class_="mend"))
    lines.append(tag("p", f"{found['rule']}; {found['source']}", class_="source"))
    return tag("li", joined(lines), class_=found["severity"])


def weights(content: Content) -> Section:
    """Draw every state with its balance point, and tell each part's share."""
    frame = frame_of(content.outlines)
    drawn = []
    for name, state in content.report["states"].items():
        outlines = content.outlines[name]
        front = min(z for part in outlines.values() for outline in part for z, _ in outline)
        balance, length = state["balance_mm"] - front, state["length_mm"]
        told = (
            f"{state['mass_g']:.1f} g, balances {balance:.1f} mm from the front end, "
            f"{100 * balance / length:.0f} % of {length:.1f} mm"
        )
        drawing = balance_drawing(
            outlines, content.inks, state["balance_mm"], frame, f"{name}, cut along its axis: {told}"
        )
        caption = tag("figcaption", tag("b", name), " ", tag("span", told))
        drawn.append(
            tag("figure", caption, drawing, _shares(content, state, list(outlines)), class_="weight")
        )
    return Section("Weight and balance", joined(drawn))


def _shares(content: Content, state: Mapping[str, Any], names: Sequence[str]) -> Markup:
    """List the parts' shares of the mass, the heaviest first."""
    masses = {name: content.report["parts"][name]["mass_g"] for name in names}
    told = [
        tag("li", _swatch(content, name), f"{name} {_percent(masses[name] / state['mass_g'])}")
        for name in sorted(masses, key=lambda name: -masses[name])
    ]
    return tag("ul", joined(told), class_="shares")


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %" if share >= 0.005 else "under 1 %"


def _swatch(content: Content, name: str) -> Markup:
    square = tag("rect", width="10", height="10", rx="2", fill=ink(content.inks[name]))
    return tag("svg", square, viewBox="0 0 10 10", class_="swatch", aria_hidden="true")


def parts(content: Content) -> Section:
    """List the parts, as a drawing's list does."""
    rows = [
        (
            joined((f"{number} ", _swatch(content, name), name)),
            part["material"],
            part["stock"] or "",
            f"{part['length_mm']:.2f}",
            f"{part['mass_g']:.2f}",
        )
        for number, (name, part) in enumerate(content.report["parts"].items(), start=1)
    ]
    heads = ("part", "material", "from", "length, mm", "mass, g")
    return Section("Parts", table("List of parts", heads, rows, numbers="   nn"))


def pictures(shown: Sequence[Picture]) -> Section:
    """Show the pictures."""
    return Section("Pictures", _gallery((p.title, _image("png", p.data, p.alt)) for p in shown))


def drawings(sheets: Sequence[Drawing]) -> Section:
    """Show the drawings, each on its white sheet."""
    drawn = ((d.title, _image("svg+xml", d.svg.encode(), d.alt)) for d in sheets)
    hung = _gallery(drawn)
    said = tag(
        "p", "Not to scale here: print them, and the templates, from their PDF at 100 %.", class_="hint"
    )
    return Section("Drawings", joined((hung, said)) if hung else hung)


def _gallery(shown: Iterable[tuple[str, Markup]]) -> Markup:
    """Hang pictures side by side; one that is pressed takes the whole width."""
    figures = [
        tag(
            "figure",
            tag("button", image, type="button", data_enlarge="", aria_pressed="false"),
            tag("figcaption", title),
        )
        for title, image in shown
    ]
    return tag("div", joined(figures), class_="gallery") if figures else Markup("")


def _image(kind: str, data: bytes, alt: str) -> Markup:
    packed = base64.b64encode(data).decode("ascii")
    return tag("img", src=f"data:image/{kind};base64,{packed}", alt=alt)
