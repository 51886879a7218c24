"""How findings speak of names, directions and sizes."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.geometry.across import Vector

__all__ = ["between", "came_from", "listed", "towards"]


def listed(names: Sequence[str]) -> str:
    """Join names as a sentence does.

    Examples
    --------
    >>> listed(["cap", "clip", "screw"])
    'cap, clip and screw'
    """
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def towards(direction: Vector) -> str:
    """Say where a direction of the object's frame leads.

    Examples
    --------
    >>> towards((0.0, 0.0, -1.0))
    'towards the front'
    """
    if abs(direction[2]) < 0.5:
        return "sideways"
    return "towards the back" if direction[2] > 0 else "towards the front"


def came_from(direction: Vector) -> str:
    """Say from where a part was put in that is drawn off in a direction.

    Examples
    --------
    >>> came_from((0.0, 0.0, -1.0))
    'from the front'
    """
    if abs(direction[2]) < 0.5:
        return "from the side"
    return "from the back" if direction[2] > 0 else "from the front"


def between(span: tuple[float, float]) -> str:
    """Say between which sizes [mm] a thing may lie.

    Examples
    --------
    >>> between((0.338, 3.66))
    '0.34 to 3.66 mm'
    """
    return f"{span[0]:.2f} to {span[1]:.2f} mm"
