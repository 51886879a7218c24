"""Every script in designs/: sound, witnessed, writable, and two of their parts worked out by hand."""

from __future__ import annotations

import functools
import json
import math
import os
from pathlib import Path

import lib3mf
import numpy as np
import pytest

from turnmodel import writing
from turnmodel.analysis.report import report
from turnmodel.analysis.weight import part_weight
from turnmodel.design.loading import load, read_script
from turnmodel.design.part import BoughtPart, TurnedPart, built
from turnmodel.errors import DesignFaults
from turnmodel.geometry.region import bounds
from turnmodel.shape.files import locale_kept
from turnmodel.shape.mesh import read_back

HERE = Path(__file__).parent
SCRIPTS = sorted((HERE.parents[1] / "designs").glob("*.py"))
STORED = HERE / "regression.json"

CLOSED_FORM = 1e-9
"""A closed form by hand and by the program differ by rounding alone, [-]."""
FLOAT32 = 2.0**-23
"""An STL holds four-byte floats; their step at a number, relative to it, [-]."""
STEP_DIGITS = 1e-9
"""STEP carries 15 digits; a volume of a hundred faces loses a thousandth of a millionth at the most, [-]."""
CROSSED = 1e-5
"""Where rounds cross, the kernel integrates within fitted curves: 4e-6 off a double integral, [-]."""
COLOUR = 1 / 255
"""3MF holds a colour in eight bits, STEP in single precision, [-]."""
KEPT = 1e-6
"""What the stored numbers are held to, [-]."""

every_script = pytest.mark.parametrize("script", SCRIPTS, ids=[path.stem for path in SCRIPTS])


@functools.cache
def loaded(script):
    """A script's design, built once."""
    return load(script)[0]


def made(design):
    """The parts that are not bought."""
    return [part for part in design.parts if not isinstance(part, BoughtPart)]


def test_there_are_designs():
    """The folder holds the demo designs."""
    assert len(SCRIPTS) >= 5


@every_script
def test_a_design_is_sound_and_its_witnesses_agree(script):
    """No fault is found, and each part's mesh agrees with its closed form within the derived bound."""
    found = report(loaded(script), {})

    assert [finding.message for finding in found.findings if finding.severity == "fault"] == []
    for part in found.parts.values():
        seen = part.witnesses
        assert seen.bound < 0.01
        if seen.exact is not None:
            assert seen.mesh == pytest.approx(seen.exact, rel=seen.bound)


@every_script
def test_a_design_can_be_varied(script):
    """Every parameter that is a number can go up and down by a twentieth and the design still builds."""
    for name, default in read_script(script).parameters.items():
        if isinstance(default, float):
            for value in (0.95 * default, 1.05 * default):
                try:
                    load(script, {name: repr(value)})
                except DesignFaults as faults:
                    pytest.fail(f"{name} = {value:g}: {faults}")


@every_script
def test_a_design_prints(script, tmp_path):
    """Each STL is closed and as long and wide as drawn, and the 3MF names the parts."""
    design = loaded(script)
    *stls, set_file = writing.write_meshes(design, tmp_path)
    parts = made(design)

    assert len(stls) == len(parts)
    for part, path in zip(parts, stls, strict=True):
        assert read_back(path).watertight
        if isinstance(part, TurnedPart):
            z0, z1, _, widest = bounds(built(part).body.plain)
            corners = _corners(path)
            step = FLOAT32 * max(z1, widest)
            assert (corners[:, 2].min(), corners[:, 2].max()) == pytest.approx((z0, z1), abs=step)
            assert np.hypot(corners[:, 0], corners[:, 1]).max() == pytest.approx(widest, abs=2 * step)
    assert _names_in_3mf(set_file) == [part.name for part in parts]


def _corners(stl):
    """The corners of a binary STL, (n, 3), read by the layout of the format."""
    facet = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    return np.frombuffer(stl.read_bytes(), facet, offset=84)["corners"].reshape(-1, 3).astype(float)


def _names_in_3mf(path):
    """The names of a 3MF's objects, by the format's own library."""
    model = lib3mf.get_wrapper().CreateModel()
    with locale_kept():
        model.QueryReader("3mf").ReadFromFile(str(path))
    objects, names = model.GetMeshObjects(), []
    while objects.MoveNext():
        names.append(objects.GetCurrentMeshObject().GetName())
    return names


