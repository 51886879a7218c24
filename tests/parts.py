"""Random turned parts, written feature by feature as a script writes them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import assume
from hypothesis import strategies as st

from tests.strategies import sizes
from turnmodel import (
    Part,
    bar,
    bore,
    bow,
    chamfer,
    cone,
    countersink,
    cross_hole,
    cylinder,
    dome,
    drill,
    fillet,
    flat,
    groove,
    knurl,
    recess,
    relief,
    tap,
    taper_bore,
    thread,
)
from turnmodel.design.part import part_faults

if TYPE_CHECKING:
    from collections.abc import Callable

    from turnmodel.design.part import TurnedPart

__all__ = ["parts"]

_BAR = 20
_THREADS = {"M6x0.75": 6.0, "M8": 8.0, "M10x1": 10.0, "M12": 12.0, "1/2-20 UNF": 12.7}
_edges = st.none() | st.sampled_from([0.2, 0.5]).map(chamfer) | st.sampled_from([0.3, 1.0, 2.0]).map(fillet)


@st.composite
def _outside(draw: Callable, *, first: bool, last: bool) -> list[Any]:
    """Draw a feature of the outside, with its relief where it is a thread."""
    kinds = ["cylinder"] * 3 + ["knurled", "cone", "bow", "groove", "thread", "relieved"]
    kind = draw(st.sampled_from(kinds + ["dome"] * (first or last)))
    wide, long = draw(sizes(8, _BAR)), draw(sizes(2, 14))
    match kind:
        case "cylinder":
            return [cylinder(wide, long, front=draw(_edges), back=draw(_edges))]
        case "knurled":
            return [cylinder(wide, long, knurled=knurl(0.6), edges=chamfer(0.3))]
        case "cone":
            return [cone(wide, draw(sizes(2, _BAR)), length=long)]
        case "bow":
            end = draw(sizes(8, _BAR))
            radius = draw(sizes(15, 60))
            return [bow(end, long, radius, hollow=draw(st.booleans()), start_d=wide)]
        case "groove":
            return [
                groove(
                    draw(sizes(0.8, 3)), diameter=draw(sizes(6, 12)), radius=draw(st.sampled_from([0, 0.2]))
                )
            ]
        case "dome":
            return [dome(wide, length=draw(sizes(1, wide / 2)))]
    size = draw(st.sampled_from(sorted(_THREADS)))
    cut = thread(size, draw(sizes(5, 10)))
    if kind == "thread":
        return [cut]
    return [cut, relief()] if draw(st.booleans()) else [relief(), cut]


@st.composite
def _inside(draw: Callable) -> list[Any]:
    """Draw what is cut from one face: a few holes, one in the other."""
    found: list[Any] = []
    last = draw(st.sampled_from(["tap", "recess"]))  # a thread is cut into an even wall
    for kind in draw(st.lists(st.sampled_from(["drill", "bore", "sink", "taper", last]), max_size=3)):
        wide, deep = draw(sizes(2, 9)), draw(sizes(3, 25))
        through = draw(st.sampled_from([False, False, True]))
        mouth = draw(st.none() | st.just(chamfer(0.3)))
        reach = {"through": True} if through else {"depth": deep}
        match kind:
            case "drill":
                found.append(drill(round(wide, 1), mouth=mouth, **reach))
            case "bore":
                found.append(bore(wide, mouth=mouth, **reach))
            case "tap":
                size = draw(st.sampled_from(["M4", "M6x0.75", "M8x0.75", "#8-32 UNC"]))
                if not any(feature.word == "tap" for feature in found):
                    found.append(tap(size, lead=draw(st.sampled_from(["plug", "bottoming"])), **reach))
            case "sink":
                found.append(countersink(wide, included=draw(st.sampled_from([60, 90, 100]))))
            case "taper":
                found.append(taper_bore(wide, draw(sizes(2, 9)), deep))
            case _:
                found.append(recess(wide, width=1.5, depth=deep))
    return sorted(found, key=lambda feature: feature.word == "tap")  # what is bored is bored before


@st.composite
def parts(draw: Callable) -> TurnedPart:
    """Draw a turned part that can be built."""
    count = draw(st.integers(1, 5))
    outside = [feature for k in range(count) for feature in draw(_outside(first=k == 0, last=k == count - 1))]
    across: list[Any] = []
    if draw(st.booleans()):
        across.append(cross_hole("2 mm", at=draw(sizes(2, 10))))
    if draw(st.booleans()):
        across.append(flat(at=1, length=3, across=7, count=2))
    part = Part.turned(
        "thing",
        material=draw(st.sampled_from(["brass", "6061-T6", "silver steel"])),
        stock=bar(draw(st.sampled_from(["20 mm", "25 mm"]))),
        outside=outside,
        from_front=draw(_inside()),
        from_back=draw(_inside()),
        across=across,
    )
    assume(not part_faults(part))
    return part
