"""A capped pocket pen in free-cutting brass round a form D refill, for a field kit of drawing things."""

from math import sqrt

from turnmodel import (
    Design,
    Part,
    bar,
    bend,
    bought,
    chamfer,
    cone,
    cross_tap,
    cylinder,
    dome,
    drill,
    joint,
    relief,
    saddle,
    shoulder,
    slot,
    state,
    straight,
    tap,
    thread,
)

NOSE, GRIP, CAP_THREAD, RELIEF = 6.3, 13.0, 5.0, 2.6  # lengths in front of the cap stop
TIP_OUT = 2.0  # how far the refill's tip stands out of the nose


def design(barrel_length: float = 16.0, cap_d: float = 10.0, spacer_height: float = 1.0) -> Design:
    """Lay the pen out from the refill: it sets the body, the body sets the cap.

    barrel_length is the body behind the cap, cap_d the cap's diameter, spacer_height the room under the clip.
    """
    ink = bought("ink", refill="D")
    cap_stop = NOSE + GRIP + CAP_THREAD + RELIEF
    body_length = cap_stop + barrel_length

    body = Part.turned(
        "body",
        material="CW614N",
        stock=bar("10 mm"),
        outside=[  # from the nose to the back
            cone(3.6, 7.0, length=NOSE, mark="nose"),
            cylinder(7.0, GRIP, mark="grip"),
            thread("M8x0.75", CAP_THREAD),
            relief(),
            shoulder("cap stop"),
            cylinder(10, barrel_length, mark="barrel", edges=chamfer(0.3)),
        ],
        from_front=[drill("2 mm", through=True)],
        from_back=[
            # the refill's cone rests where the 2 mm hole opens into the point of this drill
            drill("2.5 mm", depth=body_length - 1.4, mark="seat"),
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
            cylinder(10, 64.9 - body_length, front=chamfer(0.3)),
            dome(length=2.5),
        ],
        from_front=[drill("2.5 mm", depth=28.9)],
    )

    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=bar("10 mm" if cap_d <= 10 else "12 mm"),
        outside=[  # from the closed end to the mouth
            dome(cap_d, length=2.5),
            cylinder(cap_d, 34.5, back=chamfer(0.3)),
        ],
        from_back=[drill("7.25 mm", depth=27.8), tap("M8x0.75", depth=6)],
        across=[cross_tap("M2", at=4.5, depth=4.2, mark="clip screw")],
    )

    spacer_d = 5.0
    saddle_rise = (cap_d - sqrt(cap_d**2 - spacer_d**2)) / 2
    spacer = Part.turned(
        "spacer",
        material="CW614N",
        stock=bar("5 mm"),
        outside=[cylinder(spacer_d, spacer_height + saddle_rise)],
        from_front=[drill("2.2 mm", through=True)],
        across=[saddle(cap_d, mark="saddle")],
    )

    clip = Part.strip(
        "clip",
        material="1095 blue strip",
        thickness=0.5,
        widths=[(0, 5), (32, 4)],
        corner=1.9,
        holes={"screw": (3, 2.2)},
        side=[straight(6), bend(-2.5, radius=8), straight(19.5), bend(14, radius=4)],
    )

    screw = Part.turned(
        "screw",
        material="303",
        stock=bar("4 mm"),
        outside=[cylinder(3.8, 1.2, front=chamfer(0.3)), shoulder("under head"), thread("M2", 4.8)],
        across=[slot(at=0, length=0.6, width=0.5, depth=3.8, angle=90)],
    )

    return Design(
        "pocket pen",
        parts=[body, plug, cap, spacer, clip, screw, ink],
        joints=[
            joint.seat(ink.face("tip"), body.face("seat")),
            joint.screw(plug.face("body stop"), body.face("back")),
            joint.seat(spacer.face("saddle"), cap.face("clip screw")),
            joint.seat(clip.face("screw", "under"), spacer.face("front")),
            joint.screw(screw.face("under head"), clip.face("screw", "top"), into=cap),
        ],
        states={
            "closed": state(joint.screw(cap.face("back"), body.face("cap stop"))),
            "open": state(aside=cap),
        },
    )
