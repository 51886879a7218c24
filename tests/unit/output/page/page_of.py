"""Content of a page, made small: one picture, one drawing, one cut sheet."""

from __future__ import annotations

import struct
import zlib
from typing import TYPE_CHECKING

from turnmodel.analysis.report import as_json, report
from turnmodel.design.loading import load
from turnmodel.output.charts.section import sections
from turnmodel.output.page.content import Content, CutSheet, CutStep, Drawing, Picture, Stage, Table
from turnmodel.output.page.gltf import Look
from turnmodel.output.page.model import model, told_apart
from turnmodel.output.pictures.pieces import part_appearance

if TYPE_CHECKING:
    from pathlib import Path

    from turnmodel.design.design import Design

__all__ = ["SHEET", "content_of", "dot", "looks_of"]

SHEET = CutSheet(
    part="body",
    blank="10 mm bar, 47 mm of it",
    notes=("Sizes in mm.",),
    stages=(
        Stage(
            title="From the bar, front end out",
            why="One setting.",
            steps=(
                CutStep(verb="face", text="clean."),
                CutStep(
                    verb="drill",
                    text='2 mm, 3 mm deep; then <2.5 mm> & "seat".',
                    cautions=("Clear the chips.",),
                ),
                CutStep(verb="face", text="clean."),
            ),
            table=Table(heads=("in", "along"), rows=(("0.10", "0.52"),)),
        ),
    ),
)


def looks_of(design: Design) -> dict[str, Look]:
    """Tell how a design's parts look."""
    seen = {part.name: part_appearance(part) for part in design.parts}
    return {
        name: Look(base=a.base, metallic=a.metallic, roughness=a.roughness, cut=a.cut)
        for name, a in seen.items()
    }


def content_of(script: Path) -> Content:
    """Gather a demo design's page."""
    design, parameters = load(script)
    looks = looks_of(design)
    drawing = '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm"><path d="M0 0h9"/></svg>'
    return Content(
        report=as_json(report(design, parameters)),
        model=model(design, looks),
        outlines={state: sections(design, state) for state in design.states},
        inks={name: look.cut for name, look in told_apart(looks).items()},
        pictures=[Picture(title="closed", alt="The pen, closed", data=dot())],
        drawings=[Drawing(title="body", alt="Drawing of the body", svg=drawing)],
        sheets=[SHEET],
        cautions=["Local rules and licensed practice come first."],
    )


def dot() -> bytes:
    """Write a picture of one white pixel, PNG (ISO/IEC 15948)."""
    head = struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0)
    chunks = [(b"IHDR", head), (b"IDAT", zlib.compress(b"\0\xff\xff\xff")), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in chunks
    )
