"""The mock-up set itself: it goes together, nothing has moved along the axis, and fits stay fits."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest

from tests.mockups import nib_box
from tests.pens import sprung_pen
from turnmodel import Design, Part, bar, bore, cylinder, drill, groove, joint, shoulder, tap, thread
from turnmodel.analysis.interference import meetings
from turnmodel.catalog.printer import printer
from turnmodel.design.loading import load
from turnmodel.design.part import BoughtPart, StripPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.region import bounds, check_region
from turnmodel.geometry.tolerance import CONTACT_MM3
from turnmodel.output.mockup.fits import Kind, fits
from turnmodel.output.mockup.prepared import mockup

DESIGNS = sorted((Path(__file__).parents[4] / "designs").glob("*.py"))
ROUNDING = 1e-9
"""Stations [mm] are copied; what arcs bound is computed anew."""


@cache
def printed(path, process):
    """Load a design and make its mock-up, once."""
    design, _ = load(path, {})
    return mockup(design, printer(process))


every = pytest.mark.parametrize("process", ["filament", "resin"])
every_design = pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)


@every
@every_design
def test_a_mock_up_goes_together_in_every_state(path, process):
    """Run on the mock-up's own parts, the check for interference finds nothing that the metal has not."""
    mock = printed(path, process)

    assert mock.clashes == ()
    for state in mock.design.states:
        meant = {m.parts for m in meetings(mock.metal, state) if m.overlap > CONTACT_MM3}
        found = {m.parts for m in meetings(mock.design, state) if m.overlap > CONTACT_MM3}
        assert found <= meant


@every
@every_design
def test_every_length_and_every_station_is_kept(path, process):
    """Parts are as long as in metal, and every feature outside begins and ends where it did."""
    mock = printed(path, process)

    for part in mock.metal.parts:
        metal, plastic = built(part), built(mock.design.part(part.name))
        if not isinstance(metal, Turned) or isinstance(part, BoughtPart):
            continue
        check_region(plastic.body.plain)
        a, b = bounds(metal.body.plain), bounds(plastic.body.plain)
        assert (b.z0, b.z1) == pytest.approx((a.z0, a.z1), abs=ROUNDING)
        assert [(p.start, p.end) for p in plastic.outside] == [(p.start, p.end) for p in metal.outside]
        assert [s.start for s in plastic.body.threads] == [
            s.start for s in metal.body.threads if s.start in {t.start for t in plastic.body.threads}
        ]


@every
@every_design
def test_mates_clear_by_the_gap_that_was_asked(path, process):
    """Measured on the mock-up as it stands together, each fit has at least the room that it was given."""
    mock = printed(path, process)
    measured = {}
    for fit in fits(mock.design, mock.printer):
        pair = fit.hole, fit.shaft
        measured[pair] = min(fit.designed, measured.get(pair, 1.0))

    for pair in {(fit.hole, fit.shaft) for fit in mock.fits}:
        asked = min(fit.printed for fit in mock.fits if (fit.hole, fit.shaft) == pair)
        assert measured.get(pair, 1.0) >= min(asked, 1.0) - ROUNDING


def test_a_sliding_fit_slides_and_a_pressed_one_presses():
    """By hand, in filament: 0.1 and 0.2 + 0.2 + 0.1 slide; -0.02 + 0.2 + 0.1 is pressed."""
    mock = mockup(nib_box(), printer("filament"))
    found = {(fit.hole, fit.shaft): fit for fit in mock.fits}

    assert found["box", "pin"].kind is Kind.SLIDING
    assert found["box", "pin"].designed == pytest.approx(0.1)
    assert found["box", "pin"].printed == pytest.approx(0.2 + 0.2 + 0.1)
    assert found["box", "foot"].kind is Kind.PRESSED
    assert found["box", "foot"].printed == pytest.approx(-0.02 + 0.2 + 0.1)
    pin = built(mock.design.part("pin"))
    assert 2 * pin.outside[0].curves[0].start[1] == pytest.approx(5.2 - 0.5)
    foot = built(mock.design.part("foot"))
    assert 2 * foot.outside[2].curves[0].start[1] == pytest.approx(10.2 - 0.28)


def test_a_loose_fit_keeps_its_room():
    """A pin with 0.6 mm of room has it still once the printer's faults are allowed for."""
    mock = mockup(nib_box(pin_d=4.4), printer("filament"))
    (fit,) = (fit for fit in mock.fits if fit.shaft == "pin")

    assert fit.printed == pytest.approx(0.6 + 0.2 + 0.1)


def test_a_hole_gives_way_to_what_is_bought():
    """The refill is no part to be printed: its hole of 2.5 mm takes all the room it needs."""
    mock = printed(next(path for path in DESIGNS if path.stem == "pocket_pen"), "filament")
    ink = mock.design.part("ink")

    assert ink is mock.metal.part("ink")
    assert ink not in mock.printed
    fit = min((f for f in mock.fits if (f.hole, f.shaft) == ("plug", "ink")), key=lambda f: f.designed)
    assert (fit.designed, fit.printed) == (pytest.approx(0.15), pytest.approx(0.2 + 0.2))


def test_a_seat_keeps_its_depth_and_another_hole_is_deepened():
    """A seat stays where a joint names it by its mark; the box's bores, which none names, go 0.2 deeper."""
    mock = mockup(nib_box(), printer("filament"))
    box, metal = built(mock.design.part("box")), built(mock.metal.part("box"))

    (seat,) = (b for b in box.inside if b.feature.mark == "foot seat")
    (bore,) = (b for b in box.inside if b.from_back)
    assert seat.floor[0].start[0] == pytest.approx(6.2)
    assert bore.floor[0].start[0] == pytest.approx(metal.length - 20 - 0.2)


