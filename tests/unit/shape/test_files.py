"""Files for printing: whole, the same every time, and read back by others as what they are."""

from __future__ import annotations

import ctypes
import os
import signal
import struct

import lib3mf
import numpy as np
import pytest

from tests.threaded import run_out_screw
from tests.zoo import ZOO
from turnmodel.catalog.threads import thread
from turnmodel.errors import BadValue, OutputError
from turnmodel.geometry.body import Body
from turnmodel.shape.files import PrintPart, locale_kept, write_3mf, write_stl, written_whole
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import mesh_volume
from turnmodel.shape.mesh import read_back

FLOAT32 = 1e-6  # relative, ten times the rounding of a four-byte float


@pytest.fixture(scope="module")
def barrel():
    """A threaded part."""
    return lathe(run_out_screw(thread("M10x0.75")), 64)


@pytest.fixture(scope="module")
def cap():
    """A domed part."""
    return lathe(Body(plain=ZOO["dome"]), 64)


def test_stl_is_84_bytes_and_50_a_face(tmp_path, barrel):
    """The size of a binary STL follows from its faces (12 345 would be 617 334 bytes)."""
    write_stl(barrel, tmp_path / "barrel.stl", "barrel")
    data = (tmp_path / "barrel.stl").read_bytes()

    assert len(data) == 84 + 50 * len(barrel.faces)
    assert struct.unpack_from("<I", data, 80) == (len(barrel.faces),)
    assert data[:80].rstrip() == b"turnmodel, mm barrel"


def test_stl_does_not_begin_like_a_text_one(tmp_path, cap):
    """Readers take a file that begins with 'solid' for text: ours does not, whatever its name."""
    write_stl(cap, tmp_path / "x.stl", "solid " * 40)

    assert not (tmp_path / "x.stl").read_bytes().startswith(b"solid")
    assert len((tmp_path / "x.stl").read_bytes()) == 84 + 50 * len(cap.faces)


def test_stl_facets_have_unit_normals_outwards(tmp_path, cap):
    """Each facet's normal is of length one and square to its corners."""
    write_stl(cap, tmp_path / "cap.stl")
    record = np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    facets = np.frombuffer((tmp_path / "cap.stl").read_bytes(), record, offset=84)
    edge = facets["v"][:, 1] - facets["v"][:, 0]

    assert np.linalg.norm(facets["n"], axis=1) == pytest.approx(1, abs=1e-6)
    assert np.einsum("ij,ij->i", facets["n"], edge) == pytest.approx(0, abs=1e-5)


@pytest.mark.parametrize("name", ["barrel", "cap"])
def test_stl_reads_back_watertight(tmp_path, name, request):
    """A library that had no part in the writing finds the same closed volume."""
    mesh = request.getfixturevalue(name)
    write_stl(mesh, tmp_path / "part.stl")
    found = read_back(tmp_path / "part.stl")

    assert found.watertight
    assert found.volume == pytest.approx(mesh_volume(mesh), rel=FLOAT32)
    assert found.faces == len(mesh.faces)


def test_3mf_keeps_names_colours_unit_and_shape(tmp_path, barrel, cap):
    """The format's own library reads back what was written, valid and closed."""
    parts = [
        PrintPart(name="barrel", mesh=barrel, color=(0.8, 0.6, 0.2)),
        PrintPart(name="Käppchen", mesh=cap, color=(0, 0, 1)),
    ]
    write_3mf(parts, tmp_path / "kit.3mf", title="field kit")
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    with locale_kept():
        reader.ReadFromFile(str(tmp_path / "kit.3mf"))

    assert reader.GetWarningCount() == 0
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    objects = model.GetMeshObjects()
    seen = []
    while objects.MoveNext():
        item = objects.GetCurrentMeshObject()
        assert item.IsManifoldAndOriented()
        group, index, has = item.GetObjectLevelProperty()
        assert has
        color = model.GetBaseMaterialGroupByID(group).GetDisplayColor(index)
        seen.append((item.GetName(), item.GetTriangleCount(), (color.Red, color.Green, color.Blue)))
    assert seen == [("barrel", len(barrel.faces), (204, 153, 51)), ("Käppchen", len(cap.faces), (0, 0, 255))]


def test_3mf_is_the_same_every_time(tmp_path, cap):
    """Identifiers come from names, not from chance or the clock."""
    for name in ("a.3mf", "b.3mf"):
        write_3mf([PrintPart(name="cap", mesh=cap)], tmp_path / name)

    assert (tmp_path / "a.3mf").read_bytes() == (tmp_path / "b.3mf").read_bytes()


def test_ctrl_c_within_a_3mf_is_not_lost(tmp_path, cap, monkeypatch):
    """Pressed while the library calls back to us it interrupts once the library is done."""
    real = ctypes.string_at

    def pressed(address, size):
        signal.raise_signal(signal.SIGINT)
        return real(address, size)

    monkeypatch.setattr(ctypes, "string_at", pressed)
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        with pytest.raises(KeyboardInterrupt):
            write_3mf([PrintPart(name="cap", mesh=cap)], tmp_path / "cap.3mf")
    finally:
        signal.signal(signal.SIGINT, before)

    assert list(tmp_path.iterdir()) == []


def test_3mf_of_nothing_is_refused(tmp_path):
    """A print needs a part, and nothing is written without one."""
    with pytest.raises(BadValue, match="needs 1 at the least"):
        write_3mf([], tmp_path / "none.3mf")
    assert list(tmp_path.iterdir()) == []


def test_file_is_moved_in_whole(tmp_path):
    """Until all is written the old file stands; nothing is left beside it."""
    place = tmp_path / "new" / "note.txt"
    with written_whole(place) as draft:
        draft.write_text("first")
        assert not place.exists()
    with pytest.raises(ZeroDivisionError), written_whole(place) as draft:
        draft.write_text(f"second, {1 / 0}")

    assert place.read_text() == "first"
    assert list(place.parent.iterdir()) == [place]


def test_file_has_the_usual_permissions(tmp_path):
    """A file written whole may be read by whom any new file may."""
    plain = tmp_path / "plain.txt"
    plain.write_text("x")
    with written_whole(tmp_path / "whole.txt") as draft:
        draft.write_text("x")

    assert (tmp_path / "whole.txt").stat().st_mode == plain.stat().st_mode


@pytest.mark.skipif(os.name == "nt", reason="the error's words are those of POSIX")
def test_place_that_cannot_be_written_is_named(tmp_path):
    """A folder that is a file gives one clear error."""
    (tmp_path / "file").write_text("x")

    words = r"cannot write .*file/note\.txt: (Not a directory|File exists)"
    with pytest.raises(OutputError, match=words), written_whole(tmp_path / "file" / "note.txt"):
        pass
