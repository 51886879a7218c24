"""Pockets for ballast stay inside the walls' limits, whatever the part and the slug."""

from __future__ import annotations

import math

from hypothesis import assume, given
from hypothesis import strategies as st

from turnmodel import Part, bar, bore, chamfer, cross_hole, cylinder, drill, tap, thread
from turnmodel.catalog.printer import printer
from turnmodel.catalog.toolbox import OwnedSlug
from turnmodel.design.part import ShapedPart, built
from turnmodel.geometry.across import CrossCylinder
from turnmodel.output.mockup.pockets import Pocket, pocketed, slots
from turnmodel.shape.measures import mesh_volume, open_edges
from turnmodel.shape.mesh import cut, tool_mesh
from turnmodel.shape.part import part_mesh

FACETS = 64
SLIVER = 1e-3
"""Share of a pocket that may be counted outside: chords of the part against those of the pocket."""


@st.composite
def parts(draw):
    """Draw a round with a spigot, a thread, and a hole from either end or none, maybe a cross hole."""
    wide = draw(st.floats(10, 24))
    length = draw(st.floats(12, 40))
    outside = [cylinder(wide, length, edges=chamfer(0.5))]
    if draw(st.booleans()):
        outside.append(thread("M8", 9) if draw(st.booleans()) else cylinder(0.6 * wide, 8))
    front = draw(
        st.sampled_from([(), (drill("4 mm", depth=6),), (bore(6, depth=5),), (drill("3 mm", through=True),)])
    )
    back = draw(st.sampled_from([(), (drill("3.3 mm", depth=9), tap("M4", depth=5))]))
    across = draw(st.sampled_from([(), (cross_hole("2 mm", at=length / 2),)]))
    return Part.turned(
        "part", material="CW614N", stock=bar("25 mm"), outside=outside,
        from_front=front, from_back=back, across=across,
    )  # fmt: skip


@given(parts(), st.floats(1, 6), st.floats(2, 8), st.sampled_from(["filament", "resin"]), st.data())
def test_a_pocket_and_its_wall_lie_inside_the_part(metal, diameter, length, process, data):
    """A cylinder as much wider and deeper as the least wall, put where the pocket is, is all plastic."""
    made = printer(process)
    part = ShapedPart(name="part", material=made.material, shape=built(metal))
    slug = OwnedSlug(material="silver steel", diameter=diameter, length=length, count=12)
    found = slots(part, slug, made)
    assume(found)
    slot = data.draw(st.sampled_from(found))
    depth = data.draw(st.floats(slot.shallowest, max(slot.deepest, slot.shallowest)))
    pocket = Pocket(slot=slot, depth=depth)

    mesh = part_mesh(part, "core", FACETS)
    r, wall = slot.diameter / 2, made.wall
    start = slot.mouth if slot.around > 1 else max(slot.mouth, _solid_from(built(part), back=slot.from_back))
    for k in range(slot.around):
        turn = 2 * math.pi * k / slot.around
        x, y = (slot.circle_d / 2 * f(turn) for f in (math.cos, math.sin))
        low, way = (built(part).length - start, -1.0) if slot.from_back else (start, 1.0)
        thick = tool_mesh(
            CrossCylinder(
                at=(x, y, low),
                direction=(0.0, 0.0, way),
                diameter=2 * (r + wall),
                length=depth + wall - start,
            ),
            FACETS,
        )
        outside = cut(thick, mesh, name="wall")
        left = mesh_volume(outside) if len(outside.faces) else 0.0
        assert left <= SLIVER * mesh_volume(thick)
    assert open_edges(part_mesh(pocketed(part, (pocket,)), "show", FACETS)) == 0
    assert pocket.plug_length >= 1.5 - 1e-9


def _solid_from(made, *, back):
    """Depth from an end at which the axis is in plastic."""
    on_axis = [
        z for loop in made.body.plain.loops for c in loop if c.start[1] == c.end[1] == 0
        for z in (c.start[0], c.end[0])
    ]  # fmt: skip
    return made.length - max(on_axis) if back else min(on_axis)