def test_the_clip_is_a_stiffer_stand_in_and_is_said_to_be():
    """A strip of 0.5 mm becomes one of 1.2 mm of one width, which its note tells."""
    mock = printed(next(path for path in DESIGNS if path.stem == "pocket_pen"), "filament")
    clip = mock.design.part("clip")

    assert isinstance(clip, StripPart)
    assert (clip.thickness, {width for _, width in clip.widths}) == (1.2, {5})
    assert mock.notes[0].startswith("clip: a stiffer stand-in of the spring, 1.2 mm thick for 0.5 mm")


def test_a_thin_wall_is_reported_and_made_thicker_on_demand():
    """The spigot under the lid's thread, bored 9 mm: thin as printed, thick enough by a smaller hole."""
    design = nib_box("M12x1")
    mock = mockup(design, printer("filament", wall=2.7))
    (before,) = {wall.part for wall in mock.thin} & {"box"}
    thicker = mockup(design, printer("filament", wall=2.7), thicken="in")

    assert before == "box"
    held = [note for note in thicker.notes if note.startswith("box: a wall of")]
    assert {wall.part for wall in thicker.thin} & {"box"} == {"box"}
    assert held
    assert all("the hole takes pin" in note for note in held)


@pytest.mark.parametrize(("side", "bore_d", "groove_d"), [("in", 7.4, 9.0), ("out", 8.2, 9.8)])
def test_a_thin_wall_is_made_thick_enough(side, bore_d, groove_d):
    """Under a groove of 9 mm over a bore of 8, printed 8.2, 0.4 mm are left: 0.8 by the one or the other."""
    tube = Part.turned(
        "tube", material="CW614N", stock=bar("12 mm"),
        outside=[cylinder(12, 10), groove(3, diameter=9), cylinder(12, 10)],
        from_front=[bore(8, through=True)],
    )  # fmt: skip
    before, after = (mockup(Design("tube", parts=[tube]), printer(), thicken=t) for t in (None, side))

    (thin,) = before.thin
    assert thin.wall == pytest.approx(0.4)
    assert 10 <= thin.station <= 13 + ROUNDING
    assert after.thin == ()
    radii = {r for c in built(after.design.part("tube")).body.plain.loops[0] for _, r in (c.start, c.end)}
    assert {round(2 * r, 6) for r in radii} == {bore_d, groove_d, 12.0}


def test_a_wall_that_cannot_grow_stays_and_is_told():
    """Outwards the same tube would grow into the sleeve that slides over it."""
    tube = Part.turned(
        "tube", material="CW614N", stock=bar("16 mm"), from_front=[bore(8, through=True)],
        outside=[cylinder(9, 10), shoulder("stop"), cylinder(14, 2)],
    )  # fmt: skip
    sleeve = Part.turned(
        "sleeve", material="CW614N", stock=bar("16 mm"), from_front=[bore(9.1, through=True)],
        outside=[cylinder(14, 10)],
    )  # fmt: skip
    sleeved = Design(
        "tube", parts=[tube, sleeve], joints=[joint.seat(sleeve.face("back"), tube.face("stop"))]
    )

    made = mockup(sleeved, printer(), thicken="out")

    # 9 less the allowance of shaft and what the slide lacks, 0.1 + 0.1; less the bore of 8.2; half of it
    assert [note.partition(" mm at ")[0] for note in made.notes] == ["tube: a wall of 0.30"]
    assert made.notes[0].endswith("stays as it is: it goes into sleeve")
    assert [wall.part for wall in made.thin] == ["tube"]


def test_a_coarser_pitch_without_room_for_its_turns_gives_way_to_plain_bores():
    """2.4 mm of M12x0.75 are three turns; of a pitch of 1 mm they are fewer than two and a half."""
    stud = Part.turned(
        "stud", material="CW614N", stock=bar("20 mm"),
        outside=[thread("M12x0.75", 2.4), shoulder("stop"), cylinder(16, 5)],
    )  # fmt: skip
    nut = Part.turned(
        "nut", material="CW614N", stock=bar("20 mm"), outside=[cylinder(18, 6)],
        from_front=[drill("11.2 mm", through=True), tap("M12x0.75", through=True)],
    )  # fmt: skip
    screwed = Design("stud", parts=[stud, nut], joints=[joint.screw(nut.face("front"), stud.face("stop"))])

    (cut,) = mockup(screwed, printer("filament")).threads

    assert cut.thread is None


@every
def test_a_spring_takes_up_what_the_allowances_leave(process):
    """A refill between a seat and a spring is mocked up: it stands where it did, the spring in its room.

    The drilled rest is wider by the allowance, so that the tail comes to its floor, no deeper than its point:
    r tan 31 degrees, with r the 1.25 mm of the hole.
    """
    parts, given = sprung_pen(free=9, rate=0.1)
    mock = mockup(Design("pen", parts=parts, **given), printer(process))

    assert mock.clashes == ()
    for state, pose in mock.metal.poses.items():
        made = mock.design.poses[state]
        assert made.parts["ink"][2][3] == pytest.approx(pose.parts["ink"][2][3], abs=ROUNDING)
        assert made.springs[0][1] == pytest.approx(pose.springs[0][1], abs=1.25 * math.tan(math.radians(31)))
