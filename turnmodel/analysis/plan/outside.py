"""Steps that cut the outside: turning down, necks, knurls, tapers and curves, corners, threads."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.dial import divisions, passes
from turnmodel.analysis.plan.job import SCRAP, at_hand, slide
from turnmodel.analysis.plan.round_steps import CUSP
from turnmodel.analysis.plan.rounding import BY_HAND, by_hand, rounds
from turnmodel.analysis.plan.steps import NOTHING, Step, Verb
from turnmodel.analysis.plan.threading import thread_step
from turnmodel.analysis.thread_blank import thread_blank
from turnmodel.design.features.operation import Operation
from turnmodel.design.features.outside import Cylinder
from turnmodel.design.ledger import mm
from turnmodel.geometry.boolean import difference
from turnmodel.geometry.curve import Line
from turnmodel.geometry.moments import area
from turnmodel.geometry.region import Region, ring
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from turnmodel.analysis.plan.job import Job
    from turnmodel.analysis.plan.side import Band, Corner, Side
    from turnmodel.geometry.curve import Point

__all__ = ["Phases", "outside_steps", "split", "turned_to"]

_SAME_ANGLE: Final = 0.05
"""Difference [degrees] of slopes that no slide is set to."""


@dataclass(slots=True, kw_only=True)
class Phases:
    """Steps of the outside in the groups that a setting takes them in."""

    turning: list[Step] = field(default_factory=list)
    shaping: list[Step] = field(default_factory=list)
    corners: list[Step] = field(default_factory=list)
    threads: list[Step] = field(default_factory=list)


def split(side: Side) -> int:
    """Tell how many bands are turned from this end: up to the last that is widest at its far end."""
    widest = max(band.diameter for band in side.bands)
    wide = [k for k, band in enumerate(side.bands) if band.diameter > widest - CONTACT_MM]
    level = [k for k in wide if not side.bands[k].falls]
    return (level or wide)[-1] + 1


def outside_steps(
    job: Job,
    side: Side,
    bands: Sequence[Band],
    corners: Sequence[Corner],
    *,
    standing_d: float,
    touched_d: float,
    past: float = 0.0,
) -> Phases:
    """Plan the outside of some bands, the first at the end that stands out.

    Parameters
    ----------
    job : Job
        The job
    side : Side
        The part from that end
    bands : sequence of Band
        Bands that are cut in this setting
    corners : sequence of Corner
        Corners that are
    standing_d : float
        Basic diameter that stands there now, [mm]
    touched_d : float
        Diameter at which the tool first touches: a thread's is turned a little under its basic one, [mm]
    past : float
        How far past the last band it is turned, so that it is parted off where it is turned, [mm]

    Returns
    -------
    Phases
        The steps
    """
    found = Phases()
    reach: list[float] = []
    for band in bands:
        reach.append(max(band.diameter, reach[-1] if reach else 0.0))
    _turning(job, side, bands, reach, (standing_d, touched_d, past), found)
    for band, env in zip(bands, reach, strict=True):
        _necked(job, side, band, env, _stands(bands, env), found)
        if isinstance(band.feature, Cylinder) and band.feature.knurled is not None:
            found.turning.append(_knurled(job, band))
        _shaped(job, side, band, found)
    found.corners += _cornered(job, side, corners)
    for k, band in enumerate(bands):
        if band.thread is not None:
            widest_before = max((b.diameter for b in bands[:k]), default=0.0)
            behind = next(iter(bands[k + 1 :]), None)
            found.threads.append(thread_step(job, band, behind, passes_over=widest_before))
    return found


def _cut(keep: Region, start: float, end: float, outer_d: float, inner_d: float) -> Region:
    """What a tool takes off between two stations and two diameters, [mm], leaving what is kept."""
    return difference(ring(start, end, outer_d, inner_d), keep)


def _bites(region: Region) -> bool:
    return bool(region.loops) and area(region) > SCRAP


def _turning(
    job: Job,
    side: Side,
    bands: Sequence[Band],
    reach: list[float],
    stands: tuple[float, float, float],
    found: Phases,
) -> None:
    """Turn down to each diameter, the widest first, each up to where the next wider begins.

    A thread whose diameter a plain length shares is turned down a little more, by itself.
    """
    standing, touched, past = stands
    for wider, diameter in pairwise([math.inf, *sorted(set(reach), reverse=True)]):
        if _same(wider, diameter):
            continue
        flush = [b for b, env in zip(bands, reach, strict=True) if _same(env, b.diameter)]
        level = [b for b in flush if _same(b.diameter, diameter)]
        if standing - diameter >= CONTACT_MM:
            upto = max(k for k, env in enumerate(reach) if env <= diameter + CONTACT_MM)
            last, where = bands[upto], f"up to {job.say(bands[upto].end)} from the face"
            end = last.end
            if past and upto == len(bands) - 1:
                end += past
                where = f"over the whole length, {job.say(end)} from the face"
                level = [b for b in side.bands if _same(b.diameter, diameter)]
            own = max(level, key=turned_to)
            region = _cut(side.uncut, 0.0, end, standing, diameter)
            where += _left(job, side, last.end, diameter)
            found.turning.append(_turned(job, own, touched, where, region))
            standing, touched = diameter, turned_to(own)
        found.turning += [
            _turned(job, band, touched, f"from {job.say(band.start)} to {job.say(band.end)} from the face")
            for band in bands
            if band in level and turned_to(band) < touched - CONTACT_MM
        ]


def _turned(job: Job, band: Band, touched: float, where: str, region: Region = NOTHING) -> Step:
    """Turn a band from a diameter [mm] to its own, a thread's within its limits."""
    why = ""
    if band.thread is not None:
        ends = thread_blank(band.thread).span
        why = f" for {band.thread.size}"
        why += f" ({job.say.fine(ends[0])} to {job.say.fine(ends[1])})" if ends else ""
    return Step(
        verb=Verb.TURN,
        text=f"to {job.d(turned_to(band))}{why} {where}",
        removes=region,
        feature=band.title,
        tools=(at_hand("turning tool"),),
        turns=job.turns_down(touched, turned_to(band)),
        passes=passes(touched, turned_to(band), job.material, job.tools.lathe),
    )


