"""What a thread asks of its tools: the hole before the tap, the hole a screw passes, and the run-outs.

Leads and reliefs are laid down in `turnmodel.catalog.run_outs` and offered here beside the drills.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.drills import Drill, drill, nearest_drills
from turnmodel.catalog.run_outs import Lead, Relief, die_lead, relief, tap_lead
from turnmodel.catalog.table import rows, source_of
from turnmodel.errors import BadValue, UnknownName
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from turnmodel.catalog.threads import Thread

__all__ = [
    "CONVENTIONS",
    "HoleDrill",
    "Lead",
    "Relief",
    "clearance_drill",
    "die_lead",
    "percent_of_thread",
    "relief",
    "tap_drill",
    "tap_lead",
]

CONVENTIONS: Final = {"3H/4": 0.75, "5H/8": 0.625}
"""Full depth of a 60 degree thread over the height H of the sharp V: two conventions are in use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleDrill:
    """A drill for a hole that a thread is cut in, or passes.

    For threads that are not of 60 degrees both percentages are of the form's own depth.

    Parameters
    ----------
    thread : Thread
        The thread
    drill : Drill
        The drill
    percent_3h4 : float
        Depth of thread left, where 3H/4 is full depth (handbook tables), [%]
    percent_5h8 : float
        Depth of thread left, where 5H/8 is full depth (the basic profile), [%]
    source : Source
        Where the choice comes from
    """

    thread: Thread
    drill: Drill
    percent_3h4: float
    percent_5h8: float
    source: Source


def percent_of_thread(thread: Thread, hole_d: float, convention: str = "3H/4") -> float:
    r"""Tell how much of a full thread a hole leaves the tap to cut.

    .. math:: 100 \, \frac{D - d_h}{2 h}, \qquad h = \tfrac34 H \text{ or } \tfrac58 H

    Parameters
    ----------
    thread : Thread
        The thread
    hole_d : float
        Diameter of the hole, [mm]
    convention : str
        ``"3H/4"``, as handbook tables count, or ``"5H/8"``, as the basic profile does

    Returns
    -------
    float
        Depth over full depth, above 100 for a hole under it, [%]

    Raises
    ------
    UnknownName
        If there is no such convention.
    BadValue
        If the hole is not above 0 and up to the major diameter.

    Notes
    -----
    For threads that are not of 60 degrees full depth is the form's own, whatever the convention.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> t = thread("1/4-20 UNC")
    >>> [round(percent_of_thread(t, drill("#7").diameter, c), 1) for c in ("3H/4", "5H/8")]
    [75.4, 90.5]
    """
    if not 0 < hole_d <= thread.major_d:
        raise BadValue(
            "hole",
            hole_d,
            "mm",
            f"a hole to tap {thread} is above 0 and up to {thread.major_d:g} mm in diameter",
        )
    return 100 * (thread.major_d - hole_d) / _full_depth(thread, convention)


def tap_drill(thread: Thread, percent: float | None = None, convention: str = "3H/4") -> HoleDrill:
    """Choose the drill for a hole to be tapped.

    Parameters
    ----------
    thread : Thread
        The thread
    percent : float or None
        Depth of thread wanted; by default the drill that tables give, else major diameter less pitch, [%]
    convention : str
        Convention that the percentage is counted by, ``"3H/4"`` or ``"5H/8"``

    Returns
    -------
    HoleDrill
        The drill nearest to the hole, with the depth of thread it leaves by both conventions

    Raises
    ------
    BadValue
        If the percentage is not from 20 to 100, or no drill is as small or large.
    UnknownName
        If there is no such convention.

    Notes
    -----
    Common practice for hand work is 60 to 75 % by 3H/4 [1]_; more gives little strength for much torque.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> tap_drill(thread("M4")).drill.name, tap_drill(thread("M9x0.75")).drill.name
    ('3.3 mm', '8.25 mm')
    >>> tap_drill(thread("M4"), percent=50).drill.name
    '3.5 mm'

    References
    ----------
    .. [1] Tap drill chart; Machinery's Handbook 31, p. 2155, table 2.
    """
    if percent is not None:
        if not 20 <= percent <= 100:
            raise BadValue(
                "percent of thread", percent, "%", "a tapped hole has 20 to 100 % of thread", "take 70 %"
            )
        hole = thread.major_d - percent / 100 * _full_depth(thread, convention)
        place = f"{percent:g} % of thread by {convention}, nearest drill"
        return _hole(
            thread, _nearest(thread, hole), Source(work="common practice", place=place, basis=Basis.PRACTICE)
        )
    right_hand = thread.designation.removesuffix(" LH")
    if right_hand in _tabled("tap_drills"):
        name, source = _tabled("tap_drills")[right_hand]
        return _hole(thread, drill(name), source)
    return _hole(thread, _nearest(thread, thread.major_d - thread.pitch), _D_LESS_P)


