"""Pitches of knurls."""

from __future__ import annotations

from typing import Final

__all__ = ["COARSEST", "FINEST", "PITCHES", "nearest_pitch"]

PITCHES: Final = (0.5, 0.6, 0.8, 1.0, 1.2, 1.6)
"""Usual pitches [mm]: ISO 13444, nominal pitches; DIN 82 (from memory)."""

FINEST: Final = 0.3
COARSEST: Final = 2.0
"""Finest and coarsest pitch that is rolled [mm]: common practice, wheels of 80 to 13 teeth an inch."""


def nearest_pitch(pitch: float) -> float:
    """Give the usual pitch nearest to another, both [mm].

    Examples
    --------
    >>> nearest_pitch(0.9), nearest_pitch(20)
    (0.8, 1.6)
    """
    return min(PITCHES, key=lambda usual: abs(usual - pitch))
