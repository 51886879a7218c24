"""The cut sheet of a strip part."""

from __future__ import annotations

from tests.held import found
from turnmodel import Part, bend, straight
from turnmodel.analysis.plan.planner import cut_plan
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.tools import assumed_tools


def clip(material, radius=4, finish=None):
    """A clip with a hole and a bend."""
    return Part.strip(
        "clip",
        material=material,
        thickness=0.5,
        widths=[(0, 5), (32, 4)],
        holes={"screw": (3, 2.2)},
        side=[straight(20), bend(30, radius=radius)],
        finish=finish,
    )


def verbs(material, **bent):
    """The verbs of its sheet."""
    return [step.verb for step in cut_plan(clip(material, **bent), assumed_tools()).steps]


def test_holes_are_drilled_while_there_is_strip_to_clamp():
    """Marked, drilled, cut out, filed, then bent."""
    assert verbs("301 full hard strip") == [
        Verb.MARK, Verb.DRILL, Verb.CUT, Verb.FILE, Verb.BEND, Verb.FINISH,
    ]  # fmt: skip


def test_blue_strip_is_not_quenched():
    """It is tempered as bought: where it is to be blue again it is warmed, and no more."""
    plain, blue = (cut_plan(clip("1095 blue strip", finish=f), assumed_tools()) for f in (None, "blued 296"))
    assert not any(step.verb is Verb.HEAT for step in plain.steps)
    (heat,) = (step for step in blue.steps if step.verb is Verb.HEAT)
    assert "dark blue (290 to 302 °C: works differ) and no further" in heat.text
    assert heat.cautions == ()


def test_soft_carbon_steel_is_hardened_and_let_down_to_blue():
    """After it is bent, with the caution of the oil."""
    plan = cut_plan(clip("O1"), assumed_tools())
    found = [step for step in plan.steps if step.verb is Verb.HEAT]
    assert ["cherry red" in found[0].text, "dark blue (290 to 302 °C" in found[1].text] == [True, True]
    assert any("Hot oil flares" in c.text for c in found[0].cautions)
    order = [step.verb for step in plan.steps]
    assert order.index(Verb.BEND) < order.index(Verb.HEAT)


def test_a_tight_bend_in_hard_strip_is_warned_of():
    """The sheet warns of a bend that the rule finds, and of no other: 1.5 mm are three thicknesses."""
    for radius, tight in ((1.4, True), (1.5, False), (1.9, False)):
        part = clip("1095 blue strip", radius=radius)
        (text,) = (s.text for s in cut_plan(part, assumed_tools()).steps if s.verb is Verb.BEND)
        assert ("cracks hard strip" in text) is tight
        assert bool(found("bend of a strip", part)) is tight
