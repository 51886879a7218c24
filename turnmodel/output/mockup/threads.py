"""Threads that a printer can make, and what is offered where it cannot."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final, Literal

from turnmodel.design.features.threaded import Groove, Relief
from turnmodel.geometry.tolerance import SAME_MM
from turnmodel.shape.allowance import Recut

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.catalog.printer import Printer
    from turnmodel.catalog.threads import Thread
    from turnmodel.design.turned import Turned
    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.geometry.curve import Point

__all__ = [
    "LEAST_LAYERS",
    "LEAST_LINES",
    "Cut",
    "Fineness",
    "Way",
    "cuts",
    "fineness",
    "plain_recut",
    "recut",
    "shifted_thread",
]

Way = Literal["fine", "coarse", "plain"]
"""How a thread that is too fine is printed: as it is all the same, at a coarser pitch, or as plain bores."""

LEAST_LAYERS: Final = 4.0
"""Layers to a pitch below which crest and root run together: common practice."""

LEAST_LINES: Final = 2.0
"""Widths of a line to a pitch, one for the ridge and one for the valley: common practice."""

LEAST_DEPTH: Final = 0.5
"""Share of the thread's depth that must still be met once the allowance is taken: house choice."""

PITCHES: Final = (0.5, 0.6, 0.7, 0.75, 0.8, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0)
"""Pitches that are offered [mm]: those of ISO 261, from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fineness:
    """How fine a thread is to a printer.

    Parameters
    ----------
    layers : float
        Layers to a pitch, [-]
    lines : float
        Widths of a line to a pitch, [-]
    depth : float
        Share of the depth at which screw and hole still meet, the allowance taken, [-]
    """

    layers: float
    lines: float
    depth: float

    @property
    def prints(self) -> bool:
        """Whether such a thread comes out."""
        return self.reserve >= 1 - SAME_MM

    @property
    def reserve(self) -> float:
        """How many times over it is coarse enough, by the figure that is least, [-]."""
        return min(self.layers / LEAST_LAYERS, self.lines / LEAST_LINES, self.depth / LEAST_DEPTH)

    def __str__(self) -> str:
        return (
            f"{self.layers:.1f} layers and {self.lines:.1f} lines to a pitch, {100 * self.depth:.0f} % of "
            f"its depth left by the allowance; {LEAST_LAYERS:g}, {LEAST_LINES:g} and "
            f"{100 * LEAST_DEPTH:.0f} % print"
        )


def fineness(thread: Thread, printer: Printer) -> Fineness:
    r"""Tell how fine a thread is to a printer.

    .. math::
        n_\mathrm{layers} = P / h, \quad n_\mathrm{lines} = P / w, \quad
        s = 1 - \frac{a / 2}{(d - D_1) / 2}

    with the layer's height :math:`h`, the line's width :math:`w` and the allowance :math:`a` on pitch
    diameter.

    Parameters
    ----------
    thread : Thread
        The thread, of basic size
    printer : Printer
        The printer

    Returns
    -------
    Fineness
        The three figures

    Examples
    --------
    >>> from turnmodel.catalog.printer import printer
    >>> from turnmodel.catalog.threads import thread
    >>> print(fineness(thread("M8x0.75"), printer("filament")))
    3.8 layers and 1.9 lines to a pitch, 51 % of its depth left by the allowance; 4, 2 and 50 % print
    """
    depth = (thread.major_d - thread.minor_d) / 2
    return Fineness(
        layers=thread.pitch / printer.layer,
        lines=thread.pitch / printer.line,
        depth=1 - printer.thread / 2 / depth,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """How every thread of one designation is printed.

    Parameters
    ----------
    designation : str
        The thread as the design has it
    thread : Thread or None
        What is cut instead, before the allowance; None where the bores are plain
    reason : str
        Why
    as_designed : bool
        Whether its pitch is the design's own
    """

    designation: str
    thread: Thread | None
    reason: str

    as_designed: bool = False

    def __str__(self) -> str:
        if self.thread is None:
            return f"{self.designation}: plain bores that slide on with a little friction; {self.reason}"
        how = "as designed; " if self.as_designed else ""
        return f"{self.designation}: {how}{self.reason}"


def cuts(thread: Thread, printer: Printer, way: Way) -> tuple[Cut, ...]:
    """List the ways to print a thread, the one to try first before the others.

    Parameters
    ----------
    thread : Thread
        The thread as the design has it
    printer : Printer
        The printer
    way : {"fine", "coarse", "plain"}
        What is wanted where it is too fine

    Returns
    -------
    tuple of Cut
        One where it prints as it is; coarser pitches keep the hole's diameter, the pitch diameter or the
        screw's, in that order; plain bores come last
    """
    told = str(fineness(thread, printer))
    name = thread.designation
    prints = fineness(thread, printer).prints
    if prints or way == "fine":
        told += "" if prints else ": it may not come out"
        return (Cut(designation=name, thread=thread, reason=told, as_designed=True),)
    plain = Cut(designation=name, thread=None, reason=told)
    if way == "plain":
        return (plain,)
    coarser = []
    for pitch in PITCHES:
        scale = pitch / thread.pitch
        if scale <= 1 or pitch >= thread.major_d / 4:
            continue
        majors = [
            thread.minor_d + (thread.major_d - thread.minor_d) * scale,
            thread.pitch_d + (thread.major_d - thread.pitch_d) * scale,
            thread.major_d,
        ]
        for major in majors:
            made = replace(thread, major_d=major, pitch=pitch, standard=False)
            if fineness(made, printer).reserve >= _RESERVE - SAME_MM:
                reason = f"a pitch of {pitch:g} mm on both mates, over {major:.2f} mm; as designed {told}"
                coarser.append(Cut(designation=name, thread=made, reason=reason))
    return (*coarser[: 3 * _PITCHES_TRIED], plain)


_RESERVE: Final = 1.2
"""A coarser pitch is chosen with this in hand (house choice): one at the limit gains little."""

_PITCHES_TRIED: Final = 2
"""Coarser pitches that are tried before plain bores."""


def shifted_thread(thread: Thread, printer: Printer, *, external: bool) -> Thread:
    """Take a thread's half of the allowance: a smaller screw, a larger hole, of the same form.

    Examples
    --------
    >>> from turnmodel.catalog.printer import printer
    >>> from turnmodel.catalog.threads import thread
    >>> shifted_thread(thread("M10x1"), printer(thread=0.4), external=True).major_d
    9.8
    """
    half = printer.thread / 2
    return replace(thread, major_d=thread.major_d + (-half if external else half))


def recut(span: ThreadSpan, made: Turned, thread: Thread, printer: Printer) -> Recut:
    """Cut a thread anew with its allowance, its ends where they were, led in where it begins.

    Parameters
    ----------
    span : ThreadSpan
        The thread as the design has it
    made : Turned
        The part it is on
    thread : Thread
        What is cut in its place, before the allowance
    printer : Printer
        The printer

    Returns
    -------
    Recut
        The thread and the plain outline under it
    """
    new = shifted_thread(thread, printer, external=span.external)
    crest, crest_new = span.thread.major_d / 2, new.major_d / 2
    root = (span.thread.root_d if span.external else span.thread.minor_d) / 2
    root_new = (new.root_d if span.external else new.minor_d) / 2
    scale = (crest_new - root_new) / (crest - root)

    def scaled(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((z, root_new + (r - root) * scale) for z, r in points)

    floor, ceiling = scaled(span.floor), scaled(span.ceiling)
    begins = [end == "front" for end in _entries(span, made)]
    for front in begins:
        if span.external:
            ceiling = _led_in(ceiling, root_new, 1.0, front=front)
            ceiling = _raised(ceiling, _beside(span, made, front=front), crest_new, front=front)
        else:
            floor = _led_in(floor, crest_new, -1.0, front=front)
    cut = replace(span, thread=new, floor=floor, ceiling=ceiling)
    return Recut(thread=cut, outline=ceiling if span.external else floor)


def plain_recut(span: ThreadSpan, made: Turned, printer: Printer, bore_d: float) -> Recut:
    """Leave a thread's length plain: the hole as it is drilled, the screw turned to pass into it.

    Parameters
    ----------
    span : ThreadSpan
        The thread as the design has it
    made : Turned
        The part it is on
    printer : Printer
        The printer
    bore_d : float
        Diameter of the hole that the screw passes into, before allowances, [mm]

    Returns
    -------
    Recut
        The plain outline: hole and screw of one diameter but for the allowances, to hold by friction
    """
    if not span.external:
        grown = tuple((z, r + printer.hole / 2) for z, r in span.floor)
        return Recut(thread=None, outline=grown)
    r = (bore_d - printer.shaft) / 2
    outline: tuple[Point, ...] = ((span.start, r), (span.end, r))
    for end in _entries(span, made):
        lead = min(_LEAD, (span.end - span.start) / 4)
        outline = _led_in(outline, r - lead, 1.0, front=end == "front")
    return Recut(thread=None, outline=outline)


_LEAD: Final = 0.6
"""Chamfer [mm] by which a plain spigot finds its hole: house choice."""


def _entries(span: ThreadSpan, made: Turned) -> list[str]:
    """Tell at which of its ends a thread is begun to be screwed: a hole's mouth, a screw's free end."""
    if not span.external:
        sides = {bored.from_back for bored in made.inside if bored.thread == span}
        return ["back" if side else "front" for side in sides]
    places = [place for place in made.outside if place.curves]
    k = next(k for k, p in enumerate(places) if (p.start, p.end) == (span.start, span.end))
    root = span.thread.root_d / 2
    found = []
    for end, n, beside in (
        ("front", k - 1, places[k].radius_before),
        ("back", k + 1, places[k].radius_after),
    ):
        grooved = 0 <= n < len(places) and isinstance(places[n].feature, Groove | Relief)
        if beside <= root + SAME_MM and not grooved:
            found.append(end)
    return found


def _beside(span: ThreadSpan, made: Turned, *, front: bool) -> float:
    """Radius of what stands beside a screw's end, [mm]."""
    place = next(p for p in made.outside if p.curves and (p.start, p.end) == (span.start, span.end))
    return place.radius_before if front else place.radius_after


