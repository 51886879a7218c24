"""The drawing of a turned part: one view with every size, on one sheet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.weight import part_weight
from turnmodel.design.features.dimension import Kind
from turnmodel.design.part import TurnedPart, built
from turnmodel.design.turned import Turned
from turnmodel.errors import BadValue
from turnmodel.output.papers.breaks import GAP_MM, Stretch, broken, placed
from turnmodel.output.papers.callouts import DrawnSizes, drawn_sizes
from turnmodel.output.papers.clash import clashes
from turnmodel.output.papers.detail import crowded, detailed, outlined, shifted, thinned
from turnmodel.output.papers.ink import Box, Item, Sheet, moved
from turnmodel.output.papers.labels import label_band
from turnmodel.output.papers.page import room
from turnmodel.output.papers.shape import Shown, shown
from turnmodel.output.papers.stations import station_band
from turnmodel.output.papers.titles import Subject, Title, titled
from turnmodel.output.papers.view import Frame, view

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from turnmodel.output.papers.figures import Unit
    from turnmodel.output.papers.fitted import Fitted
    from turnmodel.output.papers.ink import Detail

__all__ = ["part_sheet"]

SCALES: Final = (20.0, 10.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.5, 0.2, 0.1)
"""Scales, ISO 5455:1979, with two between them that fill a sheet better, as its clause 3 allows."""
_LETTERS: Final = (3.5, 2.5)
"""Heights of figures [mm], ISO 3098-1, the larger first."""
_EDGE: Final = 4.0
"""Room [mm] between what is drawn and the frame; house choice."""
_THIN: Final = 20.0
"""Thickness on the paper [mm] under which a slender part is broken to be drawn larger; house choice."""


def part_sheet(part: TurnedPart, title: Title, number: int, fits: Sequence[Fitted] = ()) -> Sheet:
    """Draw a turned part, the sheet with a number [-], its fits told.

    Raises
    ------
    BadValue
        If the part is too large for any scale, or has more sizes than a sheet has room for
    """
    made = built(part)
    assert isinstance(made, Turned)
    sizes, shape = _with_fits(drawn_sizes(made), fits), shown(made)
    space = room(title.paper)
    # Where a part is thick and its crowded places are wide, there is no room for these beside it once more.
    ways = (
        (enlarged, *way)
        for thin in (False, True)
        for enlarged in (True, False)
        for way in _tries(made, shape, space, thin=thin)
    )
    for enlarged, windows, scale, letters in ways:
        laid = _laid(made, shape, sizes, title.unit, windows, scale, letters, space, enlarged=enlarged)
        if laid is not None and not clashes(laid[0]):
            break
    else:
        rule = "its sizes do not fit on a sheet of this paper"
        raise BadValue(f"{part.name}: length", made.length, "mm", rule, "make two parts of it")
    subject = Subject(
        name=part.name, material=part.material, stock=f"{part.stock.size} bar", grams=part_weight(part).mass
    )
    sheet = titled(laid[0], subject, title, number, scale, _notes(part, sizes))
    stretches = tuple((w.z0, w.z1, w.x0) for w in laid[1].windows)
    return replace(sheet, stretches=stretches, details=laid[2])


def _with_fits(sizes: DrawnSizes, fits: Sequence[Fitted]) -> DrawnSizes:
    """Write the limits of fits after their diameters."""
    told = {(fit.inside, round(fit.diameter, 6)): fit.words for fit in fits}
    labels = []
    for entry in sizes.labels:
        words = told.get((entry.inside, round(entry.callout.value, 6)), "")
        straight = entry.callout.kind is Kind.DIAMETER and entry.callout.over[0] != entry.callout.over[1]
        callout = replace(entry.callout, words=entry.callout.words + words) if straight else entry.callout
        labels.append(replace(entry, callout=callout))
    return replace(sizes, labels=tuple(labels))


def _tries(
    made: Turned, shape: Shown, space: Box, *, thin: bool
) -> Iterator[tuple[tuple[Stretch, ...], float, float]]:
    """Stretches drawn, scales and heights of letters, the best first: whole where that is thick enough.

    Those that leave it thin on the paper come for themselves.
    """
    z0, s0, z1, s1 = shape.metal.bounds
    for scale in SCALES:
        if (scale * (s1 - s0) < _THIN) is thin:
            yield from ((((z0, z1),), scale, letters) for letters in _LETTERS)
    for scale in () if thin else SCALES:
        windows = broken(shape, made.body.threads, scale, space.x1 - space.x0 - 4 * _EDGE)
        if windows is not None:
            yield from ((windows, scale, letters) for letters in _LETTERS)


def _laid(
    made: Turned,
    shape: Shown,
    sizes: DrawnSizes,
    unit: Unit,
    windows: tuple[Stretch, ...],
    scale: float,
    letters: float,
    space: Box,
    *,
    enlarged: bool,
) -> tuple[list[Item], Frame, tuple[Detail, ...]] | None:
    """Lay the view and its sizes out in the middle of the room, details over it; None where there is none."""
    z0, s0, _, s1 = shape.metal.bounds
    long = scale * sum(b - a for a, b in windows) + GAP_MM * (len(windows) - 1)
    if long > space.x1 - space.x0 - 4 * _EDGE or scale * (s1 - s0) > 0.6 * (space.y1 - space.y0):
        return None
    frame = Frame(scale=scale, windows=placed(windows, scale, (space.x0 + space.x1 - long) / 2))
    places = crowded(sizes, frame) if enlarged else ()
    main = thinned(sizes, places)
    within = (space.x0 + _EDGE, space.x1 - _EDGE)
    top = label_band(main.labels, shape.contour, frame, scale * s1, within, unit, letters)
    front = max((c.start[1] for c in shape.contour if abs(c.start[0] - z0) < 1e-6), default=0.0)
    under = station_band(main.stations, made.length, front, frame, scale * s0, within, unit, letters)
    if top is None or under is None:
        return None
    share = (within[1] - within[0]) / max(len(places), 1)
    larger = [detailed(p, shape, sizes, made.length, unit, letters, share - _EDGE) for p in places]
    if any(found is None for found in larger):
        return None
    views = [found for found in larger if found is not None]
    high = max((box.y1 - box.y0 + _EDGE for _, _, box in views), default=0.0)
    total = top.reach - under.reach + high
    if total > space.y1 - space.y0 - 2 * _EDGE:
        return None
    up = (space.y0 + space.y1 - total) / 2 - under.reach
    drawn = [*view(shape, made.body.threads, frame), *outlined(places, frame), *top.items, *under.items]
    items, details = moved(drawn, 0.0, up), []
    for k, found in enumerate(views):
        x, y = within[0] + (k + 0.5) * share, up + top.reach + _EDGE - found[2].y0
        bits, detail = shifted(found, x, y)
        items += bits
        details.append(detail)
    return items, frame, tuple(details)


def _notes(part: TurnedPart, sizes: DrawnSizes) -> list[str]:
    notes = ["Lengths count from the face marked 0."]
    if any(", hole " in entry.callout.words for entry in sizes.labels):
        notes.append("Shafts: over the hole as it was made.")
    notes += [f"{note[0].upper()}{note[1:]} where no angle is given." for note in sizes.notes]
    if part.finish:
        notes.append(f"Finish: {part.finish}.")
    return [*notes, "Break every other edge."]
