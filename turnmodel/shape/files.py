"""Meshes as files for printing: STL and 3MF, written whole or not at all."""

from __future__ import annotations

import contextlib
import ctypes
import io
import locale
import os
import tempfile
import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from turnmodel.errors import BadValue, OutputError
from turnmodel.shape.folders import undisturbed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.shape.lathe import Mesh

__all__ = ["PrintPart", "locale_kept", "write_3mf", "write_stl", "written_whole"]

_STL_FACE: Final = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
"""One facet of a binary STL: 50 bytes."""

_NAMESPACE: Final = uuid.UUID("6f8c1f0e-3b0d-5f0a-9a57-2f6b1f1d7c11")
"""Root of the identifiers in a 3MF file, which are made from names so that a file is the same every time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintPart:
    """A part of a print: its name, its mesh [mm], and its colour, red, green and blue from 0 to 1."""

    name: str
    mesh: Mesh
    color: tuple[float, float, float] = (0.8, 0.8, 0.8)


@contextlib.contextmanager
def written_whole(path: Path) -> Iterator[Path]:
    """Give a name beside a file's place to write to, and move what was written there when all went well.

    Raises
    ------
    OutputError
        If the place cannot be written; what stood there before then still stands.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     place = Path(folder) / "note.txt"
    ...     with written_whole(place) as draft:
    ...         _ = draft.write_text("whole")
    ...     place.read_text()
    'whole'
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.stem}-", suffix=path.suffix, dir=path.parent)
    except OSError as error:
        raise OutputError(f"cannot write {path}: {error.strerror or error}") from error
    os.close(handle)
    draft = Path(name)
    try:
        yield draft
        draft.chmod(0o666 & ~_umask())
        draft.replace(path)
    except OSError as error:
        raise OutputError(f"cannot write {path}: {error.strerror or error}") from error
    finally:
        draft.unlink(missing_ok=True)


def _umask() -> int:
    """Read the permissions that new files are denied; a draft is made private."""
    mask = os.umask(0)
    os.umask(mask)
    return mask


def write_stl(mesh: Mesh, path: Path, name: str = "") -> None:
    """Write a mesh as binary STL, in mm: 84 bytes and 50 for each face.

    Parameters
    ----------
    mesh : Mesh
        Closed mesh, [mm]
    path : Path
        Place of the file
    name : str
        Put into the header, as far as 80 bytes hold it

    Raises
    ------
    OutputError
        If the file cannot be written.

    Notes
    -----
    Coordinates are rounded to 4 bytes, about 1e-7 of their size.
    """
    faces = np.zeros(len(mesh.faces), _STL_FACE)
    corners = mesh.vertices[mesh.faces]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    faces["normal"] = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0)
    faces["corners"] = corners
    header = f"turnmodel, mm {name}".encode("ascii", "replace")[:80].ljust(80)
    with written_whole(path) as draft, draft.open("wb") as file:
        file.write(header)
        file.write(np.uint32(len(faces)).astype("<u4").tobytes())
        file.write(faces.tobytes())


@contextlib.contextmanager
def locale_kept() -> Iterator[None]:
    """Give a library that sets the locale of the whole process its way, and put the locale back.

    Examples
    --------
    >>> before = locale.setlocale(locale.LC_ALL)
    >>> with locale_kept():
    ...     _ = locale.setlocale(locale.LC_ALL, "C")
    >>> locale.setlocale(locale.LC_ALL) == before
    True
    """
    before = locale.setlocale(locale.LC_ALL)
    try:
        yield
    finally:
        locale.setlocale(locale.LC_ALL, before)


def write_3mf(parts: Sequence[PrintPart], path: Path, title: str = "") -> None:
    """Write named, coloured meshes as one 3MF file, in mm.

    Parameters
    ----------
    parts : sequence of PrintPart
        At least one, names all different
    path : Path
        Place of the file
    title : str
        Title of the model

    Raises
    ------
    BadValue
        If there are no parts.
    OutputError
        If the file cannot be written.

    References
    ----------
    3MF Core Specification 1.3 and Materials and Properties Extension 1.2, 3MF Consortium.
    """
    if not parts:
        raise BadValue("parts of a print", 0, "-", "a 3MF file needs 1 at the least")
    # The library takes a tenth of a second to load, which only this function should cost.
    import lib3mf

    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    model.SetUnit(lib3mf.ModelUnit.MilliMeter)
    model.SetBuildUUID(str(uuid.uuid5(_NAMESPACE, f"build {title}")))
    if title:
        model.GetMetaDataGroup().AddMetaData("", "Title", title, "xs:string", True)
    colors = model.AddBaseMaterialGroup()
    for part in parts:
        made = model.AddMeshObject()
        made.SetName(part.name)
        made.SetUUID(str(uuid.uuid5(_NAMESPACE, f"object {part.name}")))
        corners = np.ascontiguousarray(part.mesh.vertices, np.float32)
        faces = np.ascontiguousarray(part.mesh.faces, np.uint32)
        made.SetGeometry(
            (lib3mf.Position * len(corners)).from_buffer(corners),
            (lib3mf.Triangle * len(faces)).from_buffer(faces),
        )
        color = wrapper.FloatRGBAToColor(*part.color, 1.0)
        made.SetObjectLevelProperty(colors.GetResourceID(), colors.AddMaterial(part.name, color))
        item = model.AddBuildItem(made, wrapper.GetIdentityTransform())
        item.SetUUID(str(uuid.uuid5(_NAMESPACE, f"item {part.name}")))
    with locale_kept(), undisturbed():  # an interruption within its calls back to us would be lost
        data = _in_memory(model.QueryWriter("3mf"))
    with written_whole(path) as draft:
        draft.write_bytes(data)


def _in_memory(writer: Any) -> bytes:
    """Let the 3MF library write to memory: on a full disk it would end the whole program."""
    import lib3mf

    held = io.BytesIO()

    def write(address: int, size: int, _: object) -> int:
        held.write(ctypes.string_at(address, size))
        return 0

    def seek(place: int, _: object) -> int:
        held.seek(place)
        return 0

    writer.WriteToCallback(lib3mf.WriteCallback(write), lib3mf.SeekCallback(seek), 0)
    return held.getvalue()
