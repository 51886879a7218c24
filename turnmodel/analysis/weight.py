"""What parts and states weigh, where they balance, how they resist turning, and how long they are."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from turnmodel.catalog.materials import material
from turnmodel.design.features.across import CrossTap
from turnmodel.design.part import BoughtPart, Part, StripPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.crossing import cut_moments
from turnmodel.geometry.frame import point_at
from turnmodel.geometry.region import bounds
from turnmodel.geometry.spatial import SpatialMoments, amount, placed, together
from turnmodel.geometry.strip import Strip, mid_line
from turnmodel.geometry.strip_moments import strip_moments

if TYPE_CHECKING:
    from collections.abc import Mapping

    from turnmodel.design.design import Design
    from turnmodel.geometry.across import Tool
    from turnmodel.geometry.body import Body
    from turnmodel.geometry.frame import Matrix
    from turnmodel.geometry.spatial import Tensor

__all__ = ["PartWeight", "StateWeight", "extent", "part_weight", "state_weight"]

_STRIP_STEPS = 32  # points along a strip whose ends are sought: bends are few and short


@dataclass(frozen=True, slots=True, kw_only=True)
class PartWeight:
    """What a part weighs.

    Parameters
    ----------
    volume : float
        The closed form's volume where there is one, else the mesh's, [mm3]
    exact : float or None
        The closed form's volume; None where a cross cut reaches a thread, [mm3]
    mass : float
        Mass, [g]
    center : tuple of float
        Centre of mass in the part's frame, [mm]
    inertia : tuple of tuple of float
        Tensor of inertia about the centre of mass, by rows, [g.mm2]
    balance : float
        Distance of the centre of mass from the part's own front face, or from a strip's start, [mm]
    length : float
        Length along its axis, or along a strip before it is bent, [mm]
    estimated : bool
        Whether the mass is that of a bought part nobody has weighed yet
    """

    volume: float
    exact: float | None
    mass: float
    center: tuple[float, float, float]
    inertia: Tensor
    balance: float
    length: float
    estimated: bool = False

    @property
    def moments(self) -> SpatialMoments:
        """Its mass [g], centre [mm] and inertia [g.mm2] as one value."""
        return SpatialMoments(volume=self.mass, center=self.center, inertia=self.inertia)


@dataclass(frozen=True, slots=True, kw_only=True)
class StateWeight:
    """What an object weighs in a state.

    Parameters
    ----------
    mass : float
        Mass, [g]
    center : tuple of float
        Centre of mass in the object's frame, [mm]
    inertia : tuple of tuple of float
        Tensor of inertia about the centre of mass, by rows, [g.mm2]
    front, back : float
        First and last station it reaches, [mm]
    """

    mass: float
    center: tuple[float, float, float]
    inertia: Tensor
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

    @property
    def share(self) -> float:
        """Distance of the balance point from the front end, as a share of the length, [%]."""
        return 100 * (self.balance - self.front) / self.length

    @property
    def off_axis(self) -> float:
        """Distance of the centre of mass from the axis, [mm]."""
        return math.hypot(self.center[0], self.center[1])

    @property
    def swing(self) -> float:
        """Moment of inertia about a line across the axis through the balance point, mean of all, [g.mm2]."""
        return (self.inertia[0][0] + self.inertia[1][1]) / 2

    @property
    def spin(self) -> float:
        """Moment of inertia about a line along the axis through the balance point, [g.mm2]."""
        return self.inertia[2][2]


@lru_cache(maxsize=1024)
def part_weight(part: Part, *, of: str | None = None) -> PartWeight:
    r"""Weigh a part.

    .. math:: m = \rho V

    Parameters
    ----------
    part : Part
        The part
    of : str, optional
        Material to take instead of its own; a bought part keeps its mass

    Returns
    -------
    PartWeight
        Volume, mass, balance and inertia

    Raises
    ------
    UnknownName
        If there is no such material

    Notes
    -----
    By closed forms on the half-plane; what is cut across it by Gauss's points, to 1e-10 of the volume, a
    cross tap as a hole of its thread's mean square diameter. Only a part whose cross cut reaches a thread is
    weighed by its mesh. A bought part's mass is spread evenly over its envelope; a part that was put on the
    scales has the mass they showed.
    """
    exact, shape = _shape(part)
    on_scales = None if of else next((m.value for m in part.measured if m.name == "mass"), None)
    if on_scales is not None:
        mass = on_scales
    elif isinstance(part, BoughtPart):
        mass = part.grams
    else:
        mass = shape.volume * material(of or part.material).density / 1000
    weighed = amount(shape, mass / shape.volume)
    return PartWeight(
        volume=shape.volume,
        exact=exact,
        mass=mass,
        center=shape.center,
        inertia=weighed.inertia,
        balance=shape.center[0 if isinstance(part, StripPart) else 2],
        length=part.length,
        estimated=isinstance(part, BoughtPart) and part.mass is None,
    )


def _shape(part: Part) -> tuple[float | None, SpatialMoments]:
    """Integrate over a part: the closed form's volume where there is one, and the moments."""
    made = built(part)
    if isinstance(made, Strip):
        found = _strip_shape(made)
        return found.volume, found
    closed = _cut_shape(made.body, _cutters(made))
    if closed is not None:
        return closed.volume, closed
    return None, _mesh_shape(part)


