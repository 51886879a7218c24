"""BA and Model Engineer threads against published figures.

Sources: encyclopaedia article on British Association threads (BS 93: p = 0.9^N, D = 6 p^1.2, 47.5 degrees,
depth 0.6 p); BA tables, for threads per inch; a model-engineering society's table, for pitches and
diameters; model-engineer thread notes (Whitworth form, core D - 1.280654/n).
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.threads import thread
from turnmodel.units import inch

BA = {
    # number: pitch, major, effective, minor
    0: (1.00, 6.0, 5.400, 4.800),
    1: (0.90, 5.3, 4.760, 4.220),
    2: (0.81, 4.7, 4.214, 3.728),
    3: (0.73, 4.1, 3.662, 3.224),
    4: (0.66, 3.6, 3.204, 2.808),
    5: (0.59, 3.2, 2.846, 2.492),
    6: (0.53, 2.8, 2.482, 2.164),
    7: (0.48, 2.5, 2.212, 1.924),
    8: (0.43, 2.2, 1.942, 1.684),
    10: (0.35, 1.7, 1.490, 1.280),
}
FORM_ROUNDING = 2e-6  # mm: radius and shortening of the form are printed to seven places


@pytest.mark.parametrize("number", BA)
def test_ba_diameters_are_the_published_ones(number):
    """Effective and minor diameters follow from the form's angle and radius."""
    t = thread(f"{number}BA")
    found = (t.pitch, t.major_d, t.pitch_d, t.minor_d)
    assert found == pytest.approx(BA[number], abs=FORM_ROUNDING)


@pytest.mark.parametrize("number", BA)
def test_ba_sizes_follow_the_series(number):
    """Pitch is 0.9^N rounded to two figures, diameter 6 p^1.2, not 6 p, rounded to two figures."""
    t = thread(f"{number}BA")
    assert t.pitch == float(f"{0.9**number:.2g}")
    assert t.major_d == pytest.approx(6 * t.pitch**1.2, abs=0.05 + 1e-9)


TPI = {0: 25.38, 2: 31.35, 4: 38.46, 6: 47.85}
PITCH_DIGIT = 0.005  # the list divides pitches rounded in inches: one part in two hundred


@pytest.mark.parametrize("number", TPI)
def test_ba_threads_per_inch_are_the_published_ones(number):
    """Threads per inch agree with a published list."""
    assert inch / thread(f"{number}BA").pitch == pytest.approx(TPI[number], rel=PITCH_DIGIT)


CORE = {
    "5/32-40": 0.1242,
    "3/16-40": 0.1555,
    "7/32-40": 0.1867,
    "1/4-40": 0.2180,
    "1/4-32": 0.2100,
    "5/16-32": 0.2725,
    "3/8-40": 0.3430,
    "3/8-32": 0.3350,
    "7/16-32": 0.3975,
    "1/2-32": 0.4600,
}
HALF_A_DIGIT = 0.5e-4 + 1e-6  # in, and the rounding of 1.280654


@pytest.mark.parametrize("size", CORE)
def test_model_engineer_core_is_the_published_one(size):
    """The core of a Whitworth form of 32 or 40 threads per inch."""
    assert thread(f"ME {size}").root_d / inch == pytest.approx(CORE[size], abs=HALF_A_DIGIT)
