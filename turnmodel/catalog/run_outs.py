"""Where a thread cannot be full: the leads of taps and dies, and the reliefs that make room for them."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.table import find, rows, source_of
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from turnmodel.catalog.threads import Thread

__all__ = ["Lead", "Relief", "die_lead", "relief", "tap_lead"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """The chamfered length of a tap or a die, which cuts no full thread.

    Parameters
    ----------
    kind : str
        Kind of tap or die
    low, high : float
        Shortest and longest lead in pitches, [-]
    source : Source
        Where it comes from
    """

    kind: str
    low: float
    high: float
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """A groove that lets a thread run out.

    Parameters
    ----------
    width : float
        Greatest width over all, [mm]
    floor : float
        Least length of its cylindrical floor, [mm]
    diameter : float
        Diameter of the floor, [mm]
    radius : float
        Radius of the corner to the shoulder, [mm]
    run_out : float
        Longest run-out of a thread cut without the groove, [mm]
    source : Source
        Where it comes from
    """

    width: float
    floor: float
    diameter: float
    radius: float
    run_out: float
    source: Source


def tap_lead(kind: str) -> Lead:
    """Give the lead of a kind of tap.

    Parameters
    ----------
    kind : str
        ``"taper"``, ``"plug"``, ``"bottoming"``, or a form from ``"A"`` to ``"E"``

    Returns
    -------
    Lead
        Lead in pitches

    Raises
    ------
    UnknownName
        If there is no such kind.

    Examples
    --------
    >>> tap_lead("plug").high
    5.0
    """
    return find("kind of tap", kind, _leads("tap"))


def die_lead(kind: str = "standard") -> Lead:
    """Give the lead of a kind of die: how far from a shoulder its full thread ends.

    Parameters
    ----------
    kind : str
        ``"standard"``, ``"short"`` for shouldering, or ``"reversed"``, the die turned round

    Returns
    -------
    Lead
        Lead in pitches

    Raises
    ------
    UnknownName
        If there is no such kind.

    Examples
    --------
    >>> die_lead("reversed").high
    1.25
    """
    return find("kind of die", kind, _leads("die"))


def relief(thread: Thread, short: bool = False, external: bool = True) -> Relief:
    """Give the groove that lets a thread run out against a shoulder or at the bottom of a hole.

    Parameters
    ----------
    thread : Thread
        The thread
    short : bool
        Whether the short form is wanted, which needs a short lead
    external : bool
        Whether the groove is on the screw or in the nut

    Returns
    -------
    Relief
        The groove

    Notes
    -----
    Tabled for pitches of 0.5 to 1.75 mm [1]_; other pitches by the proportions of those rows.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> found = relief(thread("M9x0.75"), short=True)
    >>> found.width, found.diameter
    (1.9, 7.8)

    References
    ----------
    .. [1] DIN 76-1, Thread run-outs and thread undercuts, for ISO metric threads.
    """
    form = "short" if short else "regular"
    row = _reliefs().get(thread.pitch)
    if row is not None:
        width, floor, run_out, radius, below = (
            float(row[column])
            for column in (f"width_{form}", f"floor_{form}", f"run_out_{form}", "radius", "below_major")
        )
        source = source_of(row)
    else:
        shares = (2.5, 1.1, 1.25, 0.5, 1.6) if short else (3.5, 2.1, 2.5, 0.5, 1.6)
        width, floor, run_out, radius, below = (round(share * thread.pitch, 2) for share in shares)
        source = _PROPORTIONS
    inside = thread.major_d + (0.3 if thread.pitch <= 0.8 else 0.5)
    return Relief(
        width=width,
        floor=floor,
        diameter=round(thread.major_d - below, 6) if external else inside,
        radius=radius,
        run_out=run_out,
        source=source,
    )


_PROPORTIONS: Final = Source(
    work="DIN 76-1", place="proportions of its rows, for a pitch of no row", basis=Basis.COMPUTED
)


@functools.cache
def _leads(tool: str) -> dict[str, Lead]:
    """Index the leads of a tool by kind and alias."""
    return {
        name: Lead(kind=row["kind"], low=float(row["low"]), high=float(row["high"]), source=source_of(row))
        for row in rows("leads")
        if row["tool"] == tool
        for name in (row["kind"], row["aliases"])
        if name
    }


@functools.cache
def _reliefs() -> dict[float, dict[str, str]]:
    """Index the reliefs by pitch."""
    return {float(row["pitch"]): row for row in rows("reliefs")}