def _cutters(made: Turned) -> tuple[Tool, ...]:
    """Tell what is cut across a part, each cross tap as a hole of its thread's mean square diameter."""
    if not made.across:
        return ()
    from turnmodel.shape.part import mean_bore

    return tuple(
        mean_bore(tool, cut.feature) if isinstance(cut.feature, CrossTap) else tool
        for cut in made.across
        for tool in cut.tools
    )


# Variants of a design share most of their parts, equal in shape though not the same: keyed by the shape.
_strip_shape = lru_cache(maxsize=512)(strip_moments)


@lru_cache(maxsize=512)
def _cut_shape(body: Body, tools: tuple[Tool, ...]) -> SpatialMoments | None:
    """Integrate over a turned body; bodies are compared by their shape."""
    return cut_moments(body, tools)


@lru_cache(maxsize=512)
def _mesh_shape(part: Part) -> SpatialMoments:
    """Integrate over a part's mesh; parts are compared by identity."""
    from turnmodel.shape.measures import mesh_moments
    from turnmodel.shape.part import part_mesh

    return mesh_moments(part_mesh(part, "weigh"))


def state_weight(design: Design, state: str, materials: Mapping[str, str] | None = None) -> StateWeight:
    """Weigh an object in one of its states.

    Parameters
    ----------
    design : Design
        The design
    state : str
        Name of the state
    materials : mapping, optional
        Part's name to the material to take instead of its own

    Returns
    -------
    StateWeight
        Mass, balance, inertia and length over all

    Raises
    ------
    UnknownName
        If there is no such material
    """
    pose = design.poses[state]
    present = [part for part in design.parts if part.name in pose.parts]
    whole = together(
        *(
            placed(part_weight(part, of=(materials or {}).get(part.name)).moments, pose.parts[part.name])
            for part in present
        )
    )
    ends = [end for part in present for end in extent(part, pose.parts[part.name])]
    return StateWeight(
        mass=whole.volume, center=whole.center, inertia=whole.inertia, front=min(ends), back=max(ends)
    )


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
    ends = [point_at(matrix, point)[2] for point in _strip_skin(made)]
    return min(ends), max(ends)


@lru_cache(maxsize=512)
def _strip_skin(made: Strip) -> tuple[tuple[float, float, float], ...]:
    """Points on both sides of a strip along its middle, [mm]."""
    half = made.thickness / 2
    middle = [mid_line(made, made.length * k / _STRIP_STEPS) for k in range(_STRIP_STEPS + 1)]
    return tuple(
        (x - off * math.sin(heading), 0.0, z + off * math.cos(heading))
        for x, z, heading in middle
        for off in (-half, half)
    )
