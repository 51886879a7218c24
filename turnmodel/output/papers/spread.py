"""Room for labels beside a view: over their anchors as near as may be, in rows, nothing on anything."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Spread", "spread"]

_ROUNDS: Final = 400
"""Projections [-]: twenty labels are settled to a tenth of a millimetre after half as many."""
_MOST_ROWS: Final = 4
"""Rows of labels [-] beyond which nobody finds one; house choice."""
_ROW_COST: Final = 30.0
"""Total shift [mm] that one more row of labels must save to be worth its height; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Where labels came to stand: the middles [mm] and rows, from the nearest 0, of each in its order."""

    middles: tuple[float, ...]
    rows: tuple[int, ...]

    @property
    def count(self) -> int:
        """How many rows there are, [-]."""
        return max(self.rows, default=-1) + 1


def spread(
    anchors: Sequence[float],
    widths: Sequence[float],
    within: tuple[float, float],
    gap: float,
    rows: Sequence[int] | None = None,
) -> Spread | None:
    r"""Stand labels over their anchors in their order, leaders of a farther row between those of a nearer.

    Parameters
    ----------
    anchors : sequence of float
        Wanted middles, rising, [mm]
    widths : sequence of float
        Widths of the labels, [mm]
    within : tuple of float
        Between which ends they stand, [mm]
    gap : float
        Least room between two, [mm]
    rows : sequence of int, optional
        The row of each, from the nearest 0; left out, as many rows as cost least, [-]

    Returns
    -------
    Spread or None
        The nearest by the sum of squares for the number of rows that costs least; None where they have
        no room

    Notes
    -----
    With labels dealt to the rows in turn, that nothing meets is a set of differences
    :math:`x_j - x_i \ge c_{ij}`: two labels of a row stand a gap apart, and the leader of a farther row
    passes a nearer label at half a gap. The nearest such middles are found by Dykstra's projections and then
    pushed until every difference holds, so that what is returned is proven free.

    Examples
    --------
    >>> spread([10, 11, 40], [8, 8, 8], (0, 100), 2, rows=[0, 0, 0]).middles
    (5.5, 15.5, 40.0)
    >>> spread([10, 11], [60, 60], (0, 100), 2, rows=[0, 0]) is None
    True
    """
    best: tuple[float, Spread] | None = None
    dealt = [[k % count for k in range(len(anchors))] for count in range(1, _MOST_ROWS + 1)]
    for tried in [rows] if rows is not None else dealt:
        middles = _settled(anchors, widths, tried, within, gap)
        if middles is None:
            continue
        cost = sum(abs(x - a) for x, a in zip(middles, anchors, strict=True)) + _ROW_COST * max(
            tried, default=0
        )
        if best is None or cost < best[0]:
            best = (cost, Spread(middles=tuple(middles), rows=tuple(tried)))
    return best and best[1]


def _settled(
    anchors: Sequence[float],
    widths: Sequence[float],
    rows: Sequence[int],
    within: tuple[float, float],
    gap: float,
) -> list[float] | None:
    """Find the middles for given rows; None where there is no room."""
    count = len(anchors)
    apart = {(i, j): _apart(widths, rows, i, j, gap) for j in range(count) for i in range(j)}
    low = [within[0] + w / 2 for w in widths]
    high = [within[1] - w / 2 for w in widths]
    for (i, j), c in sorted(apart.items(), key=lambda pair: pair[0][1]):
        low[j] = max(low[j], low[i] + c)
    for (i, j), c in sorted(apart.items(), key=lambda pair: -pair[0][0]):
        high[i] = min(high[i], high[j] - c)
    if any(a > b + 1e-9 for a, b in zip(low, high, strict=True)):
        return None
    found = list(anchors)
    kept = dict.fromkeys(apart, 0.0)
    for _ in range(_ROUNDS):
        for (i, j), c in apart.items():
            push = max(0.0, kept[i, j] + (c - (found[j] - found[i])) / 2)
            step = push - kept[i, j]
            found[i] -= step
            found[j] += step
            kept[i, j] = push
    found = [min(max(x, a), b) for x, a, b in zip(found, low, high, strict=True)]
    for j in range(count):
        least = max((found[i] + apart[i, j] for i in range(j) if (i, j) in apart), default=low[j])
        found[j] = min(max(found[j], least), high[j])
    return found


def _apart(widths: Sequence[float], rows: Sequence[int], i: int, j: int, gap: float) -> float:
    """How far the middle of a label stands behind that of one before it, at least, [mm]."""
    if rows[i] == rows[j]:
        return (widths[i] + widths[j]) / 2 + gap
    nearer = widths[i] if rows[i] < rows[j] else widths[j]
    return (nearer + gap) / 2
