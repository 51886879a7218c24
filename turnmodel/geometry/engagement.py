"""Threaded bodies on one axis: their phase, overlap, least distance and engagement.

All bodies are given in one frame. A turn is counter-clockwise seen from the end the axis points to.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise, product
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.errors import BadValue
from turnmodel.geometry.boolean import intersection
from turnmodel.geometry.distance import Gap, least_distance
from turnmodel.geometry.overlap import overlap_volume
from turnmodel.geometry.thread_form import Form, form_levels, half_width, thread_form
from turnmodel.geometry.thread_moments import (
    envelope,
    envelope_knots,
    removed_share,
    shared_moments,
    span_region,
)
from turnmodel.geometry.tolerance import CONTACT_MM, SAME_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from turnmodel.catalog.threads import Thread
    from turnmodel.geometry.body import Body, ThreadSpan
    from turnmodel.geometry.curve import Point
    from turnmodel.geometry.region import Region
    from turnmodel.geometry.thread_moments import Share

    Floats = NDArray[np.float64]

__all__ = [
    "Engagement",
    "FlankClearance",
    "FullLengths",
    "body_distance",
    "body_overlap",
    "body_turned",
    "engaged",
    "flank_clearance",
    "full_lengths",
    "matching",
    "phase_shift",
    "phase_turn",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Engagement:
    """How far a screw stands in its hole, in [mm]: from ``start`` to ``end`` at its full ``depth`` a side."""

    start: float
    end: float
    depth: float
    turns: float

    @property
    def length(self) -> float:
        """Length at full depth, [mm]."""
        return self.end - self.start


@dataclass(frozen=True, slots=True, kw_only=True)
class FullLengths:
    """Where a screw and its hole each have the greatest ``depth`` a side that they can share, in [mm]."""

    male: tuple[float, float]
    female: tuple[float, float]
    depth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FlankClearance:
    """Room between two threads: on the pitch diameter, square to a flank, and as end play, all in [mm]."""

    pitch_d: float
    normal: float
    axial: float


def matching(male: ThreadSpan, female: ThreadSpan) -> bool:
    """Tell whether two spans are a screw and a hole of one angle, pitch, lead and hand, of any size."""
    a, b = male.thread, female.thread
    return (
        male.external
        and not female.external
        and (a.pitch, a.starts, a.left, a.form.angle) == (b.pitch, b.starts, b.left, b.form.angle)
    )


def _lead(span: ThreadSpan) -> float:
    """Tell how far a turn advances along the axis, negative for a left hand."""
    return -span.thread.lead if span.thread.left else span.thread.lead


def _least(distance: float, period: float) -> float:
    """Bring a periodic distance nearest to zero."""
    return distance - period * round(distance / period)


def phase_turn(male: ThreadSpan, female: ThreadSpan) -> float:
    """Find the least turn of a screw, where it stands, that puts its helix in step with the hole's.

    Returns
    -------
    float
        Turn about +z, within half a turn over the number of starts either way, [degrees]
    """
    _require_match(male, female)
    return 360 * _least(male.anchor - female.anchor, male.thread.pitch) / _lead(male)


def phase_shift(male: ThreadSpan, female: ThreadSpan, turn: float = 0.0) -> float:
    """Find the least shift along the axis that puts a screw, held at a turn, in step with its hole.

    Parameters
    ----------
    male, female : ThreadSpan
        A screw and its hole, of one pitch, lead and hand
    turn : float
        Turn about +z at which the screw is held, from where it is given, [degrees]

    Returns
    -------
    float
        Shift of the screw, within half a pitch either way, [mm]
    """
    _require_match(male, female)
    return _least(female.anchor - male.anchor + _lead(male) * turn / 360, male.thread.pitch)


def _require_match(male: ThreadSpan, female: ThreadSpan) -> None:
    """Refuse a pair that does not screw together."""
    if not matching(male, female):
        screw, hole = male.thread, female.thread
        rule = f"a screw {screw.designation} does not go into a hole {hole.designation}"
        raise BadValue("pitch", screw.pitch, "mm", rule, f"the hole's pitch is {hole.pitch:g} mm")


def body_turned(body: Body, turn: float) -> Body:
    """Turn a body about its axis: the plain region stays, the threads' anchors move.

    Parameters
    ----------
    body : Body
        Any body
    turn : float
        Turn about +z, [degrees]
    """
    spans = (replace(s, anchor=s.anchor - _lead(s) * turn / 360) for s in body.threads)
    return replace(body, threads=tuple(spans))


def body_overlap(a: Body, b: Body) -> float:
    r"""Measure the volume that two coaxial bodies share, threads included.

    .. math:: V = V_{AB} - \sum_i T_i - \sum_j T_j + \sum_{ij} T_{ij}

    with :math:`V_{AB}` the overlap of the plain regions, and of it :math:`T_i` the part that a thread of one
    body takes away, and :math:`T_{ij}` the part that a thread of each takes away alike.

    Parameters
    ----------
    a, b : Body
        In one frame, as clocked

    Returns
    -------
    float
        Volume, [mm3]; zero where they are apart or only touch

    Notes
    -----
    A screw in its hole is taken in the phase that its anchors give. Threads of other pairs have no phase:
    their teeth are taken to meet in every position alike. Exact to rounding, less 1e-9 of the threads' volume
    where rounded crests meet flanks out of phase.

    Examples
    --------
    >>> from turnmodel.geometry.body import Body
    >>> from turnmodel.geometry.region import ring
    >>> round(body_overlap(Body(plain=ring(0, 10, 8)), Body(plain=ring(8, 20, 6))) / math.pi, 9)
    18.0
    """
    volume = overlap_volume(a.plain, b.plain)
    if volume == 0 or not (a.threads or b.threads):
        return volume
    common = intersection(a.plain, b.plain)
    of_a = [(s, _cut_by(s, common)) for s in a.threads]
    of_b = [(s, _cut_by(s, common)) for s in b.threads]
    for span, region in (*of_a, *of_b):
        volume -= shared_moments(region, *removed_share(span)).volume
    for one, region_one in of_a:
        for other, region_other in of_b:
            both = intersection(region_one, region_other)
            if both.loops:
                volume += shared_moments(both, *_both_removed(one, other)).volume
    return max(volume, 0.0)


def _cut_by(span: ThreadSpan, common: Region) -> Region:
    """Keep what lies between a thread's envelopes."""
    return intersection(span_region(span), common)


