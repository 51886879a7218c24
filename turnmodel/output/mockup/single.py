"""Single parts as they are printed: their holes, their threads, the stand-in of a strip."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from turnmodel.design.features.across import CrossHole, CrossTap
from turnmodel.design.ledger import mm
from turnmodel.design.strip import Bend
from turnmodel.geometry.across import CrossCylinder
from turnmodel.output.mockup.threads import shifted_thread
from turnmodel.shape.allowance import deepened, eased

if TYPE_CHECKING:
    from collections.abc import Container, Mapping

    from turnmodel.catalog.printer import Printer
    from turnmodel.catalog.threads import Thread
    from turnmodel.design.part import StripPart
    from turnmodel.design.turned import CrossCut, Turned
    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.output.mockup.threads import Cut
    from turnmodel.shape.allowance import Recut, Run

__all__ = ["PrintedTap", "printed", "stand_in"]


def printed(
    made: Turned,
    printer: Printer,
    moved: Mapping[Run, float],
    recuts: Mapping[ThreadSpan, Recut],
    chosen: Mapping[str, Cut],
    seats: Container[str | None],
) -> Turned:
    """Shape a turned part for printing.

    Parameters
    ----------
    made : Turned
        The part as designed
    printer : Printer
        The printer
    moved : mapping
        Run to what is added to its diameter, [mm]
    recuts : mapping
        Thread to what is cut in its place
    chosen : mapping
        Designation to how such threads are printed
    seats : container of str
        Marks of what other parts rest on, whose depth is kept

    Returns
    -------
    Turned
        The part with its allowances
    """
    shape = eased(made, moved, recuts)
    for k, bored in enumerate(shape.inside):
        if bored.feature.mark is None or bored.feature.mark not in seats:
            shape = deepened(shape, shape.inside[k], printer.depth, printer.wall)
    return replace(shape, across=tuple(_crossed(cut, printer, chosen) for cut in shape.across))


@dataclass(frozen=True, slots=True)
class PrintedTap(CrossTap):
    """A cross tap with a printer's allowance.

    Parameters
    ----------
    cut : Thread
        The thread, its allowance taken
    bored : float
        Diameter of the hole it is cut in, [mm]
    """

    cut: Thread | None = None
    bored: float = 0.0

    @property
    def thread(self) -> Thread:
        """The thread that is cut."""
        assert self.cut is not None
        return self.cut

    @property
    def diameter(self) -> float:
        """Diameter of the hole, [mm]."""
        return self.bored


_STRIP: Final = 1.2
"""Thickness [mm] of the stand-in for a strip (house choice): three lines of filament, which holds."""


def _crossed(cut: CrossCut, printer: Printer, chosen: Mapping[str, Cut]) -> CrossCut:
    """Widen a hole that lies across; a tap is cut with its allowance, or left as the hole it was drilled."""
    feature = cut.feature
    if not isinstance(feature, CrossHole | CrossTap):
        return cut
    wider = printer.cross_hole
    if isinstance(feature, CrossTap):
        way = chosen[feature.thread.designation]
        if way.thread is None:
            feature = CrossHole(
                feature.diameter + wider, feature.at, mark=feature.mark, angle=feature.angle,
                depth=feature.depth, through=feature.through, where=feature.where,
            )  # fmt: skip
        else:
            new = shifted_thread(way.thread, printer, external=False)
            bored = feature.diameter + new.minor_d - feature.thread.minor_d
            wider = bored - feature.diameter
            feature = PrintedTap(
                feature.size, feature.at, mark=feature.mark, angle=feature.angle, depth=feature.depth,
                through=feature.through, where=feature.where, cut=new, bored=bored,
            )  # fmt: skip
    tools = (replace(t, diameter=t.diameter + wider) for t in cut.tools if isinstance(t, CrossCylinder))
    half = wider / 2
    return replace(cut, feature=feature, tools=tuple(tools), start=cut.start - half, end=cut.end + half)


def stand_in(part: StripPart, printer: Printer) -> StripPart:
    """Make a strip thicker, its under side kept, and as wide all along, so that it prints on its edge.

    Parameters
    ----------
    part : StripPart
        The strip
    printer : Printer
        The printer

    Returns
    -------
    StripPart
        The stand-in, stiffer than the spring
    """
    t = mm(part.thickness)
    thick = max(_STRIP, 2 * printer.line, printer.wall, t)
    widest = max(mm(width) for _, width in part.widths)
    side = []
    for stretch in part.side:
        if isinstance(stretch, Bend) and stretch.turn > 0:
            stretch = replace(stretch, radius=max(mm(stretch.radius) - (thick - t), printer.line))
        side.append(stretch)
    return replace(
        part,
        material=printer.material,
        thickness=thick,
        widths=((0.0, widest), (part.widths[-1][0], widest)),
        holes={name: (at, mm(d) + printer.cross_hole) for name, (at, d) in part.holes.items()},
        side=tuple(side),
    )
