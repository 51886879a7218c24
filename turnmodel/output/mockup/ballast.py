"""Ballast: which slugs go where, so that a mock-up balances as the metal does and weighs nearly as much."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.weight import state_weight
from turnmodel.catalog.materials import material
from turnmodel.design.part import built
from turnmodel.design.turned import Turned
from turnmodel.geometry.frame import point_at
from turnmodel.output.mockup.pockets import Pocket, Slot, plug, pocketed, slots
from turnmodel.output.mockup.prepared import rejoined

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from turnmodel.catalog.toolbox import OwnedSlug
    from turnmodel.design.part import Part
    from turnmodel.output.mockup.prepared import Mockup

__all__ = ["Ballast", "Felt", "Idle", "ballasted", "feel"]

Mouth = tuple[str, bool, bool]
"""Where pockets open: the name of a part, whether at its back, and whether beside its axis."""

TARGET_MM: Final = 0.5
"""How near [mm] the balance point is brought where pockets allow."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Felt:
    """How an object feels in a state: mass [g] and balance point [mm] of metal and mock-up."""

    state: str
    metal_mass: float
    metal_balance: float
    mass: float
    balance: float

    @property
    def lighter(self) -> float:
        """How much lighter the mock-up is, [g]."""
        return self.metal_mass - self.mass

    @property
    def off(self) -> float:
        """How far the mock-up balances behind the metal's point, [mm]."""
        return self.balance - self.metal_balance


@dataclass(frozen=True, slots=True, kw_only=True)
class Idle:
    """Slugs that are not used, and whether any part has room for one."""

    slug: OwnedSlug
    fits: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Ballast:
    """A mock-up weighed down: itself with its pockets cut, the pockets, their plugs, and how it feels.

    ``idle`` are the slugs that help nothing.
    """

    mockup: Mockup
    pockets: tuple[Pocket, ...]
    plugs: tuple[Part, ...]
    felt: tuple[Felt, ...]
    idle: tuple[Idle, ...] = ()

    @property
    def balanced(self) -> bool:
        """Whether every state balances within half a millimetre of the metal."""
        return all(abs(felt.off) <= TARGET_MM for felt in self.felt)


def feel(mock: Mockup, pockets: Iterable[Pocket] = ()) -> tuple[Felt, ...]:
    """Weigh a mock-up, printed solid, beside the metal object, in every state.

    Parameters
    ----------
    mock : Mockup
        The mock-up, its pockets not cut
    pockets : iterable of Pocket
        Pockets with their slugs and plugs in them

    Returns
    -------
    tuple of Felt
        One for each state
    """
    return tuple(_felt(scale, tuple(pockets)) for scale in _scales(mock))


