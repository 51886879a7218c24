"""Find the values of parameters with which a design meets targets, or tell what stops it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.analysis.figures import COUNTS, figures
from turnmodel.analysis.goals import CLOSE
from turnmodel.design.loading import design_of
from turnmodel.errors import TurnmodelError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    from turnmodel.analysis.goals import Target
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.design.loading import Script

    Floats = NDArray[np.float64]

__all__ = ["Aim", "aim"]

_INSIDE: Final = 1e-8
"""By how much, of a figure's spread, a limit is kept from, so that rounding does not carry over it."""

_SAMPLES: Final = 16
"""Places looked at first for each parameter; house choice."""

_STARTS: Final = 6
"""Places from which a solution is sought; house choice: more found nothing new on the designs here."""

_REASONS: Final = 3
"""Reasons that are told at most why nothing can be built; house choice."""

_CHECKED: Final = 24
"""Solutions that are held to every rule at most: a check costs as much as a hundred weighings."""

_BROKEN: Final = 1e3
"""Miss [-], in spreads of a figure, that a place counts with where nothing can be built."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """How near the targets a design comes.

    Parameters
    ----------
    settings : mapping
        The parameters' values, [-]
    figures : mapping
        The figures that targets were set for, by name, [-]
    met : bool
        Whether every target is met
    reach : mapping
        The least and the greatest of each figure that was found within the bounds, [-]
    stops : tuple of str
        Where a target is missed, what stops it: bounds, rules, what cannot be built
    """

    settings: Mapping[str, float]
    figures: Mapping[str, float | None]
    met: bool
    reach: Mapping[str, tuple[float, float]]
    stops: tuple[str, ...]


class _Field:
    """The figures over the space of parameters, each place computed once."""

    def __init__(
        self,
        script: Script,
        between: Mapping[str, tuple[float, float]],
        wanted: Sequence[Target],
        fixed: Mapping[str, str],
        tools: Toolbox | None,
    ) -> None:
        self.script, self.fixed, self.tools = script, fixed, tools
        self.names = list(between)
        self.low, self.high = np.array([between[name] for name in self.names]).T
        self.smooth = [t for t in wanted if not t.counts]
        self.counted = [t for t in wanted if t.counts]
        self.seen: dict[tuple[float, ...], Floats | None] = {}
        self.reasons: dict[str, int] = {}
        self.scale = np.ones(len(self.smooth))

    def settings(self, share: Floats) -> dict[str, float]:
        """Values of the parameters at a place, told by shares of their ranges."""
        at = self.low + np.clip(share, 0, 1) * (self.high - self.low)
        # Twelve digits: far finer than any target, and 10 stays 10.
        return {name: float(f"{value:.12g}") for name, value in zip(self.names, at.tolist(), strict=True)}

    def built(self, share: Floats) -> Design | None:
        """The design at a place; None, and the reason kept, where it cannot be built."""
        given = {name: repr(value) for name, value in self.settings(share).items()}
        try:
            return design_of(self.script, {**self.fixed, **given})[0]
        except TurnmodelError as error:
            reason = str(error).partition("\n")[0]
            self.reasons[reason] = self.reasons.get(reason, 0) + 1
            return None

    def values(self, share: Floats) -> Floats | None:
        """The smooth figures at a place; None where nothing can be built."""
        key = tuple(np.clip(share, 0, 1).tolist())
        if key not in self.seen:
            design = self.built(share)
            names = [t.name for t in self.smooth]
            found = figures(design, names, self.tools) if design else None
            self.seen[key] = None if found is None else np.array([found[name] for name in names], dtype=float)
        return self.seen[key]

    def reach(self) -> list[tuple[float, float]]:
        """The least and the greatest of each smooth figure so far; none where nothing could be built."""
        known = [v for v in self.seen.values() if v is not None]
        if not known or not self.smooth:
            return []
        low, high = np.nanmin(known, axis=0).tolist(), np.nanmax(known, axis=0).tolist()
        return list(zip(low, high, strict=True))

    def misses(self, share: Floats) -> Floats:
        """By how much the smooth targets are missed, in spreads of their figures."""
        values = self.values(share)
        if values is None or not np.isfinite(values).all():
            return np.full(len(self.smooth), _BROKEN)
        pairs = zip(self.smooth, values.tolist(), strict=True)
        return np.array([t.miss(v) for t, v in pairs]) / self.scale

    def meets(self, share: Floats) -> bool:
        """Whether every smooth target is met at a place."""
        values = self.values(share)
        if values is None:
            return False
        return all(t.met(v) for t, v in zip(self.smooth, values.tolist(), strict=True))

    def every(self, share: Floats) -> dict[str, float | None]:
        """Every figure that a target is set for."""
        design = self.built(share)
        names = [t.name for t in (*self.smooth, *self.counted)]
        return figures(design, names, self.tools) if design else dict.fromkeys(names)


def aim(
    script: Script,
    between: Mapping[str, tuple[float, float]],
    wanted: Sequence[Target],
    *,
    fixed: Mapping[str, str] | None = None,
    tools: Toolbox | None = None,
    tell: Callable[[str], None] | None = None,
) -> Aim:
    """Find the values of parameters that meet targets, those nearest to the script's own.

    Parameters
    ----------
    script : Script
        The script
    between : mapping
        Parameter's name to its least and greatest value, [-]
    wanted : sequence of Target
        The targets
    fixed : mapping, optional
        Other parameters that are set, as text
    tools : Toolbox, optional
        The tools that the rules hold the design to
    tell : callable, optional
        Told of the progress

    Returns
    -------
    Aim
        The values, and whether they meet every target; if not, the nearest miss and what stops it

    Notes
    -----
    A Latin hypercube of places; where there is one parameter, every change of sign by Brent's method; from
    the best places, the least change of the parameters under the targets by sequential quadratic
    programming, and Newton's steps to the end. What meets the smooth targets is then held to the rules, the
    least change first.
    """
    field = _Field(script, between, wanted, fixed or {}, tools)
    own = _own(script, field)
    places = [own, *_sampled(len(field.names))]
    for place in places:
        field.values(place)
    reach = field.reach()
    if reach:
        field.scale = np.array([high - low if high > low else 1.0 for low, high in reach])
    places.sort(key=lambda place: _size(field.misses(place)))
    if tell:
        tell("looking for values that meet the targets")
    found = [own, *_brackets(field, places)]
    for start in places[:_STARTS]:
        found.append(_polished(field, _nearest(field, start, own)))
        found.append(_polished(field, _solved(field, start)))
    found += [_polished(field, place) for place in places[_STARTS : _STARTS + _CHECKED] if field.counted]
    met = [place for place in found if field.meets(place)]
    if met:
        return _checked(field, _apart(met, own), tell)
    return _missed(field, min(found, key=lambda place: _size(field.misses(place))))


def _own(script: Script, field: _Field) -> Floats:
    """Place of the script's own values, or the nearest within the bounds."""
    own = np.array([float(script.parameters[name]) for name in field.names])
    share: Floats = np.clip((own - field.low) / (field.high - field.low), 0, 1)
    return share


