"""Parameters as sliders and fields."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from turnmodel.watch.sliders import parameters, span


def test_each_kind_of_parameter_has_its_control() -> None:
    """Numbers have a slider, texts and truths a field; what is none of them is left to the script."""
    defaults = {"wall": 0.9, "turns": 3, "alloy": "303", "long": False, "sizes": (1, 2)}

    found = parameters(defaults, defaults | {"wall": 1.0}, {"turns": "2 + 1: is worked out"})

    assert [(p.name, p.kind, p.value, p.default, p.step) for p in found] == [
        ("wall", "number", 1.0, 0.9, 0.005),
        ("turns", "whole", 3, 3, 1),
        ("alloy", "text", "303", "303", None),
        ("long", "truth", False, False, None),
    ]
    assert [p.unwritable for p in found] == [None, "2 + 1: is worked out", None, None]


def test_a_number_that_no_hand_can_move_has_a_field_alone() -> None:
    """Numbers out of a hand's reach have no slider; one that is no number of a size is left to the script."""
    defaults = {"tiny": 5e-324, "huge": 1e308, "endless": float("inf"), "none": float("nan"), "nought": 0.0}

    found = parameters(defaults, defaults, {})

    assert [(p.name, p.step) for p in found] == [("tiny", None), ("huge", None), ("nought", 0.02)]


@given(st.floats(1e-3, 1e4) | st.floats(-1e4, -1e-3) | st.just(0.0) | st.integers(-1000, 1000))
def test_a_slider_reaches_about_half_as_much_again_either_way(default: float) -> None:
    """The default lies in the middle; a hundred steps or some more lie between the ends."""
    low, high, step = span(default)

    assert low < default < high
    assert abs((low + high) / 2 - default) <= step
    if isinstance(default, float):
        assert (
            99 <= (high - low) / step <= 252
        )  # a step is 1, 2 or 5: at most 2.5 times finer than a hundredth
