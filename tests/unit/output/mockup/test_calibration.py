"""The gauge: its pieces, its sheet, and the fit of what was measured."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from turnmodel.catalog.printer import printer
from turnmodel.catalog.threads import thread
from turnmodel.catalog.tools import example_tools, read_tools
from turnmodel.errors import BadValue, ToolFaults
from turnmodel.output.mockup.calibration import calibrated, record
from turnmodel.output.mockup.gauge import HOLES, LENGTHS, PEGS, ROOMS, SCREW, gauge, sheet
from turnmodel.output.mockup.measures import measured
from turnmodel.shape.measures import mesh_volume, open_edges, section

TRUE = {"hole": 0.24, "cross_hole": 0.33, "shaft": 0.08, "depth": 0.11, "foot": 0.19}
"""A printer's faults [mm], as tests invent them."""


def filled(noise=0.0, seed=0, scale=0.0, process="filament", **faults):
    """Fill in a sheet as somebody does who measures a printer with these faults, with noise [mm]."""
    true, random = {**TRUE, **faults}, np.random.default_rng(seed)
    off = {
        "holes": -true["hole"], "cross_holes": -true["cross_hole"], "pegs": true["shaft"],
        "lengths": true["depth"], "foot": true["shaft"] + 2 * true["foot"],
    }  # fmt: skip
    lines, part = [], ""
    for line in sheet(printer(process)).splitlines():
        if line.startswith("["):
            part = line[1 : line.index("]")]
        if line.startswith('"'):
            size = float(line.split('"')[1])
            along = 0.0 if part == "lengths" else scale * (size - 6.0)
            line += f"{size + off[part] + along + random.normal(0, noise):.3f}"
        lines.append({"first = ": "first = 3", "last = ": "last = 4"}.get(line, line))
    return "\n".join(lines) + "\n"


@pytest.fixture
def fit(tmp_path):
    """Fit a sheet by its text."""

    def fitted(text):
        path = tmp_path / "gauge.toml"
        path.write_text(text, encoding="utf-8")
        return calibrated(measured(path))

    return fitted


@pytest.fixture
def refused(tmp_path):
    """Give what is said of a sheet that is refused, without its folder."""

    def said(text):
        path = tmp_path / "gauge.toml"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(ToolFaults) as caught:
            measured(path)
        return str(caught.value).replace(f"{tmp_path}/", "").splitlines()

    return said


@pytest.mark.parametrize("process", ["filament", "resin"])
def test_the_gauge_is_closed_and_its_holes_and_steps_are_of_size(process):
    """Each piece is a closed mesh, apart from the next; the peg's steps and volume are those of its sizes."""
    pieces = {piece.name: piece.mesh for piece in gauge(printer(process))}

    assert list(pieces) == ["plate", "peg", "screw"]
    assert all(open_edges(mesh) == 0 for mesh in pieces.values())
    boxes = [(m.vertices.min(axis=0), m.vertices.max(axis=0)) for m in pieces.values()]
    assert all(low.min() >= 0 for low, _ in boxes)
    assert all(a[1][1] < b[0][1] for a, b in pairwise(boxes))
    steps = zip(PEGS, LENGTHS, (0.0, *LENGTHS), strict=False)
    exact = sum(math.pi / 4 * d**2 * (z - before) for d, z, before in steps)
    assert mesh_volume(pieces["peg"]) == pytest.approx(exact, rel=(2 * math.pi / 32) ** 2 / 6)
    peg = pieces["peg"]
    for d, z in zip(PEGS, LENGTHS, strict=True):
        cut = section(peg, (0, 0, LENGTHS[-1] - z + 1.0), (0, 0, 1))
        assert np.ptp(cut[..., 0]) == pytest.approx(d, abs=0.01)


def test_the_tapped_holes_have_their_rooms_and_are_counted_by_notches():
    """Half way up the plate each hole is within its thread's depth of its room; notches behind count it."""
    plate = gauge(printer("filament"))[0].mesh
    lines = section(plate, (0, 0, 4.0), (0, 0, 1))
    rear = plate.vertices[:, 1].max()
    size = thread(SCREW["filament"])

    middle = lines.mean(axis=1)
    upright = np.abs(lines[:, 0, 0] - lines[:, 1, 0]) < 1e-9
    sides = np.unique(middle[upright & (lines[..., 1].min(axis=1) > rear - 1.3)][:, 0].round(6))
    pitch = size.major_d + ROOMS[-1] + 3.0
    first = plate.vertices[:, 0].min() + 3.0 + pitch / 2
    for k, room in enumerate(ROOMS):
        x = first + k * pitch
        assert (np.abs(sides - x) < pitch / 2).sum() == 2 * (k + 1)
        hole = lines[
            (np.abs(middle[:, 0] - x) < pitch / 2 - 1)
            & (middle[:, 1] > rear - 16)
            & (middle[:, 1] < rear - 2)
        ]
        assert np.ptp(hole[..., 0]) == pytest.approx(size.pitch_d + room, abs=0.9 * size.pitch)


