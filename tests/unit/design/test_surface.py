"""Named faces: where they are and which way they look."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

import pytest

from tests.brass import turned
from turnmodel import (
    Part,
    bend,
    bore,
    bought,
    chamfer,
    cone,
    cross_hole,
    cross_tap,
    cylinder,
    dome,
    drill,
    flat,
    groove,
    recess,
    saddle,
    shoulder,
    slot,
    straight,
)
from turnmodel.design.surface import surface
from turnmodel.errors import BadText, UnknownName

if TYPE_CHECKING:
    from turnmodel.design.face import Surface

POINT: Final = math.tan(math.radians(59))
"""Radius over height of a 118 degree drill point."""

POST: Final = turned(
    cone(6, 10, length=4, mark="nose"),
    cylinder(10, 6, mark="grip"),
    shoulder("step"),
    cylinder(16, 10, mark="collar", front=chamfer(0.5)),
    groove(2, 12, mark="neck"),
    cylinder(16, 4, mark="rim"),
    cylinder(16, 4, mark="skirt"),
    dome(length=3, mark="end"),
    from_front=[drill("3 mm", depth=8, mark="seat")],
    from_back=[bore(6, depth=10, mark="well"), drill("1 mm", through=True, mark="vent")],
    across=[
        cross_hole("2 mm", at=7, angle=90, mark="cord"),
        cross_tap("M2", at=15, mark="pin"),
        flat(at=24, length=3, across=14, count=2, angle=90, mark="flat"),
        slot(at=11, length=2, width=1, depth=1, mark="slot"),
    ],
)
"""Nose to 4, grip to 10, collar to 20, neck to 22, rim to 26, skirt to 30, dome to 33 mm."""


def look(found: Surface) -> tuple[float, float]:
    """Give the station of a face round the axis and the way it looks."""
    return found.frame[2][3], found.frame[2][2]


ROUND: Final[dict[tuple[str, str | None], tuple[float, float, tuple[float, float]]]] = {
    # name: station, way, the radii that it spans
    ("front", None): (0, -1, (1.5, 3)),
    ("nose", None): (0, -1, (3, 5)),
    ("step", None): (10, -1, (5, 7.5)),  # its outer 0.5 mm is chamfered away
    ("collar", "front"): (10, -1, (5, 7.5)),
    ("collar", "back"): (20, 1, (6, 8)),
    ("neck", "front"): (20, 1, (6, 8)),
    ("neck", "back"): (22, -1, (6, 8)),
    ("rim", "front"): (22, -1, (6, 8)),
    ("end", None): (30, 1, (3, 8)),
    ("seat", None): (8 + 1.5 / POINT, -1, (0.5, 1.5)),  # counted from its tip, which the vent takes away
    ("well", None): (23, 1, (0.5, 3)),
}


@pytest.mark.parametrize(("name", "end"), ROUND, ids=str)
def test_a_face_round_the_axis_has_a_station_and_looks_out_of_the_metal(name: str, end: Any) -> None:
    """A face is what is left of its feature's wall, side or floor on the finished part."""
    station, way, radii = ROUND[name, end]
    found = surface(POST, POST.face(name, end))
    ends = [r for curve in found.curves for _, r in (curve.start, curve.end)]

    assert look(found) == (pytest.approx(station), way)
    assert (min(ends), max(ends)) == pytest.approx(radii)


def test_the_point_of_a_drill_is_a_seat() -> None:
    """The floor of a drilled hole is the cone of its point, 118 degrees across."""
    (cone_side,) = surface(POST, POST.face("seat")).curves
    (z0, r0), (z1, r1) = cone_side.start, cone_side.end

    assert abs((r1 - r0) / (z1 - z0)) == pytest.approx(POINT)


ACROSS: Final = {
    # name: origin, way
    "cord": ((0, 5, 7), (0, 1, 0)),
    "pin": ((8, 0, 15), (1, 0, 0)),
    "flat": ((0, 7, 25.5), (0, 1, 0)),
}


