"""The head of a core must pass a neck that was bored to the stem's size and a bit."""

from __future__ import annotations

from turnmodel import Design, Part, bar, bore, cylinder, joint, shoulder

__all__ = ["FAULTS", "design"]

FAULTS = {"order of assembly"}


def design() -> Design:
    """A plumb bob's core, put in from the back, whose head hangs in the room in front."""
    case = Part.turned(
        "case",
        material="CW614N",
        stock=bar("16 mm"),
        outside=[cylinder(16, 30)],
        from_front=[bore(12, depth=10)],
        from_back=[bore(7.4, through=True)],
    )
    core = Part.turned(
        "core",
        material="CW614N",
        stock=bar("16 mm"),
        outside=[cylinder(8, 5), cylinder(6, 21), shoulder("stop"), cylinder(14, 6)],
    )
    return Design("bob", parts=[case, core], joints=[joint.seat(core.face("stop"), case.face("back"))])
