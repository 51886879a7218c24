"""Walls of a mock-up that are too thin to print sound, and how they are made thicker."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from turnmodel.analysis.walls import thread_wall, walls
from turnmodel.design.part import BoughtPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.tolerance import CONTACT_MM
from turnmodel.shape.allowance import Run, radius_at, runs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.catalog.printer import Printer
    from turnmodel.design.design import Design
    from turnmodel.design.part import Part
    from turnmodel.geometry.curve import Point
    from turnmodel.output.mockup.fits import Fit

__all__ = ["Side", "ThinWall", "thickened", "thin_walls"]

Side = Literal["in", "out"]
"""Whether a wall is made thicker inwards, by a smaller hole, or outwards."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinWall:
    """A wall that is thinner than prints sound.

    Parameters
    ----------
    part : str
        Name of the part
    wall : float
        What is left, [mm]
    inside, outside : Point
        Where it is least: station and radius of its two sides, [mm]
    """

    part: str
    wall: float
    inside: Point
    outside: Point

    @property
    def station(self) -> float:
        """Where it is least, [mm]."""
        return self.inside[0]


def thin_walls(parts: tuple[Part, ...], printer: Printer) -> tuple[ThinWall, ...]:
    """Find the walls of turned parts that are thinner than a printer's least, threads counted to their roots.

    Parameters
    ----------
    parts : tuple of Part
        Parts of a mock-up
    printer : Printer
        The printer

    Returns
    -------
    tuple of ThinWall
        One for each stretch of hole or thread, thinnest first
    """
    found = [thin for part in parts if not isinstance(part, BoughtPart) for thin in _thin(part, printer)]
    once = {(thin.part, round(thin.wall, 6), round(thin.station, 6)): thin for thin in found}
    return tuple(sorted(once.values(), key=lambda thin: thin.wall))


def _thin(part: Part, printer: Printer) -> Iterator[ThinWall]:
    made = built(part)
    if not isinstance(made, Turned):
        return
    for gap in walls(made, printer.wall):
        if gap.distance < printer.wall - CONTACT_MM:
            yield ThinWall(part=part.name, wall=gap.distance, inside=gap.a_at, outside=gap.b_at)
    for span in made.body.threads:
        left = thread_wall(made, span, printer.wall)
        if left is not None and left.distance < printer.wall - CONTACT_MM:
            inside, outside = sorted((left.a_at, left.b_at), key=lambda point: point[1])
            yield ThinWall(part=part.name, wall=left.distance, inside=inside, outside=outside)


_MOST: Final = 1.0
"""By how much [mm] on radius a wall is moved at most (house choice): more is another design."""


def thickened(
    design: Design, thin: tuple[ThinWall, ...], fits: tuple[Fit, ...], printer: Printer, side: Side
) -> tuple[dict[str, dict[Run, float]], tuple[str, ...]]:
    """Tell by how much the surfaces beside thin walls are moved to make them thick enough.

    Parameters
    ----------
    design : Design
        The object as designed
    thin : tuple of ThinWall
        The thin walls of its mock-up
    fits : tuple of Fit
        What fits into what
    printer : Printer
        The printer
    side : {"in", "out"}
        Which way they grow

    Returns
    -------
    dict
        Part to run of the metal part to what is added to its diameter, [mm]
    tuple of str
        What stays thin, and why
    """
    moved: dict[str, dict[Run, float]] = {}
    notes = []
    for wall in thin:
        inside = side == "in"
        made = built(design.part(wall.part))
        assert isinstance(made, Turned)
        run = _run_at(made, wall.inside if inside else wall.outside, inside=inside)
        needs = printer.wall - wall.wall
        why = _held(wall.part, run, fits, inside=inside)
        if run is None or why or needs > _MOST:
            why = why or ("it lies on a thread or a step" if run is None else "it would be another design")
            notes.append(
                f"{wall.part}: a wall of {wall.wall:.2f} mm at {wall.station:.1f} mm stays as it is: {why}"
            )
            continue
        own = moved.setdefault(wall.part, {})
        more = -2 * needs if inside else 2 * needs
        own[run] = min(own.get(run, 0.0), more) if inside else max(own.get(run, 0.0), more)
    return moved, tuple(dict.fromkeys(notes))


def _run_at(made: Turned, point: Point, *, inside: bool) -> Run | None:
    """Find the plain run of a part that is nearest a point of its mock-up's surface."""
    z, r = point
    found = []
    for run in runs(made.body):
        for curve in run.curves if run.inside == inside else ():
            low, high = sorted((curve.start[0], curve.end[0]))
            if low - CONTACT_MM <= z <= high + CONTACT_MM:
                found.append((abs(radius_at(curve, min(max(z, low), high)) - r), run))
    if not found:
        return None
    run = min(found, key=lambda pair: pair[0])[1]
    return None if run.thread else run


def _held(part: str, run: Run | None, fits: tuple[Fit, ...], *, inside: bool) -> str | None:
    """Tell what a run fits, if anything, which keeps it where it is."""
    for fit in fits:
        if inside and fit.hole == part and fit.hole_run == run:
            return f"the hole takes {fit.shaft}"
        if not inside and fit.shaft == part and fit.shaft_run == run:
            return f"it goes into {fit.hole}"
    return None
