"""Limits are the design's, else the tools', else the rule's; findings are accepted only with a reason."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.held import plain
from turnmodel import Design, joint
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.report import as_json, report
from turnmodel.analysis.rule_facts import rule_facts
from turnmodel.analysis.rules import RULES
from turnmodel.analysis.ruling import ruled
from turnmodel.catalog.tools import assumed_tools
from turnmodel.errors import DesignFaults, ToolFaults, UnknownName


def post(**settings: object) -> Design:
    """Make a post that stands 3.7 diameters out of the chuck."""
    return Design("post", parts=[plain(length=70)], **settings)


def limited(**limits: float):
    """Give the assumed tools with limits of the user's own."""
    return replace(assumed_tools(), limits=limits)


def limit(design: Design, tools=None) -> float | None:
    """Tell the limit of overhang that holds."""
    (rule,) = (r for r in ruled(RULES, design, tools or assumed_tools()) if r.name == "overhang")
    return rule.limit


def test_the_nearest_limit_holds():
    """The design's own limit goes before that of the tools, and that before the rule's."""
    assert limit(post()) == 3.0
    assert limit(post(), limited(overhang=3.5)) == 3.5
    assert limit(post(limits={"overhang": 4}), limited(overhang=3.5)) == 4.0


def test_a_limit_decides_what_is_found():
    """3.7 diameters pass a limit of four."""
    assert "overhang" in {f.rule for f in report(post(), {}).findings}
    assert "overhang" not in {f.rule for f in report(post(limits={"overhang": 4}), {}).findings}


def test_a_limit_of_no_rule_is_a_fault_of_who_set_it():
    """The message proposes the nearest rule that has a limit."""
    with pytest.raises(
        DesignFaults, match=r"limits: 'overhangs': no rule named 'overhangs'; did you mean 'overhang'\?"
    ):
        report(post(limits={"overhangs": 4}), {})
    with pytest.raises(ToolFaults, match=r"assumed small-shop set, limits: 'overhangs': no rule named"):
        report(post(), {}, tools=limited(overhangs=4))
    with pytest.raises(DesignFaults, match=r"limits: 'missing tool': this rule has no limit"):
        report(post(limits={"missing tool": 4}), {})


@pytest.mark.parametrize("given", [float("nan"), float("inf"), "4", True, None])
def test_a_limit_is_a_finite_number(given):
    """Anything else is a fault of the script, with its place."""
    with pytest.raises(
        DesignFaults, match=r"test_ruling\.py:\d+: limits: 'overhang' .*: must be a finite number"
    ):
        post(limits={"overhang": given})


@pytest.mark.parametrize("given", ["", "  ", None, 3])
def test_nothing_is_accepted_without_a_reason(given):
    """The message tells how to write one."""
    with pytest.raises(
        DesignFaults, match=r"accept: 'overhang': a finding is accepted with a reason in words"
    ):
        post(accept={"overhang": given})


@pytest.mark.parametrize("key", ["overhang", "overhang: post"])
def test_an_accepted_finding_is_a_note_that_repeats_the_reason(key):
    """It stays in the report and in its JSON, where it is counted as accepted."""
    found = report(post(accept={key: "turned between centres"}), {})
    (note,) = found.accepted

    assert (note.rule, note.severity) == ("overhang", Severity.NOTE)
    assert note.message.endswith("(accepted: turned between centres)")
    assert note in found.findings
    (told,) = (f for f in as_json(found)["findings"] if f["rule"] == "overhang")
    assert (told["severity"], told["message"], told["limit"]) == ("note", note.message, 3.0)


def test_an_acceptance_silences_no_other_part():
    """A finding of another part stays as it was."""
    near, far = plain(length=70), plain(length=75, name="pole")
    seat = joint.seat(far.face("front"), near.face("back"))
    found = report(
        Design("posts", parts=[near, far], joints=[seat], accept={"overhang: pole": "steadied"}), {}
    )

    (caution,) = (f for f in found.findings if f.rule == "overhang" and f.severity is Severity.CAUTION)
    assert caution.parts == ("post",)
    assert [f.parts for f in found.accepted] == [("pole",)]


def test_an_acceptance_of_nothing_is_told():
    """What is not found needs no reason."""
    found = report(post(accept={"bore reach": "carbide bar"}), {})
    (note,) = (f for f in found.findings if f.rule == "bore reach")

    assert note.severity is Severity.NOTE
    assert note.mend == "take it out of accept"
    assert not found.accepted


def test_an_acceptance_of_no_rule_or_part_is_a_fault():
    """The nearest name is proposed, and every fault told at once."""
    wrong = {"overhangs": "x", "overhang: pots": "x"}
    with pytest.raises(DesignFaults) as told:
        report(post(accept=wrong), {})

    assert [fault.rule for fault in told.value.faults] == [
        "no rule named 'overhangs'; did you mean 'overhang'?",
        "no part named 'pots'; did you mean 'post'?",
    ]


def test_every_rule_is_told_with_what_it_rests_on():
    """Names are one of a kind; each has a sentence, a source, and its limit where it has one."""
    told = rule_facts()

    assert len({fact.name for fact in told}) == len(RULES) == len(told)
    for rule in RULES:
        (fact,) = rule_facts(rule.name)
        rows = dict(fact.rows)
        assert rows["demands"] == rule.sentence
        assert rule.sentence.endswith(".")
        assert str(rule.source) in rows.values()
        assert ("limit" in rows) == (rule.limit is not None)


def test_an_unknown_rule_is_refused():
    """The nearest is proposed."""
    with pytest.raises(UnknownName, match=r"no rule named 'overhangs'; did you mean 'overhang'\?"):
        rule_facts("overhangs")
