"""Which values parameters are given: ranges, lists, grids, samples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnmodel.analysis.variants import Axis, axes, grid, samples
from turnmodel.errors import OptionError

PARAMETERS = {"wall": 0.9, "turns": 2, "long": False, "bar": "12 mm"}


def values(text: str) -> tuple[str, ...]:
    """Read the values of one axis."""
    return axes([text], PARAMETERS)[0].values


def test_steps_are_decimal_and_reach_the_end() -> None:
    """A step of a tenth stays one, and the end counts where a step meets it."""
    assert values("wall=0.7:1.0:0.1") == ("0.7", "0.8", "0.9", "1.0")
    assert values("wall=0:1:0.3") == ("0.0", "0.3", "0.6", "0.9")
    assert values("turns=1:5:2") == ("1", "3", "5")


def test_lists_are_kept_as_they_are_written() -> None:
    """A list may hold words, numbers, true and false."""
    assert values("bar=12 mm, 1/2 in") == ("12 mm", "1/2 in")
    assert values("long=true,false") == ("true", "false")


def test_a_grid_combines_all_the_last_fastest() -> None:
    """Every value of one with every value of the other."""
    found = grid(axes(["wall=1,2", "turns=3,4"], PARAMETERS))

    assert [(v["wall"], v["turns"]) for v in found] == [("1", "3"), ("1", "4"), ("2", "3"), ("2", "4")]


@pytest.mark.parametrize(
    ("texts", "says"),
    [
        (["wall"], "--over wall: must be NAME=FROM:TO:STEP or NAME=VALUE,VALUE, as cap_wall=0.7:1.5:0.1"),
        (["wal=1,2"], "--over wal: the script has no parameter 'wal'; did you mean 'wall'?"),
        (["wall=1,2", "wall=3,4"], "--over wall: given twice"),
        (["wall=1,,2"], "--over wall=1,,2: a value is missing"),
        (["wall=2:1:0.1"], "--over wall=2:1:0.1: runs upwards; did you mean 1:2?"),
        (["wall=1:2:0"], "--over wall=1:2:0: the step must be more than 0"),
        (["wall=1:2:-1"], "--over wall=1:2:-1: the step must be more than 0"),
        (["wall=1:2:x"], "--over wall=1:2:x: must be FROM:TO:STEP in numbers, such as 0.7:1.5:0.1"),
        (["wall=1:2:3:4"], "--over wall=1:2:3:4: must be FROM:TO:STEP in numbers, such as 0.7:1.5:0.1"),
        (["wall=nan:2:1"], "--over wall=nan:2:1: must be FROM:TO:STEP in numbers, such as 0.7:1.5:0.1"),
        (["wall=0:1:1e-9"], "--over wall=0:1:1e-9: is more than 100000 values; take a longer step"),
        (["turns=1:2:0.5"], "--over turns=1:2:0.5: turns is a whole number"),
        (["bar=1:2:1"], "--over bar=1:2:1: bar is no number; write bar=VALUE,VALUE"),
        (["long=0:1:1"], "--over long=0:1:1: long is no number; write long=VALUE,VALUE"),
    ],
)
def test_a_wrong_axis_is_refused(texts: list[str], says: str) -> None:
    """One clear error, with the nearest right thing."""
    with pytest.raises(OptionError) as refused:
        axes(texts, PARAMETERS)

    assert str(refused.value) == says


def test_a_grid_needs_steps_and_has_an_end() -> None:
    """A bare range has no grid, and nobody asks for a million variants on purpose."""
    with pytest.raises(OptionError, match="a range takes a step, or --samples N"):
        grid(axes(["wall=1:2"], PARAMETERS))
    with pytest.raises(OptionError, match="1002001 variants are more than 100000"):
        grid(axes(["wall=0:1:0.001", "turns=0:1000:1"], PARAMETERS))
    with pytest.raises(OptionError, match="--samples 0: must be 1 to 100000"):
        samples(axes(["wall=1:2"], PARAMETERS), 0)


@given(count=st.integers(1, 60), seed=st.integers(0, 99))
def test_samples_fill_each_stratum_once(count: int, seed: int) -> None:
    """A Latin hypercube has one sample in each of N equal strata of every range (McKay and others, 1979)."""
    found = samples(axes(["wall=2:5"], {**PARAMETERS}), count, seed)
    strata = sorted(int((float(v["wall"]) - 2) / 3 * count) for v in found)

    assert strata == list(range(count))
    assert found == samples(axes(["wall=2:5"], PARAMETERS), count, seed)


def test_samples_of_lists_and_whole_numbers_are_even() -> None:
    """Each word and each whole number comes equally often where their number divides that of the samples."""
    found = samples(axes(["turns=1:4", "bar=a,b"], PARAMETERS), 8)

    assert sorted(v["turns"] for v in found) == [str(k) for k in (1, 1, 2, 2, 3, 3, 4, 4)]
    assert sorted(v["bar"] for v in found) == ["a"] * 4 + ["b"] * 4
    assert isinstance(axes(["turns=1:4"], PARAMETERS)[0], Axis)
