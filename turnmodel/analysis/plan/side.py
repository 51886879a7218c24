"""A turned part as it is seen in the lathe: from the end that stands out, feature by feature to the chuck.

Everything here is in the frame of the setting: u = 0 at the end that stands out, rising towards the chuck.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.design.features.base import Chamfer
from turnmodel.design.features.outside import Outside
from turnmodel.design.features.threaded import ExternalThread
from turnmodel.design.ledger import Ledger
from turnmodel.design.outline import outline
from turnmodel.geometry.boolean import difference, union
from turnmodel.geometry.curve import Arc, Line, mirrored, reversed_curve, shifted
from turnmodel.geometry.pieces import pieces
from turnmodel.geometry.region import Region, bounds, flipped, moved
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM

if TYPE_CHECKING:
    from turnmodel.analysis.plan.steps import End
    from turnmodel.design.features.base import Edge
    from turnmodel.design.features.operation import Operation
    from turnmodel.design.part import TurnedPart
    from turnmodel.design.turned import Turned
    from turnmodel.geometry.curve import Curve

__all__ = ["Band", "Corner", "Side", "as_seen", "hole_radius", "side"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The length of a feature outside: from u to u, its greatest diameter, its curves before edges, [mm]."""

    title: str
    feature: Outside
    start: float
    end: float
    diameter: float
    curves: tuple[Curve, ...]

    @property
    def operation(self) -> Operation:
        """How it is cut."""
        return self.feature.operation

    @property
    def thread(self) -> ExternalThread | None:
        """Its feature where that is a thread."""
        return self.feature if isinstance(self.feature, ExternalThread) else None

    @property
    def falls(self) -> bool:
        """Whether it is narrower at the chuck's end than it is before."""
        return self.curves[-1].end[1] < self.diameter / 2 - CONTACT_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """What an edge takes off a corner: its chamfer, or the arc of its rounding; who asks for it, [mm]."""

    region: Region
    start: float
    end: float
    inner_d: float
    outer_d: float
    title: str
    chamfer: Chamfer | None
    arc: Arc | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """A part from one end: length [mm], outline, the outline before corners are cut, bands, corners.

    ``hollows`` are the arcs that inner corners are left with.
    """

    out: End
    length: float
    outline: Region
    uncut: Region
    bands: tuple[Band, ...]
    corners: tuple[Corner, ...]
    hollows: tuple[Arc, ...]


def as_seen(region: Region, length: float, out: End) -> Region:
    """Turn a region of a part of a length [mm] into the frame of a setting, or back again."""
    return region if out == "front" or not region.loops else moved(flipped(region), length)


def side(part: TurnedPart, made: Turned, out: End) -> Side:
    """See a turned part from one of its ends."""
    found = outline(part.outside, Ledger(part=part.name))
    assert found is not None  # it is built
    length = made.length
    whole = as_seen(found.region, length, out)
    bands = []
    for place in made.outside:
        if not place.curves or not isinstance(place.feature, Outside):
            continue
        curves = place.curves
        if out == "back":
            curves = tuple(shifted(mirrored(c), length) for c in reversed(curves))
        under = _under(curves)
        bands.append(
            Band(
                title=place.title,
                feature=place.feature,
                start=curves[0].start[0],
                end=curves[-1].end[0],
                diameter=2 * bounds(under).r1,
                curves=curves,
            )
        )
    bands.sort(key=lambda band: band.start)
    plain = union(*(_under(band.curves) for band in bands))
    uncut = union(whole, plain)
    return Side(
        out=out,
        length=length,
        outline=whole,
        uncut=uncut,
        bands=tuple(bands),
        corners=_corners(uncut, whole, bands, out),
        hollows=tuple(
            c
            for loop in difference(whole, plain).loops
            for c in loop
            if isinstance(c, Arc) and _new(c, bands)
        ),
    )


def _under(curves: tuple[Curve, ...]) -> Region:
    """Fill what lies between curves that rise in u and the axis."""
    (u0, r0), (u1, r1) = curves[0].start, curves[-1].end
    loop: list[Curve] = [Line(start=(u0, 0.0), end=(u1, 0.0))]
    if r1 > SAME_MM:
        loop.append(Line(start=(u1, 0.0), end=(u1, r1)))
    loop += [reversed_curve(c) for c in reversed(curves)]
    if r0 > SAME_MM:
        loop.append(Line(start=(u0, r0), end=(u0, 0.0)))
    return Region(loops=(tuple(loop),))


def _new(arc: Arc, bands: list[Band]) -> bool:
    """Whether an arc is no feature's own."""
    own = (c.center for band in bands for c in band.curves if isinstance(c, Arc))
    return all(math.dist(arc.center, center) > CONTACT_MM for center in own)


def _corners(uncut: Region, whole: Region, bands: list[Band], out: End) -> tuple[Corner, ...]:
    """Find what edges take off, corner by corner."""
    rounds = [c for loop in whole.loops for c in loop if isinstance(c, Arc) and _new(c, bands)]
    found = []
    for loop in difference(uncut, whole).loops:
        region = Region(loops=(loop,))
        box = bounds(region)
        arc = next((a for a in rounds if any(isinstance(c, Arc) and _same(c, a) for c in loop)), None)
        title, edge = _asked(box.z0, box.z1, bands, out)
        found.append(
            Corner(
                region=region,
                start=box.z0,
                end=box.z1,
                inner_d=2 * box.r0,
                outer_d=2 * box.r1,
                title=title,
                chamfer=edge if isinstance(edge, Chamfer) else None,
                arc=arc,
            )
        )
    return tuple(sorted(found, key=lambda corner: corner.start))


def _asked(start: float, end: float, bands: list[Band], out: End) -> tuple[str, Edge | None]:
    """Find the band at one of whose ends a corner lies, and the edge that it asks for there."""
    low, high = ("front", "back") if out == "front" else ("back", "front")
    near: list[tuple[str, Edge | None]] = []
    for band in bands:
        for station, end_name in ((band.start, low), (band.end, high)):
            if start - CONTACT_MM <= station <= end + CONTACT_MM:
                edge = getattr(band.feature, end_name) or band.feature.edges
                near.append((band.title, edge))
    asked = [pair for pair in near if pair[1] is not None]
    return (asked or near or [("", None)])[0]


def _same(one: Arc, other: Arc) -> bool:
    dz, dr = one.center[0] - other.center[0], one.center[1] - other.center[1]
    return max(abs(dz), abs(dr), abs(one.radius - other.radius)) < CONTACT_MM


def hole_radius(region: Region, station: float) -> float:
    """Give the radius of the hole at a station, 0 where it is solid, infinite where nothing is; [mm]."""
    heights = sorted(p.at(station) for p in pieces(region.loops) if p.z0 + SAME_MM < station < p.z1 - SAME_MM)
    if not heights:
        return float("inf")
    return 0.0 if heights[0] < CONTACT_MM else heights[0]
