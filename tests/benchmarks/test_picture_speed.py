"""The picture of a section and the page, beside plain scripts on the same meshes."""

from __future__ import annotations

import base64
import io
import json
import os
import re
import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np
import pytest

from tests.benchmarks.timing import best, child, forget, told
from turnmodel.analysis.report import as_json, report
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.loading import load
from turnmodel.design.part import BoughtPart
from turnmodel.geometry.tolerance import FACETS, circle_deficit
from turnmodel.output.page.model import PAGE_FACETS
from turnmodel.output.pictures.pieces import pieces
from turnmodel.output.pictures.studio import Settings
from turnmodel.output.pictures.views import render, save
from turnmodel.shape.files import write_stl
from turnmodel.shape.measures import mesh_volume
from turnmodel.shape.part import part_mesh
from turnmodel.writing import write_page

if TYPE_CHECKING:
    from pytest_benchmark.fixture import BenchmarkFixture

    from turnmodel.analysis.report import Report
    from turnmodel.design.design import Design

ROOT: Final = Path(__file__).parents[2]
PEN: Final = ROOT / "designs" / "pocket_pen.py"

NO_SCREEN: Final = {"VTK_DEFAULT_OPENGL_WINDOW": "vtkEGLRenderWindow"}
"""Has the renderer draw without a screen, as the program does."""

SINGLE_MM: Final = 128 * 2.0**-24
"""What a coordinate under 128 mm is off in four bytes (IEEE 754, binary32)."""


def _shown(picture: np.ndarray) -> int:
    """Count the pixels that are not paper."""
    paper = picture[0, 0, :3].astype(int)
    return int((np.abs(picture[..., :3].astype(int) - paper).max(axis=-1) > 12).sum())


def test_section_picture(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    """A state cut open, from parts to the file, each in a process of its own; the same metal is cut away."""
    from PIL import Image

    design, _ = load(PEN)
    size = Settings().size
    plan = {}
    opened = pieces(design, "closed", cut=True)
    for piece in opened:
        part = design.part(piece.name)
        file = tmp_path / f"{piece.name}.stl"
        write_stl(part_mesh(part), file)
        plan[piece.name] = (str(file), piece.frame, piece.appearance.base, isinstance(part, BoughtPart))
    (tmp_path / "places.json").write_text(json.dumps(plan), encoding="utf-8")

    def plain() -> None:
        words = [str(Path(__file__).with_name("plain_section.py")), "places.json", "plain.png"]
        child(*words, *map(str, size), folder=tmp_path, env=os.environ | NO_SCREEN)

    def ours() -> None:
        seen = load(PEN)[0]
        save(render(pieces(seen, "closed", cut=True), "cut"), tmp_path / "ours.png")

    seconds = best(plain, rounds=2)
    benchmark.pedantic(ours, rounds=2, warmup_rounds=1)

    volumes = json.loads((tmp_path / "plain.json").read_text(encoding="utf-8"))
    for piece in opened:
        assert mesh_volume(piece.mesh) == pytest.approx(volumes[piece.name], rel=circle_deficit(FACETS))
    for name in ("ours.png", "plain.png"):
        with Image.open(tmp_path / name) as picture:
            assert _shown(np.asarray(picture.convert("RGB"))) > 0.02 * size[0] * size[1]
    told(benchmark, "picture of the pocket pen, closed, cut open", "mesh library and renderer", seconds)


def _plain_page(design: Design, found: Report, folder: Path) -> Path:
    """Write a page as one would by hand: each state's meshes as binary glTF, pictures, the report as text."""
    import trimesh

    scene = trimesh.Scene()
    for part in design.parts:
        mesh = part_mesh(part, "show", PAGE_FACETS)
        smooth = trimesh.graph.smooth_shade(trimesh.Trimesh(mesh.vertices, mesh.faces), angle=0.5)
        for state, pose in design.poses.items():
            if part.name in pose.parts:
                scene.add_geometry(
                    smooth,
                    node_name=f"{state} {part.name}",
                    geom_name=part.name,
                    transform=np.array(pose.parts[part.name]),
                )
    model = base64.b64encode(scene.export(file_type="glb")).decode()
    images = [base64.b64encode(path.read_bytes()).decode() for path in sorted(folder.glob("*.png"))]
    told_of = json.dumps(as_json(found), indent=2)
    shown = "".join(f'<img src="data:image/png;base64,{image}">' for image in images)
    path = folder / "plain.html"
    path.write_text(f"<pre>{told_of}</pre>{shown}<script>const model = '{model}'</script>", encoding="utf-8")
    return path


def _models(path: Path) -> list[bytes]:
    """Read the binary glTF out of a page."""
    text = path.read_text(encoding="utf-8")
    return [base64.b64decode(found) for found in re.findall(r"Z2xURg[A-Za-z0-9+/=]+", text)]


def test_page(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    """The page of a whole object, its report and pictures there already; both hold the same metal."""
    import trimesh

    design, given = load(PEN)
    found, tools = report(design, given), assumed_tools()
    for picture in ROOT.glob("renders/pocket_pen-*.png"):
        shutil.copy(picture, tmp_path / picture.name.removeprefix("pocket_pen-"))

    seconds = best(lambda: _plain_page(load(PEN)[0], found, tmp_path), rounds=3)
    path = benchmark.pedantic(
        lambda: write_page(load(PEN)[0], found, tools, tmp_path), setup=forget, rounds=5, warmup_rounds=1
    )

    (ours,), (theirs,) = _models(path), _models(tmp_path / "plain.html")
    mine, plain = (trimesh.load_scene(io.BytesIO(data), file_type="glb") for data in (ours, theirs))
    for part in design.parts:
        a, b = mine.geometry[part.name], plain.geometry[part.name]
        assert a.volume == pytest.approx(b.volume, abs=2 * SINGLE_MM * b.area), part.name
    told(
        benchmark,
        "page of the pocket pen, with sections and cut sheets",
        "mesh library's glTF and a template",
        seconds,
    )
