"""What is weighed: by hand, in other materials, between its limits, and cut from its bar."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from turnmodel import Design, Part, bought, cylinder, flat, joint, shoulder, state, thread
from turnmodel.analysis.mass_range import part_range
from turnmodel.analysis.swarf import blank
from turnmodel.analysis.weighing import as_json, compared, weighed
from turnmodel.analysis.weight import part_weight, state_weight
from turnmodel.catalog.fits import general_tolerance
from turnmodel.catalog.materials import material
from turnmodel.design.loading import load
from turnmodel.errors import OptionError, UnknownName

DESIGNS = Path(__file__).parents[3] / "designs"

ROUNDING = 1e-12

BRASS = material("brass").density / 1000


def pin(length: float = 20.0, d: float = 5.0) -> Part:
    """Turn a plain brass pin."""
    return Part.turned("pin", material="brass", stock="6 mm", outside=[cylinder(d, length)])


def pair(**ink: float) -> Design:
    """Put a bought refill behind a collar."""
    collar = Part.turned(
        "collar",
        material="brass",
        stock="10 mm",
        outside=[cylinder(8, 6), shoulder("stop"), cylinder(10, 4)],
    )
    refill = bought("ink", refill="D", **ink)
    return Design(
        "pair",
        parts=[collar, refill],
        joints=[joint.seat(refill.face("front"), collar.face("back"))],
        states={"both": [], "one": state(aside=refill)},
    )


def test_the_ring_of_the_top_by_hand() -> None:
    """The spinning top's ring, recomputed by hand by Pappus.

    A tube of 30 by 12 by 9 mm: pi (15^2 - 6^2) 9 = 5343.85 mm3. Each fillet of 3 mm takes (1 - pi/4) 9 =
    1.9314 mm2, whose centroid lies 3 (10 - 3 pi) / (12 - 3 pi) = 0.6701 mm inside the corner, so on a circle
    of 14.3299 mm: 173.90 mm3, twice 347.80. Each chamfer of the hole takes 0.3^2 / 2 = 0.045 mm2 on a circle
    of 6.1 mm: 1.725 mm3, twice 3.449. Left are 4992.60 mm3; at 8.47 g/cm3, 42.287 g, balanced in its middle.
    """
    design, _ = load(DESIGNS / "spinning_top.py")
    ring = part_weight(design.part("ring"))

    assert ring.volume == pytest.approx(4992.60, abs=0.02)
    assert ring.mass == pytest.approx(42.287, abs=5e-4)
    assert ring.balance == pytest.approx(4.5, abs=1e-9)


def test_inertia_of_a_pin_is_that_of_a_cylinder() -> None:
    """A cylinder resists by m (3 r^2 + l^2) / 12 across and m r^2 / 2 along (statics textbooks)."""
    found = part_weight(pin())
    mass = BRASS * math.pi * 2.5**2 * 20

    assert found.mass == pytest.approx(mass, rel=ROUNDING)
    assert found.inertia[0][0] == pytest.approx(mass * (3 * 2.5**2 + 20**2) / 12, rel=ROUNDING)
    assert found.inertia[2][2] == pytest.approx(mass * 2.5**2 / 2, rel=ROUNDING)


def test_a_state_is_the_sum_of_its_parts() -> None:
    """Balance by moments about the front; inertia by Steiner's theorem; share from the front end."""
    design = pair(mass=2.0)
    whole, collar = state_weight(design, "both"), part_weight(design.part("collar"))
    ink = part_weight(design.part("ink"))
    z = 10 + ink.balance

    mass = collar.mass + 2.0
    balance = (collar.mass * collar.balance + 2.0 * z) / mass
    assert whole.balance == pytest.approx(balance, rel=ROUNDING)
    apart = collar.mass * 2.0 / mass * (z - collar.balance) ** 2
    assert whole.swing == pytest.approx(collar.inertia[0][0] + ink.inertia[0][0] + apart, rel=1e-9)
    assert whole.spin == pytest.approx(collar.inertia[2][2] + ink.inertia[2][2], rel=ROUNDING)
    assert whole.share == pytest.approx(100 * balance / whole.length, rel=ROUNDING)
    assert state_weight(design, "one").mass == pytest.approx(collar.mass, rel=ROUNDING)


def test_a_clip_pulls_the_balance_off_the_axis() -> None:
    """What stands off the axis moves the centre of mass off it; what is round does not."""
    design, _ = load(DESIGNS / "pocket_pen.py")
    closed, opened = state_weight(design, "closed"), state_weight(design, "open")

    assert closed.off_axis > 0.05
    assert opened.off_axis == pytest.approx(0, abs=1e-9)


