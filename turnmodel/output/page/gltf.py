"""Bodies and the scenes they stand in as one binary glTF: an open standard, read by a few lines of script."""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final, Literal

from turnmodel.errors import BadValue, UnknownName

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from turnmodel.geometry.frame import Matrix
    from turnmodel.output.page.normals import Shaded

__all__ = ["Body", "Look", "Scene", "glb"]

_MAGIC: Final = 0x46546C67
_JSON, _BIN = 0x4E4F534A, 0x004E4942
_FLOAT, _SHORT, _INT = 5126, 5123, 5125
_VERTICES, _INDICES = 34962, 34963
_SHORTEST: Final = 0xFFFF
"""A number of 16 bits names so many vertices but for the last, which means a break."""

_METRES: Final = 1e-3
"""glTF counts in metres."""

Triple = tuple[float, float, float]
Lines = Literal["plain", "rings", "along", "layers"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a part answers the light.

    Parameters
    ----------
    base : tuple of 3 floats
        Colour, sRGB from 0 to 1, [-]
    metallic, roughness : float
        From 0 to 1, [-]
    cut : tuple of 3 floats
        Colour of its cut faces, sRGB from 0 to 1, [-]
    lines : {"plain", "rings", "along", "layers"}
        Fine lines its making left: none, those of the feed, along the part, those of a print
    """

    base: Triple
    metallic: float
    roughness: float
    cut: Triple
    lines: Lines = "rings"


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A part's triangles in its own frame, its name and look.

    ``knurls`` are the bands that are knurled: first and last station, and pitch, [mm]. What is ``bought``
    stays whole in a cut.
    """

    name: str
    shape: Shaded
    look: Look
    knurls: tuple[Triple, ...] = ()
    bought: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """Where bodies stand.

    Parameters
    ----------
    name : str
        Its name
    placed : mapping
        Body's name to its placement in the object's frame
    upright : tuple of 4 rows
        The object's frame in a frame whose y points up and whose z points at who looks
    extras : mapping
        What else is to be known of it, as JSON holds it
    """

    name: str
    placed: Mapping[str, Matrix]
    upright: Matrix
    extras: Mapping[str, Any] = field(default_factory=dict)


def glb(bodies: Sequence[Body], scenes: Sequence[Scene], title: str = "") -> bytes:
    """Write bodies and scenes as binary glTF, the first scene the one to show.

    Parameters
    ----------
    bodies : sequence of Body
        At least one, names all different
    scenes : sequence of Scene
        At least one
    title : str
        Its title

    Returns
    -------
    bytes
        The file; the same input gives the same bytes

    Raises
    ------
    BadValue
        If there are no bodies or no scenes.
    UnknownName
        If a scene names a body that there is not.

    Notes
    -----
    A scene has one root, which turns millimetres to metres, and under it one node a body. Bodies are shared
    by the scenes. Coordinates are rounded to 4 bytes, about 1e-7 of their size.

    References
    ----------
    glTF 2.0 Specification, Khronos Group, 2021 (ISO/IEC 12113:2022).
    """
    if not bodies:
        raise BadValue("bodies of a model", 0, "-", "a glTF file needs 1 at the least")
    if not scenes:
        raise BadValue("scenes of a model", 0, "-", "a glTF file needs 1 at the least")
    pack = _Pack()
    meshes = [_mesh(body, number, pack) for number, body in enumerate(bodies)]
    nodes, roots = _nodes(bodies, scenes)
    tree = {
        "asset": {"version": "2.0", "generator": "turnmodel", "extras": {"title": title}},
        "scene": 0,
        "scenes": [
            {"name": scene.name, "nodes": [root], "extras": dict(scene.extras)}
            for scene, root in zip(scenes, roots, strict=True)
        ],
        "nodes": nodes,
        "meshes": meshes,
        "materials": [_material(body) for body in bodies],
        "accessors": pack.accessors,
        "bufferViews": pack.views,
        "buffers": [{"byteLength": len(pack.data)}],
    }
    text = json.dumps(tree, separators=(",", ":"), ensure_ascii=True).encode("ascii")
    text += b" " * (-len(text) % 4)
    data = bytes(pack.data)
    head = struct.pack("<III", _MAGIC, 2, 12 + 8 + len(text) + 8 + len(data))
    return b"".join(
        [head, struct.pack("<II", len(text), _JSON), text, struct.pack("<II", len(data), _BIN), data]
    )


class _Pack:
    """The binary part as it fills, and the accessors that read it."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, int]] = []
        self.accessors: list[dict[str, Any]] = []

    def add(self, values: NDArray[Any], kind: int, shape: str, target: int, **more: Any) -> int:
        """Append an array, four bytes aligned, and tell the number of its accessor."""
        raw = values.tobytes()
        self.views.append(
            {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw), "target": target}
        )
        self.data += raw + bytes(-len(raw) % 4)
        self.accessors.append(
            {
                "bufferView": len(self.views) - 1,
                "componentType": kind,
                "count": len(values),
                "type": shape,
                **more,
            }
        )
        return len(self.accessors) - 1


def _mesh(body: Body, number: int, pack: _Pack) -> dict[str, Any]:
    """Pack a body's triangles."""
    shape = body.shape
    points = shape.positions.astype("<f4")
    low, high = ([float(x) for x in ends] for ends in (points.min(axis=0), points.max(axis=0)))
    short = len(points) < _SHORTEST
    indices = shape.faces.ravel().astype("<u2" if short else "<u4")
    primitive = {
        "attributes": {
            "POSITION": pack.add(points, _FLOAT, "VEC3", _VERTICES, min=low, max=high),
            "NORMAL": pack.add(shape.normals.astype("<f4"), _FLOAT, "VEC3", _VERTICES),
        },
        "indices": pack.add(indices, _SHORT if short else _INT, "SCALAR", _INDICES),
        "material": number,
    }
    return {"name": body.name, "primitives": [primitive]}


def _nodes(bodies: Sequence[Body], scenes: Sequence[Scene]) -> tuple[list[dict[str, Any]], list[int]]:
    """Lay out every scene's root and what stands under it."""
    number = {body.name: k for k, body in enumerate(bodies)}
    nodes: list[dict[str, Any]] = []
    roots = []
    for scene in scenes:
        children = []
        for name, placement in scene.placed.items():
            if name not in number:
                raise UnknownName("body", name, number)
            children.append(len(nodes))
            nodes.append({"name": name, "mesh": number[name], "matrix": _columns(placement)})
        roots.append(len(nodes))
        nodes.append({"name": scene.name, "matrix": _columns(scene.upright, _METRES), "children": children})
    return nodes, roots


def _columns(matrix: Matrix, scale: float = 1.0) -> list[float]:
    """Write a placement column by column."""
    scaled = [[scale * value for value in row] for row in matrix[:3]] + [list(matrix[3])]
    return [float(scaled[row][column]) for column in range(4) for row in range(4)]


def _material(body: Body) -> dict[str, Any]:
    """Write how a body answers the light; what glTF has no word for goes among its extras."""
    look = body.look
    return {
        "name": body.name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*map(_linear, look.base), 1.0],
            "metallicFactor": look.metallic,
            "roughnessFactor": look.roughness,
        },
        "extras": {
            "cut": list(look.cut),
            "lines": look.lines,
            "knurls": [list(band) for band in body.knurls],
            "bought": body.bought,
        },
    }


def _linear(value: float) -> float:
    """Undo the curve of sRGB, IEC 61966-2-1, so that a number counts light."""
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
