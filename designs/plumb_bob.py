"""A plumb bob to tell how a stem leans: a brass body on a steel point, hung by the axis of its cap.

The cord comes down through the cap and is knotted in the chamber below it, so that it pulls on the axis and
nowhere else. The point unscrews to be sharpened or renewed.
"""

from turnmodel import (
    Design,
    Part,
    bar,
    bow,
    chamfer,
    cone,
    countersink,
    cylinder,
    drill,
    fillet,
    flat,
    groove,
    joint,
    knurl,
    relief,
    shoulder,
    tap,
    thread,
)

__all__ = ["design"]

NECK = 9.0  # diameter of the body's end, where brass meets steel


def design(body_d: float = 22.0, body_length: float = 47.0, point_length: float = 22.0) -> Design:
    """Shape the bob by its greatest diameter, the length of the brass and that of the point's taper [mm]."""
    top, collar = 11.0, 2.0
    swell, fall = body_length - top - collar, (body_d - NECK) / 2

    body = Part.turned(
        "body",
        material="CW614N",
        stock=bar("25 mm"),
        outside=[  # from the cap down to the point
            cylinder(body_d, 4, front=fillet(2)),
            groove(1.2, diameter=body_d - 1.2, radius=0.3),
            cylinder(body_d, top - 5.2),
            bow(NECK, swell, (swell**2 + fall**2) / (2 * fall), mark="swell"),  # leaves the cylinder in line
            cylinder(NECK, collar, back=chamfer(0.3)),
        ],
        from_front=[drill("7.25 mm", depth=14), tap("M8x0.75", depth=9)],  # the knot sits below the cap
        from_back=[drill("4.2 mm", depth=15), tap("M5", depth=10)],
    )
    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=bar("14 mm"),
        outside=[  # from the top down; held in a tapped bush to finish the top
            cylinder(9, 2, front=fillet(1)),
            cylinder(12.5, 5, knurled=knurl(0.8), edges=chamfer(0.5)),
            shoulder("body stop"),
            relief(short=True),
            thread("M8x0.75", 5),
        ],
        from_front=[drill("2 mm", through=True), countersink(4)],  # so that the cord meets no edge
        from_back=[drill("4 mm", depth=4)],
    )
    point = Part.turned(
        "point",
        material="silver steel",
        finish="blued 229",  # hardened, and let down to straw
        stock=bar("10 mm"),
        outside=[  # from the thread down to the tip
            thread("M5", 6),
            relief(short=True),
            shoulder("body stop"),
            cylinder(8.4, 4, front=chamfer(0.3)),
            cone(8.4, 0.6, length=point_length, mark="taper"),
        ],
        across=[flat(at=8.5, length=3, across=7, count=2)],  # for a 7 mm spanner
    )
    return Design(
        "plumb bob",
        parts=[body, cap, point],
        joints=[
            joint.screw(cap.face("body stop"), body.face("front")),
            joint.screw(point.face("body stop"), body.face("back")),
        ],
    )