def _sampled(count: int) -> list[Floats]:
    """Spread places evenly, the ends of each parameter among them."""
    from scipy.stats import qmc

    inner = list(qmc.LatinHypercube(d=count, rng=0).random(_SAMPLES * count))
    corners = [np.array([k >> i & 1 for i in range(count)], dtype=float) for k in range(2 ** min(count, 4))]
    return inner + [np.resize(corner, count) for corner in corners]


def _size(misses: Floats) -> float:
    return float(np.linalg.norm(misses))


def _brackets(field: _Field, places: Sequence[Floats]) -> list[Floats]:
    """Every change of sign of the one figure over the one parameter, by Brent's method."""
    if len(field.names) != 1 or len(field.smooth) != 1 or field.smooth[0].relation != "=":
        return []
    from scipy.optimize import brentq

    def over(x: float) -> float:
        return float(field.misses(np.array([x]))[0])

    at = sorted({float(place[0]) for place in places if field.values(place) is not None})
    found = []
    for a, b in pairwise(at):
        if over(a) * over(b) < 0:
            found.append(np.array([brentq(over, a, b, xtol=1e-15, rtol=1e-14)]))
    return found


def _nearest(field: _Field, start: Floats, own: Floats) -> Floats:
    """The place nearest to the script's own that meets the smooth targets, sought from a start."""
    from scipy.optimize import minimize

    def over(place: Floats) -> Floats:
        values = field.values(place)
        if values is None:
            return np.full(len(field.smooth), _BROKEN)
        pairs = zip(field.smooth, values.tolist(), strict=True)
        return np.array([v - t.value for t, v in pairs]) / field.scale

    equal = [k for k, t in enumerate(field.smooth) if t.relation == "="]
    below = [k for k, t in enumerate(field.smooth) if t.relation != "="]
    sign = np.array([-1.0 if field.smooth[k].relation == "<" else 1.0 for k in below])
    constraints = []
    if equal:
        constraints.append({"type": "eq", "fun": lambda x: over(x)[equal]})
    if below:
        constraints.append({"type": "ineq", "fun": lambda x: sign * over(x)[below] - _INSIDE})
    found = minimize(
        lambda x: float((x - own) @ (x - own)), start, jac=lambda x: 2 * (x - own), method="SLSQP",
        bounds=[(0.0, 1.0)] * len(start), constraints=constraints,
        options={"maxiter": 60, "ftol": 1e-14, "eps": 1e-6},
    )  # fmt: skip
    place: Floats = np.clip(found.x, 0, 1)
    return place


