"""The buying list on paper, with every bar as it is sawn."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.lengths import Lengths
from turnmodel.output.papers.cut_sheet import FILING, MARGIN, Block, flowed, heading, lines_block
from turnmodel.output.papers.ink import Item, Layer, Pen, Stroke, Text, joined
from turnmodel.output.papers.lettering import width

if TYPE_CHECKING:
    from turnmodel.analysis.plan.buying import BarNeed, BuyingList, ToolNeed
    from turnmodel.analysis.plan.cutting_stock import Sawn
    from turnmodel.analysis.plan.lengths import Unit
    from turnmodel.output.papers.ink import Sheet
    from turnmodel.output.papers.page import Paper

__all__ = ["buying_sheet", "buying_text"]

_BODY: Final = 2.5
_SMALL: Final = 1.8
_BAR: Final = 6.0
"""Height of a bar on the paper, [mm]; house choice."""


def buying_sheet(found: BuyingList, paper: Paper, revision: str) -> tuple[Sheet, ...]:
    """Lay a buying list out on paper that stands.

    Parameters
    ----------
    found : BuyingList
        The list
    paper : Paper
        Size of the paper
    revision : str
        Revision of the script

    Returns
    -------
    tuple of Sheet
        The pages
    """
    high, wide = paper.value
    room = wide - FILING - MARGIN
    blocks: list[Block] = []
    for title, lines, need in _sections(found):
        blocks.append(heading(title, "", room))
        blocks += [_line(words, tick, room) for words, tick in lines]
        if need is not None:
            blocks += [_bar(sawn, need.stock, room) for sawn in need.cut.cuts]
    return flowed(blocks, _title(found), f"{found.design}, revision {revision}", (wide, high))


def buying_text(found: BuyingList) -> str:
    """Write a buying list as plain text."""
    lines = [f"{found.design}: {_title(found)}"]
    for title, told, _ in _sections(found):
        lines += ["", title, *(f"  {words}" for words, _ in told)]
    return "\n".join(lines) + "\n"


def _title(found: BuyingList) -> str:
    return "buying list" if found.count == 1 else f"buying list for {found.count}"


_Line = tuple[str, bool]
"""A line, and whether it is a thing to be had, which is ticked off."""


def _sections(found: BuyingList) -> list[tuple[str, list[_Line], BarNeed | None]]:
    """List the sections: their titles, their lines, and the bars that are sawn there."""
    sections: list[tuple[str, list[_Line], BarNeed | None]] = [
        (f"{need.stock} {need.material}", _bar_lines(need), need) for need in found.bars
    ]
    if found.strips:
        strips = [f"{n.count} x {n.length:.1f} mm of {n.stock}, for {n.part}" for n in found.strips]
        sections.append(("strip", _ticked(strips), None))
    if found.bought:
        bought = [f"{n.count} x {n.part}: {n.title}" for n in found.bought]
        sections.append(("bought parts", _ticked(bought), None))
    missing = _ticked([_used(need) for need in found.missing])
    sections.append(("tools that are missing", missing or [("none", False)], None))
    here = _ticked([_used(need) for need in found.tools if need.tool.owned])
    sections.append(("tools that are used", here, None))
    return sections


def _ticked(lines: list[str]) -> list[_Line]:
    return [(line, True) for line in lines]


def _used(need: ToolNeed) -> str:
    return f"{need.tool} (for {', '.join(need.parts)})"


def _length(value: float, stock: str) -> str:
    """Write a length of bar [mm] in the unit that its size is named in."""
    unit: Unit = "in" if stock.strip().endswith("in") else "mm"
    return f"{Lengths(unit).rough(value)} {unit}"


def _bar_lines(need: BarNeed) -> list[_Line]:
    """Tell what is sawn, from what, and how good that is."""
    pieces = ", ".join(f"{n} x {_length(long, need.stock)} for {part}" for part, long, n in need.pieces)
    whole = _length(need.takes, need.stock)
    lines = [(f"{pieces}: {whole} together, kerf and facing counted", False)]
    taken: dict[float, list[int]] = {}
    for sawn in need.cut.cuts:
        there = sawn.bar.count is not None
        taken.setdefault(sawn.bar.length, [0, 0])[0 if there else 1] += sawn.times
    for length, (owned, bought) in taken.items():
        if owned:
            lines.append((f"{owned} x {_length(length, need.stock)} out of the rack", True))
        if bought:
            lines.append((f"{bought} x {_length(length, need.stock)} to buy", True))
    if need.any_length:
        lines.append(("a bar of it is in the rack, its length not told: measure that first", False))
    proof = "No way wastes less" if need.cut.proven else "Hardly any way wastes less"
    held = f"; the last {_length(need.held, need.stock)} of each bar hold it" if need.held else ""
    lines.append((f"{proof}{held}", False))
    return lines


def _line(words: str, tick: bool, room: float) -> Block:
    """A line, with a box where it is ticked off."""
    block = lines_block(words, _BODY, 6.0, room - 6.0, after=1.0)
    if not tick:
        return block
    box = [(0.0, -_BODY), (3.0, -_BODY), (3.0, 3.0 - _BODY), (0.0, 3.0 - _BODY), (0.0, -_BODY)]
    return Block(height=block.height, items=(*joined(box, Pen.NARROW, Layer.FRAME), *block.items))


def _bar(sawn: Sawn, stock: str, room: float) -> Block:
    """A bar as it is sawn: its pieces in a row, what is left dashed."""
    scale = (room - 38.0) / sawn.bar.length
    top, bottom = -1.0, -1.0 - _BAR
    long = sawn.bar.length * scale
    items: list[Item] = [
        *joined(
            [(0.0, bottom), (long, bottom), (long, top), (0.0, top), (0.0, bottom)], Pen.DASHED, Layer.NOTE
        )
    ]
    x = 0.0
    for size, count in sawn.pieces:
        for _ in range(count):
            end = x + size * scale
            items += joined(
                [(x, bottom), (end, bottom), (end, top), (x, top), (x, bottom)], Pen.WIDE, Layer.NOTE
            )
            words = _length(size, stock).partition(" ")[0]
            if width(words, _SMALL) < end - x - 1.0:
                items.append(
                    Text(((x + end) / 2, bottom + _BAR / 2 - _SMALL / 2), words, _SMALL, anchor="middle")
                )
            x = end
    left = sawn.bar.length - sum(size * count for size, count in sawn.pieces)
    items.append(Stroke((x, bottom), (x, top), Pen.WIDE, Layer.NOTE))
    words = f"{sawn.times} x {_length(sawn.bar.length, stock)}, {_length(left, stock)} left"
    items.append(Text((room, bottom + _BAR / 2 - _SMALL / 2), words, _SMALL, anchor="right"))
    return Block(height=_BAR + 4.0, items=tuple(items))
