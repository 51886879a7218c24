"""Where bought parts stand in a mock-up: as in metal, though the holes in the files are wider."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from turnmodel.design.pose import relative
from turnmodel.design.surface import surface

if TYPE_CHECKING:
    from collections.abc import Mapping

    from turnmodel.design.design import Design
    from turnmodel.design.joint import Seat
    from turnmodel.design.part import Part

__all__ = ["seated_as"]


def seated_as(metal: Design, files: Mapping[str, Part], seat: Seat) -> Seat:
    """Give a seat of a bought part the gap that leaves it where it stands in metal.

    Parameters
    ----------
    metal : Design
        The object as designed
    files : mapping
        Name to the part as it is in the files
    seat : Seat
        A joint of the design

    Returns
    -------
    Seat
        The joint between the parts in the files

    Notes
    -----
    A cone sinks deeper into a hole that is widened in the files, some 0.6 mm for a refill; as the hole comes
    out of the printer it is narrower again, and the cone rests within the slide's room of where metal has it.
    """
    moving, fixed = seat.moving.part, seat.fixed.part
    wanted = relative(seat, metal.part(moving), metal.part(fixed), seat.apart)
    drawn = relative(seat, files[moving], files[fixed], seat.apart)
    out = surface(files[fixed], seat.fixed).frame
    more = sum((w[3] - d[3]) * o[2] for w, d, o in zip(wanted[:3], drawn, out, strict=False))
    return replace(seat, gap=seat.apart + more)
