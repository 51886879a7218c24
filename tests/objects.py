"""Random objects of two to six parts, screwed or seated on one axis, sound as they stand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

from hypothesis import strategies as st

from tests.strategies import sizes
from turnmodel import (
    Design,
    Part,
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

if TYPE_CHECKING:
    from turnmodel.design.part import TurnedPart

__all__ = ["SCREWS", "Link", "Spec", "object_of", "objects", "specs"]

SCREWS: Final = {"M6": 5.0, "M8x1": 7.0, "M10x1": 9.0, "M12x1": 11.0, "1/4-20 UNC": 5.1, "1/2-20 UNF": 11.6}
"""Thread to the hole drilled for it [mm], from drill charts: nominal size less the pitch."""

_CLEAR: Final = 0.05
"""How much wider a bore is than the spigot in it, [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """How a part holds the next: what its spigot is, how long [mm], how many turns [-] it is left open."""

    kind: Literal["screw", "seat"]
    size: str
    diameter: float
    length: float
    open: float = 0.0
    turn: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """What an object is made from: for each part a body [mm, mm], a material, a bore [mm]; and the links."""

    bodies: tuple[tuple[float, float], ...]
    materials: tuple[str, ...]
    bores: tuple[float | None, ...]
    links: tuple[Link, ...]


_links = st.builds(
    Link,
    kind=st.sampled_from(["screw", "seat"]),
    size=st.sampled_from(sorted(SCREWS)),
    diameter=sizes(6, 12),
    length=sizes(5, 9),
    open=st.just(0.0) | st.floats(0, 3),
    turn=st.just(0.0) | st.floats(-180, 180),
)


@st.composite
def specs(draw: Any, most: int = 6) -> Spec:
    """Draw what an object is made from."""
    count = draw(st.integers(2, most))
    return Spec(
        bodies=tuple((draw(sizes(15, 20)), draw(sizes(24, 40))) for _ in range(count)),
        materials=tuple(draw(st.sampled_from(["brass", "6061-T6", "silver steel"])) for _ in range(count)),
        bores=tuple(draw(st.none() | sizes(1, 3)) for _ in range(count)),
        links=tuple(draw(_links) for _ in range(count - 1)),
    )


def object_of(spec: Spec, gap: float = 0.0) -> Design:
    """Build an object, the parts of seats [mm] apart; closed, and with its last part laid aside."""
    parts = [_part(spec, k) for k in range(len(spec.bodies))]
    joints = []
    for before, after, link in zip(parts, parts[1:], spec.links, strict=False):
        faces = after.face("front"), before.face("stop")
        if link.kind == "screw":
            joints.append(joint.screw(*faces, turns_open=link.open))
        else:
            joints.append(joint.seat(*faces, turn=link.turn, gap=gap))
    *standing, last = joints
    return Design(
        "object",
        parts=parts,
        joints=standing,
        states={"closed": state(last), "open": state(aside=parts[-1])},
    )


def _part(spec: Spec, k: int) -> TurnedPart:
    """Write a part: a body, its socket in front for the part before, its spigot behind for the next."""
    (wide, long), through = spec.bodies[k], spec.bores[k]
    front: list[Any] = [] if through is None else [bore(through, through=True)]
    outside: list[Any] = [cylinder(wide, long, front=chamfer(0.2))]
    if k > 0:
        link = spec.links[k - 1]
        if link.kind == "seat":
            front.append(bore(link.diameter + _CLEAR, depth=link.length + 0.5))
        else:
            front.append(drill(SCREWS[link.size], depth=link.length + 8))
            front.append(tap(link.size, depth=link.length + 4, lead="bottoming"))
    if k < len(spec.links):
        link = spec.links[k]
        outside.append(shoulder("stop"))
        if link.kind == "seat":
            outside.append(cylinder(link.diameter, link.length, back=chamfer(0.2)))
        else:
            outside += [relief(short=True), thread(link.size, link.length)]
    return Part.turned(
        f"part {k}", material=spec.materials[k], stock="22 mm", outside=outside, from_front=front
    )


objects = specs().map(object_of)
"""Draw an object."""