def ballasted(mock: Mockup, slugs: Sequence[OwnedSlug]) -> Ballast:
    """Place slugs in a mock-up so that it balances as the metal does.

    Parameters
    ----------
    mock : Mockup
        The mock-up
    slugs : sequence of OwnedSlug
        What there is to place

    Returns
    -------
    Ballast
        The best that was found; without pockets where there is no room

    Notes
    -----
    Slot after slot the filling is taken that serves best, its depth with it, until nothing gains. What counts
    is the balance of every state up to a fifth of a millimetre, and then the mass.
    """
    scales, wall = _scales(mock), mock.printer.wall
    offered: dict[Mouth, list[Slot]] = {}
    for part in mock.printed:
        for slug in slugs if isinstance(built(part), Turned) else ():
            for slot in slots(part, slug, mock.printer):
                offered.setdefault((slot.part, slot.from_back, slot.around > 1), []).append(slot)
    chosen: dict[Mouth, Pocket] = {}
    best = _misfit(scales, ())
    for _ in range(_SWEEPS):
        before = best
        for mouth, ways in offered.items():
            others = {key: pocket.slot for key, pocket in chosen.items() if key != mouth}
            tried = [_settled(scales, others, wall)]
            tried += [
                _settled(scales, {**others, mouth: slot}, wall)
                for slot in ways
                if _at_hand(slot, others.values())
            ]
            misfit, filled = min(tried, key=lambda found: found[0])
            if misfit < best - _GAIN:
                best, chosen = misfit, filled
        if before - best < _GAIN:
            break
    pockets = tuple(chosen.values())
    used = {pocket.slot.slug for pocket in pockets}
    roomy = {slot.slug for ways in offered.values() for slot in ways}
    return Ballast(
        mockup=_cut(mock, pockets),
        pockets=pockets,
        plugs=tuple(plug(pocket, mock.printer) for pocket in pockets),
        felt=feel(mock, pockets),
        idle=tuple(Idle(slug=slug, fits=slug in roomy) for slug in slugs if slug not in used),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scale:
    """A state on the scales: metal and mock-up, and where each part's axis lies: origin and direction."""

    state: str
    metal: tuple[float, float]
    mock: tuple[float, float]
    axes: Mapping[str, tuple[float, float]]
    plastic: float


_SWEEPS: Final = 6
"""Sweeps over all slots: house choice; two or three are enough for a pen."""

_GAIN: Final = 1e-7
"""A gain in misfit [-] that is worth another sweep."""

_NEAR: Final = 0.2
"""Balance [mm] is not brought nearer than this at the cost of mass: house choice, less than fingers feel."""


def _scales(mock: Mockup) -> tuple[_Scale, ...]:
    found = []
    for state in mock.design.states:
        metal, now = state_weight(mock.metal, state), state_weight(mock.design, state)
        axes = {
            name: (point_at(matrix, (0.0, 0.0, 0.0))[2], matrix[2][2])
            for name, matrix in mock.design.poses[state].parts.items()
        }
        scale = _Scale(
            state=state,
            metal=(metal.mass, metal.balance),
            mock=(now.mass, now.balance),
            axes=axes,
            plastic=material(mock.printer.material).density,
        )
        found.append(scale)
    return tuple(found)


def _felt(scale: _Scale, pockets: Iterable[Pocket]) -> Felt:
    mass, moment = scale.mock[0], scale.mock[0] * scale.mock[1]
    for pocket in pockets:
        if pocket.slot.part in scale.axes:
            more, own = pocket.mass(scale.plastic)
            origin, way = scale.axes[pocket.slot.part]
            mass += more
            moment += more * origin + way * own
    return Felt(
        state=scale.state, metal_mass=scale.metal[0], metal_balance=scale.metal[1], mass=mass,
        balance=moment / mass,
    )  # fmt: skip


def _misfit(scales: Sequence[_Scale], pockets: Iterable[Pocket]) -> float:
    """Weigh how far a filling is off: the balance of all states first, then their mass."""
    total = 0.0
    for scale in scales:
        felt = _felt(scale, pockets)
        total += 1e3 * max(0.0, abs(felt.off) - _NEAR) ** 2 + (felt.lighter / felt.metal_mass) ** 2
    return total / len(scales)


def _settled(
    scales: Sequence[_Scale], taken: Mapping[Mouth, Slot], wall: float
) -> tuple[float, dict[Mouth, Pocket]]:
    """Bring pockets to their best depths, one after the other; infinitely unfit where they would meet."""
    pockets = {mouth: Pocket(slot=slot, depth=slot.shallowest) for mouth, slot in taken.items()}
    if any(pocket.depth > _limit(pockets, mouth, wall) for mouth, pocket in pockets.items()):
        return math.inf, {}
    best = _misfit(scales, pockets.values())
    for _ in range(_ROUNDS):
        before = best
        for mouth in pockets:

            def at(depth: float, mouth: Mouth = mouth) -> float:
                return _misfit(scales, {**pockets, mouth: replace(pockets[mouth], depth=depth)}.values())

            depth = _least(at, pockets[mouth].slot.shallowest, _limit(pockets, mouth, wall))
            if at(depth) < best:
                best, pockets[mouth] = at(depth), replace(pockets[mouth], depth=depth)
        if before - best < _GAIN:
            break
    return best, pockets


def _least(of: Callable[[float], float], low: float, high: float) -> float:
    """Find where a function with one valley is least, by thirds."""
    for _ in range(_THIRDS):
        first, second = low + (high - low) / 3, high - (high - low) / 3
        low, high = (low, second) if of(first) <= of(second) else (first, high)
    return (low + high) / 2


_ROUNDS: Final = 4
"""Rounds over all pockets [-]: their depths depend on each other little."""

_THIRDS: Final = 14
"""Thirds taken off a depth [-]: 40 mm come down to a tenth of a millimetre."""


def _limit(pockets: Mapping[Mouth, Pocket], mouth: Mouth, wall: float) -> float:
    """Depth down to which a pocket may go: its slot's, and a wall short of others in the same part."""
    slot = pockets[mouth].slot
    limit = slot.deepest
    for other, pocket in pockets.items():
        if other != mouth and pocket.slot.part == slot.part and slot.meets(pocket.slot, wall):
            # From one end they would run into each other, from both they share the length.
            same_end = pocket.slot.from_back == slot.from_back
            limit = -math.inf if same_end else min(limit, slot.length - pocket.depth - wall)
    return limit


def _at_hand(slot: Slot, others: Iterable[Slot]) -> bool:
    """Tell whether there are slugs enough for a slot beside the others."""
    used = sum(other.slugs for other in others if other.slug == slot.slug)
    return used + slot.slugs <= slot.slug.count


def _cut(mock: Mockup, pockets: tuple[Pocket, ...]) -> Mockup:
    """Cut the pockets into the parts of a mock-up."""
    parts = {
        part.name: pocketed(part, own)
        for part in mock.printed
        if (own := tuple(pocket for pocket in pockets if pocket.slot.part == part.name))
    }
    return replace(mock, design=rejoined(mock.design, parts)) if parts else mock