@pytest.mark.parametrize("name", ACROSS)
def test_what_is_cut_across_is_met_on_the_surface(name: str) -> None:
    """A cross hole, a cross tap and a flat are met at their middle on the surface, from outside."""
    origin, way = ACROSS[name]
    matrix = surface(POST, POST.face(name)).frame

    assert [row[3] for row in matrix[:3]] == pytest.approx(origin)
    assert [row[2] for row in matrix[:3]] == pytest.approx(way)


def test_a_saddle_is_met_at_the_bottom_of_its_hollow() -> None:
    """A 6 mm post with a saddle for 10 mm is met 1 mm under its rim, looking back."""
    post = turned(cylinder(6, 12), across=[saddle(10, mark="saddle")])

    assert look(surface(post, post.face("saddle"))) == (pytest.approx(11), 1)


REFUSED: Final = {
    ("grip", None): 'a straight length has no face of its own; add "front" or "back"',
    ("rim", "back"): "nothing steps at 26 mm, so there is no face",
    ("grip", "side"): 'the second name is "front" or "back"',
    ("front", "back"): "the end of a part is one face; leave the second name out",
    ("seat", "front"): "a hole is met at its floor; leave the second name out",
    ("vent", None): "this hole has no floor to rest on",
    ("cord", "front"): "what is cut across has one face; leave the second name out",
    ("slot", None): "this feature has no face to rest on",
}


@pytest.mark.parametrize(("name", "end"), REFUSED, ids=str)
def test_a_name_that_means_no_face_is_refused(name: str, end: Any) -> None:
    """What cannot be met says why."""
    with pytest.raises(BadText) as refused:
        surface(POST, POST.face(name, end))

    assert refused.value.rule == REFUSED[name, end]


def test_a_recess_is_no_seat() -> None:
    """A recess has no floor that a part could reach."""
    part = turned(cylinder(16, 12), from_front=[bore(8, depth=10), recess(12, 3, depth=8, mark="ring")])

    with pytest.raises(BadText, match="no floor to rest on"):
        surface(part, part.face("ring"))


def test_an_unknown_face_is_refused_with_the_nearest() -> None:
    """A name that no feature bears is refused with the one most like it."""
    with pytest.raises(UnknownName) as refused:
        surface(POST, POST.face("grib"))

    assert refused.value.hint == "did you mean 'grip'?"


def test_the_tip_of_a_refill_is_all_that_looks_forward() -> None:
    """A refill rests where the first of what looks to its tip touches."""
    ink = bought("ink", refill="D")
    found = surface(ink, ink.face("tip"))

    assert look(found) == (0, -1)
    assert all(curve.start[1] > curve.end[1] for curve in found.curves)


CLIP: Final = Part.strip(
    "clip",
    material="1095 blue strip",
    thickness=0.5,
    widths=[(0, 5), (30, 5)],
    holes={"low": (3, 2), "high": (25, 2)},
    side=[straight(6), bend(90, radius=4)],
)


@pytest.mark.parametrize(("end", "height", "way"), [("under", 0, -1), ("top", 0.5, 1)])
def test_a_strip_is_met_round_a_hole_from_either_side(end: Any, height: float, way: float) -> None:
    """The flat start of a strip is met on its under side or its top."""
    matrix = surface(CLIP, CLIP.face("low", end)).frame

    assert [row[3] for row in matrix[:3]] == pytest.approx((3, 0, height))
    assert [row[2] for row in matrix[:3]] == pytest.approx((0, 0, way))


def test_a_strip_is_met_behind_its_bend_too() -> None:
    """Behind a bend of 90 degrees the top of a strip looks back along its start.

    Its middle turns on a radius of 4 + 0.25 mm, so 25 mm along is 25 - 6 - 4.25 pi/2 mm up the far leg.
    """
    matrix = surface(CLIP, CLIP.face("high", "top")).frame
    up = 25 - 6 - 4.25 * math.pi / 2

    assert [row[3] for row in matrix[:3]] == pytest.approx((6 + 4.25 - 0.25, 0, 0.25 + 4.25 + up))
    assert [row[2] for row in matrix[:3]] == pytest.approx((-1, 0, 0), abs=1e-12)


def test_a_strip_has_no_face_without_a_side() -> None:
    """A hole of a strip is met from one side, which must be named."""
    with pytest.raises(BadText, match='add "under" or "top"'):
        surface(CLIP, CLIP.face("low"))
