"""Which surfaces of an object fit into each other, how, and by how much each is moved for printing."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from itertools import permutations
from typing import TYPE_CHECKING, Final

from turnmodel.design.joint import Press
from turnmodel.design.part import BoughtPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.curve import Line
from turnmodel.geometry.frame import coaxial, composed, inverse
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.shape.allowance import Run, radius_at, runs

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from turnmodel.catalog.printer import Printer
    from turnmodel.design.design import Design
    from turnmodel.design.part import Part
    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.geometry.curve import Curve
    from turnmodel.shape.allowance import Recut

__all__ = ["Fit", "Kind", "allowances", "fits"]


class Kind(StrEnum):
    """How two parts fit."""

    SLIDING = "sliding"
    """One goes into the other with room to spare."""
    PRESSED = "pressed"
    """One is held by the other, as a press joint means."""
    FRICTION = "friction"
    """Bores left plain for want of a thread: of one size, they hold by friction."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """An outside in a hole, on one axis.

    Parameters
    ----------
    hole, shaft : str
        Names of the parts
    kind : Kind
        How they fit
    designed : float
        Room on diameter as the metal has it, below 0 for an interference, [mm]
    printed : float
        Room on diameter in the files, which the printer's faults and the fit take up, [mm]
    hole_run, shaft_run : Run
        The surfaces, in their parts' frames
    """

    hole: str
    shaft: str
    kind: Kind
    designed: float
    printed: float
    hole_run: Run
    shaft_run: Run


_NEAR: Final = 1.0
"""Parts with more room [mm] on diameter than this do not fit into each other: house choice, twice what
common practice calls loose."""

_SHORTEST: Final = 0.3
"""Lengths [mm] under this guide nothing: house choice."""

_EVEN: Final = math.tan(math.radians(10))
"""Slope up to which a surface slides; a steeper one is a seat (house choice)."""


def fits(design: Design, printer: Printer) -> tuple[Fit, ...]:
    """Find every fit of an object, over all its states.

    Parameters
    ----------
    design : Design
        The object as designed
    printer : Printer
        Its allowances tell the room in the files

    Returns
    -------
    tuple of Fit
        The tightest of each pair of surfaces; threads in threads are left out, which have an allowance of
        their own
    """
    best: dict[tuple[str, str, Run, Run], Fit] = {}
    for state in design.states:
        pose = design.poses[state]
        pressed = {frozenset((j.moving.part, j.fixed.part)) for j in pose.joints if isinstance(j, Press)}
        present = [part for part in design.parts if part.name in pose.parts]
        for a, b in permutations(present, 2):
            if isinstance(a, BoughtPart):
                continue
            relative = composed(inverse(pose.parts[a.name]), pose.parts[b.name])
            place = coaxial(relative)
            if place is None:
                continue
            is_pressed = frozenset((a.name, b.name)) in pressed
            for hole, shaft, room in _met(a, b, place[0], -1.0 if place[2] else 1.0):
                kind = Kind.PRESSED if is_pressed and room < 0 else Kind.SLIDING
                if room < (-_NEAR if kind is Kind.PRESSED else -CONTACT_MM):
                    continue
                given = room if kind is Kind.PRESSED else max(room, printer.slide)
                given += printer.hole + (0.0 if isinstance(b, BoughtPart) else printer.shaft)
                fit = Fit(
                    hole=a.name, shaft=b.name, kind=kind, designed=room, printed=given,
                    hole_run=hole, shaft_run=shaft,
                )  # fmt: skip
                key = (a.name, b.name, hole, shaft)
                if key not in best or best[key].designed > room:
                    best[key] = fit
    return tuple(best.values())


def allowances(
    design: Design,
    printer: Printer,
    found: tuple[Fit, ...],
    recuts: Mapping[str, Mapping[ThreadSpan, Recut]],
) -> dict[str, dict[Run, float]]:
    """Tell for each part what is added to the diameter of each of its runs.

    Parameters
    ----------
    design : Design
        The object as designed
    printer : Printer
        The printer
    found : tuple of Fit
        Its fits
    recuts : mapping
        Part to its threads and what is cut in their place

    Returns
    -------
    dict
        Part to run to what is added to its diameter, [mm]

    Notes
    -----
    Every plain hole is made larger by the printer's own figure. What a fit needs beyond that comes off the
    outside that is printed; a bought part stays as it is, and its hole gives way.
    """
    moved: dict[str, dict[Run, float]] = {}
    for part in design.parts:
        made = built(part)
        if isinstance(made, Turned) and not isinstance(part, BoughtPart):
            plain = [run for run in runs(made.body) if run.inside and run.thread is None]
            moved[part.name] = dict.fromkeys(plain, printer.hole)
    for fit in found:
        more = fit.printed - fit.designed - _widened(fit, printer, recuts)
        if isinstance(design.part(fit.shaft), BoughtPart):
            if fit.hole_run.thread is None:
                own = moved[fit.hole]
                own[fit.hole_run] = max(own[fit.hole_run], printer.hole + more)
        else:
            own = moved[fit.shaft]
            own[fit.shaft_run] = min(own.get(fit.shaft_run, 0.0), -more)
    return moved


def _widened(fit: Fit, printer: Printer, recuts: Mapping[str, Mapping[ThreadSpan, Recut]]) -> float:
    """Tell by how much the hole of a fit is larger in the files, on diameter, [mm]."""
    span = fit.hole_run.thread
    if span is None:
        return printer.hole
    return 2 * (min(r for _, r in recuts[fit.hole][span].outline) - min(r for _, r in span.floor))


def _met(a: Part, b: Part, station: float, way: float) -> Iterator[tuple[Run, Run, float]]:
    """Give the holes of one part, the outsides of another that lie in them, and the least room there."""
    one, other = built(a), built(b)
    if not (isinstance(one, Turned) and isinstance(other, Turned)):
        return
    shafts = [run for run in runs(other.body) if not run.inside and run.thread is None]
    for hole in runs(one.body):
        if not hole.inside:
            continue
        for shaft in shafts:
            rooms = [room for h in hole.curves for s in shaft.curves for room in _room(h, s, station, way)]
            if rooms and min(rooms) < _NEAR:
                yield hole, shaft, min(rooms)


def _room(hole: Curve, shaft: Curve, station: float, way: float) -> Iterator[float]:
    """Room on diameter between two even surfaces over the length that they share, [mm]."""
    if not (_even(hole) and _even(shaft)):
        return
    low, high = sorted((hole.start[0], hole.end[0]))
    first, last = sorted(station + way * point[0] for point in (shaft.start, shaft.end))
    low, high = max(low, first), min(high, last)
    if high - low < _SHORTEST:
        return
    for z in (low, high):
        yield 2 * (radius_at(hole, z) - radius_at(shaft, way * (z - station)))


def _even(curve: Curve) -> bool:
    (z0, r0), (z1, r1) = curve.start, curve.end
    return isinstance(curve, Line) and abs(r1 - r0) <= _EVEN * abs(z1 - z0)
