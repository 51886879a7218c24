"""Screw joints: each rule finds the joint that is faulty in just its way, and nothing once that is mended.

A plug of M8x1, spigot first, is screwed into a tube until its shoulder meets the tube's face. Lengths are
worked by hand: the plug's chamfer, which is no full thread, reaches (d - d3)/2 = 0.6134 mm from its end, and
the tube's mouth is countersunk from 8 mm to the 7 mm of its drill, 0.5 mm deep.
"""

from __future__ import annotations

import math

import pytest

from tests.held import found
from turnmodel import (
    Design,
    Part,
    bore,
    counterbore,
    cross_hole,
    cross_tap,
    cylinder,
    drill,
    flat,
    joint,
    relief,
    shoulder,
    state,
    tap,
    thread,
)
from turnmodel.analysis.finding import Severity
from turnmodel.analysis.rules import screwing
from turnmodel.analysis.screwed import screwed

CHAMFER = (8 - (8 - 1.226869)) / 2  # mm, of the spigot's end
TABLED = 5e-4  # mm, half the last digit of tables of limits
EXACT = 1e-6  # mm, over the digits that constants are given with here


def plug(*spigot: object, across: tuple[object, ...] = (), material: str = "CW614N") -> Part:
    """Turn a plug whose spigot is as given, a shoulder of 12 mm behind it."""
    outside = [*spigot, shoulder("stop"), cylinder(12, 10)]
    return Part.turned("plug", material=material, stock="12 mm", outside=outside, across=across)


def tube(*holes: object, across: tuple[object, ...] = (), material: str = "CW614N", wide: float = 12) -> Part:
    """Turn a tube of 30 mm with holes from the back."""
    return Part.turned(
        "tube", material=material, stock="20 mm", outside=[cylinder(wide, 30)], from_back=holes, across=across
    )


def holes(
    size: str = "M8x1", *, drilled: object = None, depth: float = 10, lead: str = "plug"
) -> list[object]:
    """Drill 7 mm and tap."""
    return [drilled or drill("7 mm", depth=22), tap(size, depth=depth, lead=lead)]


SPIGOT = (thread("M8x1", 6), relief())  # 9.5 mm with the relief, 3.5 mm wide
DEEP = holes(depth=12)


def home(plugged: Part, tubed: Part, **more: object) -> dict[str, object]:
    """Screw the plug home."""
    return {"joints": [joint.screw(plugged.face("stop"), tubed.face("back"), **more)]}


def held(rule: str, plugged: Part, tubed: Part, **more: object) -> list[object]:
    """Hold the two, screwed together, to one rule."""
    return found(rule, tubed, plugged, **home(plugged, tubed, **more))


def troubles(plugged: Part, tubed: Part) -> list[object]:
    """List what the family finds that is more than a note."""
    return [
        f
        for rule in screwing.RULES
        for f in held(rule.name, plugged, tubed)
        if f.severity is not Severity.NOTE
    ]


def test_a_sound_joint_is_only_noted():
    """Nothing is wrong with a plug that comes home in a deep hole; its strength and fit are told."""
    assert not troubles(plug(*SPIGOT), tube(*DEEP))
    assert [f.severity for f in held("stripping", plug(*SPIGOT), tube(*DEEP))] == [Severity.NOTE]
    assert [f.severity for f in held("thread fit", plug(*SPIGOT), tube(*DEEP))] == [Severity.NOTE]


# engagement


def test_less_than_a_turn_does_not_hold():
    """Past a relief of 3.5 mm a hole threaded to 4.2 mm engages 0.7 mm, 0.7 turns; the mend makes it one."""
    shallow = plug(*SPIGOT), tube(*holes(depth=4.2))
    (finding,) = held("engaged turns", *shallow)

    assert finding.severity is Severity.FAULT
    assert finding.value == pytest.approx(0.7, abs=EXACT)
    assert finding.message == "plug and tube: M8x1 engages 0.7 full turns"
    assert finding.mend == "make tap (from back 2) of tube 0.3 mm deeper"
    assert held("engaged turns", plug(*SPIGOT), tube(*holes(depth=4.5)))[0].severity is Severity.NOTE


