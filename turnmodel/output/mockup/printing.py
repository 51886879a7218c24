"""Everything that is printed of an object, made ready: the mock-up, its plates, its ballast."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from turnmodel.analysis.weight import part_weight
from turnmodel.design.part import BoughtPart, ShapedPart, built
from turnmodel.design.turned import Turned
from turnmodel.output.mockup.ballast import Ballast, Felt, ballasted
from turnmodel.output.mockup.plate import plates, stood
from turnmodel.output.mockup.prepared import mockup, rejoined
from turnmodel.shape.allowance import eased, runs

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.catalog.printer import Printer
    from turnmodel.catalog.toolbox import OwnedSlug
    from turnmodel.design.design import Design
    from turnmodel.design.part import Part
    from turnmodel.output.mockup.plate import Plate, Standing
    from turnmodel.output.mockup.prepared import Mockup
    from turnmodel.output.mockup.threads import Way
    from turnmodel.output.mockup.walls import Side

__all__ = ["Prepared", "prepared"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A mock-up made ready for the printer.

    Parameters
    ----------
    mockup : Mockup
        The mock-up, its pockets cut
    ballast : Ballast
        Its pockets and plugs, if any, and how it feels
    standing : tuple of Standing
        What is printed, each as it stands; plugs as many times as they are needed
    plates : tuple of Plate
        Where each has its place
    too_large : tuple of str
        What no plate holds
    """

    mockup: Mockup
    ballast: Ballast
    standing: tuple[Standing, ...]
    plates: tuple[Plate, ...]
    too_large: tuple[str, ...]

    @property
    def felt(self) -> tuple[Felt, ...]:
        """How it feels beside the metal, in every state."""
        return self.ballast.felt


def prepared(
    design: Design,
    printer: Printer,
    *,
    way: Way = "coarse",
    thicken: Side | None = None,
    slugs: Sequence[OwnedSlug] = (),
    dummies: bool = False,
) -> Prepared:
    """Make a mock-up ready for the printer.

    Parameters
    ----------
    design : Design
        The object as designed
    printer : Printer
        The printer
    way : {"fine", "coarse", "plain"}
        How threads are printed that are too fine for it
    thicken : {"in", "out"}, optional
        Which way walls are made thicker that are too thin for it
    slugs : sequence of OwnedSlug
        What may weigh it down
    dummies : bool
        Whether bought parts are printed too

    Returns
    -------
    Prepared
        Everything that is written
    """
    mock = mockup(design, printer, way=way, thicken=thicken)
    stand_ins: list[Part] = []
    if dummies:
        stand_ins = [_dummy(part, printer) for part in design.parts if isinstance(part, BoughtPart)]
        light = {
            dummy.name: replace(design.part(dummy.name), mass=part_weight(dummy).mass)  # type: ignore[call-arg]
            for dummy in stand_ins
        }
        mock = replace(mock, design=rejoined(mock.design, light))
    ballast = ballasted(mock, slugs)
    parts = [*ballast.mockup.printed, *stand_ins]
    standing = [stood(part, printer) for part in parts]
    for plug, pocket in zip(ballast.plugs, ballast.pockets, strict=True):
        one, count = replace(stood(plug, printer), of=pocket.slot.part), pocket.slot.around
        named = [plug.name] if count == 1 else [f"{plug.name} {k}" for k in range(1, count + 1)]
        standing += [replace(one, name=name) for name in named]
    placed, too_large = plates(standing, printer)
    return Prepared(
        mockup=ballast.mockup, ballast=ballast, standing=tuple(standing), plates=placed, too_large=too_large
    )


def _dummy(part: BoughtPart, printer: Printer) -> Part:
    """Shape a bought part to be printed, as much smaller as outsides come out larger."""
    made = built(part)
    assert isinstance(made, Turned)
    smaller = eased(made, {run: -printer.shaft for run in runs(made.body) if not run.inside}, {})
    return ShapedPart(name=part.name, material=printer.material, shape=smaller)