def test_a_strip_balances_along_itself() -> None:
    """A strip's balance is told from its start."""
    plate = Part.strip("plate", material="1095", thickness=0.5, widths=[(0, 5), (12, 5)])

    assert part_weight(plate).balance == pytest.approx(6.0, rel=ROUNDING)


def test_limits_of_a_pin() -> None:
    """A pin at its limits: each size by ISO 2768-1 m, the changes added; a bar's own size grows no more."""
    mass = part_weight(pin()).mass
    d_tol, l_tol = general_tolerance(5.0), general_tolerance(20.0)
    more = mass * ((5 + d_tol) ** 2 / 25 - 1) + mass * l_tol / 20
    less = mass * ((5 - d_tol) ** 2 / 25 - 1) - mass * l_tol / 20

    assert part_range(pin()) == pytest.approx((mass + less, mass + more), rel=ROUNDING)
    assert part_range(pin(d=6.0)).high == pytest.approx(part_weight(pin(d=6.0)).mass * (1 + l_tol / 20))


def test_a_refill_nobody_weighed_is_an_estimate() -> None:
    """Its mass lies between those of its kind; once weighed it has no range."""
    found, known = weighed(pair()), weighed(pair(mass=1.21))

    assert found.parts["ink"].weight.estimated
    assert tuple(found.parts["ink"].range) == pytest.approx((1.0, 1.3))
    assert not known.parts["ink"].weight.estimated
    assert tuple(known.parts["ink"].range) == (1.21, 1.21)
    assert found.states["both"].range.low == pytest.approx(found.parts["collar"].range.low + 1.0)


def test_swarf_is_what_is_left_of_the_bar() -> None:
    """A pin of 5 mm leaves 25/36 of its bar of 6 mm; a bought part has no bar."""
    found = blank(pin())

    assert found is not None
    assert found.mass == pytest.approx(BRASS * math.pi * 9 * 20, rel=ROUNDING)
    assert found.swarf == pytest.approx(100 * (1 - 25 / 36), rel=ROUNDING)
    assert blank(pair().part("ink")) is None


def test_another_material_scales_by_its_density() -> None:
    """Only the part named changes; side by side, every turned part does but those kept."""
    design = pair(mass=2.0)
    ratio = material("titanium").density / material("brass").density
    own, other = weighed(design), weighed(design, {"collar": "titanium"})

    assert other.parts["collar"].weight.mass == pytest.approx(own.parts["collar"].weight.mass * ratio)
    assert other.parts["collar"].range.low == pytest.approx(own.parts["collar"].range.low * ratio)
    assert other.parts["ink"].weight.mass == 2.0
    beside = compared(design, ["brass", "titanium"])
    assert list(beside) == ["CW614N", "titanium grade 2"]
    assert beside["CW614N"]["both"].mass == pytest.approx(own.states["both"].weight.mass)
    kept = compared(design, ["titanium"], {"collar": "brass"})
    assert kept["titanium grade 2"]["both"].mass == pytest.approx(own.states["both"].weight.mass)


@pytest.mark.parametrize(
    ("materials", "error", "says"),
    [
        (
            {"colar": "brass"},
            OptionError,
            "--material colar=brass: no part named 'colar'; did you mean 'collar'?",
        ),
        (
            {"ink": "brass"},
            OptionError,
            "--material ink=brass: 'ink' is bought and stays as it is; there is collar",
        ),
        ({"collar": "bras"}, UnknownName, "no material named 'bras'; did you mean 'brass'?"),
    ],
)
def test_a_wrong_material_is_refused(materials: dict[str, str], error: type[Exception], says: str) -> None:
    """A part or a material there is not is answered with the nearest."""
    with pytest.raises(error) as refused:
        weighed(pair(), materials)

    assert str(refused.value) == says


def test_a_cut_through_a_thread_is_weighed_by_its_mesh() -> None:
    """It has no closed form, and its mass lies between the plain screw's and that without the thread."""
    screw = Part.turned(
        "screw", material="brass", stock="8 mm", outside=[thread("M8", 12)], across=[flat(2, 4, across=7)]
    )
    found = part_weight(screw)

    assert found.exact is None
    assert math.pi * 3**2 * 12 < found.volume < math.pi * 4**2 * 12


def test_shares_add_up() -> None:
    """The parts' shares of a state's mass are the whole of it, in JSON as well."""
    laid_out = as_json(weighed(pair()))

    assert sum(laid_out["states"]["both"]["shares_percent"].values()) == pytest.approx(100, rel=ROUNDING)
    assert laid_out["parts"]["ink"]["blank_g"] is None