def test_a_turn_holds_and_three_seal():
    """Two turns are noted as enough to hold; from three on nothing is said."""
    (finding,) = held("engaged turns", plug(*SPIGOT), tube(*holes(depth=5.5)))

    assert finding.message == "plug and tube: M8x1 engages 2.0 full turns, enough to hold, hardly to seal"
    assert finding.mend == "make tap (from back 2) of tube 1 mm deeper to seal"
    assert not held("engaged turns", plug(*SPIGOT), tube(*holes(depth=6.5)))


def test_a_joint_that_is_left_open_is_not_judged():
    """Unscrewed by some turns it need not hold."""
    assert not held("engaged turns", plug(*SPIGOT), tube(*holes(depth=4.2)), turns_open=2.0)


def test_turns_of_a_thread_of_several_starts():
    """A lead of 3 mm makes 4 mm of engagement 1.33 turns."""
    spigot = (thread("M8xPh3P1", 6), relief())
    (finding,) = held("engaged turns", plug(*spigot), tube(*holes("M8xPh3P1", depth=7.5)))

    assert finding.value == pytest.approx(4 / 3, abs=EXACT)


def test_engagement_in_a_thin_wall_across():
    """M3 through 1 mm of wall, 20 mm round, engages 0.887 mm: its sagitta, 0.113, is lost."""
    screw = Part.turned(
        "screw",
        material="303",
        stock="5 mm",
        outside=[cylinder(5, 2), shoulder("head"), relief(), thread("M3", 6)],
    )
    wall = Part.turned(
        "wall",
        material="CW614N",
        stock="20 mm",
        outside=[cylinder(20, 30)],
        from_back=[bore(18, depth=25)],
        across=[cross_tap("M3", at=15, mark="hole")],
    )
    spacer = Part.turned(
        "spacer",
        material="CW614N",
        stock="6 mm",
        outside=[cylinder(6, 3)],
        from_back=[drill("3.2 mm", through=True)],
    )
    joints = [
        joint.seat(spacer.face("front"), wall.face("hole")),
        joint.screw(screw.face("head"), spacer.face("back"), into=wall),
    ]
    (finding,) = found("engaged turns", wall, spacer, screw, joints=joints)

    assert finding.value == pytest.approx((1 - (10 - math.sqrt(10**2 - 1.5**2))) / 0.5, abs=EXACT)


# strength


def test_the_pull_that_strips_a_thread():
    """6 mm of M10x1 in equal metals shear 92.1 mm2 (hand-worked), at half of 400 MPa: 18.4 kN."""
    screw = plug(thread("M10x1", 6 + (10 - 8.773) / 2), relief())
    (finding,) = held("stripping", screw, tube(drill("9 mm", depth=25), tap("M10x1", depth=16), wide=18))

    assert finding.value == pytest.approx(92.1 * 200, rel=1e-3)
    assert finding.unit == "N"
    assert "6.00 mm of M10x1, 0.60 diameters, strip at" in finding.message


def test_a_thread_that_strips_under_the_pull_asked_for():
    """More than a thread bears is a fault; the engagement of the mend bears it."""
    pull = {"stripping": 9000.0}
    short, long = tube(*holes(depth=6.5)), tube(*DEEP)
    made = plug(*SPIGOT)

    (finding,) = found("stripping", short, made, limits=pull, **home(made, short))

    assert finding.severity is Severity.FAULT
    needed = float(finding.mend.removeprefix("engage ").removesuffix(" mm or more"))
    assert needed == pytest.approx(3.0 * 9000 / finding.value, abs=0.01)
    deep = tube(*holes(depth=3.5 + needed))
    assert found("stripping", deep, made, limits=pull, **home(made, deep))[0].severity is Severity.NOTE
    assert found("stripping", long, made, limits=pull, **home(made, long))[0].severity is Severity.NOTE


def test_the_weaker_metal_strips():
    """A hole in acetal, 63 MPa, strips before a screw of steel."""
    (brass,) = held("stripping", plug(*SPIGOT), tube(*DEEP))
    (acetal,) = held("stripping", plug(*SPIGOT), tube(*DEEP, material="acetal"))

    assert acetal.value < brass.value / 4


# coming home


