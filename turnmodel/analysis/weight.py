"""What parts and states weigh, where they balance, and how long they are."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from turnmodel.catalog.materials import material
from turnmodel.design.part import BoughtPart, Part, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.frame import point_at
from turnmodel.geometry.region import bounds
from turnmodel.geometry.strip import Strip, mid_line, strip_centroid, strip_volume
from turnmodel.geometry.thread_moments import body_moments

if TYPE_CHECKING:
    from turnmodel.design.design import Design
    from turnmodel.geometry.frame import Matrix

__all__ = ["PartWeight", "StateWeight", "extent", "part_weight", "state_weight"]

_STRIP_STEPS = 32  # points along a strip whose ends are sought: bends are few and short


@dataclass(frozen=True, slots=True, kw_only=True)
class PartWeight:
    """What a part weighs.

    ``exact`` is the closed form's volume, None where the part is not round; ``volume`` is that, else the
    mesh's [mm3]; ``mass`` in [g]; ``center`` the centre of mass in the part's frame [mm]; ``length`` [mm].
    """

    volume: float
    exact: float | None
    mass: float
    center: tuple[float, float, float]
    length: float

    @property
    def balance(self) -> float:
        """Distance of the centre of mass from the part's own front face, [mm]."""
        return self.center[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class StateWeight:
    """What an object weighs in a state: mass [g], centre of mass and length [mm] in the object's frame."""

    mass: float
    center: tuple[float, float, float]
    front: float
    back: float

    @property
    def balance(self) -> float:
        """Distance of the centre of mass from the front face of the first part, [mm]."""
        return self.center[2]

    @property
    def length(self) -> float:
        """Length over all along the axis, [mm]."""
        return self.back - self.front


@lru_cache(maxsize=512)
def part_weight(part: Part) -> PartWeight:
    """Weigh a part: in closed form where it is round or strip, else by its mesh."""
    made = built(part)
    exact: float | None
    if isinstance(made, Strip):
        volume = exact = strip_volume(made)
        center = strip_centroid(made)
    elif made.across:
        from turnmodel.shape.measures import mesh_moments
        from turnmodel.shape.part import part_mesh

        measured = mesh_moments(part_mesh(part, "weigh"))
        volume, exact, center = measured.volume, None, measured.center
    else:
        found = body_moments(made.body)
        volume = exact = found.volume
        center = (0.0, 0.0, found.station)
    mass = part.grams if isinstance(part, BoughtPart) else volume * material(part.material).density / 1000
    return PartWeight(volume=volume, exact=exact, mass=mass, center=center, length=part.length)


def state_weight(design: Design, state: str) -> StateWeight:
    """Weigh an object in one of its states."""
    pose = design.poses[state]
    mass = 0.0
    moment = [0.0, 0.0, 0.0]
    ends: list[float] = []
    for part in design.parts:
        if part.name not in pose.parts:
            continue
        matrix, weight = pose.parts[part.name], part_weight(part)
        mass += weight.mass
        moment = [m + weight.mass * c for m, c in zip(moment, point_at(matrix, weight.center), strict=True)]
        ends += extent(part, matrix)
    x, y, z = (m / mass for m in moment)
    return StateWeight(mass=mass, center=(x, y, z), front=min(ends), back=max(ends))


def extent(part: Part, matrix: Matrix) -> tuple[float, float]:
    """Find the first and last station that a placed part reaches, [mm].

    A ring of radius r at height z on an axis whose direction has the z component a reaches
    ``o + z a +- r sqrt(1 - a^2)``.
    """
    made = built(part)
    origin = matrix[2][3]
    if isinstance(made, Turned):
        lean = matrix[2][2]
        across = math.sqrt(max(1 - lean**2, 0.0))
        if across == 0.0:
            z0, z1, _, _ = bounds(made.body.plain)
            ends = [origin + z0 * lean, origin + z1 * lean]
        else:
            rings = [p for loop in made.body.plain.loops for c in loop for p in (c.start, c.end)]
            ends = [origin + z * lean + s * r * across for z, r in rings for s in (-1, 1)]
        return min(ends), max(ends)
    ends = []
    for k in range(_STRIP_STEPS + 1):
        x, z, heading = mid_line(made, made.length * k / _STRIP_STEPS)
        for side in (-0.5, 0.5):
            off = side * made.thickness
            point = (x - off * math.sin(heading), 0.0, z + off * math.cos(heading))
            ends.append(point_at(matrix, point)[2])
    return min(ends), max(ends)
