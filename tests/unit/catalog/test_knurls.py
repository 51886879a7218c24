"""Pitches of knurls against the wheels of the trade."""

from __future__ import annotations

import pytest

from turnmodel.catalog.knurls import COARSEST, FINEST, PITCHES, nearest_pitch


@pytest.mark.parametrize("teeth", [80, 33, 21, 14])
def test_the_wheels_of_the_trade_are_within_the_limits(teeth: int) -> None:
    """Wheels with 33, 21 and 14 teeth an inch are the fine, medium and coarse ones (common practice)."""
    assert FINEST <= 25.4 / teeth <= COARSEST


def test_a_usual_pitch_is_nearest_to_itself() -> None:
    """And each lies within the limits."""
    assert all(nearest_pitch(pitch) == pitch and FINEST < pitch < COARSEST for pitch in PITCHES)
