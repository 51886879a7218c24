"""The page as one file: its parts put into the template, its styles and scripts inside it."""

from __future__ import annotations

import base64
import hashlib
from importlib.resources import files
from string import Template
from typing import TYPE_CHECKING, Final

from turnmodel.output.page.cutsheets import cautions, cut_sheets
from turnmodel.output.page.markup import Markup, joined, tag, text
from turnmodel.output.page.sections import drawings, findings, parameters, parts, pictures, summary, weights

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.output.page.content import Content

__all__ = ["SCRIPTS", "asset", "page", "stage"]

SCRIPTS: Final = ("matrix.js", "glb.js", "shaders.js", "viewer.js", "stage.js", "ticks.js", "gallery.js")
"""The page's scripts but for the one that starts them."""


def asset(*names: str) -> str:
    """Read files that ship with the page, one after another."""
    home = files("turnmodel.output.page") / "assets"
    return "\n".join((home / name).read_text(encoding="utf-8").strip() for name in names)


def page(content: Content) -> str:
    """Lay out the page.

    Parameters
    ----------
    content : Content
        What stands on it

    Returns
    -------
    str
        HTML that needs nothing else and asks no network for anything; the same content gives the same text

    Notes
    -----
    Its content security policy allows no request, and of scripts and styles only those written here.
    """
    report = content.report
    style, script = asset("page.css"), f"\n{asset(*SCRIPTS, 'start.js')}\n"
    sections = [
        findings(report),
        weights(content),
        parts(content),
        pictures(content.pictures),
        drawings(content.drawings),
        cautions(content.cautions),
        cut_sheets(report["design"], content.sheets),
    ]
    filled = [section for section in sections if section.inside]
    return Template(asset("page.html")).substitute(
        title=tag("title", report["design"]),
        design=tag("h1", report["design"]),
        summary=summary(report),
        parameters=parameters(report["parameters"]),
        contents=joined(tag("a", section.title, href=f"#{section.name}") for section in filled),
        stage=stage(report["design"], list(report["states"]), list(report["parts"])),
        sections=joined((section.html for section in filled), "\n"),
        style=style,
        script=script,
        style_hash=_hash(style),
        script_hash=_hash(script),
        model=base64.b64encode(content.model).decode("ascii"),
    )


def stage(design: str, states: Sequence[str], names: Sequence[str]) -> Markup:
    """Lay out the stage: the canvas, and what moves the object on it.

    Parameters
    ----------
    design : str
        Name of the design
    states : sequence of str
        Names of its states, in the model's order
    names : sequence of str
        Names of its parts

    Returns
    -------
    Markup
        For the script to find by its names
    """
    radios = [
        _choice("radio", "state", state, "state", checked=not number) for number, state in enumerate(states)
    ]
    boxes = [_choice("checkbox", "part", name, "part", checked=True) for name in names]
    laid_out = Template(asset("stage.html")).substitute(
        label=text(f"{design}, in 3D"),
        states=tag(
            "fieldset", tag("legend", "State"), joined(radios), class_="states", hidden=len(states) == 1
        ),
        parts=tag("fieldset", tag("legend", "Shown"), joined(boxes), class_="shown"),
    )
    return Markup(laid_out)


def _choice(kind: str, name: str, value: str, class_: str, *, checked: bool) -> Markup:
    box = tag("input", type=kind, name=name, value=value, checked=checked, autocomplete="off")
    return tag("label", box, tag("span", value), class_=class_)


def _hash(text: str) -> str:
    """Name a script or style to the content security policy."""
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode("ascii")