def clearance_drill(thread: Thread) -> HoleDrill:
    """Choose the drill for a hole that the screw passes through.

    Parameters
    ----------
    thread : Thread
        The thread

    Returns
    -------
    HoleDrill
        The drill that tables give for a close hole, else the next above 1.05 of the major diameter

    Raises
    ------
    BadValue
        If no drill is as large.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> clearance_drill(thread("M3")).drill.name, clearance_drill(thread("2BA")).drill.name
    ('3.2 mm', '#12')
    """
    right_hand = thread.designation.removesuffix(" LH")
    if right_hand in _tabled("clearance_drills"):
        name, source = _tabled("clearance_drills")[right_hand]
        return _hole(thread, drill(name), source)
    _, above = nearest_drills(1.05 * thread.major_d, _kinds(thread))
    if above is None:
        raise BadValue(
            "clearance hole",
            1.05 * thread.major_d,
            "mm",
            f"no drill here is as large for {thread}",
            "bore it",
        )
    return _hole(thread, above, _CLOSE)


_D_LESS_P: Final = Source(
    work="common practice", place="major diameter less pitch, nearest drill", basis=Basis.PRACTICE
)
_CLOSE: Final = Source(
    work="house choice", place="next drill above 1.05 of the major diameter", basis=Basis.HOUSE
)


def _full_depth(thread: Thread, convention: str) -> float:
    """Give twice the height of a full thread [mm]."""
    if convention not in CONVENTIONS:
        raise UnknownName("convention for percent of thread", convention, CONVENTIONS)
    if thread.form.angle == 60:
        return 2 * CONVENTIONS[convention] * thread.form.sharp_height * thread.pitch
    return thread.major_d - thread.root_d


def _hole(thread: Thread, chosen: Drill, source: Source) -> HoleDrill:
    """Put a drill and what it leaves of the thread together."""
    left = {
        name: 100 * (thread.major_d - chosen.diameter) / _full_depth(thread, name) for name in CONVENTIONS
    }
    return HoleDrill(
        thread=thread, drill=chosen, percent_3h4=left["3H/4"], percent_5h8=left["5H/8"], source=source
    )


def _kinds(thread: Thread) -> frozenset[str]:
    """Tell which drills go with a thread: metric ones with metric threads."""
    return frozenset({"metric"} if thread.series == "ISO metric" else {"fraction", "number", "letter"})


def _nearest(thread: Thread, hole: float) -> Drill:
    """Find the drill nearest to a hole."""
    ends = [d for d in nearest_drills(hole, _kinds(thread)) if d]
    found = min(ends, key=lambda d: abs(d.diameter - hole))
    if len(ends) < 2 and abs(found.diameter - hole) > _NEAR:
        raise BadValue(
            "tapping hole", hole, "mm", f"the drill nearest to it for {thread} is {found.name}", "bore it"
        )
    return found


_NEAR: Final = 0.1
"""Farthest [mm] a hole past the end of the drills may be from the last of them: one step of theirs."""


@functools.cache
def _tabled(name: str) -> dict[str, tuple[str, Source]]:
    """Index a table of drills by designation."""
    return {row["thread"]: (row["drill"], source_of(row)) for row in rows(name)}
