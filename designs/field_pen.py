"""A full-size pen round a G2 refill for drawing outdoors: inch bar, number drills, unified threads.

Brass where the fingers hold it, aluminium behind, so that it balances towards the point. The refill goes in
from the back of the section; the barrel screws on over it, the tail screws in behind it. The cap closes on
the section and posts on the tail: both carry the same thread, as both ends of the barrel carry another, so
two dies and two taps make every thread. Brass runs in aluminium throughout: like on like would gall.
"""

from turnmodel import (
    Design,
    Part,
    bar,
    bought,
    bow,
    chamfer,
    cone,
    cylinder,
    dome,
    drill,
    fillet,
    flat,
    inch,
    joint,
    relief,
    shoulder,
    state,
    tap,
    thread,
)

__all__ = ["design"]

CAP_THREAD, BARREL_THREAD = "7/16-28 UNEF", "3/8-24 UNF"
NOSE, THREAD, RELIEF = 0.55 * inch, 0.16 * inch, 0.1 * inch
COLLAR = 0.2 * inch  # the brass ring between cap and barrel: wide enough to be held by in a collet
STUD, STUD_RELIEF = 0.25 * inch, 0.1 * inch  # what screws into either end of the barrel
TIP_OUT = 2.5  # mm that the refill's tip stands out of the nose
REFILL = 98.1  # mm, a G2 refill from tip to tail; it may be 0.4 mm longer
TIP_SHOULDER = 10.5  # mm from its tip to the shoulder that stops it


def design(body_d: float = 0.53, grip_length: float = 0.8, play: float = 0.02) -> Design:
    """Lay the pen out from the refill backwards.

    All in inches: body_d over barrel and cap, grip_length between nose and cap thread, play behind the
    refill, to be filled with a disc of felt.
    """
    over, grip = body_d * inch, grip_length * inch
    cap_stop = NOSE + grip + THREAD + RELIEF
    section_length = cap_stop + COLLAR + STUD_RELIEF + STUD
    refill_end = REFILL - TIP_OUT + play * inch
    stock = bar("9/16 in")

    ink = bought("ink", refill="G2")

    section = Part.turned(
        "section",
        material="C36000",
        stock=stock,
        outside=[  # from the nose to the barrel
            cone(0.175 * inch, 0.37 * inch, length=NOSE, mark="nose", front=fillet(0.3), back=fillet(8)),
            bow(0.385 * inch, grip, 4 * inch, hollow=True, mark="grip"),  # passes the die: its root is 0.393
            thread(CAP_THREAD, THREAD),
            relief(width=RELIEF),
            shoulder("cap stop"),
            cylinder(over, COLLAR, edges=chamfer(0.2)),
            shoulder("barrel stop"),
            relief(width=STUD_RELIEF, diameter=0.32 * inch),  # no deeper: the wall to the 1/4 in hole
            thread(BARREL_THREAD, STUD),
        ],
        from_front=[drill("#37", depth=0.4 * inch)],  # 0.104 in, over the thickest tip of 0.101 in
        from_back=[
            drill("1/4 in", depth=section_length - 13),  # ends where the refill's neck begins
            # the refill's shoulder rests in the cone that this drill's point leaves
            drill("#20", depth=section_length - (TIP_SHOULDER - TIP_OUT), mark="seat"),
        ],
    )
    barrel_length = refill_end + STUD + STUD_RELIEF - cap_stop - COLLAR
    end = [drill("Q", depth=0.68 * inch), tap(BARREL_THREAD, depth=0.38 * inch)]
    barrel = Part.turned(
        "barrel",
        material="6061-T6",
        finish="anodised black",
        stock=stock,
        outside=[cylinder(over, barrel_length, edges=chamfer(0.2))],
        from_front=[drill("1/4 in", through=True), *end],
        from_back=end,
    )
    tail = Part.turned(
        "tail",
        material="C36000",
        stock=stock,
        outside=[
            thread(BARREL_THREAD, STUD),  # its front face stops the refill: face it until the play is right
            relief(width=STUD_RELIEF),
            shoulder("barrel stop"),
            cylinder(over, COLLAR, edges=chamfer(0.2)),
            shoulder("post stop"),
            relief(width=RELIEF),
            thread(CAP_THREAD, THREAD),
            dome(0.385 * inch, length=0.1 * inch),
        ],
    )
    depth = cap_stop + TIP_OUT + 0.04 * inch  # the drill's point gives the tip the rest of its room
    cap = Part.turned(
        "cap",
        material="6061-T6",
        finish="anodised black",
        stock=stock,
        outside=[  # from the closed end to the mouth
            dome(over, length=0.1 * inch),
            cylinder(over, depth + 0.11 * inch, back=chamfer(0.2)),
        ],
        from_back=[drill("13/32 in", depth=depth), tap(CAP_THREAD, depth=0.32 * inch)],
        # six flats, so that it lies still on a sloping board
        across=[flat(at=0.14 * inch, length=0.4 * inch, across=over - 1.0, count=6)],
    )
    return Design(
        "field pen",
        parts=[section, barrel, tail, cap, ink],
        joints=[
            joint.seat(ink.face("tip"), section.face("seat")),
            joint.screw(barrel.face("front"), section.face("barrel stop")),
            joint.screw(tail.face("barrel stop"), barrel.face("back")),
        ],
        states={
            "closed": state(joint.screw(cap.face("back"), section.face("cap stop"))),
            "open": state(aside=cap),
            "posted": state(joint.screw(cap.face("back"), tail.face("post stop"))),
        },
    )