def _same(one: float, other: float) -> bool:
    return abs(one - other) < CONTACT_MM


def _left(job: Job, side: Side, end: float, diameter: float) -> str:
    """Name the radii that a diameter's inner corners keep, up to a station."""
    kept = [
        f"R{job.say(arc.radius)} at {job.say(min(arc.start[0], arc.end[0]))}"
        for arc in side.hollows
        if arc.start[0] <= end + CONTACT_MM and abs(min(arc.start[1], arc.end[1]) - diameter / 2) < CONTACT_MM
    ]
    return f"; leave {' and '.join(kept)} in the corner" if kept else ""


def turned_to(band: Band) -> float:
    """Tell to which diameter a band is turned, a thread's a little under its own, [mm]."""
    return band.diameter if band.thread is None else thread_blank(band.thread).diameter


def _stands(bands: Sequence[Band], env: float) -> float:
    """Tell what stands where a band is cut in behind one of a diameter, [mm]."""
    return max(turned_to(band) for band in bands if _same(band.diameter, env))


def _necked(job: Job, side: Side, band: Band, env: float, stands: float, found: Phases) -> None:
    """Cut in a band that lies behind a wider one."""
    region = _cut(side.uncut, band.start, band.end, env, band.diameter)
    if env - band.diameter < CONTACT_MM or not _bites(region):
        return
    wide = band.end - band.start
    groove = band.operation in (Operation.GROOVE, Operation.RELIEVE)
    fits = job.kerf <= wide + CONTACT_MM
    tool = at_hand("parting tool") if fits else at_hand("grooving tool", f"{job.say(wide)} wide")
    target = turned_to(band)
    dial = round(divisions((stands - target) / 2, job.tools.lathe), 1)
    word = {Operation.GROOVE: "groove ", Operation.RELIEVE: "relief "}.get(band.operation, "")
    radius = mm(getattr(band.feature, "radius", 0.0) or 0.0)
    rounded = f"; corners R{job.say(radius)} at the bottom, off the tool" if groove and radius else ""
    found.turning.append(
        Step(
            verb=Verb.NECK,
            text=f"{word}{job.d(target)}, {job.say(wide)} wide, from {job.say(band.start)} to "
            f"{job.say(band.end)} from the face: {dial:g} divisions in from {job.d(stands)}{rounded}",
            removes=region,
            feature=band.title,
            tools=(tool,),
            turns=job.turns(env, "form"),
        )
    )