def _both_removed(one: ThreadSpan, other: ThreadSpan) -> tuple[Share, tuple[float, ...]]:
    """Tell the share of each circle that two threads both take away."""
    for male, female in ((one, other), (other, one)):
        if matching(male, female):
            return _in_phase(male, female)
    (first, levels), (second, more) = removed_share(one), removed_share(other)
    return lambda r: first(r) * second(r), (*levels, *more)


def _in_phase(male: ThreadSpan, female: ThreadSpan) -> tuple[Share, tuple[float, ...]]:
    """Tell the share of each circle that is in the hole's groove but not in the screw's ridge."""
    ridge, groove = thread_form(male.thread, external=True), thread_form(female.thread, external=False)
    pitch = ridge.pitch
    apart = _least(female.anchor - male.anchor, pitch)

    def share(r: Floats) -> Floats:
        m, f = half_width(ridge, r), half_width(groove, r)
        met = np.zeros_like(m)
        for middle in (apart - pitch, apart, apart + pitch):
            met += np.maximum(np.minimum(m, middle + f) - np.maximum(-m, middle - f), 0.0)
        return (2 * f - met) / pitch

    levels = sorted({*form_levels(ridge), *form_levels(groove)})
    return share, (*levels, *_meetings(ridge, groove, apart, levels))


def _meetings(ridge: Form, groove: Form, apart: float, levels: Sequence[float]) -> list[float]:
    """Find the radii at which an edge of the ridge passes an edge of the groove."""
    # Inside the levels, on which the width may jump.
    spans = [np.linspace(a + SAME_MM, b - SAME_MM, 17) for a, b in pairwise(levels)]
    low, high = np.concatenate([s[:-1] for s in spans]), np.concatenate([s[1:] for s in spans])
    found: list[float] = []
    for sign in (1, -1):
        for distance in {apart, -apart, ridge.pitch - abs(apart), abs(apart) - ridge.pitch}:

            def ahead(r: Floats, sign: int = sign, distance: float = distance) -> Floats:
                return half_width(ridge, r) + sign * half_width(groove, r) - distance

            at_low, at_high = ahead(low), ahead(high)
            hit = (at_low * at_high <= 0) & (at_low != at_high)
            a, b, at_a = low[hit], high[hit], at_low[hit]
            for _ in range(48 if hit.any() else 0):
                middle = (a + b) / 2
                at = ahead(middle)
                same = at * at_a > 0
                a, b = np.where(same, middle, a), np.where(same, b, middle)
            found += ((a + b) / 2).tolist()
    return found


