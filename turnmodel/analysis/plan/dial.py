"""What the cross slide's dial shows, and in how many cuts a diameter is reached."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from turnmodel.catalog.materials import Material
    from turnmodel.catalog.toolbox import Lathe

__all__ = ["FINISH", "Pass", "divisions", "passes", "thread_passes"]

FINISH: Final = 0.4
"""Left on the diameter [mm] for the last cut; house choice, twice what a sharp tool needs to bite."""

_DEPTHS: Final = {
    "steel": 0.6,
    "stainless": 0.5,
    "titanium": 0.5,
    "spring steel": 0.4,
}
"""Off the diameter [mm] in one roughing cut at most, by family of materials; house choice."""
_DEPTH: Final = 1.5

_FIRST_THREAD_CUT: Final = 0.15
"""Infeed [mm] of the first cut of a thread; house choice for a small lathe."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One cut: the diameter it leaves [mm], and the dial counted from where the tool first touched [-]."""

    diameter: float
    dial: float


def divisions(infeed: float, lathe: Lathe) -> float:
    """Tell by how many divisions of the dial a tool is fed in.

    Parameters
    ----------
    infeed : float
        How far the tool moves towards the axis, [mm]
    lathe : Lathe
        The lathe, whose dial reads radius or diameter

    Returns
    -------
    float
        Divisions, [-]

    Examples
    --------
    Half a millimetre off the radius is a millimetre off the diameter:

    >>> from turnmodel.catalog.tools import assumed_tools
    >>> divisions(0.5, assumed_tools().lathe)
    20.0
    """
    read = infeed if lathe.cross_dial_reads == "radius" else 2 * infeed
    return round(read / lathe.dial_division, 6)


def passes(start_d: float, end_d: float, material: Material, lathe: Lathe) -> tuple[Pass, ...]:
    """Divide what is turned off, or bored out, into roughing cuts and a finishing cut.

    Parameters
    ----------
    start_d, end_d : float
        Diameters before and after, [mm]
    material : Material
        Material that is cut
    lathe : Lathe
        The lathe

    Returns
    -------
    tuple of Pass
        Roughing cuts, as much alike as whole divisions let them be, then the finishing one

    Examples
    --------
    >>> from turnmodel.catalog.materials import material
    >>> from turnmodel.catalog.tools import assumed_tools
    >>> [(p.diameter, p.dial) for p in passes(10.0, 7.0, material("brass"), assumed_tools().lathe)]
    [(8.7, 26.0), (7.4, 52.0), (7.0, 60.0)]
    """
    whole = abs(start_d - end_d)
    sense = 1 if end_d > start_d else -1
    rough = whole - FINISH
    count = math.ceil(rough / _DEPTHS.get(material.family, _DEPTH) - 1e-9) if rough > 0 else 0
    infeeds = [_whole(rough * (k + 1) / count / 2, lathe) for k in range(count)] + [whole / 2]
    return tuple(
        Pass(diameter=round(start_d + sense * 2 * x, 6), dial=round(divisions(x, lathe), 1)) for x in infeeds
    )


def _whole(infeed: float, lathe: Lathe) -> float:
    """Bring an infeed [mm] to a whole division of the dial."""
    return round(divisions(infeed, lathe)) * infeed / divisions(infeed, lathe)


def thread_passes(depth: float, major_d: float, lathe: Lathe) -> tuple[Pass, ...]:
    r"""Divide the depth of a thread into cuts that each take about as much metal.

    .. math:: t_k = t \sqrt{k / n}

    Parameters
    ----------
    depth : float
        Depth of the thread, [mm]
    major_d : float
        Major diameter, [mm]
    lathe : Lathe
        The lathe

    Returns
    -------
    tuple of Pass
        Diameter at the tip of the tool, and the dial from where it first touched

    Notes
    -----
    The area of a 60 degree cut grows with the square of its depth, so equal areas go as the root of their
    count; common practice for threads cut straight in.

    Examples
    --------
    >>> from turnmodel.catalog.tools import assumed_tools
    >>> [p.dial for p in thread_passes(0.6, 10.0, assumed_tools().lathe)][:3]
    [6.0, 8.5, 10.4]
    """
    count = max(4, math.ceil((depth / _FIRST_THREAD_CUT) ** 2 - 1e-9))
    infeeds = [depth * math.sqrt(k / count) for k in range(1, count + 1)]
    return tuple(Pass(diameter=major_d - 2 * x, dial=round(divisions(x, lathe), 1)) for x in infeeds)
