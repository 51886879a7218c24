"""How a feature is cut: what it tells the cut sheet."""

from __future__ import annotations

from enum import StrEnum

__all__ = ["Operation"]


class Operation(StrEnum):
    """The operation that makes a feature, as a turner calls it."""

    TURN = "turn"
    TAPER = "taper"
    ROUND = "round"
    GROOVE = "groove"
    RELIEVE = "relieve"
    THREAD = "thread"

    DRILL = "drill"
    BORE = "bore"
    COUNTERSINK = "countersink"
    BORE_TAPER = "bore taper"
    RECESS = "recess"
    TAP = "tap"

    CROSS_DRILL = "cross drill"
    CROSS_TAP = "cross tap"
    FLATTEN = "flatten"
    SLOT = "slot"
    SADDLE = "saddle"
