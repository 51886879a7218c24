"""The cut sheet on paper: to be propped up at the lathe and ticked off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.lathe import stages
from turnmodel.output.papers.cut_entries import Entry, Grid, Words, cut_words
from turnmodel.output.papers.cut_sketch import sketch
from turnmodel.output.papers.ink import Item, Layer, Pen, Sheet, Stroke, Text, joined, moved
from turnmodel.output.papers.lettering import width, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from turnmodel.analysis.plan.steps import Plan
    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.geometry.region import Region
    from turnmodel.output.papers.page import Paper

__all__ = [
    "FILING",
    "MARGIN",
    "Block",
    "cut_sheet",
    "flowed",
    "grid_block",
    "heading",
    "lines_block",
    "stacked",
]

FILING: Final = 20.0
"""Left margin [mm], wide enough to file the sheet, ISO 5457:1999, clause 4.1."""
MARGIN: Final = 10.0
"""Other margins [mm], ISO 5457:1999, clause 4.1."""

_LARGE: Final = 5.0
_HEAD: Final = 3.5
_BODY: Final = 2.5
_SMALL: Final = 1.8
"""Heights of lettering [mm], ISO 3098-1: at arm's length 2.5 mm reads."""

_LINE: Final = 1.75
"""Distance of lines over the height of their letters [-]; house choice."""

_VERB: Final = 10.0
_TEXT: Final = 36.5
_TURNS: Final = 25.0
"""Where verb and text begin, and the width of the column of speeds at the right, [mm]; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """What is not broken over two pages: its height [mm], and its ink below y = 0.

    ``heads`` tells whether it may not stand last on a page.
    """

    height: float
    items: tuple[Item, ...]
    heads: bool = False


def cut_sheet(plan: Plan, tools: Toolbox, paper: Paper, design: str, revision: str) -> tuple[Sheet, ...]:
    """Lay a cut sheet out on paper that stands.

    Parameters
    ----------
    plan : Plan
        The plan of a part
    tools : Toolbox
        The tools it was made with
    paper : Paper
        Size of the paper
    design : str
        Name of the object
    revision : str
        Revision of its script

    Returns
    -------
    tuple of Sheet
        The pages
    """
    words = cut_words(plan, tools)
    high, wide = paper.value
    room = wide - FILING - MARGIN
    shown = stages(plan, tools) if plan.settings else ()
    blocks = [_facts(words, room)]
    for k, section in enumerate(words.sections):
        blocks.append(heading(section.title, section.why, room))
        if k < len(shown):
            blocks.append(_sketched(plan, k, shown[k], room))
        blocks += [_step(entry, room) for entry in section.entries]
        if section.grid is not None:
            blocks.append(grid_block(section.grid, room, _TEXT, 3))
    return flowed(blocks, f"{words.part}: cut sheet", f"{design}, revision {revision}", (wide, high))


def lines_block(
    words: str, height: float, x: float, long: float, *, after: float = 0.0, mark: str = ""
) -> Block:
    """Set words in lines that begin at x and are no longer than a length, with room after them, all [mm]."""
    lines = wrapped(words, height, long)
    step = _LINE * height
    items: list[Item] = [Text((x, -height - k * step), line, height) for k, line in enumerate(lines)]
    if mark:
        items.append(Text((x - 1.2, -height), mark, height, anchor="right"))
    return Block(height=len(lines) * step + after, items=tuple(items))


def stacked(blocks: Iterable[Block], *, heads: bool = False) -> Block:
    """Stand blocks one under the other as one."""
    items: list[Item] = []
    y = 0.0
    for block in blocks:
        items += moved(block.items, 0.0, -y)
        y += block.height
    return Block(height=y, items=tuple(items), heads=heads)


def _facts(words: Words, room: float) -> Block:
    """Material, stock and notes at the head of the sheet."""
    share = room / len(words.facts)
    items: list[Item] = []
    for k, (caption, text) in enumerate(words.facts):
        items.append(Text((k * share, -_SMALL), caption, _SMALL))
        fits = next((h for h in (_BODY, 2.0, _SMALL) if width(text, h) <= share - 2), _SMALL)
        items.append(Text((k * share, -_SMALL - 4.6), text, fits))
    facts = Block(height=9.5, items=tuple(items))
    notes = [lines_block(note, _BODY, 0.0, room, after=1.0) for note in words.notes]
    return stacked([facts, *notes])


def heading(title: str, why: str, room: float) -> Block:
    """A section's title over a line as long as the room, [mm]."""
    items: list[Item] = [
        *joined([(0.0, -4.0), (room, -4.0)], Pen.WIDE, Layer.FRAME),
        Text((0.0, -5.5 - _HEAD), title, _HEAD),
        Text((width(title, _HEAD) + 4.0, -5.5 - _HEAD), why, _SMALL),
    ]
    if why:
        items.append(Text((room, -5.5 - _HEAD), "turns a minute", _SMALL, anchor="right"))
    return Block(height=13.0, items=tuple(items), heads=True)


