"""The files of a mock-up, read back by libraries that had no part in writing them.

Source of what a 3MF must be: 3MF Core Specification 1.4.0, 3MF Consortium: unit, positive octant, closed and
consistently oriented meshes.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import lib3mf
import numpy as np
import pytest

from turnmodel import workflow, writing
from turnmodel.catalog.printer import printer
from turnmodel.catalog.toolbox import OwnedSlug
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.loading import load
from turnmodel.output.pictures.pieces import part_appearance
from turnmodel.shape.files import locale_kept
from turnmodel.shape.mesh import read_back

DESIGNS = sorted((Path(__file__).parents[4] / "designs").glob("*.py"))


def objects(path):
    """Read a 3MF: its unit, and by name each object's corners, whether it is closed, and its colour."""
    model = lib3mf.get_wrapper().CreateModel()
    with locale_kept():
        model.QueryReader("3mf").ReadFromFile(str(path))
    found, meshes = {}, model.GetMeshObjects()
    while meshes.MoveNext():
        mesh = meshes.GetCurrentMeshObject()
        corners = np.array([list(v.Coordinates) for v in mesh.GetVertices()])
        resource, chosen, _ = mesh.GetObjectLevelProperty()
        colour = model.GetBaseMaterialGroupByID(resource).GetDisplayColor(chosen)
        rgb = tuple(getattr(colour, channel) / 255 for channel in ("Red", "Green", "Blue"))
        closed = mesh.IsManifoldAndOriented()
        found[mesh.GetName()] = (corners, closed, rgb)
    return model.GetUnit(), found


@pytest.mark.parametrize("process", ["filament", "resin"])
@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_every_file_of_every_design_reads_back(path, process, tmp_path):
    """STL and 3MF are closed and oriented, in mm, in the positive octant, named, parts in their colours."""
    design, _ = load(path, {})
    made = workflow.prepare_mockup(design, assumed_tools(), process=process)
    written = writing.write_mockup(made, tmp_path)

    stls = [file for file in written if file.suffix == ".stl"]
    assert len(stls) == len(made.standing)
    for file in stls:
        seen = read_back(file)
        assert seen.watertight
        assert seen.volume > 0
    colours = {part.name: part_appearance(part).base for part in design.parts}
    named = set()
    for file in written:
        if file.suffix == ".3mf":
            unit, found = objects(file)
            assert unit == lib3mf.ModelUnit.MilliMeter
            for name, (corners, closed, rgb) in found.items():
                assert closed
                assert corners.min() >= 0
                assert (corners.max(axis=0) <= made.mockup.printer.bed).all()
                assert rgb == pytest.approx(colours[name], abs=0.5 / 255)
            named |= set(found)
    assert named == {part.name for part in made.mockup.printed}
    page = written[-1].read_text(encoding="utf-8")
    assert all(str(cut) in page for cut in made.mockup.threads)
    assert all(f"**{part.name}** stands on its {part.on}" in page for part in made.standing)


def design(name):
    """Load one of the designs."""
    return load(next(path for path in DESIGNS if path.stem == name), {})[0]


def test_every_pocket_has_a_plug_of_its_own_name_and_its_parts_colour(tmp_path):
    """As many plugs as pockets lie on the plate, in the colour of the part that they close."""
    slug = OwnedSlug(material="silver steel", diameter=3.0, length=6.0, count=16)
    tools = replace(assumed_tools(), slugs=(slug,))
    made = workflow.prepare_mockup(design("plumb_bob"), tools, ballast=True)
    written = writing.write_mockup(made, tmp_path)

    _, found = objects(written[0])
    plugs = [name for name in found if name.startswith("plug of body, front")]
    assert len(plugs) == sum(pocket.slot.around for pocket in made.ballast.pockets) > 0
    assert {found[name][2] for name in plugs} == {found["body"][2]}
    assert len(written) == len(found) + 2


def test_what_is_bought_is_printed_on_request_only(tmp_path):
    """The refill is no file of a mock-up, and a dummy of it is one when that is asked for."""
    bare = workflow.prepare_mockup(design("field_pen"), assumed_tools())
    whole = workflow.prepare_mockup(design("field_pen"), assumed_tools(), dummies=True)

    assert "ink" not in {part.name for part in bare.standing}
    assert {part.name for part in whole.standing} - {part.name for part in bare.standing} == {"ink"}
    assert whole.felt[0].mass < bare.felt[0].mass


@pytest.mark.parametrize("process", ["filament", "resin"])
def test_the_gauge_reads_back(process, tmp_path):
    """Its three pieces are closed, in one 3MF in the positive octant, and its sheet is beside them."""
    *stls, package, sheet = writing.write_gauge(printer(process), tmp_path)

    assert [file.name for file in stls] == ["gauge-plate.stl", "gauge-peg.stl", "gauge-screw.stl"]
    assert all(read_back(file).watertight for file in stls)
    _, found = objects(package)
    assert list(found) == ["plate", "peg", "screw"]
    assert all(corners.min() >= 0 for corners, _, _ in found.values())
    assert sheet.name == "gauge.toml"
