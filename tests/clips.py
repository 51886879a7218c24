"""A cap with a sound clip for tests to spoil: a strip on a spacer, held by a screw across the cap."""

from __future__ import annotations

from math import sqrt
from typing import Any

from turnmodel import (
    Part,
    bar,
    bend,
    chamfer,
    cross_tap,
    cylinder,
    dome,
    drill,
    joint,
    saddle,
    shoulder,
    slot,
    straight,
    thread,
)

__all__ = ["clipped"]


def clipped(**changes: Any) -> tuple[list[Part], list[joint.Joint]]:
    """A cap with a clip, a spacer under it and a screw through both; lengths in mm.

    What may be changed: ``screw`` length under the head, ``seat`` diameter of the saddle, ``radius`` of the
    first bend, ``thickness``, ``down`` the angle the clip is bent down by, ``long`` its straight,
    ``deep`` the hole in the cap, which from 36 on lies under the screw, ``hole`` in the clip,
    ``material``.
    """
    size = {
        "screw": 4.2,
        "seat": 10.0,
        "radius": 8.0,
        "thickness": 0.5,
        "down": -2.5,
        "long": 19.5,
        "deep": 33.0,
        "hole": 2.2,
    }
    size |= {k: v for k, v in changes.items() if k in size}
    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=bar("10 mm"),
        outside=[dome(10, length=2.5), cylinder(10, 40)],
        from_back=[drill("6.5 mm", depth=size["deep"])],
        across=[cross_tap("M2", at=4.5, depth=None if size["deep"] > 33 else 4.2, mark="clip screw")],
    )
    spacer = Part.turned(
        "spacer",
        material="CW614N",
        stock=bar("5 mm"),
        outside=[cylinder(5, 1 + (10 - sqrt(100 - 25)) / 2)],
        from_front=[drill("2.2 mm", through=True)],
        across=[saddle(size["seat"], mark="saddle")],
    )
    clip = Part.strip(
        "clip",
        material=changes.get("material", "1095 blue strip"),
        thickness=size["thickness"],
        widths=[(0, 5), (12.5 + size["long"], 4)],
        corner=1.9,
        holes={"screw": (3, size["hole"])},
        side=[
            straight(6),
            bend(size["down"], radius=size["radius"]),
            straight(size["long"]),
            bend(14, radius=4),
        ],
    )
    screw = Part.turned(
        "screw",
        material="303",
        stock=bar("4 mm"),
        outside=[
            cylinder(3.8, 1.2, front=chamfer(0.3)),
            shoulder("under head"),
            thread("M2", size["screw"]),
        ],
        across=[slot(at=0, length=0.6, width=0.5, depth=3.7)],
    )
    joints = [
        joint.seat(spacer.face("saddle"), cap.face("clip screw")),
        joint.seat(clip.face("screw", "under"), spacer.face("front")),
        joint.screw(screw.face("under head"), clip.face("screw", "top"), into=cap),
    ]
    return [cap, spacer, clip, screw], joints
