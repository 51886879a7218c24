"""The pull was turned to 8 mm before its thread was cut, and the die of M8 runs against it."""

from __future__ import annotations

from turnmodel import Design, Part, bar, cylinder, relief, shoulder, thread

__all__ = ["FAULTS", "design"]

FAULTS = {"die path"}


def design() -> Design:
    """A pull that screws into a foot from behind, its thread in the middle."""
    pull = Part.turned(
        "pull",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[
            cylinder(8, 10),
            thread("M8x0.75", 6),
            relief(),
            shoulder("stop"),
            cylinder(12, 10),
        ],
    )
    return Design("pull", parts=[pull])
