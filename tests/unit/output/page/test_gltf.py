"""The model: read back by a library that had no part in writing it, and held to the letter of glTF 2.0."""

from __future__ import annotations

import io
import json
import struct
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
import trimesh

from tests.unit.output.page.page_of import looks_of
from turnmodel.analysis.weight import state_weight
from turnmodel.design.loading import load
from turnmodel.errors import BadValue, UnknownName
from turnmodel.geometry.body import Body as Turned
from turnmodel.geometry.frame import IDENTITY
from turnmodel.geometry.region import ring
from turnmodel.output.page.gltf import Body, Look, Scene, glb
from turnmodel.output.page.model import PAGE_FACETS, model, told_apart
from turnmodel.output.page.normals import creased
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import mesh_volume
from turnmodel.shape.part import part_mesh

if TYPE_CHECKING:
    from turnmodel.design.design import Design

PEN = Path(__file__).parents[4] / "designs" / "pocket_pen.py"

FLOAT_MM = 4e-6
"""Half a unit in the last place of 4 bytes at 64 mm, [mm]."""

LOOK = Look(base=(0.5, 0.5, 0.5), metallic=1.0, roughness=0.3, cut=(0.9, 0.8, 0.5))


@pytest.fixture(scope="module")
def pen() -> tuple[Design, bytes]:
    """Write the pocket pen's model."""
    design, _ = load(PEN)
    return design, model(design, looks_of(design))


def tree_of(data: bytes) -> dict[str, Any]:
    """Read a model's JSON."""
    length = struct.unpack_from("<I", data, 12)[0]
    return dict(json.loads(data[20 : 20 + length]))


def test_another_library_reads_the_same_object(pen: tuple[Design, bytes]) -> None:
    """It finds every part of the first state in metres, of the volume and length that it has here."""
    design, data = pen
    scene = trimesh.load_scene(io.BytesIO(data), file_type="glb")

    assert set(scene.geometry) == {part.name for part in design.parts}
    for part in design.parts:
        ours = part_mesh(part, "show", PAGE_FACETS)
        read = scene.geometry[part.name]
        read.merge_vertices(merge_norm=True, merge_tex=True)
        assert read.is_watertight
        # Each coordinate is off by a rounding, which moves the surface by as much.
        assert read.volume == pytest.approx(mesh_volume(ours), abs=FLOAT_MM * read.area)
    length = 1e3 * np.ptp(scene.bounds[:, 0])
    # Domes end on the axis, where facets cost nothing.
    assert length == pytest.approx(state_weight(design, "closed").length, abs=2 * FLOAT_MM)


def test_the_file_is_laid_out_as_the_standard_says(pen: tuple[Design, bytes]) -> None:
    """Chunks, alignment, bounds and indices are as glTF 2.0 asks, sections 3.6.2, 3.7.2 and 4."""
    _, data = pen
    magic, version, length, json_length, json_kind = struct.unpack_from("<4sIII4s", data)
    assert (magic, version, length, json_kind) == (b"glTF", 2, len(data), b"JSON")
    assert json_length % 4 == 0
    size, kind = struct.unpack_from("<I4s", data, 20 + json_length)
    assert (kind, size % 4, 28 + json_length + size) == (b"BIN\0", 0, len(data))
    tree, binary = tree_of(data), data[28 + json_length :]
    assert tree["buffers"] == [{"byteLength": size}]
    for accessor in tree["accessors"]:
        view = tree["bufferViews"][accessor["bufferView"]]
        kinds = {5126: ("<f4", 3), 5123: ("<u2", 1), 5125: ("<u4", 1)}
        letter, wide = kinds[accessor["componentType"]]
        assert view["byteOffset"] % 4 == 0
        assert view["byteLength"] == accessor["count"] * wide * np.dtype(letter).itemsize
        raw = binary[view["byteOffset"] : view["byteOffset"] + view["byteLength"]]
        values = np.frombuffer(raw, letter).reshape(-1, wide)
        if "min" in accessor:
            assert (values.min(axis=0) == accessor["min"]).all()
            assert (values.max(axis=0) == accessor["max"]).all()
    for mesh in tree["meshes"]:
        (primitive,) = mesh["primitives"]
        corners = tree["accessors"][primitive["attributes"]["POSITION"]]["count"]
        assert tree["accessors"][primitive["attributes"]["NORMAL"]]["count"] == corners
        assert tree["accessors"][primitive["indices"]]["count"] % 3 == 0


