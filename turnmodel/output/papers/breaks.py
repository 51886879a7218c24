"""Lengths that are left out of a slender part's drawing, where nothing changes along them."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

from turnmodel.geometry.curve import Curve, Line
from turnmodel.output.papers.view import Window

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.output.papers.shape import Shown

__all__ = ["GAP_MM", "Stretch", "broken", "placed"]

Stretch = tuple[float, float]
"""First and last station of a stretch, [mm]."""

GAP_MM: Final = 6.0
"""Room [mm] on the paper for a length that is left out; house choice."""
_STUB_MM: Final = 15.0
"""Length [mm] on the paper that is left on either side of a break; house choice."""


def broken(
    shape: Shown, threads: Iterable[ThreadSpan], scale: float, most: float
) -> tuple[Stretch, ...] | None:
    """Leave lengths out until a part fits.

    Parameters
    ----------
    shape : Shown
        The part
    threads : iterable of ThreadSpan
        Its threads, which are not broken
    scale : float
        Scale of the drawing, [-]
    most : float
        Room on the paper, [mm]

    Returns
    -------
    tuple of (float, float) or None
        The stretches that are drawn; None where too little can be left out
    """
    z0, _, z1, _ = shape.metal.bounds
    spans = [(t.start, t.end) for t in threads]
    over = scale * (z1 - z0) - most
    left_out: list[Stretch] = []
    for a, b in sorted(_level(shape.contour, z0, z1), key=lambda s: s[0] - s[1]):
        if over <= 0:
            break
        if any(a < end and start < b for start, end in spans):
            continue
        spare = scale * (b - a) - 2 * _STUB_MM - GAP_MM
        if spare > 0:
            left_out.append((a + _STUB_MM / scale, b - _STUB_MM / scale))
            over -= spare
    if over > 0:
        return None
    marks = [z0, *(z for stretch in sorted(left_out) for z in stretch), z1]
    return tuple(zip(marks[::2], marks[1::2], strict=True))


def _level(contour: Sequence[Curve], z0: float, z1: float) -> list[Stretch]:
    """List the stretches over which every line of the outline is level."""
    marks = sorted({z0, z1, *(p[0] for c in contour for p in (c.start, c.end))})
    slanted = [
        (min(c.start[0], c.end[0]), max(c.start[0], c.end[0]))
        for c in contour
        if not (isinstance(c, Line) and abs(c.start[1] - c.end[1]) < 1e-9)
    ]
    return [
        (a, b)
        for a, b in pairwise(marks)
        if b - a > 1e-9 and not any(low < b - 1e-9 and a + 1e-9 < high for low, high in slanted)
    ]


def placed(stretches: Sequence[Stretch], scale: float, left: float) -> tuple[Window, ...]:
    """Lay stretches side by side on the paper at a scale [-], from a left end [mm], gaps between them."""
    found, x = [], left
    for a, b in stretches:
        found.append(Window(z0=a, z1=b, x0=x))
        x += scale * (b - a) + GAP_MM
    return tuple(found)