def _knurled(job: Job, band: Band) -> Step:
    assert isinstance(band.feature, Cylinder)
    knurl = band.feature.knurled
    assert knurl is not None
    return Step(
        verb=Verb.KNURL,
        text=f"pitch {job.say(mm(knurl.pitch))} from {job.say(band.start)} to {job.say(band.end)}; it grows "
        f"by about {job.say(knurl.raised)}. Press hard at once, so that the wheels track; oil, and brush",
        feature=band.title,
        tools=(at_hand("knurls", f"pitch {job.say(mm(knurl.pitch))}"),),
        turns=job.turns(band.diameter, "knurl"),
    )


# tapers and curves


def _shaped(job: Job, side: Side, band: Band, found: Phases) -> None:
    """Cut what slopes or curves in a band."""
    region = _cut(side.uncut, band.start, band.end, band.diameter, 0.0)
    if not _bites(region):
        return
    for curve in band.curves:
        if isinstance(curve, Line):
            found.shaping.append(_taper(job, band, curve, region))
        else:
            found.shaping += rounds(job, side, band.title, curve, region)


def _taper(job: Job, band: Band, line: Line, region: Region) -> Step:
    (u0, r0), (u1, r1) = line.start, line.end
    half = math.degrees(math.atan2(abs(r1 - r0), u1 - u0))
    along = math.hypot(u1 - u0, r1 - r0)
    return Step(
        verb=Verb.TAPER,
        text=f"{job.d(2 * r0)} at {job.say(u0)} to {job.d(2 * r1)} at {job.say(u1)} from the face. "
        f"{slide(half)}, {job.say(along)} along it; tool on centre height",
        removes=region,
        feature=band.title,
        tools=(at_hand("turning tool"),),
        turns=job.turns(2 * max(r0, r1)),
    )


# corners


def _cornered(job: Job, side: Side, corners: Iterable[Corner]) -> list[Step]:
    """Chamfer and round the corners of a setting."""
    straight = [corner for corner in corners if corner.arc is None]
    round_ = [corner for corner in corners if corner.arc is not None]
    small = [c for c in round_ if _little(c)]
    large = [c for c in round_ if not _little(c)]
    found = []
    for corner in large:
        assert corner.arc is not None
        found += rounds(job, side, corner.title, corner.arc, corner.region)
    if straight:
        listed = "; ".join(_chamfer(job, c) for c in straight)
        found.append(
            Step(
                verb=Verb.CHAMFER,
                text=listed,
                removes=_all(straight),
                tools=(at_hand("chamfering tool"),),
                turns=job.turns(max(c.outer_d for c in straight), "form"),
            )
        )
    if small:
        listed = "; ".join(
            f"R{job.say(c.arc.radius)} on {job.d(c.outer_d)} at {job.say(c.start)}" for c in small if c.arc
        )
        found.append(by_hand(job, small[0].title, listed, _all(small), max(c.outer_d for c in small)))
    return found


def _little(corner: Corner) -> bool:
    """Whether so little is rounded off that a file does it alone."""
    assert corner.arc is not None
    return corner.arc.radius <= BY_HAND + CONTACT_MM or area(corner.region) < CUSP * (
        corner.end - corner.start
    )


def _chamfer(job: Job, corner: Corner) -> str:
    """Write a chamfer as it is asked for where that is how it is cut; else its slope, from end to end."""
    (u0, r0), (u1, r1) = _slope(corner)
    angle = math.degrees(math.atan2(abs(r1 - r0), u1 - u0))
    asked = corner.chamfer
    size = mm(asked.size) if asked is not None else u1 - u0
    if asked is None or (abs(angle - asked.angle) < _SAME_ANGLE and abs(u1 - u0 - size) < CONTACT_MM):
        return f"{job.say(size)} x {angle:.3g}° on {job.d(corner.outer_d)} at {job.say(corner.start)}"
    return (
        f"{angle:.1f}° to the axis by the top slide, {job.d(2 * r0)} at {job.say(u0)} to {job.d(2 * r1)} at "
        f"{job.say(u1)}"
    )


def _slope(corner: Corner) -> tuple[Point, Point]:
    """Find the ends of the cut that a chamfer is: the lowest line over the whole of its corner."""
    lines = [
        sorted((curve.start, curve.end))
        for loop in corner.region.loops
        for curve in loop
        if abs(abs(curve.end[0] - curve.start[0]) - (corner.end - corner.start)) < CONTACT_MM
    ]
    whole = [(corner.start, corner.inner_d / 2), (corner.end, corner.outer_d / 2)]
    first, last = min(lines, key=lambda ends: ends[0][1] + ends[1][1], default=whole)
    return first, last


def _all(corners: Sequence[Corner]) -> Region:
    return Region(loops=tuple(loop for corner in corners for loop in corner.region.loops))
