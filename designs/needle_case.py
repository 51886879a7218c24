"""A case for the fine needles that part a flower: an aluminium tube between a brass foot and a brass lid.

The foot is pressed into the tube for good; the lid screws on, and a cord through its knob keeps it out of the
grass.
"""

from math import hypot

from turnmodel import (
    Design,
    Part,
    bar,
    bore,
    bow,
    chamfer,
    cross_hole,
    cylinder,
    dome,
    drill,
    fillet,
    groove,
    joint,
    knurl,
    relief,
    shoulder,
    state,
    tap,
    thread,
)

__all__ = ["design"]

THREAD, RELIEF = 5.0, 2.5  # M10x1: five turns and the short relief behind them
SPIGOT = 6.0  # of the foot in the tube
LINE, BAND = 1.0, 4.0  # the line turned in at either end of the tube, and how far from its end


def design(needle_length: float = 55.0, case_d: float = 13.0, knob_d: float = 7.0) -> Design:
    """Size the case by the longest needle it holds; case_d is its diameter, knob_d that of the lid's knob."""
    proud = 5.0  # a needle stands out of the open tube by this much, to be taken hold of
    inside = needle_length - proud
    stock = bar("14 mm")

    tube = Part.turned(
        "tube",
        material="6061-T6",
        finish="anodised green",
        stock=stock,
        outside=[  # from the mouth to the foot
            thread("M10x1", THREAD),
            relief(short=True),
            shoulder("lid stop"),
            cylinder(case_d, inside + SPIGOT - THREAD - RELIEF - BAND - LINE, front=chamfer(0.2)),
            groove(LINE, diameter=case_d - 0.6),
            cylinder(case_d, BAND, back=chamfer(0.2)),
        ],
        from_front=[drill("6.8 mm", through=True)],  # no wider: the thread's root is 8.8 mm
        from_back=[bore(7, depth=SPIGOT + 0.5)],  # reamed, for the foot
    )
    foot = Part.turned(
        "foot",
        material="CW614N",
        stock=stock,
        outside=[
            cylinder(7.015, SPIGOT, front=chamfer(0.5, angle=15)),  # 15 um over the reamed hole
            shoulder("under tube"),
            cylinder(case_d, 4, front=chamfer(0.2), back=fillet(1.5)),
        ],
    )
    step, neck = (case_d - knob_d) / 2, 6.0  # the neck sweeps out from the knob over its length
    deep = THREAD + RELIEF + proud + 0.5
    lid = Part.turned(
        "lid",
        material="CW614N",
        stock=stock,
        outside=[  # from the knob to the mouth
            dome(knob_d, length=knob_d / 2 - 0.5),
            cylinder(knob_d, 2.5, mark="knob"),
            bow(case_d, neck, hypot(step, neck), hollow=True, mark="neck"),
            cylinder(case_d, deep - BAND - LINE - 0.5, knurled=knurl(0.6), edges=chamfer(0.3)),
            groove(LINE, diameter=case_d - 0.6),
            cylinder(case_d, BAND, back=chamfer(0.2)),
        ],
        from_back=[drill("9 mm", depth=deep), tap("M10x1", depth=THREAD + RELIEF + 1, lead="bottoming")],
        across=[cross_hole("2.5 mm", at=knob_d / 2 + 0.5, through=True)],  # for the cord
    )
    return Design(
        "needle case",
        parts=[tube, foot, lid],
        joints=[joint.press(foot.face("under tube"), tube.face("back"), allowance=0.015)],
        states={
            "closed": state(joint.screw(lid.face("back"), tube.face("lid stop"))),
            "open": state(aside=lid),
        },
    )
