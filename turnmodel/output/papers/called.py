"""A size in its place on a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from turnmodel.design.features.dimension import Callout

__all__ = ["Called"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """A callout in its place.

    Parameters
    ----------
    callout : Callout
        The size; ``over`` by station and radius
    inside : bool
        Whether it belongs to a hole
    from_back : bool
        Whether it counts from the back face
    virtual : bool
        Whether it is measured to a sharp corner that is rounded off
    reach : tuple of float, optional
        Stations between which a straight size holds, its edges not yet taken off, [mm]
    note : bool
        Whether it points something out and measures nothing
    """

    callout: Callout
    inside: bool = False
    from_back: bool = False
    virtual: bool = False
    reach: tuple[float, float] | None = None
    note: bool = False
