"""A curve turned in steps: how far the tool is advanced and fed in, so that a file takes off what is left."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.errors import BadValue
from turnmodel.geometry.curve import box
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from turnmodel.geometry.curve import Arc

__all__ = ["CUSP", "MOST_STEPS", "RoundStep", "StepTable", "step_table"]

CUSP: Final = 0.1
"""Height [mm] of the cusps left for the file, square to the curve; house choice: a few strokes each."""

MOST_STEPS: Final = 24
"""Steps of a table beyond which the cusps grow instead, [-]; house choice: nobody turns a hundred."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundStep:
    """One plunge: the reading along [mm] of the tool, and the diameter [mm] it is fed in to."""

    advance: float
    diameter: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTable:
    """A curve in plunges, in the order they are cut: the outermost first, or along a hollow.

    Parameters
    ----------
    steps : tuple of RoundStep
        The plunges
    widest_d : float
        Diameter at which the dial is set to 0: the widest of the curve, [mm]
    cusp : float
        Height of what is left between them, square to the curve, [mm]
    nose_r : float
        Radius of the tool's nose; 0 for a tool with sharp corners, [mm]
    width : float
        Width of a tool with sharp corners; 0 for a point, [mm]
    """

    steps: tuple[RoundStep, ...]
    widest_d: float
    cusp: float
    nose_r: float = 0.0
    width: float = 0.0


def step_table(arc: Arc, *, width: float = 0.0, nose_r: float = 0.0, cusp: float = CUSP) -> StepTable:
    r"""Divide an arc of an outline into plunges of a tool.

    A tool with sharp corners stands with one of them on the curve; the cusp between two plunges lies on the
    circle of radius R + h about the arc's centre (R - h for a hollow), which gives one from the other:

    .. math:: r_{k+1} = r_c + \sqrt{(R \pm h)^2 - (z_k - z_c)^2}, \qquad
              z_{k+1} = z_c \mp \sqrt{R^2 - (r_{k+1} - r_c)^2}

    A round nose of radius :math:`\rho` touches the curve where its centre is on the circle of radius
    :math:`R \pm \rho`; cusps of height h are left where it moves on by an angle :math:`\delta`:

    .. math:: \cos \tfrac{\delta}{2} = \frac{(R \pm h)^2 + (R \pm \rho)^2 - \rho^2}{2 (R \pm h)(R \pm \rho)}

    Parameters
    ----------
    arc : Arc
        A piece of the outline; for a tool with sharp corners, one that only rises or only falls, [mm]
    width : float
        Width of the tool with sharp corners, [mm]
    nose_r : float
        Radius of its nose where it is round, [mm]
    cusp : float
        Greatest height of what is left for the file, [mm]

    Returns
    -------
    StepTable
        Readings along of the tool's side towards the chuck: of its corner, or of its nose; more cusp where
        there would be more than ``MOST_STEPS``, but for a round nose no more than half its radius

    Raises
    ------
    BadValue
        If an arc under sharp corners both rises and falls, or a round nose does not go into its hollow

    References
    ----------
    Ball turning by steps, r = sqrt(2 R x - x^2): workshop notes on turning a ball with a square-nosed tool.
    """
    if not nose_r and _turns_back(arc):
        raise BadValue("arc", None, "", "rises and falls; divide it where it is widest or narrowest")
    if nose_r >= arc.radius and _hollow(arc):
        rule = f"does not go into a hollow of radius {arc.radius:g} mm"
        raise BadValue("nose radius", nose_r, "mm", rule, f"take one under {arc.radius:g} mm")
    points = _plunges(arc, nose_r, cusp)
    most = nose_r / 2 if nose_r else math.inf  # farther apart two noses hardly meet
    while len(points) > MOST_STEPS and cusp < most:
        cusp = min(most, cusp * len(points) / MOST_STEPS * 1.02)
        points = _plunges(arc, nose_r, cusp)
    falling = arc.end[1] < arc.start[1]
    offset = nose_r or (width if falling else 0.0)
    steps = [RoundStep(advance=z + offset, diameter=2 * r) for z, r in points]
    if not _turns_back(arc):
        steps.sort(key=lambda step: -step.diameter)
    wide = 2 * box(arc).r1
    return StepTable(steps=tuple(steps), widest_d=wide, cusp=cusp, nose_r=nose_r, width=width)


def _hollow(arc: Arc) -> bool:
    """Whether an arc of an outline curves in: seen along +z, it turns towards +r."""
    return arc.turn * (arc.end[0] - arc.start[0]) > 0


def _turns_back(arc: Arc) -> bool:
    """Whether the radius of an arc both rises and falls along the axis."""
    z0, z1 = sorted((arc.start[0], arc.end[0]))
    return z0 + SAME_MM < arc.center[0] < z1 - SAME_MM


def _plunges(arc: Arc, nose_r: float, cusp: float) -> list[tuple[float, float]]:
    """Place the corner, or the lowest point of the nose, from the narrow end of the arc to the wide one."""
    return _nosed(arc, nose_r, cusp) if nose_r else _cornered(arc, cusp)


def _cornered(arc: Arc, cusp: float) -> list[tuple[float, float]]:
    (zc, rc), radius = arc.center, arc.radius
    low, high = sorted((arc.start, arc.end), key=lambda point: point[1])
    sense = 1.0 if high[0] > low[0] else -1.0  # along the axis, from narrow to wide
    side = -1.0 if _hollow(arc) else 1.0
    found = [low]
    z = low[0]
    while True:
        reach = (radius + side * cusp) ** 2 - (z - zc) ** 2
        r = rc + side * math.sqrt(reach) if reach > 0 else math.inf
        # Past the wide end, or past the top of the circle: the last plunge stands on the end itself.
        if not low[1] < r < high[1] - SAME_MM or abs(r - rc) >= radius:
            break
        z = zc - side * sense * math.sqrt(radius**2 - (r - rc) ** 2)
        if found and (z - found[-1][0]) * sense <= SAME_MM:
            break
        found.append((z, r))
    if math.dist(found[-1], high) > SAME_MM:
        found.append(high)
    return [point for point in found if point[1] > SAME_MM]  # on the axis the face is the cut


def _nosed(arc: Arc, nose_r: float, cusp: float) -> list[tuple[float, float]]:
    (zc, rc), radius = arc.center, arc.radius
    side = -1.0 if _hollow(arc) else 1.0
    path = radius + side * nose_r
    left = radius + side * cusp
    cosine = (left**2 + path**2 - nose_r**2) / (2 * left * path)
    step = 2 * math.acos(min(1.0, max(-1.0, cosine)))
    first = math.atan2(arc.start[1] - rc, arc.start[0] - zc)
    count = max(1, math.ceil(abs(arc.sweep) / step - 1e-9)) if step > 0 else MOST_STEPS
    angles = (first + arc.sweep * k / count for k in range(count + 1))
    return [(zc + path * math.cos(a), rc + path * math.sin(a) - nose_r) for a in angles]