def _sketched(plan: Plan, k: int, shown: tuple[Region, Region], room: float) -> Block:
    """The work as it stands when a setting is done."""
    high, items = sketch(plan, k, shown, room)
    return Block(height=high + 4.0, items=tuple(moved(items, 0.0, -high - 1.0)), heads=True)


def _step(entry: Entry, room: float) -> Block:
    """A step: a box to tick, its number, verb, text, speed; its readings and cautions under it."""
    long = room - _TEXT - _TURNS
    text = lines_block(entry.text, _BODY, _TEXT, long)
    base = -_BODY
    marks: list[Item] = [
        *joined(
            [(0.0, base), (3.0, base), (3.0, base + 3.0), (0.0, base + 3.0), (0.0, base)],
            Pen.NARROW,
            Layer.FRAME,
        ),
        Text((8.6, base), str(entry.number), _BODY, anchor="right"),
        Text((_VERB, base), entry.verb.upper(), _BODY),
        Text((room, base), entry.turns, _BODY, anchor="right"),
    ]
    blocks = [replace(text, items=(*marks, *text.items))]
    if entry.readings:
        blocks.append(lines_block(entry.readings, _BODY, _TEXT, room - _TEXT))
    if entry.grid is not None:
        blocks.append(grid_block(entry.grid, room, _TEXT, 4))
    blocks += [
        lines_block(caution, _BODY, _TEXT + 3.0, room - _TEXT - 3.0, mark="▲") for caution in entry.cautions
    ]
    made = stacked(blocks)
    return replace(made, height=made.height + 1.6)


def grid_block(grid: Grid, room: float, x: float, columns: int) -> Block:
    """A table in columns [-], read down and then on, from x to the room's width, [mm]."""
    step = _LINE * _BODY
    deep = -(-len(grid.rows) // columns)
    share = (room - x) / columns
    cells = len(grid.headings)
    items: list[Item] = []
    for c in range(columns):
        rows = grid.rows[c * deep : (c + 1) * deep]
        if not rows:
            continue
        left = x + c * share
        ends = [left + (n + 1) * (share - 4.0) / cells for n in range(cells)]
        items += [
            Text((end, -_SMALL), words, _SMALL, anchor="right")
            for end, words in zip(ends, grid.headings, strict=True)
        ]
        items.append(Stroke((left, -3.0), (left + share - 4.0, -3.0), Pen.NARROW, Layer.FRAME))
        for k, row in enumerate(rows):
            y = -4.2 - _BODY - k * step
            items += [
                Text((end, y), words, _BODY, anchor="right") for end, words in zip(ends, row, strict=True)
            ]
    return Block(height=5.5 + deep * step, items=tuple(items))


def flowed(blocks: Sequence[Block], title: str, under: str, size: tuple[float, float]) -> tuple[Sheet, ...]:
    """Flow blocks over pages of a size [mm]; a heading goes with what follows it.

    Parameters
    ----------
    blocks : sequence of Block
        The blocks
    title : str
        Title of every page
    under : str
        Line beside it
    size : tuple of float
        Width and height of the paper, [mm]

    Returns
    -------
    tuple of Sheet
        The pages, numbered
    """
    wide, high = size
    top, bottom = high - MARGIN - 12.0, MARGIN + 2.0
    pages: list[list[Item]] = [[]]
    y = top
    k = 0
    while k < len(blocks):
        group = [blocks[k]]
        while group[-1].heads and k + len(group) < len(blocks):
            group.append(blocks[k + len(group)])
        if y - sum(block.height for block in group) < bottom and y < top:
            pages.append([])
            y = top
        for block in group:
            pages[-1] += moved(block.items, FILING, y)
            y -= block.height
        k += len(group)
    return tuple(
        Sheet(
            title=title,
            width=wide,
            height=high,
            items=(*_head(title, f"{under}, page {n} of {len(pages)}", wide, high), *items),
        )
        for n, items in enumerate(pages, 1)
    )


def _head(title: str, under: str, wide: float, high: float) -> list[Item]:
    """The head of a page: its title, what it belongs to."""
    y = high - MARGIN - _LARGE
    return [
        Text((FILING, y), title, _LARGE),
        Text((wide - MARGIN, y), under, _SMALL, anchor="right"),
    ]