def test_a_screw_that_bottoms_before_its_shoulder():
    """9.5 mm of spigot less its chamfer, in 8 mm of full thread, jam 0.887 mm off; the mend leaves 0.3."""
    made = plug(*SPIGOT)
    (finding,) = held("bottoming", made, tube(*holes(depth=8)))

    assert finding.severity is Severity.FAULT
    assert finding.value == pytest.approx(8 - (9.5 - CHAMFER), abs=EXACT)
    assert finding.message == (
        "plug and tube: M8x1 jams 0.89 mm before it is home, "
        "at the end of the full thread of tap (from back 2)"
    )
    assert finding.mend == "make tap (from back 2) 1.19 mm deeper, or thread (outside 1) 1.19 mm shorter"
    assert not held("bottoming", made, tube(*holes(depth=9.19)))
    assert not held("bottoming", plug(thread("M8x1", 4.81), relief()), tube(*holes(depth=8)))


def test_a_screw_that_nearly_bottoms():
    """With 0.1 mm to spare a dial misread keeps it from home: a caution."""
    (finding,) = held("bottoming", plug(*SPIGOT), tube(*holes(depth=9.5 - CHAMFER + 0.1)))

    assert finding.severity is Severity.CAUTION
    assert finding.value == pytest.approx(0.1, abs=EXACT)


def test_a_screw_in_a_blind_hole_across():
    """A hole across is full to a bottoming tap's lead, 2 pitches, from its floor."""
    screw = Part.turned(
        "screw", material="303", stock="5 mm",
        outside=[cylinder(5, 2), shoulder("head"), thread("M3", 6)],
    )  # fmt: skip

    def post(depth: float) -> Part:
        return Part.turned(
            "post", material="CW614N", stock="20 mm", outside=[cylinder(20, 30)],
            across=[cross_tap("M3", at=15, depth=depth, mark="hole")],
        )  # fmt: skip

    def room(depth: float) -> list[object]:
        body = post(depth)
        return found("bottoming", body, screw, joints=[joint.screw(screw.face("head"), body.face("hole"))])

    (finding,) = room(6.0)

    chamfer = 1.226869 * 0.5 / 2
    assert finding.value == pytest.approx((6.0 - 2 * 0.5) - (6.0 - chamfer), abs=EXACT)
    assert not room(6.0 - finding.value + 0.3)


def test_a_screw_stopped_by_its_tip_may_bottom():
    """A spigot that is meant to meet the floor of the hole is not told that it does."""
    body = tube(bore(7, depth=12, mark="floor"), tap("M8x1", depth=8, lead="bottoming"))
    pin = plug(thread("M8x1", 4))

    findings = found("bottoming", body, pin, joints=[joint.screw(pin.face("front"), body.face("floor"))])

    assert not findings


def test_a_shoulder_that_the_run_out_keeps_off():
    """The run-out of 2.25 mm, without a relief, meets the hole's crests 1.84 mm from the shoulder."""
    made = plug(thread("M8x1", 8))
    (finding,) = held("seating", made, tube(*DEEP))

    depth, crests, countersunk = 1.226869 / 2, 0.5, 0.5
    jams = 2.25 * crests / depth
    assert finding.severity is Severity.FAULT
    assert finding.value == pytest.approx(jams - countersunk, abs=EXACT)
    assert finding.message == "plug and tube: the run-out of M8x1 jams in the mouth 1.33 mm from home"
    assert finding.mend == (
        "counterbore tube 8.1 mm, 1.84 mm deep, or turn a relief behind the thread, 2.5 mm wide and "
        "6.4 mm in diameter"
    )
    assert not held(
        "seating", made, tube(drill("7 mm", depth=22), counterbore(8.1, depth=1.84), tap("M8x1", depth=12))
    )
    assert not held("seating", plug(thread("M8x1", 5.5), relief(short=True)), tube(*DEEP))


# classes


def test_room_between_the_classes():
    """M8x1 6g in 6H: 26 to 26 + 112 + 150 um (ISO 965-1 tables), end play times tan 30."""
    (finding,) = held("thread fit", plug(*SPIGOT), tube(*DEEP))

    assert finding.severity is Severity.NOTE
    assert finding.value == pytest.approx(0.026, abs=TABLED)
    assert (
        "M8x1 6g in 6H leaves 0.026 to 0.288 mm of pitch diameter, 0.015 to 0.166 mm of end play"
        in finding.message
    )


