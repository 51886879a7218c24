"""What a number of objects takes: bars to saw, tools used, parts that are bought, what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.cutting_stock import Length, Sawing, sawing
from turnmodel.analysis.practice import CLEAR
from turnmodel.catalog import refills
from turnmodel.catalog.drills import drill
from turnmodel.catalog.materials import material
from turnmodel.design.ledger import mm
from turnmodel.design.part import BoughtPart, StripPart
from turnmodel.errors import BadValue, TurnmodelError
from turnmodel.units import inch

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from turnmodel.analysis.plan.steps import Plan, Tool
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.design import Design
    from turnmodel.design.joint import Spring

__all__ = ["BarNeed", "BuyingList", "PartNeed", "StripNeed", "ToolNeed", "buying_list"]

_METRIC: Final = (250.0, 500.0, 1000.0)
_INCH: Final = (12 * inch, 24 * inch, 36 * inch)
"""Lengths [mm] that bars are sold in, metric and inch; house choice."""

_OWNED: Final = 0.01
"""What a millimetre of a bar that is there costs over one that must be bought, [-]; house choice: it is used
up first, and the shortest that serves."""


_ANOTHER: Final = 1.0
"""What one bar more costs [mm]: of two ways that take the same length, the fewer bars; house choice."""

_LISTED: Final = ("drill", "reamer", "tap", "die", "countersink", "bar", "knurls", "tool", "saw", "centre")
"""Last words of the tools that are listed, in this order: what cuts, and what supports. Grips are made in
place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BarNeed:
    """Bars of one size and material.

    Parameters
    ----------
    material : str
        Name of the material
    stock : str
        Size of the bar
    pieces : tuple of (str, float, int)
        Part, length of bar it uses up [mm], and how many
    held : float
        Length of every bar that is left over, for it is held by, [mm]
    cut : Sawing
        Which pieces come out of which bars
    owned : tuple of float
        Lengths that are in the rack, [mm]
    any_length : bool
        Whether there is a bar in the rack whose length is not told
    """

    material: str
    stock: str
    pieces: tuple[tuple[str, float, int], ...]
    held: float
    cut: Sawing
    owned: tuple[float, ...]
    any_length: bool

    @property
    def takes(self) -> float:
        """Length that the pieces use up together, [mm]."""
        return sum(length * count for _, length, count in self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class StripNeed:
    """Strip for a part: its stock, the length [mm] it takes and how often [-]."""

    part: str
    stock: str
    length: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolNeed:
    """A tool, and the parts that it is used for."""

    tool: Tool
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartNeed:
    """A part that is bought: its name, what it is in the trade, and how many [-]."""

    part: str
    title: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingList:
    """What a number of objects takes.

    Parameters
    ----------
    design : str
        Name of the object
    count : int
        How many are made, [-]
    bars : tuple of BarNeed
        Bars
    strips : tuple of StripNeed
        Strip
    bought : tuple of PartNeed
        Bought parts, springs among them
    tools : tuple of ToolNeed
        Drills, taps, dies and cutters, those that are there and those that are not
    """

    design: str
    count: int
    bars: tuple[BarNeed, ...]
    strips: tuple[StripNeed, ...]
    bought: tuple[PartNeed, ...]
    tools: tuple[ToolNeed, ...]

    @property
    def missing(self) -> tuple[ToolNeed, ...]:
        """Tools that are not there."""
        return tuple(need for need in self.tools if not need.tool.owned)


def buying_list(design: Design, plans: Mapping[str, Plan], tools: Toolbox, count: int = 1) -> BuyingList:
    """List what a number of objects takes.

    Parameters
    ----------
    design : Design
        The design
    plans : mapping of str to Plan
        Its cut sheets, by part
    tools : Toolbox
        The tools and bars that are there
    count : int
        How many objects are made, [-]

    Returns
    -------
    BuyingList
        The list

    Raises
    ------
    BadValue
        If the count is not 1 or more
    """
    if count < 1:
        raise BadValue("objects", count, "-", "a list is for 1 or more", "leave it out for 1")
    groups: dict[tuple[str, str], list[Plan]] = {}
    strips = []
    for plan in plans.values():
        if isinstance(plan.part, StripPart):
            need = StripNeed(
                part=plan.part.name, stock=plan.blank.stock, length=plan.blank.takes, count=count
            )
            strips.append(need)
        else:
            key = (material(plan.part.material).name, plan.blank.stock)
            groups.setdefault(key, []).append(plan)
    return BuyingList(
        design=design.name,
        count=count,
        bars=tuple(_bars(*key, group, tools, count) for key, group in groups.items()),
        strips=tuple(strips),
        bought=(
            *(
                PartNeed(part=part.name, title=_title(part), count=count)
                for part in design.parts
                if isinstance(part, BoughtPart)
            ),
            *(PartNeed(part="spring", title=title, count=count) for title in _springs(design)),
        ),
        tools=_tools(plans),
    )


def _title(part: BoughtPart) -> str:
    return refills.refill(part.refill).title if part.refill else "by its envelope"


def _springs(design: Design) -> Iterator[str]:
    """Tell of each spring what it is asked for by; one between two faces is the same in every state."""
    fitted: dict[frozenset[str], list[tuple[Spring, float]]] = {}
    for pose in design.poses.values():
        for spring, length in pose.springs:
            fitted.setdefault(frozenset((str(spring.moving), str(spring.fixed))), []).append((spring, length))
    for found in fitted.values():
        spring = found[0][0]
        lengths = (f"{of(length for _, length in found):.1f}" for of in (min, max))
        told = [f"{name} {mm(own):g} mm" for name in ("free", "solid") if (own := getattr(spring, name))]
        told += [f"rate {spring.rate:g} N/mm"] if spring.rate else []
        told += [f"fitted {' to '.join(dict.fromkeys(lengths))} mm", f"for {spring.moving.part}"]
        yield ", ".join(told)


def _bars(name: str, stock: str, plans: list[Plan], tools: Toolbox, count: int) -> BarNeed:
    """Saw the pieces of one bar's size from what is there, and from what is sold."""
    wide = plans[0].blank.diameter
    fit = [bar for bar in tools.bars if abs(bar.diameter - wide) < 1e-4 and bar.material in (None, name)]
    owned = sorted(bar.length for bar in fit if bar.length is not None)
    sawn = plans[0].blank.sawn
    held = 0.0 if sawn else max(plan.blank.held for plan in plans) + CLEAR
    lengths = _INCH if stock.rstrip().endswith("in") else _METRIC
    bars = [Length(length=length, count=1, cost=_OWNED * length + _ANOTHER) for length in owned]
    pieces = [plan.blank.takes for plan in plans]
    room = [*lengths, *_longer(max(pieces) + held, lengths[-1])]
    bars += [Length(length=length, count=None, cost=length + _ANOTHER) for length in room]
    return BarNeed(
        material=name,
        stock=stock,
        pieces=tuple((plan.part.name, plan.blank.takes, count) for plan in plans),
        held=held,
        cut=sawing(pieces * count, bars, held),
        owned=tuple(owned),
        any_length=any(bar.length is None for bar in fit),
    )


def _longer(needed: float, longest: float) -> Iterable[float]:
    """Ask for a longer bar than is usual where a piece needs one."""
    return (needed,) if needed > longest else ()


def _tools(plans: Mapping[str, Plan]) -> tuple[ToolNeed, ...]:
    """List the tools of all cut sheets: drills by size, then taps, dies, and the rest."""
    used: dict[Tool, list[str]] = {}
    for name, plan in plans.items():
        for tool in plan.tools:
            used.setdefault(tool, []).append(name)
    listed = [tool for tool in used if _word(tool) in _LISTED]
    listed.sort(key=lambda tool: (_LISTED.index(_word(tool)), _size(tool), tool.size, tool.kind))
    return tuple(ToolNeed(tool=tool, parts=tuple(used[tool])) for tool in listed)


def _word(tool: Tool) -> str:
    return tool.kind.split()[-1]


def _size(tool: Tool) -> float:
    """Diameter of a drill, to put them in order; 0 for what has a name of another kind, [mm]."""
    try:
        return drill(tool.size).diameter if tool.kind == "drill" else 0.0
    except TurnmodelError:
        return 0.0
