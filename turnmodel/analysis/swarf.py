"""What a part is cut from, and how much of that becomes swarf."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.analysis.weight import part_weight
from turnmodel.catalog.materials import material
from turnmodel.design.ledger import mm
from turnmodel.design.part import StripPart, TurnedPart

if TYPE_CHECKING:
    from turnmodel.design.part import Part

__all__ = ["Blank", "blank"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """The piece a part is cut from.

    Parameters
    ----------
    mass : float
        Mass of the bar or strip over the part's own length, [g]
    swarf : float
        Share of it that is cut away, [%]
    """

    mass: float
    swarf: float


def blank(part: Part, *, of: str | None = None) -> Blank | None:
    """Weigh the bar or strip over a part's length; None for a bought part.

    Parameters
    ----------
    part : Part
        The part
    of : str, optional
        Material to take instead of its own

    Returns
    -------
    Blank or None
        Its mass, and the share cut away

    Notes
    -----
    Facing and parting off come on top: as much again for each millimetre of bar.
    """
    if isinstance(part, TurnedPart):
        volume = math.pi / 4 * part.stock.diameter**2 * part.length
    elif isinstance(part, StripPart):
        widest = max(mm(width) for _, width in part.widths)
        volume = widest * part.length * mm(part.thickness)
    else:
        return None
    mass = volume * material(of or part.material).density / 1000
    return Blank(mass=mass, swarf=100 * (1 - part_weight(part, of=of).mass / mass))
