"""The rules of assembly, refills, caps, clips and fits say something of any design, and never break."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnmodel import (
    Design,
    Part,
    bar,
    bore,
    bought,
    cross_hole,
    cylinder,
    gap,
    joint,
    shoulder,
    slot,
    state,
    straight,
)
from turnmodel.analysis.report import examined
from turnmodel.analysis.rules import assembly, cap, clip, fits, tip
from turnmodel.analysis.rules import bought as bought_rules
from turnmodel.errors import DesignFaults

RULES = [rule for family in (assembly, bought_rules, tip, cap, clip, fits) for rule in family.RULES]

diameters = st.integers(8, 40).map(lambda n: n / 2)
lengths = st.integers(2, 24).map(lambda n: n / 2)


@st.composite
def parts(draw, name):
    """A turned part with one or two steps, perhaps a hole from either end, perhaps something across."""
    steps = draw(st.lists(st.tuples(diameters, lengths), min_size=1, max_size=3))
    steps = [a for a, b in pairwise([*steps, (0, 0)]) if a[0] != b[0]]
    total = sum(long for _, long in steps)
    least = min(d for d, _ in steps)
    hole = [bore(draw(st.sampled_from([0.3, 0.5, 0.7])) * least, depth=total / 2, mark="floor")]
    side = draw(st.sampled_from(["from_front", "from_back", None]))
    across = draw(
        st.sampled_from([None, cross_hole(1.0, at=total / 2), slot(at=0, length=total / 4, width=1, depth=1)])
    )
    return Part.turned(
        name,
        material="CW614N",
        stock=bar("20 mm"),
        outside=[shoulder("end") if d is None else cylinder(d, long) for d, long in steps],
        across=[across] if across else [],
        **({side: hole} if side else {}),
    )


@st.composite
def designs(draw):
    """Two or three parts end to end, either way round, with a refill or a strip in some."""
    made = [draw(parts(name)) for name in ("first", "second", "third")[: draw(st.integers(1, 3))]]
    faces = st.sampled_from(["front", "back"])
    joints = [joint.seat(b.face(draw(faces)), a.face(draw(faces))) for a, b in pairwise(made)]
    if draw(st.booleans()):
        ink = bought("ink", refill=draw(st.sampled_from(["D", "G2", "rollerball A"])))
        made.append(ink)
        joints.append(joint.seat(ink.face("back"), made[0].face(draw(faces)), gap=draw(st.floats(-30, 5))))
    if draw(st.booleans()):
        strip = Part.strip(
            "strip", material="1095 blue strip", thickness=0.5, widths=[(0, 5), (20, 4)], corner=1,
            holes={"hole": (4, 2)}, side=[straight(20)],
        )  # fmt: skip
        made.append(strip)
        joints.append(joint.seat(strip.face("hole", "under"), made[0].face(draw(faces))))
    aside = made[1:2] if draw(st.booleans()) else []
    states = {"whole": state(), "less": state(aside=aside)}
    gaps = {
        "over all": gap(
            made[0].face("front"),
            made[-1].face("hole", "under") if made[-1].name == "strip" else made[-1].face("back"),
        )
    }
    return {"parts": made, "joints": joints, "states": states, "gaps": gaps}


@settings(max_examples=40)
@given(designs(), st.sampled_from(["adults", "children"]))
def test_no_rule_breaks_on_any_design(given, users):
    """Each rule gives findings with a message for each part that it names, whatever the design."""
    try:
        design = Design("any", users=users, **given)
    except DesignFaults:
        return
    seen = examined(design)
    names = {part.name for part in design.parts}
    for rule in RULES:
        for finding in rule.check(seen, rule):
            assert finding.message
            assert set(finding.parts) <= names


def test_a_single_part_has_nothing_to_be_put_together():
    """An object of one part has an order of assembly, and comes apart into nothing."""
    part = Part.turned("top", material="CW614N", stock=bar("20 mm"), outside=[cylinder(20, 10)])
    seen = examined(Design("top", parts=[part]))

    assert not [f for rule in assembly.RULES for f in rule.check(seen, rule)]


@pytest.mark.parametrize("family", [assembly, bought_rules, tip, cap, clip, fits])
def test_every_rule_has_a_name_of_its_own_and_a_sentence(family):
    """Names are few words in small letters, sentences end with a stop."""
    for rule in family.RULES:
        assert rule.name == rule.name.casefold()
        assert rule.sentence.endswith(".")
