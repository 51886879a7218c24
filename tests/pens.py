"""A small sound pen for tests to spoil: a body, a plug behind the refill, a cap."""

from __future__ import annotations

from typing import Any

from turnmodel import (
    Part,
    bar,
    bought,
    chamfer,
    cone,
    cross_hole,
    cylinder,
    dome,
    drill,
    joint,
    relief,
    shoulder,
    state,
    tap,
    thread,
)

__all__ = ["pen", "sprung_pen"]


def pen(**changes: Any) -> tuple[list[Part], dict[str, Any]]:
    """Describe the parts of a pen round a form D refill, and its joints and states.

    What may be changed, all in mm: ``front`` the hole through the nose, ``seat`` how far its larger hole
    ends before the nose, ``bore`` that hole, ``behind`` the hole in the plug, ``cap_bore``,
    ``cap_depth`` and ``cap_tap`` of the cap, ``air`` a hole across the cap's closed end.
    """
    size = {
        "front": 2.0,
        "seat": 1.4,
        "bore": 2.5,
        "behind": 28.9,
        "cap_bore": 7.25,
        "cap_depth": 29.5,
        "cap_tap": 8.0,
    }
    size |= {key: value for key, value in changes.items() if key in size}
    length = 42.9
    body = Part.turned(
        "body",
        material="CW614N",
        stock=bar("10 mm"),
        outside=[
            cone(3.6, 7.0, length=6.3, mark="nose"),
            cylinder(7.0, 13.0),
            thread("M8x0.75", 5.0),
            relief(width=2.6),
            shoulder("cap stop"),
            cylinder(10, 16, edges=chamfer(0.3)),
        ],
        from_front=[drill(size["front"], through=True)],
        from_back=[
            drill(size["bore"], depth=length - size["seat"], mark="seat"),
            drill("4 mm", depth=22),
            tap("M6x0.75", depth=7),
        ],
    )
    plug = Part.turned(
        "plug",
        material="CW614N",
        stock=bar("10 mm"),
        outside=[
            thread("M6x0.75", 4.5),
            relief(short=True),
            shoulder("body stop"),
            cylinder(10, 22, front=chamfer(0.3)),
            dome(length=2.5),
        ],
        from_front=[drill("2.5 mm", depth=size["behind"], mark="rest")],
    )
    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=bar("10 mm"),
        outside=[dome(10, length=2.5), cylinder(10, size["cap_depth"] + 6.7, back=chamfer(0.3))],
        from_back=[drill(size["cap_bore"], depth=size["cap_depth"]), tap("M8x0.75", depth=size["cap_tap"])],
        across=[cross_hole(changes["air"], at=6.0)] if "air" in changes else [],
    )
    ink = bought("ink", refill=changes.get("refill", "D 67.15 mm"))
    joints = [
        joint.seat(ink.face("tip"), body.face("seat")),
        joint.screw(plug.face("body stop"), body.face("back")),
        *changes.get("joints", ()),
    ]
    states = {
        "closed": state(joint.screw(cap.face("back"), body.face("cap stop"))),
        "open": state(aside=cap),
    }
    return [body, plug, cap, ink], {"joints": joints, "states": states}


def sprung_pen(**spring: Any) -> tuple[list[Part], dict[str, Any]]:
    """Describe the same pen with a deeper plug, and a spring in it that presses the refill on its seat.

    The plain plug leaves the refill 0.295 mm; in a hole 6 mm deeper the spring is left 6.295 mm.
    """
    (body, _, cap, ink), given = pen()
    plug = Part.turned(
        "plug",
        material="CW614N",
        stock=bar("10 mm"),
        outside=[
            thread("M6x0.75", 4.5),
            relief(short=True),
            shoulder("body stop"),
            cylinder(10, 30, front=chamfer(0.3)),
            dome(length=2.5),
        ],
        from_front=[drill("2.5 mm", depth=34.9, mark="rest")],
    )
    given["joints"].append(joint.spring(ink.face("back"), plug.face("rest"), **spring))
    return [body, plug, cap, ink], given