def body_distance(a: Body, b: Body) -> Gap:
    """Measure the least distance between two coaxial bodies.

    Parameters
    ----------
    a, b : Body
        In one frame, neither of them empty

    Returns
    -------
    Gap
        Distance, and the nearest points; zero where the bodies touch or overlap, [mm]

    Notes
    -----
    A screw in its hole touches it along the flanks, at basic size: distance zero; :func:`flank_clearance`
    tells the room that the tolerances leave. Any other thread counts as the cylinder of its crests.
    """
    gap = least_distance(a.plain, b.plain)
    if gap.distance > CONTACT_MM:
        return gap
    for male, female in (*product(a.threads, b.threads), *product(b.threads, a.threads)):
        if found := engaged(male, female):
            at = ((found.start + found.end) / 2, male.thread.pitch_d / 2)
            return Gap(distance=0.0, a_at=at, b_at=at)
    return gap


def engaged(male: ThreadSpan, female: ThreadSpan) -> Engagement | None:
    """Measure how far a screw stands in its hole, or tell by None that it does not.

    Returns
    -------
    Engagement or None
        From first to last station at full common depth

    Notes
    -----
    Depth is what the envelopes share between the screw's crest and the hole's, so a hole drilled large or a
    screw turned small shows. Chamfers and run-outs, where either is less deep, do not count: two threads
    whose chamfers alone lie over each other are not engaged.
    """
    full = full_lengths(male, female)
    if full is None:
        return None
    start, end = max(full.male[0], full.female[0]), min(full.male[1], full.female[1])
    if end - start <= CONTACT_MM:
        return None
    return Engagement(start=start, end=end, depth=full.depth, turns=(end - start) / male.thread.lead)


def full_lengths(male: ThreadSpan, female: ThreadSpan) -> FullLengths | None:
    """Find between which stations a screw and its hole each have the depth that the two can share, [mm].

    Returns
    -------
    FullLengths or None
        None where they do not match, or where the hole's crest stands clear of the screw's
    """
    if not matching(male, female):
        return None
    crests = (max(r for _, r in span.ceiling) for span in (male, female))
    roots = (min(r for _, r in span.floor) for span in (male, female))
    high = min(*crests, *(thread_form(s.thread, s.external).high for s in (male, female)))
    low = max(*roots, *(thread_form(s.thread, s.external).low for s in (male, female)))
    if high - low <= CONTACT_MM:
        return None
    one, other = (_deep(span, low, high) for span in (male, female))
    return FullLengths(male=one, female=other, depth=high - low) if one and other else None


def _deep(span: ThreadSpan, low: float, high: float) -> tuple[float, float] | None:
    """Find the first and the last station at which a thread reaches from one radius to another."""
    z = envelope_knots(span.floor, span.ceiling)
    z = np.unique(np.concatenate([z, _passing(span.floor, low, z), _passing(span.ceiling, high, z)]))
    missing = np.maximum(high - envelope(span.ceiling, z), envelope(span.floor, z) - low)
    deep = z[missing < CONTACT_MM]
    return (float(deep[0]), float(deep[-1])) if len(deep) else None


def _passing(line: Sequence[Point], radius: float, z: Floats) -> Floats:
    """Find the stations between knots at which an envelope passes a radius."""
    apart = envelope(line, z) - radius
    (i,) = np.nonzero(apart[:-1] * apart[1:] < 0)
    found: Floats = z[i] + apart[i] / (apart[i] - apart[i + 1]) * (z[i + 1] - z[i])
    return found


def flank_clearance(thread: Thread, external_pitch_d: float, internal_pitch_d: float) -> FlankClearance:
    r"""Tell the room between the flanks of a screw and a hole that stand on one axis.

    .. math::
        c = D_2 - d_2, \quad c_n = \frac c2 \sin\frac\alpha2, \quad c_a = c \tan\frac\alpha2

    Parameters
    ----------
    thread : Thread
        Gives the angle :math:`\alpha` of the form
    external_pitch_d : float
        Pitch diameter of the screw :math:`d_2`, [mm]
    internal_pitch_d : float
        Pitch diameter of the hole :math:`D_2`, [mm]

    Returns
    -------
    FlankClearance
        On diameter, square to each flank when both have the same room, and end play from flank to flank;
        negative where the flanks interfere, [mm]

    Notes
    -----
    The largest screw in the smallest hole of their classes gives the least clearance, the smallest screw in
    the largest hole the greatest.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> play = flank_clearance(thread("M6x1"), 5.324, 5.350)
    >>> f"{play.pitch_d:.3f} {play.normal:.4f} {play.axial:.4f}"
    '0.026 0.0065 0.0150'
    """
    room = internal_pitch_d - external_pitch_d
    half = math.radians(thread.form.angle) / 2
    return FlankClearance(pitch_d=room, normal=room / 2 * math.sin(half), axial=room * math.tan(half))
