"""A stout top to turn on the drawing board while the paint dries: a brass ring on an aluminium spindle.

Nearly all its mass is in the ring, out at the rim and low down. The ring is pressed on from below until it
meets the flange of the spindle, then the steel tip is screwed in.
"""

from math import sqrt

from turnmodel import (
    Design,
    Part,
    bar,
    bore,
    bow,
    chamfer,
    cone,
    countersink,
    cylinder,
    dome,
    drill,
    fillet,
    flat,
    joint,
    relief,
    shoulder,
    tap,
    thread,
)

__all__ = ["design"]

HUB = 12.0  # diameter of the ring's hole
TIP_R = 1.5  # radius of the tip: smaller spins longer and marks the paper


def design(ring_d: float = 30.0, ring_height: float = 9.0, stem_length: float = 12.0) -> Design:
    """Set the ring, which keeps it spinning, and the stem, which the fingers turn; all in mm."""
    ring = Part.turned(
        "ring",
        material="CW614N",
        finish="polished",
        stock=bar("32 mm"),
        outside=[cylinder(ring_d, ring_height, front=fillet(3), back=fillet(3))],
        from_front=[drill("11.5 mm", through=True), bore(HUB, through=True, mouth=chamfer(0.3))],
        from_back=[countersink(HUB + 0.6)],  # clears the corner under the flange
    )
    spindle = Part.turned(
        "spindle",
        material="6061-T6",
        stock=bar("18 mm"),
        outside=[  # from the tip upwards
            cone(7, HUB - 0.2, length=3.5),
            cylinder(HUB + 0.02, ring_height),  # 20 um over the ring's hole
            shoulder("ring stop"),
            cylinder(16, 1.5, edges=chamfer(0.3)),
            bow(5, 7, 12, start_d=13, hollow=True),
            cylinder(5, stem_length, mark="stem"),
            dome(length=2),
        ],
        from_front=[drill("3.3 mm", depth=12), tap("M4", depth=7.5)],
    )
    tip = Part.turned(
        "tip",
        material="silver steel",
        finish="blued 229",  # hardened, and let down to straw
        stock=bar("8 mm"),
        outside=[
            dome(TIP_R * sqrt(2), length=TIP_R * (1 - sqrt(1 / 2))),  # runs into the cone without an edge
            cone(end_d=7, half_angle=45),
            cylinder(7, 2),
            shoulder("spindle stop"),
            relief(short=True),
            thread("M4", 4),
        ],
        across=[flat(at=3.2, length=1.5, across=6, count=2)],  # for a 6 mm spanner
    )
    return Design(
        "spinning top",
        parts=[spindle, ring, tip],
        joints=[
            joint.press(ring.face("back"), spindle.face("ring stop"), allowance=0.02),
            joint.screw(tip.face("spindle stop"), spindle.face("front")),
        ],
    )
