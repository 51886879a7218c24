"""Thread reliefs against DIN 76-1.

Sources: a DIN 76 page, for the diameters, agreeing with memory; widths and radii from memory.
"""

from __future__ import annotations

import pytest

from turnmodel.catalog.tapping import relief
from turnmodel.catalog.threads import thread

RELIEFS = {
    # pitch: major less relief diameter, least floor and greatest width, regular then short
    0.5: (0.8, 1.1, 1.75, 0.5, 1.25),
    0.6: (1.0, 1.2, 2.1, 0.6, 1.5),
    0.7: (1.1, 1.5, 2.45, 0.8, 1.75),
    0.75: (1.2, 1.6, 2.6, 0.9, 1.9),
    0.8: (1.3, 1.7, 2.8, 0.9, 2.0),
    1.0: (1.6, 2.1, 3.5, 1.1, 2.5),
    1.25: (2.0, 2.7, 4.4, 1.5, 3.2),
    1.5: (2.3, 3.2, 5.2, 1.8, 3.8),
    1.75: (2.6, 3.9, 6.1, 2.1, 4.3),
}


@pytest.mark.parametrize("pitch", RELIEFS)
def test_reliefs_are_the_tabled_ones(pitch):
    """Diameter, floor and width of the regular and the short relief."""
    t = thread(f"M12x{pitch:g}")
    regular, short = relief(t), relief(t, short=True)
    found = (t.major_d - regular.diameter, regular.floor, regular.width, short.floor, short.width)

    assert found == pytest.approx(RELIEFS[pitch], abs=1e-9)
    assert short.diameter == regular.diameter < t.root_d


WEAK_WIDTHS = {0.5: 1.5, 0.7: 2.0, 0.8: 2.0, 1.0: 2.5, 1.25: 3.0, 1.5: 3.5}


@pytest.mark.parametrize("pitch", WEAK_WIDTHS)
def test_a_single_printed_width_lies_between_floor_and_width(pitch):
    """The page's one width lies between the floor and the whole width of the regular relief."""
    found = relief(thread(f"M12x{pitch:g}"))
    assert found.floor <= WEAK_WIDTHS[pitch] <= found.width
