"""Laws of cutting stock: every piece is cut, no bar is overdrawn, and nothing cheaper is overlooked."""

from __future__ import annotations

import math
from collections import Counter
from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from turnmodel.analysis.plan.cutting_stock import Length, sawing

BAR = 100.0
pieces = st.lists(st.integers(8, 95).map(float), min_size=1, max_size=7)


def fewest(lengths):
    """The fewest bars that give all pieces, by trying every choice."""

    @cache
    def search(left, room):
        if not left:
            return 0
        best = 1 + search(left, BAR) if room < BAR else math.inf
        for k, piece in enumerate(left):
            if piece <= room and (k == 0 or left[k - 1] != piece):
                best = min(best, search(left[:k] + left[k + 1 :], room - piece))
        return best

    return 1 + search(tuple(sorted(lengths, reverse=True)), BAR)


@given(pieces)
def test_every_piece_is_cut_once(lengths):
    """No more and no fewer than are wanted, and none of them longer than what is left of its bar."""
    found = sawing(lengths, [Length(length=BAR, count=None, cost=1.0)])
    cut = Counter()
    for way in found.cuts:
        assert sum(size * count for size, count in way.pieces) <= BAR + 1e-6
        for size, count in way.pieces:
            cut[size] += count * way.times
    assert cut == Counter(lengths)


@given(pieces)
def test_no_way_takes_fewer_bars(lengths):
    """The answer is that of a search through every choice."""
    found = sawing(lengths, [Length(length=BAR, count=None, cost=1.0)])
    assert sum(way.times for way in found.cuts) == fewest(lengths)
    assert found.proven


@given(pieces, st.integers(0, 3))
def test_no_more_bars_are_taken_than_there_are(lengths, owned):
    """What the rack does not give is bought."""
    bars = [Length(length=BAR, count=owned, cost=0.01), Length(length=BAR, count=None, cost=1.0)]
    found = sawing(lengths, bars)
    assert sum(way.times for way in found.cuts if way.bar.count is not None) <= owned
    assert sum(way.times for way in found.cuts) == fewest(lengths)
