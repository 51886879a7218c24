"""Named faces: what a script says of a part's surface, and where that surface is."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from turnmodel.design.script import script_place

if TYPE_CHECKING:
    from turnmodel.errors import Where
    from turnmodel.geometry.curve import Curve
    from turnmodel.geometry.frame import Matrix

__all__ = ["End", "Face", "Surface"]

End = Literal["front", "back", "under", "top"]


@dataclass(frozen=True, slots=True)
class Face:
    """A face of a part as a script names it.

    Parameters
    ----------
    part : str
        Name of the part
    name : str
        "front", "back", or the mark of a feature
    end : str, optional
        Which end of the marked feature, where it has two
    """

    part: str
    name: str
    end: End | None = None
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)

    def __str__(self) -> str:
        return f'{self.part}, face "{self.name}"' + (f" {self.end}" if self.end else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """Where a face is, in its part's frame.

    ``frame`` has its origin on the face and its z out of the metal. ``curves`` are the pieces of the part's
    outline that make up a face round the axis; empty for a flat face that is met at its origin.
    """

    frame: Matrix
    curves: tuple[Curve, ...] = ()
