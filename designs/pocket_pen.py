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
PLUG_THREAD, PLUG_RELIEF = 4.5, 1.9
REFILL = 67.15  # a form D refill from tip to tail; it may be 0.15 mm longer or shorter
TIP_CONE = 3.25  # from its tip to where its cone is as wide as the hole in the nose
TIP_OUT = 2.0  # how far its tip stands out of the nose
PLAY = 0.3  # behind it


def design(barrel_length: float = 16.0, cap_d: float = 10.0, spacer_height: float = 1.0) -> Design:
    """Lay the pen out from the refill: it sets the body and the plug, the body sets the cap.

    In mm: barrel_length is the body behind the cap, cap_d the cap's diameter, spacer_height the room under
    the clip.
    """
    ink = bought("ink", refill="D")
    cap_stop = NOSE + GRIP + CAP_THREAD + RELIEF
    body_length = cap_stop + barrel_length
    drawn = bar("10 mm")  # used as drawn: its skin is the pen's

    body = Part.turned(
        "body",
        material="CW614N",
        stock=drawn,
        outside=[  # from the nose to the back
            cone(3.6, 7.0, length=NOSE, mark="nose"),
            cylinder(7.0, GRIP, mark="grip"),
            thread("M8x0.75", CAP_THREAD),
            relief(),
            shoulder("cap stop"),
            cylinder(10, barrel_length, mark="barrel", edges=chamfer(0.3)),
        ],
        from_front=[drill("2 mm", depth=3)],
        from_back=[
            drill("4 mm", depth=22),  # lets the thin drill reach, and the chips out
            # the refill's cone rests where the 2 mm hole opens into this drill's point, 0.15 mm up it
            drill("2.5 mm", depth=body_length - (TIP_CONE - TIP_OUT) - 0.15, mark="seat"),
            tap("M6x0.75", depth=7),
        ],
    )

    stud = PLUG_THREAD + PLUG_RELIEF
    deep = REFILL - TIP_OUT + PLAY - (body_length - stud)
    plug = Part.turned(
        "plug",
        material="CW614N",
        stock=drawn,
        outside=[
            thread("M6x0.75", PLUG_THREAD),
            relief(short=True),
            shoulder("body stop"),
            cylinder(10, deep - stud, front=chamfer(0.3)),
            dome(length=2.5),
        ],
        from_front=[drill("2.5 mm", depth=deep)],
    )

    inside = cap_stop + TIP_OUT  # and the drill's point is room for a tip that stands out further
    cap = Part.turned(
        "cap",
        material="CW614N",
        stock=drawn if cap_d == 10 else bar("12 mm"),
        outside=[  # from the closed end to the mouth
            dome(cap_d, length=2.5),
            cylinder(cap_d, inside + 6.6, back=chamfer(0.3)),
        ],
        from_back=[drill("7.25 mm", depth=inside), tap("M8x0.75", depth=8)],
        across=[cross_tap("M2", at=4.5, depth=4.2, mark="clip screw")],  # in the solid end, clear of the hole
    )

    spacer_d = 5.0
    saddle_rise = (cap_d - sqrt(cap_d**2 - spacer_d**2)) / 2
    spacer = Part.turned(
        "spacer",
        material="CW614N",
        stock=bar("5 mm"),  # used as drawn
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
        stock=bar("5 mm"),
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
