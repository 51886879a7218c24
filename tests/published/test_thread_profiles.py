"""Heights, flats and radii of thread profiles.

Sources: ISO 68-1:1998 and ASME B1.1 (60 degree form: H, 5H/8, the flats P/8 and P/4; from memory), ISO 898-1
(d3 = d - 1.226869 P; from memory), BS 93 (BA: 47.5 degrees, depth 0.6 p, radius 0.1808346 p, shortening
0.2681683 p; read in a public thread page), and a model engineers' thread note (Whitworth: H 0.960491 p, depth
0.640327 p, radius 0.137329 p; read). Values agree to half a unit of their last printed digit.
"""

from __future__ import annotations

import math

import pytest

from turnmodel.catalog.threads import thread
from turnmodel.geometry.curve import Arc
from turnmodel.geometry.thread_form import form_curves, thread_form

SIX = 0.5e-6
SEVEN = 0.5e-7
PRINTED = 5e-7  # 1.5 times the 3.4e-7 p by which the printed BA radius is over the one of depth 0.6 p


def _parts(name: str, external: bool):
    """A form divided by its pitch, and its curves."""
    t = thread(name)
    form = thread_form(t, external)
    return t, form, form_curves(t, external)


def _arcs(curves, pitch):
    return [curve.radius / pitch for curve in curves if isinstance(curve, Arc)]


@pytest.mark.parametrize("name", ["M10x0.75", "M6x1", "1/4-20 UNC"])
def test_basic_sixty_degree_profile(name):
    """5H/8 is 0.541266 P; crest flats are P/8, flats of the hole's crest P/4; d2 = d - 0.649519 P."""
    t, hole, curves = _parts(name, external=False)
    widths = sorted(c.end[0] - c.start[0] for c in curves if c.start[1] == c.end[1])

    assert (hole.high - hole.low) / t.pitch == pytest.approx(0.541266, abs=SIX)
    # Half the valley at each end of the pitch, the crest of the form in the middle.
    assert [w / t.pitch for w in widths] == pytest.approx([1 / 8, 1 / 8, 1 / 8])
    assert (t.major_d - 2 * hole.middle) / t.pitch == pytest.approx(0.649519, abs=SIX)


def test_rounded_metric_root():
    """The root that is rounded by H/6 ends at d3 = d - 1.226869 P."""
    t, screw, curves = _parts("M6x1", external=True)

    assert (t.major_d - 2 * screw.low) / t.pitch == pytest.approx(1.226869, abs=SIX)
    assert _arcs(curves, t.pitch) == pytest.approx([math.sqrt(3) / 12] * 2)


@pytest.mark.parametrize("external", [True, False])
def test_ba_profile(external):
    """BA: depth 0.6 p, radius 0.1808346 p at crest and root, the V shortened by 0.2681683 p at each."""
    t, form, curves = _parts("BA 2", external)
    sharp = t.pitch / (4 * math.tan(math.radians(47.5 / 2)))

    assert (form.high - form.low) / t.pitch == pytest.approx(0.6, abs=2 * PRINTED)
    assert _arcs(curves, t.pitch) == pytest.approx([0.1808346] * 3, abs=SEVEN)
    assert (sharp - form.top.reach) / t.pitch == pytest.approx(0.2681683, abs=PRINTED)


@pytest.mark.parametrize("external", [True, False])
def test_whitworth_profile(external):
    """Whitworth: H 0.960491 p, depth 0.640327 p, radius 0.137329 p at crest and root."""
    t, form, curves = _parts("1/4x40 ME", external)

    assert 1 / (2 * math.tan(math.radians(55 / 2))) == pytest.approx(0.960491, abs=SIX)
    # The printed radius, not the exact one, makes the form: its last digit counts 2.3 times in the depth.
    assert (form.high - form.low) / t.pitch == pytest.approx(0.640327, abs=3 * SIX)
    assert _arcs(curves, t.pitch) == pytest.approx([0.137329] * 3, abs=SIX)
