"""The section is tapped M6 behind, and the refill that must go in by it is 6 mm at its tail."""

from __future__ import annotations

from turnmodel import Design, Part, bar, bore, bought, cylinder, drill, joint, recess, tap

__all__ = ["FAULTS", "design"]

FAULTS = {"order of assembly", "way of a bought part"}


def design() -> Design:
    """A pen of one piece round a large refill, whose room was bored out behind a small mouth."""
    section = Part.turned(
        "section",
        material="CW614N",
        stock=bar("14 mm"),
        outside=[cylinder(12, 115)],
        from_front=[drill(2.65, through=True)],
        from_back=[
            bore(4.2, depth=107, mark="seat"),
            tap("M6x1", depth=8, lead="bottoming"),
            recess(6.4, width=92, depth=103),
        ],
    )
    ink = bought("ink", refill="G2")
    return Design(
        "one-piece pen", parts=[section, ink], joints=[joint.seat(ink.face("tip"), section.face("seat"))]
    )
