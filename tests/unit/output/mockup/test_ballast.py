"""Ballast: how a mock-up feels, and slugs that bring its balance to the metal's."""

from __future__ import annotations

import math

import pytest

from tests.mockups import nib_box
from turnmodel import Design, Part, bar, cylinder, joint
from turnmodel.analysis.weight import part_weight, state_weight
from turnmodel.catalog.printer import printer
from turnmodel.catalog.toolbox import OwnedSlug
from turnmodel.output.mockup.ballast import ballasted, feel
from turnmodel.output.mockup.pockets import slots
from turnmodel.output.mockup.prepared import mockup
from turnmodel.output.mockup.printing import prepared
from turnmodel.output.mockup.telling import ballast_told
from turnmodel.shape.measures import mesh_volume, open_edges
from turnmodel.shape.part import part_mesh

ROD = OwnedSlug(material="silver steel", diameter=4.0, length=6.0, count=30)
WASHER = OwnedSlug(material="CW614N", diameter=8.0, hole_d=4.2, length=1.5, count=12)


def two_metals(brass=30.0, aluminium=30.0):
    """A plain round of 20 mm: brass in front, aluminium behind, face to face."""
    front = Part.turned(
        "front", material="CW614N", stock=bar("20 mm"), outside=[cylinder(20, brass, mark="end")]
    )
    back = Part.turned("back", material="6061-T6", stock=bar("20 mm"), outside=[cylinder(20, aluminium)])
    return Design("rod", parts=[front, back], joints=[joint.seat(back.face("front"), front.face("back"))])


def test_the_feel_is_that_of_the_densities():
    """Equal rounds of 8.47 and 2.70 g/cm3 balance at (8.47 x 15 + 2.70 x 45)/11.17; in PLA midway."""
    (felt,) = feel(mockup(two_metals(), printer("filament")))

    volume = math.pi / 4 * 400 * 30 / 1000
    assert felt.metal_mass == pytest.approx(volume * (8.47 + 2.70))
    assert felt.metal_balance == pytest.approx((8.47 * 15 + 2.70 * 45) / 11.17)
    assert felt.balance == pytest.approx(30)
    assert felt.off == pytest.approx(30 - felt.metal_balance)


@pytest.mark.parametrize("slug", [ROD, WASHER], ids=["rod", "washer"])
def test_slugs_bring_the_balance_to_the_metals(slug):
    """In a solid round there is room: the balance comes within half a millimetre, and nearer in mass."""
    mock = mockup(two_metals(brass=50.0, aluminium=10.0), printer("filament"))
    (before,) = feel(mock)
    made = ballasted(mock, [slug])
    (after,) = made.felt

    assert abs(before.off) > 3
    assert made.balanced
    assert abs(after.off) <= 0.5
    assert after.lighter < before.lighter
    assert sum(p.slot.slugs for p in made.pockets) <= slug.count


def test_what_is_weighed_is_what_is_cut_and_filled():
    """By hand: the parts as cut, with every slug and with plugs that fill their holes, weigh what is told."""
    made = ballasted(mockup(two_metals(), printer("filament")), [ROD])
    (felt,) = made.felt
    pla = part_weight(made.mockup.design.parts[0]).mass / part_weight(made.mockup.design.parts[0]).volume

    cut = state_weight(made.mockup.design, "whole").mass
    steel = math.pi / 4 * 16 * 6 * 7.85 / 1000
    filled = cut
    for pocket in made.pockets:
        slot = pocket.slot
        filled += slot.slugs * steel
        filled += (
            slot.around * pla * math.pi / 4 * slot.diameter**2 * pocket.plug_length
        )  # plugs fill their holes
    assert felt.mass == pytest.approx(filled, rel=2e-3)  # the cutters' facets have the area of their circle


def test_where_there_is_no_room_for_more_it_comes_as_near_as_it_goes():
    """Half brass, half aluminium: the front is filled up, the balance nearer, and not said to be there."""
    mock = mockup(two_metals(), printer("filament"))
    (before,), made = feel(mock), ballasted(mock, [ROD])
    (after,) = made.felt

    assert not made.balanced
    assert 0.5 < after.off < before.off / 5
    assert {pocket.slot.part for pocket in made.pockets} == {"front"}


def test_every_state_is_balanced_as_far_as_it_goes():
    """With slugs no state is further off than without them, and the worst is nearer."""
    mock = mockup(nib_box(), printer("filament"))
    before = feel(mock)
    made = ballasted(mock, [OwnedSlug(material="CW614N", diameter=2.0, length=4.0, count=40)])

    assert max(abs(f.off) for f in made.felt) < max(abs(f.off) for f in before)


def test_no_more_slugs_are_used_than_there_are():
    """Three rods are three, however much room there is; none is none."""
    mock = mockup(two_metals(), printer("filament"))
    few = OwnedSlug(material="silver steel", diameter=4.0, length=6.0, count=3)

    assert sum(p.slot.slugs for p in ballasted(mock, [few]).pockets) <= 3
    assert ballasted(mock, []).pockets == ()
    assert ballasted(mock, []).mockup is mock


def test_without_room_there_is_no_pocket():
    """A rod as thick as the part is left out, and the mock-up is as it was."""
    mock = mockup(two_metals(), printer("filament"))
    thick = OwnedSlug(material="silver steel", diameter=19.0, length=6.0)

    assert slots(mock.printed[0], thick, mock.printer) == ()
    made = ballasted(mock, [thick])
    assert (made.pockets, made.plugs) == ((), ())
    assert [(idle.slug, idle.fits) for idle in made.idle] == [(thick, False)]


def test_slugs_that_are_left_out_are_told_with_the_reason():
    """Whoever asks for ballast and gets none reads which slug has no room, and behind which wall."""
    thick = OwnedSlug(material="silver steel", diameter=19.0, length=6.0)
    made = prepared(two_metals(), printer("filament"), slugs=[thick])

    assert ballast_told(made) == [
        "silver steel 19 x 6 mm is left out: no part has room for it behind walls of 0.8 mm"
    ]


def test_each_pocket_has_its_plug():
    """A plug is as long as its pocket is open, and thinner than it by the allowances of hole and shaft."""
    made = ballasted(mockup(two_metals(), printer("filament")), [ROD])

    assert made.pockets
    for pocket, plug in zip(made.pockets, made.plugs, strict=True):
        wide = pocket.slot.diameter - 0.2 - 0.1
        assert wide == pytest.approx(ROD.diameter + 0.2 - 0.1)
        assert plug.length == pytest.approx(pocket.plug_length)
        assert pocket.plug_length >= 1.5
        assert part_weight(plug).volume == pytest.approx(math.pi / 4 * wide**2 * plug.length)


def test_pockets_are_cut_into_the_files():
    """Each part's mesh is closed and smaller by its pockets, on the axis and beside it."""
    made = ballasted(mockup(two_metals(), printer("filament")), [ROD])

    for part in made.mockup.printed:
        own = [p for p in made.pockets if p.slot.part == part.name]
        mesh = part_mesh(part, "weigh")
        solid = math.pi / 4 * 400 * 30
        taken = sum(p.slot.around * math.pi / 4 * p.slot.diameter**2 * p.depth for p in own)
        assert open_edges(mesh) == 0
        assert mesh_volume(mesh) == pytest.approx(solid - taken, rel=1e-3)