def test_each_state_is_a_scene_of_the_same_parts(pen: tuple[Design, bytes]) -> None:
    """Scenes are the states, their nodes the parts present, placed rigidly under a root in metres."""
    design, data = pen
    tree = tree_of(data)

    assert [scene["name"] for scene in tree["scenes"]] == list(design.states)
    for scene in tree["scenes"]:
        (root,) = scene["nodes"]
        turned = np.array(tree["nodes"][root]["matrix"]).reshape(4, 4).T[:3, :3] * 1e3
        assert turned @ turned.T == pytest.approx(np.eye(3), abs=1e-9)
        assert np.linalg.det(turned) == pytest.approx(1.0)
        names = [tree["nodes"][child]["name"] for child in tree["nodes"][root]["children"]]
        assert names == [p.name for p in design.parts if p.name in design.poses[scene["name"]].parts]


def test_what_stands_off_the_axis_is_on_top(pen: tuple[Design, bytes]) -> None:
    """The clip's screw is above the axis, and the front of the object is to the left."""
    _, data = pen
    scene = trimesh.load_scene(io.BytesIO(data), file_type="glb")
    middle = {name: scene.graph[name][0][:3, 3] for name in ("screw", "body", "cap")}

    assert middle["screw"][1] > 4e-3
    assert abs(middle["screw"][2]) < 1e-9
    assert middle["cap"][0] < middle["body"][0]


def test_the_same_design_gives_the_same_bytes(pen: tuple[Design, bytes]) -> None:
    """A second run writes the same file."""
    design, _ = load(PEN)

    assert model(design, looks_of(design)) == pen[1]


def test_large_bodies_are_numbered_by_four_bytes() -> None:
    """A body of more corners than 16 bits can number gets indices of 32, a smaller one of 16."""
    kinds = []
    for facets in (48, 9_000):
        shape = creased(lathe(Turned(plain=ring(0, 10, 8, 4)), facets=facets))
        body = Body(name="bar", shape=shape, look=LOOK)
        tree = tree_of(glb([body], [Scene(name="whole", placed={"bar": IDENTITY}, upright=IDENTITY)]))
        kinds.append(tree["accessors"][tree["meshes"][0]["primitives"][0]["indices"]]["componentType"])

    assert kinds == [5123, 5125]


def test_neighbours_of_one_material_are_told_apart() -> None:
    """Three parts of one material have three tints where they are cut, all of them colours."""
    tints = [look.cut for look in told_apart(dict.fromkeys("abc", LOOK)).values()]

    assert tints[0] == LOOK.cut
    assert len(set(tints)) == 3
    assert all(0 <= value <= 1 for tint in tints for value in tint)


def test_a_model_of_nothing_is_refused() -> None:
    """Without a body, without a scene, or with a name that there is not, one clear error says so."""
    shape = creased(lathe(Turned(plain=ring(0, 10, 8)), facets=8))
    body = Body(name="bar", shape=shape, look=LOOK)
    scene = Scene(name="whole", placed={"bra": IDENTITY}, upright=IDENTITY)

    with pytest.raises(BadValue, match="bodies of a model 0: a glTF file needs 1 at the least"):
        glb([], [scene])
    with pytest.raises(BadValue, match="scenes of a model 0: a glTF file needs 1 at the least"):
        glb([body], [])
    with pytest.raises(UnknownName, match="no body named 'bra'; did you mean 'bar'"):
        glb([body], [scene])
