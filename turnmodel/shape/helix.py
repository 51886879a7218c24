"""The surface of a thread between two envelopes, as a strip of triangles from half-plane to half-plane.

On each half-plane the thread is a chain of points: the corners of the form, each sheared by the lead from one
half-plane to the next, the knots of the envelopes, and the crossings of both. Two neighbouring chains are
closed like a zip, in the order of their distance along the form, so that an edge of crest or root is an edge
of the mesh, whatever the run-in and run-out do to the chains' ends.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.geometry.thread_form import form_points
from turnmodel.geometry.thread_moments import envelope
from turnmodel.geometry.tolerance import CONTACT_MM

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.geometry.body import ThreadSpan

    Ints = NDArray[np.int64]
    Floats = NDArray[np.float64]

__all__ = ["Helix", "helix"]

_FINE: Final = 1 << 20
"""Steps of the zip's order between two corners of the form: whole numbers compare without rounding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Helix:
    """Chains of points, one a half-plane, rising in z, and the triangles between them.

    ``ends`` (columns + 1,) tells where each chain begins in ``z`` and ``r`` [mm]; ``faces`` are seen
    counter-clockwise from outside the metal.
    """

    ends: Ints
    z: Floats
    r: Floats
    faces: Ints


def helix(span: ThreadSpan, columns: int, facets: int, *, closed: bool) -> Helix:
    """Lay a span of thread over half-planes.

    Parameters
    ----------
    span : ThreadSpan
        The thread, neither of its envelopes stepped, [mm]
    columns : int
        Half-planes, from angle 0 on, [-]
    facets : int
        Facets to a turn, [-]
    closed : bool
        Whether the last half-plane is followed by the first

    Returns
    -------
    Helix
        In the span's own numbering of vertices
    """
    thread = span.thread
    u, r = form_points(thread, span.external)
    lead = -thread.lead if thread.left else thread.lead
    offset = span.anchor + lead * np.arange(columns) / facets
    column, z, order, radius = _stations(span, u, r, offset)
    column, z, order, radius = _with_crossings(span, column, z, order, radius)
    held = np.minimum(np.maximum(radius, envelope(span.floor, z)), envelope(span.ceiling, z))
    ends = np.searchsorted(column, np.arange(columns + 1))
    turn = -round(lead / thread.pitch) * len(u) * _FINE
    return Helix(ends=ends, z=z, r=held, faces=_zip(ends, order, turn, span.external, closed))


