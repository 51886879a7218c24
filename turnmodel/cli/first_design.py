"""A two-part box for spare nibs: change the numbers and look again."""

from turnmodel import Design, Part, bar, chamfer, cylinder, drill, joint, relief, shoulder, state, tap, thread

__all__ = ["design"]


def design(inside_length: float = 30.0) -> Design:
    """Lay the box out from the room inside [mm], which the command line sets: --set inside_length=40."""
    box = Part.turned(
        "box",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[  # from the closed end to the mouth
            cylinder(12, inside_length - 3, front=chamfer(0.5), back=chamfer(0.2)),
            shoulder("lid stop"),
            relief(short=True),
            thread("M10x1", 5),
        ],
        from_back=[drill("7 mm", depth=inside_length)],
    )
    lid = Part.turned(
        "lid",
        material="CW614N",
        stock=bar("12 mm"),
        outside=[cylinder(12, 15, front=chamfer(0.5), back=chamfer(0.2))],
        from_back=[drill("9 mm", depth=11), tap("M10x1", depth=8, lead="bottoming")],
    )
    return Design(
        "nib box",
        parts=[box, lid],
        states={
            "closed": state(joint.screw(lid.face("back"), box.face("lid stop"))),
            "open": state(aside=lid),
        },
    )
