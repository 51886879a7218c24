"""Shop practice: the figures that the checks hold a part to and its cut sheet is written by."""

from __future__ import annotations

from typing import Final

__all__ = [
    "CLEAR",
    "DEEP",
    "DRILL_HELD",
    "FACING",
    "HELD",
    "LEAST_BEND",
    "PAST_FLUTES",
    "PECK",
    "held",
    "standing_out",
]

FACING: Final = 0.5
"""Stock [mm] that is faced off each end; house choice."""

CLEAR: Final = 1.0
"""Room [mm] between the parting tool and the chuck; house choice."""

HELD: Final = 15.0
"""Bar [mm] that a small chuck's jaws grip; house choice."""

PECK: Final = 3.0
"""Diameters [-] that a drill cuts before it is first drawn back, and one diameter from then on; common
practice."""

DEEP: Final = 5.0
"""Diameters [-] past which a hole is called deep, for its chips pack; common practice."""

PAST_FLUTES: Final = 0.5
"""Diameters [-] that a drill cuts at a time where its flutes end inside the hole; common practice."""

DRILL_HELD: Final = 10.0
"""Drill [mm] that the jaws of a small drill chuck grip at least; house choice."""

LEAST_BEND: Final = 3.0
"""Inside radius of a bend over the thickness [-], under which hard strip cracks; from memory, where practice
says several times the thickness."""


def standing_out(length: float, parting_width: float) -> float:
    """Tell how much bar stands out of the chuck for a part: it is faced at both ends and parted off.

    Parameters
    ----------
    length : float
        Length of the part, [mm]
    parting_width : float
        Width of the parting tool, [mm]

    Returns
    -------
    float
        Length of bar, [mm]

    Examples
    --------
    >>> standing_out(30.0, 2.0)
    34.0
    """
    return length + 2 * FACING + parting_width + CLEAR


def held(diameter: float, jaws: float = HELD) -> float:
    """Tell how much bar is gripped: what the jaws take, and of a thick bar half its diameter.

    Parameters
    ----------
    diameter : float
        Diameter of the bar, [mm]
    jaws : float
        What the jaws take at least, [mm]

    Returns
    -------
    float
        Length of bar, [mm]

    Examples
    --------
    >>> held(20.0), held(40.0)
    (15.0, 20.0)
    """
    return max(jaws, diameter / 2)
