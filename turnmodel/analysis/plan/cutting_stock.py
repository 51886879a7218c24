"""Which pieces are sawn from which bars, so that the least of them is wasted."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.errors import BadValue

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

__all__ = ["Length", "Sawing", "Sawn", "sawing"]

_PATTERNS: Final = 4000
"""Ways of cutting one bar that are listed outright, [-]; with more, they are generated as they are wanted."""

_ROUNDS: Final = 200
"""Rounds of generating ways at the most, [-]."""

_SAME: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Length:
    """A bar to cut from: how long it is [mm], how many there are (None for any number), what it costs.

    ``cost`` is in [mm] of bar: a length that must be bought costs itself, one that is there costs little.
    """

    length: float
    count: int | None
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sawn:
    """One way of cutting a bar, and how many are cut so.

    Parameters
    ----------
    bar : Length
        The bar
    pieces : tuple of (float, int)
        Length of each piece [mm] and how many of it there are in the bar
    times : int
        How many bars are cut so, [-]
    """

    bar: Length
    pieces: tuple[tuple[float, int], ...]
    times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sawing:
    """How all pieces are cut.

    Parameters
    ----------
    cuts : tuple of Sawn
        The ways, and how often
    cost : float
        What the bars cost together, [mm]
    least : float
        What they must cost at the least: that cost where every way was weighed, else the bound of the linear
        programme, [mm]
    """

    cuts: tuple[Sawn, ...]
    cost: float
    least: float

    @property
    def proven(self) -> bool:
        """Whether no cheaper way can be."""
        return self.cost <= self.least * (1 + _SAME) + _SAME


def sawing(pieces: Sequence[float], bars: Sequence[Length], held: float = 0.0) -> Sawing:
    r"""Solve the cutting-stock problem of pieces and bars.

    .. math:: \min \sum_j c_j x_j \quad \text{with} \quad \sum_j a_{ij} x_j \ge b_i, \; x_j \in \mathbb{N}

    where a column :math:`a_j` is a way of cutting a bar: how many of each piece come out of it.

    Parameters
    ----------
    pieces : sequence of float
        Lengths wanted, kerf included, one entry a piece, [mm]
    bars : sequence of Length
        Bars there are and can be bought
    held : float
        Length of every bar that cannot be used, for it is held by, [mm]

    Returns
    -------
    Sawing
        Exact where the ways of cutting a bar are few enough to list them all; else the best of those that
        column generation finds, with the bound that tells how near it is

    Raises
    ------
    BadValue
        If a piece is longer than every bar, or the bars do not suffice

    Examples
    --------
    Three pieces of 60 and two of 40 from bars of 100:

    >>> plan = sawing([60, 60, 60, 40, 40], [Length(length=100, count=None, cost=100)])
    >>> plan.cost, plan.proven
    (300.0, True)

    References
    ----------
    P. C. Gilmore and R. E. Gomory, A linear programming approach to the cutting-stock problem, Operations
    Research 9 (1961), 849-859.
    """
    wanted = Counter(round(piece, 4) for piece in pieces)
    sizes = sorted(wanted, reverse=True)
    if not sizes:
        return Sawing(cuts=(), cost=0.0, least=0.0)
    usable = [bar.length - held for bar in bars]
    if not bars or sizes[0] > max(usable) + _SAME:
        longest = max(usable, default=0.0)
        raise BadValue("piece", sizes[0], "mm", f"the longest bar gives {longest:g} mm", "get a longer bar")
    demand = np.array([wanted[size] for size in sizes], dtype=float)
    listed = _listed(sizes, usable, demand)
    columns = listed if listed is not None else _generated(sizes, usable, demand, bars)
    return _chosen(sizes, demand, bars, columns, every=listed is not None)


_Column = tuple[int, tuple[int, ...]]
"""A bar's place in the list, and how many of each piece are cut from it."""


def _listed(sizes: list[float], usable: list[float], demand: NDArray[np.float64]) -> list[_Column] | None:
    """List every way of cutting each bar that leaves no room for another piece; None where they are many."""
    found: list[_Column] = []
    for k, room in enumerate(usable):
        for pattern in _patterns(sizes, room, [int(n) for n in demand]):
            found.append((k, pattern))
            if len(found) > _PATTERNS:
                return None
    return found


def _patterns(sizes: list[float], room: float, most: list[int]) -> Iterator[tuple[int, ...]]:
    """Yield the maximal ways of cutting a length, no more of a piece than is wanted."""
    if not sizes:
        yield ()
        return
    size, rest = sizes[0], sizes[1:]
    fit = min(most[0], int((room + _SAME) / size)) if room > 0 else 0
    least = fit if not rest else 0
    for count in range(fit, least - 1, -1):
        for tail in _patterns(rest, room - count * size, most[1:]):
            left = room - count * size - sum(n * s for n, s in zip(tail, rest, strict=True))
            if count == fit or left < size - _SAME:
                yield (count, *tail)