def _stations(span: ThreadSpan, u: Floats, r: Floats, offset: Floats) -> tuple[Ints, Floats, Ints, Floats]:
    """List on every half-plane the ends, the corners of the form and the knots, in rising z."""
    pitch, corners, columns = span.thread.pitch, len(u), len(offset)
    first = math.floor((span.start - offset.max()) / pitch) - 1
    last = math.ceil((span.end - offset.min()) / pitch) + 1
    row = np.arange(first * corners, last * corners)
    z = (u[row % corners] + row // corners * pitch)[:, None] + offset
    knots = np.array(sorted({p[0] for p in span.floor + span.ceiling if span.start < p[0] < span.end}))
    fixed = np.array([span.start, *knots, span.end])
    # A corner that falls on an end or on a knot gives way to it: no sliver of a facet remains.
    near = np.searchsorted(fixed, z)
    gap = np.minimum(np.abs(z - fixed[near.clip(0, len(fixed) - 1)]), np.abs(z - fixed[(near - 1).clip(0)]))
    inside = (z > span.start) & (z < span.end) & (gap > CONTACT_MM)
    rows, at = np.nonzero(inside)
    order_fixed, radius_fixed = _along(fixed[:, None] - offset, u, r, pitch)
    order = np.concatenate([row[rows] * _FINE, order_fixed.ravel()])
    column = np.concatenate([at, np.tile(np.arange(columns), len(fixed))])
    station = np.concatenate([z[inside], np.repeat(fixed, columns)])
    radius = np.concatenate([r[row[rows] % corners], radius_fixed.ravel()])
    return _sorted(column, station, order, radius)


def _along(v: Floats, u: Floats, r: Floats, pitch: float) -> tuple[Ints, Floats]:
    """Place distances v along the chorded form: their whole-number order, and the radius there."""
    turns = np.floor((v - u[0]) / pitch)
    within = v - turns * pitch
    place = np.interp(within, np.append(u, u[0] + pitch), np.arange(len(u) + 1.0))
    radius = np.interp(within, np.append(u, u[0] + pitch), np.append(r, r[0]))
    return np.rint((turns * len(u) + place) * _FINE).astype(np.int64), radius


def _sorted(column: Ints, z: Floats, order: Ints, radius: Floats) -> tuple[Ints, Floats, Ints, Floats]:
    """Sort points by half-plane, then by station."""
    width = order.max() - order.min() + 1
    sequence = np.argsort(column * width + order, kind="stable")
    return column[sequence], z[sequence], order[sequence], radius[sequence]


def _with_crossings(
    span: ThreadSpan, column: Ints, z: Floats, order: Ints, radius: Floats
) -> tuple[Ints, Floats, Ints, Floats]:
    """Add the points where the form passes through an envelope."""
    added = []
    same = column[1:] == column[:-1]
    for points in (span.floor, span.ceiling):
        over = radius - envelope(points, z)
        i = np.nonzero(same & (over[1:] * over[:-1] < 0))[0]
        t = over[i] / (over[i] - over[i + 1])
        at = z[i] + t * (z[i + 1] - z[i])
        keep = (at - z[i] > CONTACT_MM) & (z[i + 1] - at > CONTACT_MM)
        i, t, at = i[keep], t[keep], at[keep]
        place = order[i] + np.rint(t * (order[i + 1] - order[i])).astype(np.int64)
        added.append((column[i], at, place, radius[i] + t * (radius[i + 1] - radius[i])))
    if not any(len(a[0]) for a in added):
        return column, z, order, radius
    joined = [np.concatenate(arrays) for arrays in zip((column, z, order, radius), *added, strict=True)]
    return _sorted(*joined)


def _zip(ends: Ints, order: Ints, turn: int, outward: bool, closed: bool) -> Ints:
    """Close neighbouring chains with triangles; after a full turn the first chain is met ``turn`` along."""
    columns = len(ends) - 1
    strips = columns if closed else columns - 1
    sizes = np.diff(ends)
    chain = np.repeat(np.arange(columns), sizes)
    left = np.arange(ends[strips])
    strip_left = chain[left]
    right = np.arange(ends[1], ends[-1])
    strip_right = chain[right] - 1
    order_right = order[right]
    if closed:
        right = np.concatenate([right, np.arange(ends[1])])
        strip_right = np.concatenate([strip_right, np.full(ends[1], columns - 1)])
        order_right = np.concatenate([order_right, order[: ends[1]] + turn])
    # Where both chains have a corner at one place the diagonal leans left and right by turns, so that
    # what it adds to one facet it takes from the next.
    low = min(order.min(), order_right.min())
    width = 2 * (max(order.max(), order_right.max()) - low + 2)
    key_left = strip_left * width + 2 * (order[left] - low)
    key_right = strip_right * width + 2 * (order_right - low) + np.where(strip_right % 2, 1, -1)
    left_first = np.searchsorted(strip_left, np.arange(strips))
    right_first = np.searchsorted(strip_right, np.arange(strips))
    steps_left = np.nonzero(strip_left[1:] == strip_left[:-1])[0]
    other = np.searchsorted(key_right, key_left[steps_left + 1]) - 1
    other = np.maximum(other, right_first[strip_left[steps_left]])
    ahead = np.stack([left[steps_left], left[steps_left + 1], right[other]], axis=1)
    steps_right = np.nonzero(strip_right[1:] == strip_right[:-1])[0]
    other = np.searchsorted(key_left, key_right[steps_right + 1]) - 1
    other = np.maximum(other, left_first[strip_right[steps_right]])
    behind = np.stack([right[steps_right], left[other], right[steps_right + 1]], axis=1)
    faces = np.concatenate([ahead, behind])
    return faces[:, ::-1] if outward else faces
