"""Laws of objects of two to six parts: what fits shares nothing, masses add, overlaps have witnesses."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.objects import SCREWS, Link, Spec, object_of, objects, specs
from tests.parts import parts
from tests.strategies import many, regions, sizes
from turnmodel.analysis.interference import meetings
from turnmodel.analysis.report import as_json, report
from turnmodel.analysis.weight import part_weight, state_weight
from turnmodel.catalog.threads import thread
from turnmodel.design.part import built
from turnmodel.design.pose import body_at
from turnmodel.design.turned import Turned
from turnmodel.geometry.body import Body, body_moved
from turnmodel.geometry.boolean import difference, union
from turnmodel.geometry.engagement import body_overlap
from turnmodel.geometry.frame import coaxial
from turnmodel.geometry.moments import moments, surface_area
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.region import bounds, moved
from turnmodel.geometry.tolerance import CONTACT_MM3, FACETS, SAME_MM, circle_deficit
from turnmodel.shape.lathe import lathe
from turnmodel.shape.measures import bound
from turnmodel.shape.mesh import intersection_volume
from turnmodel.shape.part import placed_mesh

if TYPE_CHECKING:
    from turnmodel import Design
    from turnmodel.design.part import TurnedPart
    from turnmodel.geometry.region import Region

ROUNDING: Final = 1e-9
"""Relative: some hundred terms of the size of the whole, at 2e-16 each, thousands of times over."""


def body_of(part: TurnedPart) -> Body:
    """Give the round body of a part."""
    made = built(part)
    assert isinstance(made, Turned)
    return made.body


@many(2_000)
@given(objects)
def test_an_object_that_fits_has_no_overlap(design: Design) -> None:
    """Whatever is seated with room or screwed, by any turns, shares nothing in any state."""
    for state in design.states:
        assert [m for m in meetings(design, state) if m.overlap] == []


@many(2_000, 30)
@given(objects)
def test_an_object_is_reported_on(design: Design) -> None:
    """Every rule is held to every object without an error, its witnesses agree, its numbers are finite."""
    found = as_json(report(design, {}))

    def numbers(value: object) -> list[float]:
        match value:
            case dict():
                return [n for each in value.values() for n in numbers(each)]
            case list():
                return [n for each in value for n in numbers(each)]
            case float():
                return [value]
        return []

    assert all(map(math.isfinite, numbers(found)))


@many(2_000)
@given(objects)
def test_an_object_weighs_what_its_parts_weigh(design: Design) -> None:
    """Mass is the sum, balance the mean by mass, of the parts that are not laid aside."""
    for state in design.states:
        placed = design.poses[state].parts
        weights = {name: part_weight(design.part(name)) for name in placed}
        mass = math.fsum(w.mass for w in weights.values())
        first = math.fsum(
            w.mass * (placed[n][2][3] + placed[n][2][2] * w.center[2]) for n, w in weights.items()
        )
        found = state_weight(design, state)

        assert found.mass == pytest.approx(mass, rel=ROUNDING)
        assert found.center[2] == pytest.approx(first / mass, abs=1e-8)


@many(2_000)
@given(specs(), st.floats(0.01, 5))
def test_pressing_seats_too_far_overlaps_by_the_face(spec: Spec, deep: float) -> None:
    """A part seated too far by some depth overlaps, and by more the deeper it goes."""
    last = spec.links[-1]
    assume(last.kind == "seat")
    shallow, deeper = (object_of(spec, gap=-d) for d in (deep, 1.5 * deep))
    names = tuple(part.name for part in shallow.parts[-2:])
    one, other = (
        next(m.overlap for m in meetings(d, "closed") if m.parts == names) for d in (shallow, deeper)
    )

    assert 0 < one < other


@many(2_000)
@given(st.sampled_from(sorted(SCREWS)), sizes(5, 9), st.floats(0, 1), st.floats(0.1, 0.9))
def test_threads_run_clear_at_every_phase_of_their_lead(
    size: str, long: float, open_by: float, off: float
) -> None:
    """By any turns a screw is clear of its hole; shifted by part of a pitch without a turn it is not."""
    pitch = thread(size).lead
    # Two pitches stay engaged beside the chamfers of the screw and of the hole.
    turns = open_by * max(0.0, long / pitch - 3)
    spec = Spec(
        bodies=((18.0, 20.0), (18.0, 30.0)),
        materials=("brass", "brass"),
        bores=(None, None),
        links=(Link(kind="screw", size=size, diameter=8.0, length=long, open=turns),),
    )
    design = object_of(spec)
    one, other = (body_of(part) for part in design.parts)
    place = coaxial(design.poses["closed"].parts["part 1"])
    assert place is not None
    screwed = body_at(other, place)

    assert body_overlap(one, screwed) <= CONTACT_MM3
    assert body_overlap(one, body_moved(screwed, off * pitch)) > 10 * CONTACT_MM3


@many(2_000)
@given(parts(), parts(), st.floats(-40, 40))
def test_overlap_of_parts_is_symmetric_and_none_when_apart(a: TurnedPart, b: TurnedPart, dz: float) -> None:
    """It does not matter which part is named first; parts one behind the other share nothing."""
    one, other = body_of(a), body_moved(body_of(b), dz)
    volume = moments(one.plain).volume

    assert body_overlap(one, other) == pytest.approx(
        body_overlap(other, one), rel=1e-7, abs=ROUNDING * volume
    )
    behind = body_moved(body_of(b), bounds(one.plain).z1 - bounds(body_of(b).plain).z0 + abs(dz))
    assert body_overlap(one, behind) == 0


@many(5_000)
@given(regions, regions, regions)
def test_more_metal_never_overlaps_less(a: Region, b: Region, c: Region) -> None:
    """Adding to a region never lessens what it shares with another, cutting from it never adds to it."""
    before = overlap_volume(a, b)
    # Faces nearer than SAME_MM are one, on either side of each.
    slack = sum(2 * SAME_MM * surface_area(r) + ROUNDING * moments(r).volume for r in (a, b, c))

    assert overlap_volume(union(a, c), b) >= before - slack
    assert overlap_volume(difference(a, c), b) <= before + slack
    assert overlap_volume(a, b) <= min(moments(a).volume, moments(b).volume) + slack


@many(1_000, 30)
@given(parts(), parts(), st.floats(-30, 30))
def test_overlap_of_plain_parts_has_a_mesh_for_its_witness(a: TurnedPart, b: TurnedPart, dz: float) -> None:
    """The meshes of two plain bodies share what their regions share, as near as facets allow."""
    one, other = (Body(plain=body_of(part).plain) for part in (a, b))
    other = Body(plain=moved(other.plain, dz))
    exact = overlap_volume(one.plain, other.plain)
    by_mesh = intersection_volume(lathe(one), lathe(other))
    light = circle_deficit(FACETS) * exact
    chords = sum(bound(body) * moments(body.plain).volume for body in (one, other))

    assert abs(by_mesh - exact) <= light + chords + 1e-6


@many(300, 10)
@given(specs(most=3))
def test_meshes_of_an_object_share_no_more_than_their_facets_make_them(spec: Spec) -> None:
    """Threads as helices, screwed by any turns, share no more than chords that cross can."""
    design = object_of(spec)
    placed = design.poses["closed"].parts
    meshes = {name: placed_mesh(design.part(name), placed[name]) for name in placed}
    for before, after, link in zip(design.parts, design.parts[1:], spec.links, strict=False):
        shared = intersection_volume(meshes[before.name], meshes[after.name])
        wide = (
            max(t.thread.major_d for t in body_of(before).threads) if link.kind == "screw" else link.diameter
        )
        # Crossing chords leave the sagitta over the skin of contact; flanks are within 3 skins of a cylinder.
        sagitta = wide / 2 * (1 - math.cos(math.pi / FACETS))
        assert shared <= 3 * math.pi * wide * (link.length + 4) * sagitta