def _led_in(points: Sequence[Point], end_r: float, rise: float, *, front: bool) -> tuple[Point, ...]:
    """Cut an outline back by a line of 45 degrees from a radius at its end: below it (1) or above it (-1)."""
    way = 1.0 if front else -1.0
    end = points[0][0] if front else points[-1][0]

    def line(z: float) -> float:
        return end_r + rise * way * (z - end)

    stations = {z for z, _ in points}
    for (z0, r0), (z1, r1) in pairwise(points):
        if z1 - z0 > SAME_MM:
            before, after = r0 - line(z0), r1 - line(z1)
            if before * after < 0:
                stations.add(z0 + (z1 - z0) * before / (before - after))
    held = min if rise > 0 else max
    found: list[Point] = []
    for z in sorted(stations):
        here = [r for at, r in points if abs(at - z) <= SAME_MM] or [_between(points, z)]
        found += [(z, r) for r in dict.fromkeys(held(r, line(z)) for r in here)]
    return tuple(found)


def _raised(points: Sequence[Point], beside: float, most: float, *, front: bool) -> tuple[Point, ...]:
    """Begin a screw's outline no lower than what stands beside it."""
    k = 0 if front else -1
    z, r = points[k]
    raised = (z, max(r, min(beside, most)))
    return (raised, *points[1:]) if front else (*points[:-1], raised)


def _between(points: Sequence[Point], z: float) -> float:
    (z0, r0), (z1, r1) = next((a, b) for a, b in pairwise(points) if a[0] <= z <= b[0])
    return r0 + (r1 - r0) * (z - z0) / (z1 - z0)
