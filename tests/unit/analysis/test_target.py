"""Targets that have a known answer, that have none, and that cannot be read."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest

from turnmodel.analysis.goals import CLOSE, bounds, targets
from turnmodel.analysis.target import aim
from turnmodel.analysis.variants import axes
from turnmodel.catalog.materials import material
from turnmodel.design.loading import Script, design_of, read_script
from turnmodel.errors import OptionError

if TYPE_CHECKING:
    from pathlib import Path

    from turnmodel.analysis.target import Aim

PIN = """\
from turnmodel import Design, Part, bore, cylinder


def design(length: float = 20.0, d: float = 8.0, deep: float = 5.0, count: int = 1) -> Design:
    pin = Part.turned(
        "pin", material="brass", stock="20 mm", outside=[cylinder(d, length)], from_back=[bore(4, depth=deep)]
    )
    return Design("pin", parts=[pin])
"""

FORM = "must be FIGURE=N, FIGURE<N or FIGURE>N, such as states.open.balance_mm=52"

BRASS = material("brass").density / 1000


@pytest.fixture
def pin(tmp_path: Path) -> Script:
    """A bored pin: V = pi/4 (d^2 l - 16 h), balanced at (d^2 l^2 / 2 - 16 h (l - h/2)) / (d^2 l - 16 h)."""
    path = tmp_path / "pin.py"
    path.write_text(PIN, encoding="utf-8")
    return read_script(path)


def sought(script: Script, over: list[str], *wanted: str) -> Aim:
    """Aim at targets."""
    design, _ = design_of(script)
    return aim(script, bounds(axes(over, script.parameters)), targets(wanted, design))


def test_one_parameter_and_one_figure(pin: Script) -> None:
    """The length that gives 10 g: l = (m / rho / (pi/4) + 16 h) / d^2."""
    found = sought(pin, ["length=10:40"], "parts.pin.mass_g=10")

    expected = (10 / BRASS / (math.pi / 4) + 16 * 5) / 64
    assert found.met
    assert found.settings["length"] == pytest.approx(expected, abs=CLOSE)
    assert found.figures["parts.pin.mass_g"] == pytest.approx(10, abs=CLOSE)
    assert found.stops == ()


def test_two_parameters_and_two_figures(pin: Script) -> None:
    """Mass and balance at once give back the length and depth that they were computed from."""
    d, length, deep = 8.0, 27.31, 11.17
    volume = d**2 * length - 16 * deep
    mass = BRASS * math.pi / 4 * volume
    balance = (d**2 * length**2 / 2 - 16 * deep * (length - deep / 2)) / volume
    found = sought(
        pin,
        ["length=15:40", "deep=1:14"],
        f"parts.pin.mass_g={mass!r}",
        f"states.whole.balance_mm={balance!r}",
    )

    assert found.met
    assert found.settings["length"] == pytest.approx(length, abs=CLOSE)
    assert found.settings["deep"] == pytest.approx(deep, abs=1e-5)


def test_the_least_change_is_taken_where_there_is_a_choice(pin: Script) -> None:
    """A limit that the script meets already changes nothing; one it just fails is met at its edge."""
    kept = sought(pin, ["length=10:40", "d=6:12"], "parts.pin.mass_g<50")
    lighter = sought(pin, ["length=10:40"], "parts.pin.mass_g<5")

    assert kept.settings == {"length": 20.0, "d": 8.0}
    assert lighter.met
    assert lighter.settings["length"] == pytest.approx((5 / BRASS / (math.pi / 4) + 80) / 64, abs=1e-5)
    assert lighter.figures["parts.pin.mass_g"] <= 5  # type: ignore[operator]


def test_both_roots_are_looked_at(pin: Script) -> None:
    """Over the depth of the bore the balance falls and rises again; the root nearer to the script counts."""
    design = dict(pin.parameters)
    length, d2 = design["length"], design["d"] ** 2

    def balance(deep: float) -> float:
        volume = d2 * length - 16 * deep
        return float((d2 * length**2 / 2 - 16 * deep * (length - deep / 2)) / volume)

    found = sought(pin, ["deep=1:19"], f"states.whole.balance_mm={balance(3.0)!r}")

    assert found.settings["deep"] == pytest.approx(3.0, abs=CLOSE)


def test_an_impossible_target_is_refused_with_its_reason(pin: Script) -> None:
    """What lies outside the bounds gives the nearest miss, the reach, and the bound that stops it."""
    found = sought(pin, ["length=10:40"], "parts.pin.mass_g=100")

    assert not found.met
    assert found.settings["length"] == 40.0
    assert found.stops == ("length stands at its upper bound, 40",)
    low, high = found.reach["parts.pin.mass_g"]
    assert low < high < 100


def test_what_cannot_be_built_is_told(pin: Script) -> None:
    """Bounds in which a bore is deeper than the part: the reason is the design's own, and told once."""
    found = sought(pin, ["deep=21:30"], "parts.pin.mass_g=100")

    assert not found.met
    (stop,) = (stop for stop in found.stops if "cannot be built" in stop)
    assert "is deeper than the part, which is 20 mm long" in stop


def test_a_count_of_faults_is_a_target(pin: Script) -> None:
    """No fault: the solution is held to the rules, and where one stands in the way it is named."""
    sound = sought(pin, ["length=10:40"], "parts.pin.mass_g=10", "faults=0")
    thin = sought(pin, ["d=4.1:4.2"], "parts.pin.mass_g<20", "faults=0")

    assert sound.met
    assert sound.figures["faults"] == 0
    assert not thin.met
    assert any(stop.startswith("fault, ") for stop in thin.stops)


@pytest.mark.parametrize(
    ("over", "wanted", "says"),
    [
        (
            ["length=10:40"],
            "parts.pin.mass_g",
            "--target parts.pin.mass_g: " + FORM,
        ),
        (
            ["length=10:40"],
            "parts.pin.mass_g=much",
            "--target parts.pin.mass_g=much: " + FORM,
        ),
        (
            ["length=10:40"],
            "parts.pun.mass_g=1",
            "--target parts.pun.mass_g: pin has no such figure; did you mean 'parts.pin.mass_g'?",
        ),
        ([], "faults=0", "--target: say what may be moved and between which bounds, as --over cap_d=9:12"),
        (["length=1,2"], "faults=0", "--over length: a target needs bounds, as --over length=FROM:TO"),
        (
            ["count=1:3"],
            "faults=0",
            "--over count: is a whole number; vary it without --target and look",
        ),
    ],
)
def test_a_wrong_target_is_refused(pin: Script, over: list[str], wanted: str, says: str) -> None:
    """One clear error each."""
    with pytest.raises(OptionError) as refused:
        sought(pin, over, wanted)

    assert str(refused.value) == says
