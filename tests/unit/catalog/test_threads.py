"""Threads are read from their designations."""

from __future__ import annotations

import math

import pytest

from turnmodel.catalog.thread_forms import BA, FORMS, ISO_METRIC, UNIFIED, WHITWORTH, Truncation
from turnmodel.catalog.threads import standard_threads, thread
from turnmodel.errors import BadText, BadValue, UnknownName
from turnmodel.units import inch

READ = {
    # text: designation, series, major, pitch, starts, left, class, tabled
    "M10x0.75": ("M10x0.75", "ISO metric", 10, 0.75, 1, False, None, True),
    "m 10 X 0.75": ("M10x0.75", "ISO metric", 10, 0.75, 1, False, None, True),
    "M10×0.75": ("M10x0.75", "ISO metric", 10, 0.75, 1, False, None, True),
    "M10": ("M10x1.5", "ISO metric", 10, 1.5, 1, False, None, True),
    "M6x1 LH": ("M6x1 LH", "ISO metric", 6, 1, 1, True, None, True),
    "M10x1-6g": ("M10x1", "ISO metric", 10, 1, 1, False, "6g", True),
    "M10x1-5g6g-LH": ("M10x1 LH", "ISO metric", 10, 1, 1, True, "5g6g", True),
    "M12xPh3P1": ("M12xPh3P1", "ISO metric", 12, 1, 3, False, None, False),
    "M12x0.9": ("M12x0.9", "ISO metric", 12, 0.9, 1, False, None, False),
    "1/4-20 UNC": ("1/4-20 UNC", "UNC", 6.35, 1.27, 1, False, None, True),
    '1/4"-20': ("1/4-20 UNC", "UNC", 6.35, 1.27, 1, False, None, True),
    "0.25-20": ("1/4-20 UNC", "UNC", 6.35, 1.27, 1, False, None, True),
    "3/8-16 unc-2a": ("3/8-16 UNC", "UNC", 9.525, 1.5875, 1, False, "2A", True),
    "#10-32 UNF": ("#10-32 UNF", "UNF", 4.826, 0.79375, 1, False, None, True),
    "10-32": ("#10-32 UNF", "UNF", 4.826, 0.79375, 1, False, None, True),
    "1-72": ("#1-72 UNF", "UNF", 1.8542, inch / 72, 1, False, None, True),
    "1-8": ("1-8 UNC", "UNC", 25.4, 3.175, 1, False, None, True),
    "7/16-28 UNEF": ("7/16-28 UNEF", "UNEF", 11.1125, inch / 28, 1, False, None, True),
    "0.450-36 UNS": ("0.450-36 UNS", "UNS", 11.43, inch / 36, 1, False, None, False),
    "1 1/16-32": ("1.0625-32 UNS", "UNS", 26.9875, 0.79375, 1, False, None, False),
    "33/64-32": ("33/64-32 UNS", "UNS", 13.096875, 0.79375, 1, False, None, False),
    "2BA": ("2BA", "BA", 4.7, 0.81, 1, False, None, True),
    "BA 2": ("2BA", "BA", 4.7, 0.81, 1, False, None, True),
    "ME 1/4-40": ("ME 1/4-40", "ME", 6.35, 0.635, 1, False, None, True),
    "1/4x40 ME": ("ME 1/4-40", "ME", 6.35, 0.635, 1, False, None, True),
    "brass 3/8-26": ("Brass 3/8-26", "Brass", 9.525, inch / 26, 1, False, None, True),
}


@pytest.mark.parametrize("text", READ)
def test_designations_are_read(text):
    """Each way of writing a thread gives its standard designation and its sizes."""
    t = thread(text)
    found = (t.designation, t.series, t.major_d, t.pitch, t.starts, t.left, t.fit, t.standard)
    designation, series, major, pitch, *rest = READ[text]
    assert found == (
        designation,
        series,
        pytest.approx(major, rel=1e-15),
        pytest.approx(pitch, rel=1e-15),
        *rest,
    )


