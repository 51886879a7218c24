"""Laws of lengths, threads and fits that hold whatever is written."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from turnmodel.catalog.bars import bar_size
from turnmodel.catalog.drills import drill, nearest_drills
from turnmodel.catalog.fits import fit, fit_limits
from turnmodel.catalog.materials import material
from turnmodel.catalog.refills import refill
from turnmodel.catalog.tapping import percent_of_thread, relief, tap_drill
from turnmodel.catalog.thread_limits import limits
from turnmodel.catalog.threads import thread
from turnmodel.errors import TurnmodelError
from turnmodel.units import in_inches, in_mm, inch, length

HALF_A_MICROMETRE = 0.5e-3 + 1e-9  # mm: what writing to three decimals may lose
HALF_A_THOU = 0.0005 * inch + 1e-9  # mm: what writing in inches may lose

trade_letters = st.text(alphabet="0123456789 ./-#xXMPhBAUNCFELHmgiun\"'µ×,LH", max_size=20)
texts = st.one_of(st.text(max_size=20), trade_letters)


@given(texts)
def test_any_text_is_read_or_refused_with_one_error(text):
    """No text brings down a reader: it gives a value or an error of the program."""
    for read in (length, thread, drill, bar_size, material, refill, lambda t: fit_limits(t, 12.0)):
        try:
            said = read(text)
        except TurnmodelError as refusal:
            said = str(refusal)
        assert said is not None
        assert said != ""


@given(st.integers(1, 6400))
def test_fractions_of_an_inch_survive_writing_and_reading(n):
    """A length of whole 64ths is written as a fraction and read back to the bit."""
    written = length(
        f"{Fraction(n, 64)} in" if n % 64 == 0 or n < 64 else f"{n // 64} {Fraction(n % 64, 64)} in"
    )
    assert length(in_inches(written)) == written


@given(st.floats(0.01, 500))
def test_written_lengths_are_near_the_length(value):
    """Reading back what was written loses half a printed digit and no more."""
    assert abs(length(in_mm(value)) - value) <= HALF_A_MICROMETRE
    assert abs(length(in_inches(value)) - value) <= HALF_A_THOU


metric_sizes = st.tuples(st.integers(60, 6000), st.integers(20, 600)).filter(lambda n: 2 * n[1] < n[0])


@given(metric_sizes, st.integers(1, 6), st.booleans())
def test_metric_threads_nest_and_are_read_back(size, starts, left):
    """Root under minor under pitch under major diameter, and the designation names the thread."""
    d, p = (n / 100 for n in size)
    text = f"M{d:g}x{p:g}" if starts == 1 else f"M{d:g}xPh{starts * p:g}P{p:g}"
    t = thread(f"{text} LH" if left else text)

    assert t.root_d < t.minor_d < t.pitch_d < t.major_d
    assert t.starts == starts
    assert t.left is left
    assert thread(t.designation) == t


@given(st.integers(1, 63), st.integers(20, 80))
def test_unified_threads_nest_and_are_read_back(n, tpi):
    """A special or tabled inch thread nests, and its designation names it."""
    size = Fraction(n + 6, 64)
    text = f"{float(size)}-{tpi}"
    t = thread(text)

    assert t.root_d < t.minor_d < t.pitch_d < t.major_d
    assert thread(t.designation) == t


@given(metric_sizes)
def test_limits_of_any_metric_thread_let_the_screw_into_the_nut(size):
    """Tabled or computed, the usual classes pass at every diameter, and the relief clears the root."""
    d, p = (n / 100 for n in size)
    t = thread(f"M{d:g}x{p:g}")
    screw, nut = limits(t, external=True), limits(t, external=False)

    assert screw.pitch_min < screw.pitch_max <= nut.pitch_min < nut.pitch_max
    assert screw.major_min < screw.major_max <= nut.major_min
    assert relief(t).diameter < t.root_d


@given(st.floats(0.35, 12.9))
def test_nearest_drills_enclose_the_hole(diameter):
    """The drill below is not above, the drill above not below, and they are close."""
    below, above = nearest_drills(diameter)
    assert below.diameter <= diameter + 1e-6
    assert above.diameter >= diameter - 1e-6
    assert above.diameter - below.diameter <= 0.1 + 1e-9


@given(
    st.integers(20, 100),
    st.sampled_from(["3H/4", "5H/8"]),
    st.sampled_from(["M4", "M6", "M10x1", "1/4-20", "2BA"]),
)
def test_a_percentage_is_met_within_the_step_of_the_drills(percent, convention, size):
    """The drill chosen for a percentage leaves that percentage, but for half the step between drills."""
    t = thread(size)
    found = tap_drill(t, percent=percent, convention=convention)
    left = percent_of_thread(t, found.drill.diameter, convention)
    half_a_step = (
        100 * (percent_of_thread(t, t.major_d / 2) - percent_of_thread(t, t.major_d / 2 + 0.2)) / 100
    )

    assert abs(left - percent) <= 1.2 * half_a_step


@given(st.floats(0.1, 80), st.sampled_from("defgh"), st.integers(5, 11))
def test_clearance_fits_always_clear(size, letter, grade):
    """A shaft from d to h never binds in an H hole, and the deviations do not depend on the hole's grade."""
    found = fit(f"H{grade}/{letter}{grade}", size)
    assert 0 <= found.clearance_min < found.clearance_max
