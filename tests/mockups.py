"""A box for spare nibs that tests print: it is screwed, pressed and slid together, all by round figures."""

from __future__ import annotations

from turnmodel import (
    Design,
    Part,
    bar,
    bore,
    chamfer,
    cylinder,
    drill,
    joint,
    relief,
    shoulder,
    state,
    tap,
    thread,
)

__all__ = ["nib_box"]


def nib_box(size: str = "M12x1.5", pin_d: float = 4.9) -> Design:
    """Build a box 16 mm wide: a lid screws on, a foot is pressed in, and a pin slides in a 5 mm bore."""
    box = Part.turned(
        "box",
        material="CW614N",
        stock=bar("16 mm"),
        outside=[  # from the foot to the mouth
            cylinder(16, 30, edges=chamfer(0.5)),
            shoulder("lid stop"),
            relief(width=3, diameter=9.5),
            thread(size, 9),
        ],
        from_front=[bore(10, depth=6, mark="foot seat")],
        from_back=[bore(5, depth=20)],
    )
    lid = Part.turned(
        "lid",
        material="6061-T6",
        stock=bar("16 mm"),
        outside=[cylinder(16, 20, edges=chamfer(0.5))],
        from_back=[drill("10.5 mm", depth=16), tap(size, depth=12.5, lead="bottoming")],
    )
    foot = Part.turned(
        "foot",
        material="CW614N",
        stock=bar("16 mm"),
        outside=[cylinder(16, 3, edges=chamfer(0.5)), shoulder("under"), cylinder(10.02, 5)],
    )
    pin = Part.turned(
        "pin",
        material="silver steel",
        stock=bar("8 mm"),
        outside=[cylinder(pin_d, 12), shoulder("head"), cylinder(7.5, 1)],
    )
    return Design(
        "nib box",
        parts=[box, lid, foot, pin],
        joints=[
            joint.press(foot.face("under"), box.face("front"), allowance=0.02),
            joint.seat(pin.face("head"), box.face("back")),
        ],
        states={
            "closed": state(joint.screw(lid.face("back"), box.face("lid stop"))),
            "open": state(aside=lid),
        },
    )