def _solved(field: _Field, start: Floats) -> Floats:
    """The place of the least misses, sought from a start."""
    from scipy.optimize import least_squares

    if not field.smooth:
        return start
    found = least_squares(
        field.misses,
        np.clip(start, 1e-9, 1 - 1e-9),
        bounds=(0.0, 1.0),
        diff_step=1e-6,
        xtol=1e-14,
        ftol=1e-14,
        max_nfev=60,
    )
    place: Floats = np.clip(found.x, 0, 1)
    return place


def _polished(field: _Field, place: Floats) -> Floats:
    """Newton's steps onto the smooth targets, the shortest where there is a choice."""
    step = 1e-6
    best = place
    for _ in range(8):
        miss = field.misses(place)
        if not miss.any() or _size(miss) >= _BROKEN:
            break
        missed = np.nonzero(miss)[0]
        slope = np.empty((len(missed), len(place)))
        for k in range(len(place)):
            way = step if place[k] + step <= 1 else -step
            moved = place.copy()
            moved[k] += way
            here, there = field.values(place), field.values(moved)
            if here is None or there is None:
                return best
            slope[:, k] = ((there - here) / field.scale)[missed] / way
        turn = np.linalg.lstsq(slope, -miss[missed], rcond=None)[0]
        place = np.clip(place + turn, 0, 1)
        if _size(field.misses(place)) < _size(field.misses(best)):
            best = place
    return best


def _apart(found: Sequence[Floats], own: Floats) -> list[Floats]:
    """Sort places by how far they are from the script's own, alike ones once."""
    kept: list[Floats] = []
    for place in sorted(found, key=lambda place: float(np.linalg.norm(place - own))):
        if all(np.linalg.norm(place - other) > CLOSE for other in kept):
            kept.append(place)
    return kept


def _checked(field: _Field, met: Sequence[Floats], tell: Callable[[str], None] | None) -> Aim:
    """Hold what meets the smooth targets to the counts, the least change first."""
    best: tuple[float, Floats, dict[str, float | None]] | None = None
    for k, place in enumerate(met[:_CHECKED], 1):
        if tell and field.counted:
            tell(f"holding solution {k} of {min(len(met), _CHECKED)} to the rules")
        every = field.every(place)
        missed = sum(abs(t.miss(every[t.name])) for t in field.counted)
        if missed == 0:
            return _aim(field, place, every, ())
        if best is None or missed < best[0]:
            best = missed, place, every
    assert best is not None
    _, place, every = best
    return _aim(field, place, every, (*_ruled(field, place), *_bounded(field, place)))


def _missed(field: _Field, place: Floats) -> Aim:
    """Tell the nearest miss and what stops it."""
    stops = [*_bounded(field, place)]
    # Reasons alike but for their numbers are one, as it was met first.
    alike = {
        re.sub(r"\d+(\.\d+)?", "", reason.replace("-", "")): reason for reason in reversed(field.reasons)
    }
    stops += [f"cannot be built: {reason}" for reason in list(reversed(alike.values()))[:_REASONS]]
    return _aim(field, place, field.every(place), tuple(stops))


def _aim(field: _Field, place: Floats, every: dict[str, float | None], stops: tuple[str, ...]) -> Aim:
    reach = dict(zip((t.name for t in field.smooth), field.reach(), strict=False))
    met = all(t.met(every[t.name]) for t in (*field.smooth, *field.counted))
    return Aim(settings=field.settings(place), figures=every, met=met, reach=reach, stops=stops)


def _bounded(field: _Field, place: Floats) -> list[str]:
    """Tell which parameters stand at a bound."""
    stops = []
    for name, share, low, high in zip(field.names, place, field.low, field.high, strict=True):
        if share <= CLOSE or share >= 1 - CLOSE:
            end, bound = ("lower", low) if share <= CLOSE else ("upper", high)
            stops.append(f"{name} stands at its {end} bound, {bound:g}")
    return stops


def _ruled(field: _Field, place: Floats) -> list[str]:
    """Tell which findings a count misses its target by."""
    from turnmodel.analysis.report import examined, judged

    design = field.built(place)
    if design is None:
        return []
    worst = {COUNTS[t.name] for t in field.counted}
    found, _ = judged(examined(design, field.tools))
    return [f"{f.severity}, {f.rule}: {f.message}" for f in found if f.severity in worst]
