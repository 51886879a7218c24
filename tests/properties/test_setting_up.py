"""Laws of the rules of holes and setting up: no part that can be made stops them, better tools find less."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from turnmodel import (
    Design,
    Part,
    bore,
    chamfer,
    cone,
    cross_hole,
    cross_tap,
    cylinder,
    drill,
    recess,
    relief,
    tap,
    taper_bore,
    thread,
)
from turnmodel.analysis.finding import Finding, Severity
from turnmodel.analysis.rule import Examined
from turnmodel.analysis.rules import boring, crib, drilling, handling, setup, tapping
from turnmodel.catalog.tools import assumed_tools
from turnmodel.errors import DesignFaults

if TYPE_CHECKING:
    from turnmodel.analysis.rule import Rule
    from turnmodel.catalog.toolbox import Toolbox

OURS = (*drilling.RULES, *boring.RULES, *tapping.RULES, *setup.RULES, *handling.RULES, *crib.RULES)

EMPTY = replace(assumed_tools(), origin="tools.toml", assumed=(), drills=(), taps=(), dies=(), reamers=())
"""A crib with nothing in it."""


def lengths(least: float, most: float) -> st.SearchStrategy[float]:
    """Draw lengths to a tenth [mm]."""
    return st.integers(round(10 * least), round(10 * most)).map(lambda tenths: tenths / 10)


inside = st.one_of(
    st.builds(drill, lengths(1, 12), depth=lengths(1, 70)),
    st.builds(drill, st.sampled_from(["2.5 mm", "#29", "F", "1/4 in"]), through=st.just(True)),
    st.builds(bore, lengths(2, 14), depth=lengths(1, 60), mouth=st.sampled_from([None, chamfer(0.3)])),
    st.builds(bore, lengths(2, 8), through=st.just(True)),
    st.builds(taper_bore, lengths(3, 12), lengths(0, 12), lengths(1, 40)),
    st.builds(recess, lengths(3, 14), lengths(1, 4), lengths(5, 20)),
    st.builds(
        tap,
        st.sampled_from(["M4", "M6x0.75", "M8x1", "M10x0.75", "1/4-28 UNF", "2BA", "M12xPh3P1"]),
        depth=lengths(1, 20),
        lead=st.sampled_from(["taper", "plug", "bottoming"]),
    ),
)

outside = st.one_of(
    st.builds(cylinder, lengths(6, 20), lengths(1, 40), edges=st.sampled_from([None, chamfer(0.2)])),
    st.builds(cone, lengths(6, 20), lengths(6, 20), length=lengths(2, 20)),
    st.builds(thread, st.sampled_from(["M8x1", "M10x0.75", "3/8-24 UNF"]), lengths(5, 12)),
    st.just(relief()),
)

across = st.one_of(
    st.builds(cross_hole, lengths(1, 4), at=lengths(3, 30)),
    st.builds(cross_tap, st.sampled_from(["M2", "M3"]), at=lengths(3, 30)),
)


@st.composite
def designs(draw: st.DrawFn, holes: st.SearchStrategy[Any] = inside) -> Design:
    """Draw a design of one turned part that can be made."""
    part = Part.turned(
        "post",
        material="CW614N",
        stock=draw(st.sampled_from(["20 mm", "22 mm", "1 in"])),
        outside=draw(st.lists(outside, min_size=1, max_size=4)),
        from_front=draw(st.lists(holes, max_size=3)),
        from_back=draw(st.lists(holes, max_size=3)),
        across=draw(st.lists(across, max_size=1)),
    )
    try:
        return Design("object", parts=[part])
    except DesignFaults:
        reject()


def findings(design: Design, rules: tuple[Rule, ...] = OURS, tools: Toolbox | None = None) -> list[Finding]:
    """Hold a design to rules; these look at no weights and no meetings."""
    seen = Examined(design=design, tools=tools or assumed_tools(), parts={}, states={}, meetings={})
    return [finding for rule in rules for finding in rule.check(seen, rule)]


@pytest.mark.parametrize("tools", [assumed_tools(), EMPTY], ids=["assumed", "empty"])
@given(design=designs())
def test_every_part_that_can_be_made_can_be_held_to_the_rules(design, tools):
    """No rule raises; each finding speaks of a part that is there, and tells what to change."""
    for finding in findings(design, tools=tools):
        assert finding.parts in (("post",), ())
        assert finding.mend
        assert "nan" not in finding.message
        assert finding.severity in Severity


@given(design=designs(st.builds(drill, lengths(1, 12), depth=lengths(1, 70))))
def test_longer_drills_find_no_more(design):
    """With the flutes of every drill doubled, and every drill longer by as much, nothing new is found."""
    tools = assumed_tools()
    longer = replace(
        tools,
        drills=tuple(replace(d, flute=2 * d.flute, overall=d.overall + d.flute) for d in tools.drills),
    )
    rules = tuple(rule for rule in drilling.RULES if rule.name in ("drill flutes", "drill held"))
    before = {(finding.rule, finding.feature) for finding in findings(design, rules)}
    after = {(finding.rule, finding.feature) for finding in findings(design, rules, longer)}

    assert after <= before


@given(design=designs(), size=st.sampled_from(["30 mm", "40 mm"]))
def test_a_thicker_bar_stands_out_no_further(design, size):
    """The part from a thicker bar is never found to stand out too far where it was not."""
    (part,) = design.parts
    thicker = Design(
        "object",
        parts=[replace(part, stock=Part.turned("x", material="brass", stock=size, outside=[]).stock)],
    )
    rules = tuple(rule for rule in setup.RULES if rule.name in ("overhang", "finish cut"))

    assert len(findings(thicker, rules)) <= len(findings(design, rules))