REFUSED = {
    "9x1": (
        BadText,
        "cannot read thread '9x1': write for example 'M10x0.75', '1/4-20 UNC', '2BA' or 'ME 1/4-40'",
    ),
    "M13": (BadText, "cannot read thread 'M13': M13 has no coarse pitch; write the pitch, as 'M13x1'"),
    "M12xPh3P2": (
        BadText,
        "cannot read thread 'M12xPh3P2': the lead 3 mm is a whole number of pitches 2 mm",
    ),
    "1/4-0": (BadText, "cannot read thread '1/4-0': threads per inch are above zero"),
    "1/0-20": (BadText, "cannot read thread '1/0-20': a fraction has a denominator above zero"),
    "5-13": (
        BadText,
        "cannot read thread '5-13': no table has 5-13; write '#5' for the number size or a decimal",
    ),
    "1/4-20 UNF": (UnknownName, "no thread named '1/4-20 UNF'; did you mean '1/4-28 UNF'?"),
    "11BA": (UnknownName, "no thread named '11BA'; did you mean '1BA'?"),
    "ME 1/4-26": (UnknownName, "no thread named 'ME 1/4-26'; did you mean 'ME 1/4-32'?"),
    "M6x0": (BadValue, "pitch 0 mm: a pitch is above 0 and under half the diameter, 3 mm"),
    "M6x3": (BadValue, "pitch 3 mm: a pitch is above 0 and under half the diameter, 3 mm"),
    "M120x2": (BadValue, "major diameter 120 mm: a thread here is 0.5 to 100 mm in diameter"),
    "M12xPh13P1": (BadValue, "starts 13: a thread here has 1 to 12 starts"),
}


@pytest.mark.parametrize("text", REFUSED)
def test_refusal_names_the_rule(text):
    """What is no thread is refused with the text, the rule and the nearest right thing."""
    error, message = REFUSED[text]
    with pytest.raises(error) as refusal:
        thread(text)
    assert str(refusal.value) == message


@pytest.mark.parametrize("text", ["M" + "9" * 400, "1/4-" + "9" * 400, ""])
def test_endless_numbers_are_refused(text):
    """A number that no float holds is refused like any other nonsense."""
    with pytest.raises(BadText, match="cannot read thread"):
        thread(text)


def test_the_class_is_no_part_of_a_threads_identity():
    """Screw and nut written with their classes are one thread, and hash alike."""
    screw, nut = thread("M10x0.75-6g"), thread("M10x0.75-6H")
    assert screw == nut
    assert hash(screw) == hash(nut)
    assert screw != thread("M10x0.75 LH")


def test_lead_is_starts_times_pitch():
    """Three starts of 1 mm advance 3 mm a turn, and the depth stays that of the pitch."""
    triple, single = thread("M12xPh3P1"), thread("M12x1")
    assert triple.lead == 3
    assert (triple.pitch_d, triple.root_d) == (single.pitch_d, single.root_d)


def test_forms_of_sixty_degrees_have_the_basic_diameters():
    """Below the major diameter are pitch by 3H/4, minor by 5H/4, ISO root by 17H/12, Unified root by 3H/2."""
    for text, root in (("M10x1", 17 / 12), ("1/2-20", 3 / 2)):
        t = thread(text)
        h = math.sqrt(3) / 2 * t.pitch
        expected = (t.major_d - 3 / 4 * h, t.major_d - 5 / 4 * h, t.major_d - root * h)
        assert (t.pitch_d, t.minor_d, t.root_d) == pytest.approx(expected, rel=1e-14)


FORM_DIGITS = 1e-6  # of the pitch: radii are given to six or seven places


def test_rounded_forms_have_their_depth():
    """Whitworth is 0.640327 P deep and BA 0.6 P, crest and root alike."""
    for form, depth in ((WHITWORTH, 0.640327), (BA, 0.6)):
        reach = form.external_crest.reach(form.angle)
        assert 2 * reach == pytest.approx(depth, abs=2 * FORM_DIGITS)
        assert form.external_root == form.internal_crest == form.internal_root == form.external_crest


def test_crests_and_roots_stay_inside_the_sharp_v():
    """No end of a form reaches the apex, and a screw's crest never passes the nut's root."""
    for form in FORMS:
        ends = (form.external_crest, form.external_root, form.internal_crest, form.internal_root)
        assert all(0 < end.reach(form.angle) < form.sharp_height / 2 for end in ends)
        assert form.external_crest.reach(form.angle) <= form.internal_root.reach(form.angle)
        assert form.internal_crest.reach(form.angle) <= form.external_root.reach(form.angle)


def test_a_truncation_is_flat_or_round():
    """Both or neither is refused."""
    for wrong in ({}, {"flat": 0.1, "radius": 0.1}):
        with pytest.raises(ValueError, match="a truncation is either a flat or an arc"):
            Truncation(**wrong)


def test_tables_hold_what_small_lathes_meet():
    """Every series is there, each thread once, and each is read back from its own designation."""
    table = standard_threads()
    assert {t.series for t in table} == {"ISO metric", "UNC", "UNF", "UNEF", "BA", "ME", "Brass"}
    assert {t.form for t in table} == {ISO_METRIC, UNIFIED, WHITWORTH, BA}
    for t in table:
        assert thread(t.designation) == t
