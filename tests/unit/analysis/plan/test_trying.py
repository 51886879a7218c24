"""When which part is tried on which."""

from __future__ import annotations

from pathlib import Path

from turnmodel import Design, Part, bore, cross_tap, cylinder, drill, joint, shoulder, state, thread
from turnmodel.analysis.plan.planner import cut_plans
from turnmodel.analysis.plan.steps import Verb
from turnmodel.catalog.tools import assumed_tools
from turnmodel.design.loading import load

DESIGNS = Path(__file__).parents[4] / "designs"


def tries(name):
    """What is tried in each setting or at the bench of a design's parts, with the verb before it."""
    plans = cut_plans(load(DESIGNS / f"{name}.py")[0], assumed_tools())
    return {
        part: [
            (before.verb, step.text.partition(":")[0])
            for group in (*plan.settings, *plan.bench)
            for before, step in zip(group.steps, group.steps[1:], strict=False)
            if step.verb is Verb.TRY
        ]
        for part, plan in plans.items()
    }


def turned(name, stock, *outside, **inside):
    """A brass part."""
    return Part.turned(name, material="CW614N", stock=stock, outside=outside, **inside)


def tried(late, *others, **design):
    """The verbs of a part's plan, and what is tried on it."""
    made = Design("object", parts=(*others, late), **design)
    steps = cut_plans(made, assumed_tools())[late.name].steps
    return [step.verb for step in steps], [step.text for step in steps if step.verb is Verb.TRY]


def test_a_part_is_tried_on_what_is_made_before_it():
    """The refill is there from the start; the cap waits for the body."""
    found = tries("pocket_pen")
    assert found["body"] == [(Verb.DRILL, "the ink")]
    assert found["cap"] == [(Verb.TAP, "the body")]
    assert found["plug"] == [(Verb.THREAD, "the body")]


def test_a_thread_is_tried_before_the_part_is_let_go():
    """While it is still in the chuck it can be cut again."""
    plan = cut_plans(load(DESIGNS / "needle_case.py")[0], assumed_tools())["lid"]
    verbs = [step.verb for step in plan.settings[0].steps]
    assert verbs.index(Verb.TAP) < verbs.index(Verb.TRY) < verbs.index(Verb.PART_OFF)


def test_a_press_fit_is_measured_and_not_tried():
    """The allowance is told."""
    plan = cut_plans(load(DESIGNS / "needle_case.py")[0], assumed_tools())["foot"]
    (step,) = (s for s in plan.steps if s.verb is Verb.TRY)
    assert step.text == "the tube: measure both: the inner is 0.015 mm the larger, and does not go in by hand"


def test_a_press_fit_is_measured_when_its_outside_is_turned():
    """A ring with a hole goes into a bore by its outside, which is bar until it is turned to 26.03 mm."""
    disc = turned("disc", "35 mm", cylinder(34, 12), from_back=[bore(26, depth=5, mark="cavity")])
    ring = turned("ring", "28 mm", cylinder(26.03, 5), from_front=[drill("10 mm", through=True)])
    pressed = [joint.press(ring.face("front"), disc.face("cavity"), allowance=0.03)]
    verbs, _ = tried(ring, disc, joints=pressed)
    assert max(k for k, verb in enumerate(verbs) if verb is Verb.TURN) < verbs.index(Verb.TRY)
    assert verbs.index(Verb.TRY) < verbs.index(Verb.PART_OFF)


def test_a_strip_is_tried_when_it_is_bent():
    """The demo clip is flat bar stock until its outline is filed and its bends are made."""
    (plan,) = (
        p for p in cut_plans(load(DESIGNS / "pocket_pen.py")[0], assumed_tools()).values() if not p.settings
    )
    verbs = [step.verb for step in plan.steps]
    last = max(k for k, verb in enumerate(verbs) if verb in (Verb.CUT, Verb.FILE, Verb.BEND))
    tries_at = [k for k, verb in enumerate(verbs) if verb is Verb.TRY]
    assert tries_at == [last + 1 + k for k in range(len(tries_at))] != []


def test_what_the_bar_keeps_out_is_tried_when_it_is_parted_off():
    """A liner goes 9 mm deeper than it is long: the bar behind it is wider than the hole."""
    tube = turned("tube", "16 mm", cylinder(15, 45), from_front=[drill("8 mm", through=True)],
                  from_back=[bore(11.8, depth=35, mark="seat")])  # fmt: skip
    liner = turned("liner", "13 mm", cylinder(11.6, 26))
    verbs, _ = tried(liner, tube, joints=[joint.seat(liner.face("front"), tube.face("seat"))])
    assert verbs.index(Verb.PART_OFF) + 1 == verbs.index(Verb.TRY)


def test_what_goes_in_while_it_is_on_the_bar_is_tried_there():
    """A liner that stays short of the mouth is tried before it is let go."""
    tube = turned("tube", "16 mm", cylinder(15, 45), from_back=[bore(11.8, depth=20, mark="seat")])
    liner = turned("liner", "13 mm", cylinder(11.6, 26))
    verbs, (text,) = tried(liner, tube, joints=[joint.seat(liner.face("front"), tube.face("seat"))])
    assert verbs.index(Verb.TRY) < verbs.index(Verb.PART_OFF)
    assert text == "the tube: it comes down on its seat without force"


def test_a_tube_that_meets_the_chuck_is_tried_off_the_lathe():
    """A tube 50 mm deep goes over a bar that stands 35 mm out of the jaws, and meets them."""
    tube = turned("tube", "16 mm", cylinder(15, 60), from_back=[bore(10.4, depth=50, mark="floor")])
    pin = turned("pin", "10 mm", cylinder(9.8, 30))
    verbs, _ = tried(pin, tube, joints=[joint.seat(pin.face("front"), tube.face("floor"))])
    assert verbs.index(Verb.PART_OFF) < verbs.index(Verb.TRY)


def test_a_seat_that_stays_apart_says_how_far():
    """Two millimetres that the design leaves are not a seat that is come down on."""
    tube = turned("tube", "16 mm", cylinder(15, 45), from_back=[bore(11.8, depth=20, mark="seat")])
    liner = turned("liner", "13 mm", cylinder(11.6, 26))
    _, (text,) = tried(liner, tube, joints=[joint.seat(liner.face("front"), tube.face("seat"), gap=2)])
    assert text == "the tube: it goes in without force, to 2.00 from its seat"


def clamped(**turns):
    """What is tried on a screw that goes into a tapped hole across a post, by turns left open."""
    post = turned("post", "16 mm", cylinder(15, 20), from_front=[drill("8 mm", through=True)],
                  across=[cross_tap("M3", at=10, mark="clamp")])  # fmt: skip
    pin = turned("pin", "6 mm", cylinder(6, 4), shoulder("head"), thread("M3", 6))
    states = {name: state(joint.screw(pin.face("head"), post.face("clamp"), turns_open=open_by))
              for name, open_by in turns.items()}  # fmt: skip
    return tried(pin, post, states=states)[1]


def test_a_screw_that_never_comes_home_is_not_screwed_home():
    """A clamp that the design leaves open by 4.8 turns has no shoulder to come to."""
    assert clamped(held=4.8) == [
        "the post: it screws in by hand, without shake, to 4.8 turns from its shoulder"
    ]


def test_a_screw_that_comes_home_in_one_state_is_screwed_home():
    """It is tried as far as it ever goes."""
    assert clamped(open=4.8, shut=0) == ["the post: it screws home by hand, to the shoulder, without shake"]
