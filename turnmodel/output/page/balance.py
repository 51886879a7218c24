"""The object cut along its axis, with the point it balances on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.output.page.markup import Markup, joined, tag

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from turnmodel.output.page.content import Outline

__all__ = ["Frame", "balance_drawing", "frame_of", "ink"]

_AROUND: Final = 0.04
"""Paper left round the longest state, in lengths of it; house choice."""

_MARK: Final = 0.018
"""Radius of the balance mark, in lengths of the longest state; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The stretch of stations and the height from the axis that every state's drawing shows, [mm]."""

    low: float
    high: float
    tall: float
    deep: float

    @property
    def length(self) -> float:
        """Length that is shown, [mm]."""
        return self.high - self.low


def frame_of(outlines: Mapping[str, Mapping[str, Sequence[Outline]]]) -> Frame:
    """Find the frame that holds every state, so that all are drawn at one scale."""
    points = [
        point
        for parts in outlines.values()
        for part in parts.values()
        for outline in part
        for point in outline
    ]
    low, high = min(z for z, _ in points), max(z for z, _ in points)
    around = _AROUND * (high - low)
    return Frame(
        low=low - around,
        high=high + around,
        tall=max(h for _, h in points) + around / 2,
        deep=max(-h for _, h in points) + 3 * _MARK * (high - low) + around / 2,
    )


def balance_drawing(
    parts: Mapping[str, Sequence[Outline]],
    inks: Mapping[str, tuple[float, float, float]],
    balance: float,
    frame: Frame,
    label: str,
) -> Markup:
    """Draw a state cut along its axis, front to the left, and mark its balance point.

    Parameters
    ----------
    parts : mapping
        Part's name to its outlines, [mm]
    inks : mapping
        Part's name to its colour, sRGB from 0 to 1, [-]
    balance : float
        Station of the centre of mass, [mm]
    frame : Frame
        What is shown
    label : str
        What it shows to somebody who cannot see it

    Returns
    -------
    Markup
        An SVG
    """
    front = min(z for part in parts.values() for outline in part for z, _ in outline)
    size, drop = _MARK * frame.length, frame.deep - _AROUND / 4 * frame.length
    shapes = [
        tag("path", tag("title", name), d=_path(outlines), fill=ink(inks[name]), fill_rule="evenodd")
        for name, outlines in parts.items()
        if outlines
    ]
    marks = [
        _line(front, 0, front, drop),
        _line(balance, 0, balance, drop),
        _line(front, drop, balance, drop),
        tag("circle", cx=_n(balance), cy="0", r=_n(size), class_="disc"),
        tag("path", d=_quarters(balance, size), class_="quarters"),
    ]
    box = f"{_n(frame.low)} {_n(-frame.tall)} {_n(frame.length)} {_n(frame.tall + frame.deep)}"
    return tag(
        "svg",
        tag("title", label),
        tag("g", joined(shapes), class_="section"),
        tag("g", joined(marks), class_="balance"),
        viewBox=box,
        role="img",
    )


def ink(colour: tuple[float, float, float]) -> str:
    """Write a colour, sRGB from 0 to 1 [-], as HTML does.

    Examples
    --------
    >>> ink((1.0, 0.5, 0.0))
    '#ff8000'
    """
    return "#" + "".join(f"{round(255 * part):02x}" for part in colour)


def _path(outlines: Sequence[Outline]) -> str:
    return "".join(
        "M" + "L".join(f"{_n(z)} {_n(-height)}" for z, height in outline) + "Z"
        for outline in outlines
        if outline
    )


def _line(x0: float, y0: float, x1: float, y1: float) -> Markup:
    return tag("path", d=f"M{_n(x0)} {_n(y0)}L{_n(x1)} {_n(y1)}")


def _quarters(x: float, r: float) -> str:
    """Two opposite quarters of a disc."""
    return (
        f"M{_n(x)} 0L{_n(x + r)} 0A{_n(r)} {_n(r)} 0 0 0 {_n(x)} {_n(-r)}Z"
        f"M{_n(x)} 0L{_n(x - r)} 0A{_n(r)} {_n(r)} 0 0 0 {_n(x)} {_n(r)}Z"
    )


def _n(value: float) -> str:
    """Write a length to a hundredth of a millimetre."""
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short in ("-0", "") else short
