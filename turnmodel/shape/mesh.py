"""The only door to the mesh kernel: booleans, overlap and gap of meshes that are not round about one axis.

Every mesh is checked as it goes in, so that a broken one cannot read as "nothing there", and comes out as
arrays of its own. What is only read back to check a file goes by another library, loaded when that is asked.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import manifold3d as kernel  # type: ignore[import-not-found]
import numpy as np

from turnmodel.errors import BadValue, OutputError, WitnessError
from turnmodel.geometry.across import Block, CrossCylinder, Tool
from turnmodel.geometry.tolerance import FACETS
from turnmodel.shape.lathe import SKIN, Mesh, radius_factor
from turnmodel.shape.measures import mesh_volume, open_edges, transformed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from numpy.typing import NDArray

    from turnmodel.geometry.frame import Matrix

    Floats = NDArray[np.float64]

__all__ = [
    "ReadBack",
    "cut",
    "gap",
    "intersection",
    "intersection_volume",
    "joined",
    "moved",
    "read_back",
    "tool_mesh",
]

_PAIR: Final = ("first part", "second part")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBack:
    """What a mesh file holds, read by a library that had no part in writing it; volume in [mm3]."""

    watertight: bool
    volume: float
    faces: int


def cut(mesh: Mesh, *cutters: Mesh, name: str = "part") -> Mesh:
    """Take cutters away from a mesh.

    Parameters
    ----------
    mesh : Mesh
        What is cut, [mm]
    cutters : Mesh
        What is taken away, [mm]
    name : str
        Name of the part in errors

    Returns
    -------
    Mesh
        Closed; every face keeps the tag of the mesh that it comes from; empty where nothing is left

    Raises
    ------
    WitnessError
        If a mesh is open, inside out or empty, or the result is not a closed mesh.

    Examples
    --------
    >>> from turnmodel.geometry.body import Body
    >>> from turnmodel.geometry.region import ring
    >>> from turnmodel.shape.lathe import lathe
    >>> bar, drill = lathe(Body(plain=ring(0, 10, 8))), lathe(Body(plain=ring(-1, 11, 4)))
    >>> round(mesh_volume(cut(bar, drill)) / mesh_volume(bar), 9)
    0.75
    """
    if not cutters:
        return mesh
    return _combined(
        [mesh, *cutters], [name, *(f"cutter of {name}" for _ in cutters)], kernel.OpType.Subtract
    )


def joined(*meshes: Mesh, name: str = "part") -> Mesh:
    """Join meshes to one.

    Raises
    ------
    WitnessError
        If a mesh is open, inside out or empty, or the result is not a closed mesh.
    """
    return _combined(meshes, [name] * len(meshes), kernel.OpType.Add)


def intersection(a: Mesh, b: Mesh, names: tuple[str, str] = _PAIR) -> Mesh:
    """Keep what two meshes share.

    Raises
    ------
    WitnessError
        If a mesh is open, inside out or empty, or the result is not a closed mesh.
    """
    return _combined([a, b], names, kernel.OpType.Intersect)


def intersection_volume(a: Mesh, b: Mesh, names: tuple[str, str] = _PAIR) -> float:
    """Measure what two meshes share, [mm3].

    Raises
    ------
    WitnessError
        If a mesh is open, inside out or empty.

    Notes
    -----
    Faces that only touch share nothing if they have equal corners; otherwise chords that cross leave up to
    the sagitta of a facet times the area of contact.
    """
    first, second = _both(a, b, names)
    return float((first ^ second).volume())


def gap(a: Mesh, b: Mesh, search: float, names: tuple[str, str] = _PAIR) -> float | None:
    """Measure the least distance between two meshes, as far as it is searched.

    Parameters
    ----------
    a, b : Mesh
        In one frame, [mm]
    search : float
        How far to look; the time taken grows with it, [mm]
    names : tuple of str
        Names of the parts in errors

    Returns
    -------
    float or None
        Distance, zero where they touch or overlap, [mm]; None if there is nothing within the search

    Raises
    ------
    WitnessError
        If a mesh is open, inside out or empty.
    """
    first, second = _both(a, b, names)
    distance = float(first.min_gap(second, search))
    return distance if distance < search else None


def moved(mesh: Mesh, matrix: Matrix, name: str = "part") -> Mesh:
    """Move a mesh, and with it what the kernel holds of it, which need not be handed to it anew.

    Parameters
    ----------
    mesh : Mesh
        What is moved, [mm]
    matrix : tuple of 4 rows
        A rigid placement, shifts in [mm]
    name : str
        Name of the part in errors

    Returns
    -------
    Mesh
        The mesh where it now stands, [mm]

    Raises
    ------
    WitnessError
        If the mesh is open, inside out or empty.
    """
    held = _held(_Entry(mesh, name))
    made = transformed(mesh, matrix)
    _held(_Entry(made, name, _Held(held.solid.transform(matrix[:3]), held.tags)))
    return made


def tool_mesh(tool: Tool, facets: int = FACETS, tag: int = SKIN) -> Mesh:
    """Mesh a plain shape that cuts across a part.

    Parameters
    ----------
    tool : CrossCylinder or Block or Prism
        The shape, [mm]
    facets : int
        Facets round a full circle, [-]
    tag : int
        What its faces are to be taken for, [-]

    Returns
    -------
    Mesh
        Closed; cylinders have the area of their circle

    Raises
    ------
    BadValue
        If an outline is not counter-clockwise or crosses itself.
    WitnessError
        If the kernel makes no closed mesh of it.
    """
    if isinstance(tool, CrossCylinder):
        radius = tool.diameter / 2 * radius_factor(facets)
        made = kernel.Manifold.cylinder(tool.length, radius, radius, facets)
        matrix = np.eye(4)
        matrix[:3, :3], matrix[:3, 3] = _axes_along(np.array(tool.direction)), tool.at
    elif isinstance(tool, Block):
        made = kernel.Manifold.cube(tool.size, True)
        matrix = np.eye(4)
        matrix[:3, :3], matrix[:3, 3] = np.array(tool.axes).T, tool.center
    else:
        outline = np.array(tool.outline, float)
        flat = kernel.CrossSection([outline], kernel.FillRule.Positive)
        x, y = outline.T
        area = float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2
        if not math.isclose(flat.area(), area, rel_tol=1e-9):
            rule = "is not that of a counter-clockwise outline which does not cross itself"
            raise BadValue("area of the outline", area, "mm2", rule)
        made = kernel.Manifold.extrude(flat, tool.thickness)
        matrix = np.array(tool.matrix)
    raw = made.to_mesh64()
    faces = raw.tri_verts.astype(np.int32)
    mesh = Mesh(
        vertices=np.array(raw.vert_properties[:, :3]), faces=faces, tags=np.full(len(faces), tag, np.int8)
    )
    _hold_closed(mesh, type(tool).__name__)
    return transformed(mesh, matrix)


def _axes_along(direction: Floats) -> Floats:
    """Complete a direction to three axes, as columns, it being the third."""
    z = direction / np.linalg.norm(direction)
    x = np.cross(np.eye(3)[np.argmin(np.abs(z))], z)
    x /= np.linalg.norm(x)
    return np.stack([x, np.cross(z, x), z], axis=1)


@dataclass(frozen=True, slots=True)
class _Held:
    """What the kernel holds of a mesh, and which tags belong to which of its numbers for their origin."""

    solid: kernel.Manifold
    tags: Mapping[int, NDArray[np.int8]]


@dataclass(frozen=True, slots=True)
class _Entry:
    """A mesh, compared by identity; its name, and what the kernel has of it already, are not compared."""

    mesh: Mesh
    name: str = field(compare=False)
    made: _Held | None = field(default=None, compare=False)


@lru_cache(maxsize=64)
def _held(entry: _Entry) -> _Held:
    """Hand a mesh to the kernel once, and not at all where the kernel made it."""
    return entry.made or _handed(entry.mesh, entry.name)


def _handed(mesh: Mesh, name: str) -> _Held:
    """Hand a mesh to the kernel, checked."""
    volume = _hold_closed(mesh, name)
    number = kernel.Manifold.reserve_ids(1)
    solid = kernel.Manifold(
        kernel.Mesh64(
            mesh.vertices,
            mesh.faces.astype(np.uint64),
            run_index=np.array([0, mesh.faces.size], np.uint64),
            run_original_id=np.array([number], np.uint32),
            face_id=np.arange(len(mesh.faces), dtype=np.uint64),
        )
    )
    if solid.status() != kernel.Error.NoError:
        subject = f"{name}: volume of the mesh (the kernel says {solid.status().name})"
        raise WitnessError(subject, "mm3", {"given": volume, "taken": float(solid.volume())}, 0)
    return _Held(solid, {number: mesh.tags})


def _hold_closed(mesh: Mesh, name: str) -> float:
    """Hold a mesh to being closed and to enclosing something; its volume, [mm3]."""
    if loose := open_edges(mesh):
        raise WitnessError(f"{name}: open edges of the mesh", "edges", {"found": loose, "allowed": 0}, 0)
    if (volume := mesh_volume(mesh)) <= 0:
        raise WitnessError(f"{name}: volume of the mesh", "mm3", {"found": volume, "least": 0.0}, 0)
    return volume


def _both(a: Mesh, b: Mesh, names: tuple[str, str]) -> tuple[kernel.Manifold, kernel.Manifold]:
    """What the kernel holds of two meshes."""
    return _held(_Entry(a, names[0])).solid, _held(_Entry(b, names[1])).solid


def _combined(meshes: Sequence[Mesh], names: Sequence[str], how: kernel.OpType) -> Mesh:
    """Combine meshes, copy the result out, and give each face the tag of the face it comes from."""
    held = [_held(_Entry(mesh, name)) for mesh, name in zip(meshes, names, strict=True)]
    tags = {number: of for each in held for number, of in each.tags.items()}
    solid = kernel.Manifold.batch_boolean([each.solid for each in held], how)
    raw = solid.to_mesh64()
    faces = raw.tri_verts.astype(np.int32)
    result = np.zeros(len(faces), np.int8)
    for number, begin, end in zip(raw.run_original_id, raw.run_index, raw.run_index[1:], strict=False):
        run = slice(int(begin) // 3, int(end) // 3)
        result[run] = tags[int(number)][raw.face_id[run]]
    mesh = Mesh(vertices=np.array(raw.vert_properties[:, :3]), faces=faces, tags=result)
    if loose := open_edges(mesh):
        raise WitnessError(f"{names[0]}: open edges after a cut", "edges", {"found": loose, "allowed": 0}, 0)
    if solid.volume() > 0:
        _held(_Entry(mesh, names[0], _Held(solid, tags)))
    return mesh


def read_back(path: Path) -> ReadBack:
    """Read a mesh file again, to check what was written.

    Raises
    ------
    OutputError
        If it cannot be read as a mesh.
    """
    # Half a second to load, which only a check of a file should cost.
    import trimesh

    try:
        mesh = trimesh.load_mesh(path)
    except (OSError, ValueError) as error:
        raise OutputError(f"cannot read {path} back as a mesh: {error}") from error
    if not len(mesh.faces):
        raise OutputError(f"cannot read {path} back as a mesh: it has no faces")
    return ReadBack(watertight=bool(mesh.is_watertight), volume=float(mesh.volume), faces=len(mesh.faces))
