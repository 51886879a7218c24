"""What is cut across a body: plain shapes that the mesh and the solid both know how to make.

Points are (x, y, z) in the part's own frame, z along its axis, in mm.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Block", "CrossCylinder", "Prism", "Tool", "Vector"]

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossCylinder:
    """A cylinder that starts at a point and runs along a unit direction; diameter and length in [mm]."""

    at: Vector
    direction: Vector
    diameter: float
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A box: its centre [mm], its sizes [mm] along its own three axes, and those axes as unit rows."""

    center: Vector
    size: Vector
    axes: tuple[Vector, Vector, Vector]


@dataclass(frozen=True, slots=True, kw_only=True)
class Prism:
    """A flat outline of points (x, y) [mm], counter-clockwise, raised by a thickness [mm] along z.

    ``matrix`` is the rigid 4 x 4 transform, by rows, from the outline's frame into the part's.
    """

    outline: tuple[tuple[float, float], ...]
    thickness: float
    matrix: tuple[tuple[float, float, float, float], ...]


Tool = CrossCylinder | Block | Prism
