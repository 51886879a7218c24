"""What every feature has: its words, its place in the script, and the edges it may carry."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar

from turnmodel.design.ledger import Measure, angle, positive
from turnmodel.design.script import script_place

if TYPE_CHECKING:
    from turnmodel.errors import Where

__all__ = ["Chamfer", "Edge", "Feature", "Fillet", "chamfer", "fillet"]


@dataclass(frozen=True, slots=True)
class Feature:
    """One thing that is turned, drilled or cut, as the script gives it.

    Parameters
    ----------
    mark : str, optional
        Name by which joints, findings and drawings call it
    """

    word: ClassVar[str] = "feature"

    mark: str | None = field(default=None, kw_only=True)
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Chamfer:
    """A corner cut off straight.

    Parameters
    ----------
    size : float or str
        How far it reaches along the axis, [mm]
    angle : float, optional
        Angle between its face and the axis, [degrees]

    Examples
    --------
    >>> chamfer(0.3)
    Chamfer(size=0.3, angle=45.0)
    """

    word: ClassVar[str] = "chamfer"

    size: Measure = positive()
    angle: float = angle(45.0, above=0, below=90)
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Fillet:
    """A corner rounded with a radius.

    Parameters
    ----------
    radius : float or str
        Radius of the arc, tangent to both sides, [mm]

    Examples
    --------
    >>> fillet("1/32 in")
    Fillet(radius='1/32 in')
    """

    word: ClassVar[str] = "fillet"

    radius: Measure = positive()
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)


Edge = Chamfer | Fillet

chamfer = Chamfer
fillet = Fillet