def _generated(
    sizes: list[float], usable: list[float], demand: NDArray[np.float64], bars: Sequence[Length]
) -> list[_Column]:
    """Generate ways of cutting that the linear programme asks for, until it asks for none."""
    columns: list[_Column] = []
    for k, room in enumerate(usable):
        for i, size in enumerate(sizes):
            fit = min(int((room + _SAME) / size), int(demand[i]))
            if fit:
                columns.append((k, tuple(fit if j == i else 0 for j in range(len(sizes)))))
    for _ in range(_ROUNDS):
        _, worth, price = _relaxed(demand, bars, columns)
        fresh = []
        for k, room in enumerate(usable):
            pattern, value = _knapsack(sizes, room, worth, demand)
            if value - price[k] > bars[k].cost + _SAME and (k, pattern) not in columns:
                fresh.append((k, pattern))
        if not fresh:
            break
        columns += fresh
    return columns


def _matrix(count: int, columns: list[_Column]) -> NDArray[np.float64]:
    """Stand the ways of cutting side by side."""
    return np.array([pattern for _, pattern in columns], dtype=float).reshape(len(columns), count).T


def _limits(
    bars: Sequence[Length], columns: list[_Column]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Rows that keep each bar to the number there is."""
    rows = np.array([[float(j == k) for j, _ in columns] for k in range(len(bars))])
    most = np.array([math.inf if bar.count is None else bar.count for bar in bars])
    return rows, most


def _relaxed(
    demand: NDArray[np.float64], bars: Sequence[Length], columns: list[_Column]
) -> tuple[float, NDArray[np.float64], NDArray[np.float64]]:
    """Solve the linear programme: its cost, what a piece is worth, what a bar's scarcity costs."""
    from scipy.optimize import linprog

    cost = np.array([bars[k].cost for k, _ in columns])
    rows, most = _limits(bars, columns)
    held = np.isfinite(most)
    upper = np.vstack([-_matrix(len(demand), columns), rows[held]])
    bound = np.concatenate([-demand, most[held]])
    solved = linprog(cost, A_ub=upper, b_ub=bound, bounds=(0, None), method="highs")
    if not solved.success:
        raise _too_few(demand)
    duals = -solved.ineqlin.marginals
    price = np.zeros(len(bars))
    price[held] = duals[len(demand) :]
    return float(solved.fun), duals[: len(demand)], price


def _knapsack(
    sizes: list[float], room: float, worth: NDArray[np.float64], demand: NDArray[np.float64]
) -> tuple[tuple[int, ...], float]:
    """Find the way of cutting one bar that is worth most."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    solved = milp(
        -worth,
        constraints=LinearConstraint(np.array([sizes]), -math.inf, room + _SAME),
        bounds=Bounds(0, demand),
        integrality=np.ones(len(sizes)),
        options={"mip_rel_gap": 0.0},
    )
    pattern = tuple(round(n) for n in solved.x)
    return pattern, float(worth @ solved.x)


def _chosen(
    sizes: list[float],
    demand: NDArray[np.float64],
    bars: Sequence[Length],
    columns: list[_Column],
    *,
    every: bool,
) -> Sawing:
    """Choose whole numbers of each way of cutting."""
    from scipy.optimize import LinearConstraint, milp

    least, _, _ = _relaxed(demand, bars, columns)
    cost = np.array([bars[k].cost for k, _ in columns])
    rows, most = _limits(bars, columns)
    solved = milp(
        cost,
        constraints=[
            LinearConstraint(_matrix(len(demand), columns), demand, math.inf),
            LinearConstraint(rows, -math.inf, most),
        ],
        integrality=np.ones(len(columns)),
        options={"mip_rel_gap": 0.0},
    )
    if not solved.success:
        raise _too_few(demand)
    times = [round(x) for x in solved.x]
    left = {size: int(n) for size, n in zip(sizes, demand, strict=True)}
    cuts = []
    for (k, pattern), n in zip(columns, times, strict=True):
        for _ in range(n):  # a way may hold more of a piece than is still wanted
            used = tuple(min(count, left[size]) for count, size in zip(pattern, sizes, strict=True))
            for size, count in zip(sizes, used, strict=True):
                left[size] -= count
            cuts.append((k, tuple((s, c) for s, c in zip(sizes, used, strict=True) if c)))
    together = Counter(cut for cut in cuts if cut[1])
    found = tuple(Sawn(bar=bars[k], pieces=listed, times=n) for (k, listed), n in together.items())
    total = sum(sawn.bar.cost * sawn.times for sawn in found)
    bound = float(total) if every else _stepped(least, [bar.cost for bar in bars])
    return Sawing(cuts=found, cost=float(total), least=bound)


def _stepped(least: float, costs: list[float]) -> float:
    """Raise the bound of the linear programme to the next sum that whole bars can cost."""
    step = costs[0] if len(set(costs)) == 1 else None
    return math.ceil(least / step - _SAME) * step if step else least


def _too_few(demand: NDArray[np.float64]) -> BadValue:
    return BadValue(
        "pieces", float(demand.sum()), "-", "the bars that are there do not give them all", "add bars"
    )