def test_the_sheet_has_a_line_for_every_measure():
    """Every size of the gauge is asked for, and nothing is filled in."""
    text = sheet(printer("resin"))

    assert 'process = "resin"' in text
    for size in (*HOLES, *PEGS, *LENGTHS):
        assert f'"{size:g}" = \n' in text


def test_exact_measures_give_the_exact_figures(fit):
    """Without noise each figure is found to the rounding of the sheet."""
    found = {e.name: e.value for e in fit(filled()).estimates}

    assert found == {name: pytest.approx(value, abs=6e-4) for name, value in TRUE.items()} | {
        "thread": pytest.approx((ROOMS[2] + ROOMS[3]) / 2)
    }


@pytest.mark.parametrize("noise", [0.02, 0.04])
def test_noisy_measures_give_the_figures_within_their_stated_uncertainty(fit, noise):
    """Over 60 sheets errors are as large as stated: three in five within one, none beyond four; no bias."""
    sheets = [fit(filled(noise, seed)).estimates for seed in range(60)]
    share = np.array([(e.value - TRUE[e.name]) / e.error for s in sheets for e in s if e.name in TRUE])

    # 300 draws of a t distribution of 10 degrees of freedom: standard deviation 1.12, its error 4 %
    assert 0.9 < share.std() < 1.35
    assert abs(share.mean()) < 4 / math.sqrt(len(share))
    assert np.abs(share).max() < 6
    assert 0.55 < (np.abs(share) < 1).mean() < 0.8


def test_a_size_that_is_off_is_told_apart_from_an_allowance(fit):
    """Everything 1 % larger: the scale is found, and the allowances at 6 mm are what they were."""
    found = fit(filled(noise=0.01, scale=0.01))

    assert found.scaled
    assert found.scale == pytest.approx(0.01, abs=4 * found.scale_error)
    assert found.figures["hole"] == pytest.approx(TRUE["hole"], abs=0.02)
    assert not fit(filled(noise=0.01)).scaled


def test_what_was_not_measured_is_left_out(fit):
    """A line left empty is no measure; without lengths, foot and thread the record says nothing of them."""
    text = filled()
    empty = "\n".join(
        line.split("=")[0] + "= " if line.startswith(("first", "last", '"12"', '"16"', '"20"')) else line
        for line in text.splitlines()
    )

    assert [e.name for e in fit(empty.replace('"4" = 4.110', '"4" = ')).estimates] == [
        "hole",
        "cross_hole",
        "shaft",
    ]


def test_every_nonsense_of_a_sheet_is_refused_at_once(refused):
    """A wrong section, a misread figure and a hole that is not there are told together, each by its line."""
    text = filled().replace("[lengths]", "[length]", 1).replace('"5" = 4.760', '"5" = 47.60')
    text = text.replace("first = 3", "first = 9").replace('"8" = 8.080', '"8" = "eight"')

    misread = (
        "gauge.toml:9: holes: 5: 47.6 mm is 42.60 mm off, which no printer is: another place, or misread"
    )
    assert refused(text) == [
        "gauge.toml:25: length: is not on the sheet; did you mean 'lengths'?",
        f"{misread}; measure it again",
        "gauge.toml:21: pegs: 8: 'eight' is no number of millimetres",
        "gauge.toml:36: thread: first: 9 is no tapped hole; they are 1 to 6, by their notches",
    ]


def test_too_few_measures_are_refused(refused):
    """Two holes tell nothing of an allowance."""
    lines = filled().splitlines()
    kept = [line for k, line in enumerate(lines) if not 8 <= k <= 11]

    assert refused("\n".join(kept)) == [
        "gauge.toml:6: holes: 2 of them tell nothing; 3 are the fewest; measure more sizes"
    ]


def test_a_sheet_that_is_no_toml_says_where(refused):
    """A figure with a comma is told with its line."""
    (said,) = refused(filled().replace('"5" = 4.760', '"5" = 4,76'))

    assert said.startswith("gauge.toml:9: this is no TOML")


def test_a_missing_sheet_is_told(tmp_path):
    """The file is named."""
    with pytest.raises(ToolFaults, match=r"nowhere\.toml: cannot be read: No such file"):
        measured(tmp_path / "nowhere.toml")


def test_measures_that_contradict_each_other_are_refused(fit):
    """A scatter of half a millimetre tells nothing, and no record is made of it."""
    with pytest.raises(BadValue, match=r"scatter of the measures 0\.\d+ mm: above 0.15 mm they tell nothing"):
        fit(filled(noise=0.4))


def test_the_record_goes_into_the_file_of_tools(fit, tmp_path):
    """The example's own lines get the new figures, their comments stay, and the file reads back."""
    found = fit(filled())
    text = record(example_tools(), found)
    path = tmp_path / "tools.toml"
    path.write_text(text, encoding="utf-8")

    assert "hole = 0.24  # upright holes come out small by this, on diameter" in text
    assert 'process = "filament"' in text
    assert text.count("hole = 0.24") == 1
    assert len(text.splitlines()) == len(example_tools().splitlines())
    made = read_tools(path).printer
    assert (made.hole, made.shaft, made.thread, made.foot) == (0.24, 0.08, 0.35, 0.19)
    assert record(text, found) == text
