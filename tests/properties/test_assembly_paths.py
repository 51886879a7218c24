"""Laws of the way a part is drawn along its axis."""

from __future__ import annotations

import math

from hypothesis import assume, given
from hypothesis import strategies as st

from turnmodel import Part, bar, bore, cylinder, drill
from turnmodel.analysis.paths import way
from turnmodel.geometry.frame import opposed, shift
from turnmodel.geometry.tolerance import CONTACT_MM

diameters = st.integers(4, 40).map(lambda n: n / 4)
lengths = st.integers(2, 20).map(lambda n: n / 2)
steps = st.lists(st.tuples(diameters, lengths), min_size=1, max_size=4)
AHEAD, BACK = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)


def shaft(sizes):
    """A stepped bar."""
    return Part.turned(
        "shaft", material="brass", stock=bar("25 mm"), outside=[cylinder(d, long) for d, long in sizes]
    )


def tube(sizes, wider=0.0):
    """A bar with stepped bores, each from the front face, the deepest through."""
    total = sum(long for _, long in sizes)
    depth, bores = 0.0, []
    for k, (d, long) in enumerate(sizes):
        depth += long
        last = k == len(sizes) - 1
        bores.append(bore(d + wider, through=True) if last else bore(d + wider, depth=depth))
    return Part.turned(
        "tube", material="brass", stock=bar("25 mm"), outside=[cylinder(24, total)], from_front=bores[::-1]
    )


@given(steps, steps, st.floats(0.0, 3.0))
def test_what_goes_in_still_goes_in_when_every_bore_is_wider(inner, outer, wider):
    """Wider bores never shut a way, and never shorten one that is shut."""
    pin, total = shaft(inner), sum(long for _, long in inner)
    before = way(pin, tube(outer), shift(-total), AHEAD)
    after = way(pin, tube(outer, wider), shift(-total), AHEAD)

    assert after.distance >= before.distance - CONTACT_MM
    if before.clear:
        assert after.clear


@given(steps, steps)
def test_a_shaft_passes_where_it_is_thinner_than_every_bore(inner, outer):
    """From before a tube, a shaft passes all of it where it is nowhere wider than the tube's least."""
    total = sum(long for _, long in inner)
    widest, deepest = max(d for d, _ in inner), [max(d for d, _ in outer[k:]) for k in range(len(outer))]
    found = way(shaft(inner), tube(outer), shift(-total), AHEAD)

    assert found.clear == (widest <= min(deepest) + CONTACT_MM)


@given(steps, steps)
def test_widening_by_what_is_wanting_opens_the_way(inner, outer):
    """The shortfall is enough and no less is: with it a shut way opens, with a hundredth less it does not."""
    pin, total = shaft(inner), sum(long for _, long in inner)
    found = way(pin, tube(outer), shift(-total), AHEAD)
    assume(not found.clear and found.short is not None)

    assert way(pin, tube(outer, found.short), shift(-total), AHEAD).clear
    if found.short > 0.01:
        assert not way(pin, tube(outer, found.short - 0.01), shift(-total), AHEAD).clear


@given(steps, steps)
def test_a_way_is_the_same_seen_from_the_other_end(inner, outer):
    """Turned end for end, both parts meet as far on the other way."""
    pin, total = shaft(inner), sum(long for _, long in inner)
    ahead = way(pin, tube(outer), shift(-total), AHEAD).distance
    back = way(shaft(inner[::-1]), tube(outer), shift(-total), AHEAD).distance
    turned = way(pin, tube(outer), opposed(), AHEAD).distance

    assert turned == back or math.isclose(turned, back, abs_tol=CONTACT_MM)
    assert math.isinf(ahead) == math.isinf(back)


@given(diameters, st.floats(0.0, 1.0))
def test_a_blind_hole_is_no_way_through(diameter, room):
    """What goes into a blind hole stops at its floor, and comes out the way it went in."""
    pin = shaft([(diameter, 5.0)])
    block = Part.turned(
        "block",
        material="brass",
        stock=bar("25 mm"),
        outside=[cylinder(24, 30)],
        from_front=[drill(diameter + room, depth=10)],
    )

    assert not way(pin, block, shift(2.0), AHEAD).clear
    assert way(pin, block, shift(2.0), AHEAD).short is None
    assert way(pin, block, shift(2.0), BACK).clear
