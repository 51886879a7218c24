"""What is turned on the outside for a thread or beside one: the thread itself, its relief, grooves."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar

from turnmodel.catalog import run_outs
from turnmodel.catalog import threads as catalog
from turnmodel.design.features.dimension import Callout, Kind, thread_name
from turnmodel.design.features.operation import Operation
from turnmodel.design.features.outside import Outside, Run, Start, straight_run
from turnmodel.design.ledger import Measure, mm, named, not_negative, positive
from turnmodel.errors import BadValue
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from turnmodel.geometry.curve import Curve

__all__ = ["ExternalThread", "Groove", "Relief", "groove", "relief", "thread"]


@dataclass(frozen=True, slots=True)
class Groove(Outside):
    """A groove turned in, its corners at the bottom rounded where a radius is given.

    Parameters
    ----------
    width : float or str
        Width along the axis, [mm]
    diameter : float or str
        Diameter at the bottom, [mm]
    radius : float or str, optional
        Radius of the two corners at the bottom, [mm]
    """

    word: ClassVar[str] = "groove"
    operation: ClassVar[Operation] = Operation.GROOVE

    width: Measure = positive()
    diameter: Measure = positive()
    radius: Measure = not_negative(0.0)

    def run(self, start: Start) -> Run:
        """Trace the bottom."""
        r = mm(self.diameter) / 2
        return straight_run(start, r, r, mm(self.width))


@dataclass(frozen=True, slots=True)
class Relief(Outside):
    """The groove beside a thread that lets the tool run out, by DIN 76 where its figures are left out.

    Parameters
    ----------
    width : float or str, optional
        Width along the axis, [mm]
    diameter : float or str, optional
        Diameter at the bottom, [mm]
    short : bool, optional
        Whether the short form is wanted
    """

    word: ClassVar[str] = "relief"
    operation: ClassVar[Operation] = Operation.RELIEVE

    width: Measure | None = positive(None)
    diameter: Measure | None = positive(None)
    short: bool = field(default=False, kw_only=True)

    def run(self, start: Start) -> Run:
        """Trace the bottom.

        Raises
        ------
        BadValue
            If there is no thread to relieve
        """
        if start.thread is None:
            raise BadValue("", None, "", "a relief stands beside a thread, and there is none", "use groove")
        standard = run_outs.relief(start.thread, short=self.short)
        r = (standard.diameter if self.diameter is None else mm(self.diameter)) / 2
        return straight_run(start, r, r, standard.width if self.width is None else mm(self.width))


@dataclass(frozen=True, slots=True)
class ExternalThread(Outside):
    """A length of external thread, its run-in and run-out included.

    Parameters
    ----------
    size : str
        Designation, such as "M9x0.75" or "3/8-24 UNF-2A"
    length : float or str
        Length along the axis, [mm]
    diameter : float or str, optional
        What it is turned to before it is threaded; left out, the major diameter, [mm]
    """

    word: ClassVar[str] = "thread"
    operation: ClassVar[Operation] = Operation.THREAD

    size: str = named(catalog.thread, like="M8x0.75")
    length: Measure = positive()
    diameter: Measure | None = positive(None)

    def run(self, start: Start) -> Run:
        """Trace the thread at the diameter it is turned to.

        Raises
        ------
        BadValue
            If it is turned thicker than the thread, or so thin that no flank is left
        """
        thread = catalog.thread(self.size)
        d = thread.major_d if self.diameter is None else mm(self.diameter)
        if not thread.root_d < d <= thread.major_d + SAME_MM:
            rule = f"{thread.designation} is turned to between {thread.root_d:.4g} and {thread.major_d:g} mm"
            raise BadValue("diameter", d, "mm", rule, f"turn it to {thread.major_d:g} mm")
        return straight_run(start, d / 2, d / 2, mm(self.length))

    def callouts(self, curves: tuple[Curve, ...]) -> tuple[Callout, ...]:
        """Tell its designation with its class, which stands for its diameters."""
        thread = catalog.thread(self.size)
        over = (curves[0].start, curves[0].end)
        words = thread_name(thread, external=True)
        return (Callout(kind=Kind.THREAD, value=thread.major_d, over=over, words=words),)


groove = Groove
relief = Relief
thread = ExternalThread