def test_classes_are_read_from_the_designations():
    """4h in 5H touch at the limit and do not bind."""
    (finding,) = held("thread fit", plug(thread("M8x1-4h", 6), relief()), tube(*holes("M8x1-5H", depth=12)))

    assert finding.value == pytest.approx(0.0, abs=TABLED)
    assert "4h in 5H" in finding.message


def test_a_fit_tighter_than_asked_for():
    """Where a design asks for 0.02 mm of room 4h in 5H is a caution, and 6g in 6H is not."""
    made, body = plug(thread("M8x1-4h", 6), relief()), tube(*holes("M8x1-5H", depth=12))

    (tight,) = found("thread fit", body, made, limits={"thread fit": 0.02}, **home(made, body))

    assert tight.severity is Severity.CAUTION


def test_grades_that_do_not_go_together():
    """4h with 7H is fine with coarse; 4h with 5H is not told."""
    fine = plug(thread("M8x1-4h", 6), relief())
    (finding,) = held("thread classes", fine, tube(*holes("M8x1-7H", depth=12)))

    assert finding.severity is Severity.CAUTION
    assert (finding.value, finding.limit) == (3.0, 1.0)
    assert finding.message == "plug and tube: M8x1 is 4h on the screw and 7H in the hole, 3 grades apart"
    assert not held("thread classes", fine, tube(*holes("M8x1-5H", depth=12)))


def test_threads_without_limits_are_not_judged_by_class():
    """Model Engineer threads have no classes here."""
    made = plug(thread("ME 5/16-40", 6), relief())
    body = tube(drill("7.3 mm", depth=22), tap("ME 5/16-40", depth=12))

    assert not held("thread fit", made, body)
    assert not held("thread classes", made, body)
    assert held("stripping", made, body)[0].severity is Severity.NOTE


# clocking


@pytest.mark.parametrize("size", ["M8x1", "M8x1 LH", "M8xPh2P1"])
def test_a_flat_that_is_to_stop_in_line(size):
    """Where both sides carry something off the axis the angle is told, and the mend brings it to zero."""

    def built(off: float) -> tuple[Part, Part]:
        # What comes off the shoulder makes the spigot longer by as much.
        made = plug(
            thread(size, 6), relief(width=3.5 + off), across=(flat(at=14, length=4, across=10.5, angle=40),)
        )
        return made, tube(*holes(size, depth=12), across=(cross_hole("2 mm", at=4, angle=25, depth=2),))

    (finding,) = held("clocking", *built(0.0))

    assert finding.severity is Severity.NOTE
    assert abs(finding.value) > 5
    lead = 2 if "Ph2" in size else 1
    assert f"{lead / 36:.3f} mm on the stop turns it 10 degrees" in finding.message
    off, under = (float(word) for word in finding.mend.split() if word[0].isdigit())
    assert off + under == pytest.approx(1.0, abs=2e-3)
    for change in (off, -under):
        (mended,) = held("clocking", *built(change))
        assert mended.value == pytest.approx(0.0, abs=0.5)
        assert mended.mend is None


def test_round_parts_may_stop_anywhere():
    """Where one side is round there is nothing to stop in line with."""
    made = plug(*SPIGOT, across=(flat(at=14, length=4, across=10.5),))

    assert not held("clocking", made, tube(*DEEP))


def test_a_joint_of_one_state_names_it():
    """A joint that one state makes is told with that state, a standing one without."""
    made, body = plug(*SPIGOT), tube(*holes(depth=8))
    closed = {"closed": state(joint.screw(made.face("stop"), body.face("back"))), "open": state(aside=made)}

    (of_state,) = found("bottoming", body, made, states=closed)
    (standing,) = held("bottoming", made, body)

    assert (of_state.state, standing.state) == ("closed", None)


def test_each_joint_is_told_once():
    """A joint that stands in every state is laid out once."""
    made, body = plug(*SPIGOT), tube(*DEEP)
    design = Design(
        "object", parts=[body, made], states={"one": state(), "other": state()}, **home(made, body)
    )

    assert len(screwed(design)) == 1
