"""Corners cut off or rounded along the outline of a part."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from turnmodel.design.features.base import Chamfer, Edge
from turnmodel.design.ledger import mm
from turnmodel.errors import BadValue
from turnmodel.geometry.corner import chamfered, filleted

if TYPE_CHECKING:
    from turnmodel.design.features.outside import Outside
    from turnmodel.design.ledger import Ledger
    from turnmodel.geometry.curve import Curve

__all__ = ["Corner", "legs", "treated"]

Corner = tuple[Edge, str, "Outside"]
"""The treatment of a corner, the title of the feature that asks for it, the feature."""


def legs(edge: Chamfer) -> tuple[float, float]:
    """Axial and radial reach of a chamfer, [mm]."""
    axial = mm(edge.size)
    return axial, axial * math.tan(math.radians(edge.angle))


def treated(chain: list[Curve], edges: dict[int, Corner], ledger: Ledger) -> list[Curve] | None:
    """Cut or round the corners that ask for it, by their place in the chain [-]; None where one cannot be."""
    result: list[Curve] = []
    ahead: Curve | None = chain[0]
    before = len(ledger.faults)
    for k in range(len(chain)):
        current = ahead
        ahead = chain[k + 1] if k + 1 < len(chain) else None
        if k in edges and ahead is not None:
            edge, title, feature = edges[k]
            sides = (current, ahead)
            try:
                current, piece, ahead = _corner(current, ahead, edge)
            except BadValue as error:
                given = f"{edge.word} {_size(edge):g} mm"
                ledger.fault(title, given, error.rule, _most(*sides, edge), feature.where)
                continue
            result += [c for c in (current, piece) if c is not None]
        elif current is not None:
            result.append(current)
    return result if len(ledger.faults) == before else None


def _corner(first: Curve | None, second: Curve, edge: Edge) -> tuple[Curve | None, Curve, Curve | None]:
    if first is None:
        raise BadValue("edge", None, "", "the edge before it leaves nothing to cut")
    if isinstance(edge, Chamfer):
        return chamfered(first, second, *legs(edge))
    return filleted(first, second, _size(edge))


def _size(edge: Edge) -> float:
    return mm(edge.size if isinstance(edge, Chamfer) else edge.radius)


def _most(first: Curve | None, second: Curve, edge: Edge) -> str:
    """Find the largest edge that fits, to a tenth of a millimetre."""
    for tenths in range(int(10 * _size(edge)), 0, -1):
        size = tenths / 10
        smaller = replace(edge, size=size) if isinstance(edge, Chamfer) else replace(edge, radius=size)
        try:
            _corner(first, second, smaller)
        except BadValue:
            continue
        return f"{size:g} mm is the most here"
    return "leave it out"
