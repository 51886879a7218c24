"""An object cut along its axis, flat: outlines of every part where it stands."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from turnmodel.design.part import built
from turnmodel.design.turned import Turned
from turnmodel.geometry.curve import Arc, Curve
from turnmodel.geometry.frame import coaxial, composed, point_at, turn
from turnmodel.geometry.strip import Strip, mid_line

if TYPE_CHECKING:
    from collections.abc import Mapping

    from turnmodel.design.design import Design
    from turnmodel.geometry.frame import Matrix

__all__ = ["Outline", "sections"]

Outline = list[tuple[float, float]]
"""A closed outline of points (station, distance from the axis), [mm]."""

_CHORD = math.radians(5)  # what an arc's chord may sweep: finer than a line of ink at any size shown
_STEPS = 64  # points along a strip


def sections(design: Design, state: str) -> dict[str, list[Outline]]:
    """Cut a state along its axis, by the plane in which what stands off the axis lies.

    Parameters
    ----------
    design : Design
        The design
    state : str
        Name of the state

    Returns
    -------
    dict
        Part's name to its outlines, holes after what they are in
    """
    pose = design.poses[state]
    present = [part for part in design.parts if part.name in pose.parts]
    upright = turn(_leaning(pose.parts))
    found = {}
    for part in present:
        matrix, made = composed(upright, pose.parts[part.name]), built(part)
        found[part.name] = _turned(made, matrix) if isinstance(made, Turned) else _strip(made, matrix)
    return found


def _leaning(placements: Mapping[str, Matrix]) -> float:
    """Angle [degrees] that brings the first part off the axis into the plane of the picture."""
    for matrix in placements.values():
        x, y = matrix[0][3], matrix[1][3]
        if coaxial(matrix) is None and math.hypot(x, y) > 0:
            return -math.degrees(math.atan2(y, x))
    return 0.0


def _turned(made: Turned, matrix: Matrix) -> list[Outline]:
    """Both halves of a turned part, in the plane of its axis."""
    (_, _, rise, height), _, (_, _, run, station), _ = matrix
    size = math.hypot(run, rise)
    if size == 0:
        return []  # seen end on
    run, rise = run / size, rise / size
    loops = [[p for curve in loop for p in _points(curve)] for loop in made.body.plain.loops]
    return [
        [(station + z * run - side * r * rise, height + z * rise + side * r * run) for z, r in loop]
        for loop in loops
        for side in (1.0, -1.0)
    ]


def _points(curve: Curve) -> Outline:
    """Points along a curve but for its end."""
    if not isinstance(curve, Arc):
        return [curve.start]
    count = max(1, math.ceil(abs(curve.sweep) / _CHORD))
    (cz, cr), begin = (
        curve.center,
        math.atan2(curve.start[1] - curve.center[1], curve.start[0] - curve.center[0]),
    )
    angles = [begin + curve.sweep * k / count for k in range(count)]
    return [(cz + curve.radius * math.cos(a), cr + curve.radius * math.sin(a)) for a in angles]


def _strip(made: Strip, matrix: Matrix) -> list[Outline]:
    """Side view of a strip."""
    sides: list[Outline] = []
    for side in (0.5, -0.5):
        along = []
        for k in range(_STEPS + 1):
            x, z, heading = mid_line(made, made.length * k / _STEPS)
            off = side * made.thickness
            along.append(_seen(matrix, (x - off * math.sin(heading), 0.0, z + off * math.cos(heading))))
        sides.append(along)
    return [sides[0] + sides[1][::-1]]


def _seen(matrix: Matrix, point: tuple[float, float, float]) -> tuple[float, float]:
    """Station and height of a placed point."""
    x, _, z = point_at(matrix, point)
    return z, x