@pytest.mark.slow
@every_script
def test_a_design_goes_to_cad_and_back(script, tmp_path):
    """The solids agree with the closed forms, and STEP gives back each part's volume, name and colour."""
    from turnmodel.output.pictures.pieces import part_appearance
    from turnmodel.shape.exact import part_solid
    from turnmodel.shape.step import read_step

    design = loaded(script)
    report(design, {}, solids=True)
    paths = writing.write_solids(design, tmp_path)

    for part, path in zip(design.parts, paths[: len(design.parts)], strict=True):
        (back,) = read_step(path)
        assert back.name.split(",")[0] == part.name
        assert back.rgb == pytest.approx(part_appearance(part).base, abs=COLOUR)
        limit = CROSSED if isinstance(part, TurnedPart) and part.across else STEP_DIGITS
        assert back.solid.Volume() == pytest.approx(part_solid(part).Volume(), rel=limit)
    for state, path in zip(design.poses, paths[len(design.parts) :], strict=True):
        present = [part.name for part in design.parts if part.name in design.poses[state].parts]
        assert [back.name.split(",")[0] for back in read_step(path)] == present


def test_the_ring_of_the_top_by_hand():
    r"""The ring's volume and balance follow from its drawing.

    A disc of 30 mm diameter, 9 mm thick, less its hole of 12 mm: :math:`\pi (15^2 - 6^2) 9`.
    Both outer edges rounded with 3 mm. What a radius r takes off a square corner is
    :math:`(1 - \pi/4) r^2`, its centroid :math:`r (10 - 3\pi) / (12 - 3\pi)` from either side; turned about
    the axis by Pappus' theorem, :math:`2\pi (15 - 3 (10 - 3\pi)/(12 - 3\pi)) (1 - \pi/4) 9`.
    Both edges of the hole broken by 0.3 mm: triangles of 0.045 mm2, their centroids 6.1 mm from the axis.
    All of it is alike from both sides, so the ring balances at 4.5 mm.
    """
    disc = math.pi * (15**2 - 6**2) * 9
    inset = 3 * (10 - 3 * math.pi) / (12 - 3 * math.pi)
    rounding = 2 * math.pi * (15 - inset) * (1 - math.pi / 4) * 3**2
    broken = 2 * math.pi * 6.1 * 0.3**2 / 2
    by_hand = disc - 2 * rounding - 2 * broken

    weight = part_weight(_part("spinning_top", "ring"))

    assert weight.volume == pytest.approx(by_hand, rel=CLOSED_FORM)
    assert weight.balance == pytest.approx(4.5, rel=CLOSED_FORM)
    assert weight.mass == pytest.approx(by_hand * 8.47 / 1000, rel=CLOSED_FORM)  # CuZn39Pb3, 8.47 g/cm3


def test_the_foot_of_the_needle_case_by_hand():
    r"""The foot's volume follows from its drawing.

    A spigot of 7.015 mm, 6 mm long, its edge cut off over 0.5 mm of length at 15 degrees, so over
    :math:`0.5 \tan 15^\circ` of radius; a disc of 13 mm, 4 mm thick, its one edge broken by 0.2 mm, the other
    rounded with 1.5 mm. A triangle of legs a along and b across is :math:`a b / 2`, its centroid b/3 in from
    the rim; the rounding is as in the ring of the top.
    """
    a, b = 0.5, 0.5 * math.tan(math.radians(15))
    spigot = math.pi * 3.5075**2 * 6 - 2 * math.pi * (3.5075 - b / 3) * a * b / 2
    inset = 1.5 * (10 - 3 * math.pi) / (12 - 3 * math.pi)
    rounding = 2 * math.pi * (6.5 - inset) * (1 - math.pi / 4) * 1.5**2
    disc = math.pi * 6.5**2 * 4 - 2 * math.pi * (6.5 - 0.2 / 3) * 0.2**2 / 2 - rounding

    assert part_weight(_part("needle_case", "foot")).volume == pytest.approx(spigot + disc, rel=CLOSED_FORM)


def _part(script, name):
    return loaded(next(path for path in SCRIPTS if path.stem == script)).part(name)


def _numbers(script):
    """What is kept of a design: the mass of its parts; mass, balance and length of its states."""
    found = report(loaded(script), {})
    return {
        "parts": {name: part.weight.mass for name, part in found.parts.items()},
        "states": {
            name: {"mass": s.weight.mass, "balance": s.weight.balance, "length": s.weight.length}
            for name, s in found.states.items()
        },
    }


@every_script
def test_regression_of_the_numbers_of_a_design(script):
    """The numbers are those in regression.json; RENEW_REGRESSION=1 stores them anew, to be read as a diff."""
    stored = json.loads(STORED.read_text(encoding="utf-8")) if STORED.exists() else {}
    now = _numbers(script)
    if os.environ.get("RENEW_REGRESSION"):
        stored[script.stem] = now
        kept = {name: stored[name] for name in sorted(stored) if name in {path.stem for path in SCRIPTS}}
        STORED.write_text(json.dumps(kept, indent=2) + "\n", encoding="utf-8")

    was = stored.get(script.stem, {})

    assert now["parts"] == pytest.approx(was.get("parts"), rel=KEPT)
    assert list(now["states"]) == list(was["states"])
    for name, figures in now["states"].items():
        assert figures == pytest.approx(was["states"][name], rel=KEPT)
