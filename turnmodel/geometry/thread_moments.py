"""Volume, centroid and inertia of threaded bodies, exact for a thread of any length.

Round any circle about the axis a thread fills a share that depends on the circle's radius alone, as long as
the circle lies between the thread's envelopes. What a thread takes from the plain body is therefore the
region between its envelopes, each radius weighted by the share that is not filled.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.errors import BadValue
from turnmodel.geometry.body import step_stations
from turnmodel.geometry.curve import Arc
from turnmodel.geometry.moments import Moments, combined, moments, scaled
from turnmodel.geometry.region import Region, polygon
from turnmodel.geometry.thread_form import form_curves, form_levels, half_width, thread_form
from turnmodel.geometry.tolerance import SAME_MM

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from turnmodel.catalog.threads import Thread
    from turnmodel.geometry.body import Body, ThreadSpan
    from turnmodel.geometry.curve import Curve, Point

    Floats = NDArray[np.float64]
    Share = Callable[[Floats], Floats]

__all__ = [
    "body_moments",
    "envelope",
    "envelope_knots",
    "mean_square",
    "removed_share",
    "shared_moments",
    "span_region",
]

_GAUSS: Final = np.polynomial.legendre.leggauss(24)
"""Gauss's points and weights. Stretched by a cosine towards both ends of a piece they integrate a polynomial
and the square root at the tip of a rounded crest alike to rounding."""


def mean_square(thread: Thread, external: bool, widen: float = 0.0) -> float:
    r"""Average the square of a thread's radius over a pitch.

    .. math:: \overline{r^2} = \frac 1P \int_{-P/2}^{P/2} r(u)^2 \, du

    A full-depth thread of any length L, whole pitches or not, has the volume :math:`\pi L \overline{r^2}`.

    Parameters
    ----------
    thread : Thread
        Size and form
    external : bool
        True for the screw, False for the tapped hole
    widen : float
        Radial shift of the whole form, outwards positive, [mm]

    Returns
    -------
    float
        Mean square of the radius, [mm2]

    Notes
    -----
    Closed form for flats, flanks and arcs.
    """
    total = 0.0
    for curve in form_curves(thread, external, widen):
        (u0, r0), (u1, r1) = curve.start, curve.end
        if isinstance(curve, Arc):
            radius, center = curve.radius, curve.center[1]
            side = 1 if curve.turn < 0 else -1
            a, b = (math.asin((u - curve.center[0]) / radius) for u in (u0, u1))
            straight = radius * (math.sin(b) - math.sin(a))
            chord = radius**2 * ((b - a) / 2 + (math.sin(2 * b) - math.sin(2 * a)) / 4)
            cube = radius**3 * (math.sin(b) - math.sin(a) - (math.sin(b) ** 3 - math.sin(a) ** 3) / 3)
            total += center**2 * straight + 2 * side * center * chord + cube
        else:
            total += (u1 - u0) * (r0**2 + r0 * r1 + r1**2) / 3
    return total / thread.pitch


def envelope(points: Sequence[Point], z: Floats) -> Floats:
    """Evaluate an envelope, a polyline of (station, radius), at stations z [mm]; at a step, behind it."""
    knots = np.array(points)
    radius: Floats = np.interp(z, knots[:, 0], knots[:, 1])
    return radius


def envelope_knots(*lines: Sequence[Point]) -> Floats:
    """List the stations [mm] at which envelopes bend, rising; where one steps, also the one just before it.

    Examples
    --------
    >>> envelope_knots([(0, 3), (4, 3)], [(0, 2), (1, 2), (1, 2.5), (4, 2.5)]).tolist()
    [0.0, 0.9999999999999999, 1.0, 4.0]
    """
    before = {math.nextafter(z, -math.inf) for z in step_stations(*lines)}
    return np.array(sorted({z for line in lines for z, _ in line} | before))


def span_region(span: ThreadSpan) -> Region:
    """Bound what lies between a thread's envelopes.

    Raises
    ------
    BadValue
        If the floor stands above the ceiling.
    """
    knots = envelope_knots(span.floor, span.ceiling)
    floor, ceiling = envelope(span.floor, knots), envelope(span.ceiling, knots)
    worst = int(np.argmax(floor - ceiling))
    if floor[worst] - ceiling[worst] > SAME_MM:
        rule = f"is above the ceiling, {2 * ceiling[worst]:g} mm, at station {knots[worst]:g} mm"
        raise BadValue("thread envelope: floor diameter", 2 * float(floor[worst]), "mm", rule)
    z = np.concatenate([knots, knots[::-1]]).tolist()
    r = np.concatenate([np.minimum(floor, ceiling), ceiling[::-1]]).tolist()
    corners = list(zip(z, r, strict=True))
    return polygon([p for p, before in zip(corners, corners[-1:] + corners[:-1], strict=True) if p != before])


def removed_share(span: ThreadSpan) -> tuple[Share, tuple[float, ...]]:
    """Tell the share of each circle between the envelopes that a thread takes from the plain body.

    Returns
    -------
    share : callable
        Share [-] at an array of radii [mm]
    levels : tuple of float
        Radii between which it is smooth, rising, [mm]
    """
    form = thread_form(span.thread, span.external)

    def share(r: Floats) -> Floats:
        ridge = 2 * half_width(form, r) / form.pitch
        return 1 - ridge if span.external else ridge

    return share, form_levels(form)


def shared_moments(region: Region, share: Share, levels: Sequence[float]) -> Moments:
    r"""Integrate over a region of which each circle is filled to a share that depends on its radius.

    .. math::
        V = 2 \pi \oint z\, s(r)\, r\, dr, \quad
        V \bar z = 2 \pi \oint \tfrac{z^2}{2} s\, r\, dr, \quad
        J = 2 \pi \oint z\, s\, r^3 dr, \quad
        K = \tfrac J2 + 2 \pi \oint \tfrac{(z - \bar z)^3}{3} s\, r\, dr

    Parameters
    ----------
    region : Region
        Loops in the half-plane
    share : callable
        Share :math:`s` filled, 0 to 1, at an array of radii [mm], [-]
    levels : sequence of float
        Radii between which the share is smooth, [mm]

    Returns
    -------
    Moments
        At density one; zero throughout where nothing is filled

    Notes
    -----
    Exact to rounding where the share follows lines and arcs. Material that is not spread evenly round its
    circle is taken as if it were.
    """
    curves = [curve for loop in region.loops for curve in loop]
    nothing = Moments(volume=0.0, station=0.0, axial=0.0, transverse=0.0)
    if not curves:
        return nothing
    z, r, dr = _along(curves, levels)
    origin = sum(curve.start[0] for curve in curves) / len(curves)
    z -= origin
    ring = 2 * math.pi * share(r) * r * dr
    volume = float((z * ring).sum())
    if volume <= 0:
        return nothing
    station = float((z**2 * ring).sum()) / 2 / volume
    axial = float((z * r**2 * ring).sum())
    across = float(((z - station) ** 3 * ring).sum()) / 3
    return Moments(volume=volume, station=origin + station, axial=axial, transverse=axial / 2 + across)


def _along(curves: Sequence[Curve], levels: Sequence[float]) -> tuple[Floats, Floats, Floats]:
    """Lay points along curves, broken where they pass a level: stations, radii, and weights in dr."""
    nodes, weights = _GAUSS
    way = (1 - np.cos(math.pi * (nodes + 1) / 2)) / 2
    pace = math.pi / 4 * np.sin(math.pi * (nodes + 1) / 2) * weights
    z, r, dr = [], [], []
    for curve in curves:
        if isinstance(curve, Arc):
            (cz, cr), radius, sweep = curve.center, curve.radius, curve.sweep
            begin = math.atan2(curve.start[1] - cr, curve.start[0] - cz)
            for a, b in _pieces([t for level in levels for t in _met(begin, sweep, (level - cr) / radius)]):
                angle = begin + sweep * (a + (b - a) * way)
                z.append(cz + radius * np.cos(angle))
                r.append(cr + radius * np.sin(angle))
                dr.append(radius * np.cos(angle) * sweep * (b - a) * pace)
        elif curve.start[1] != curve.end[1]:
            (z0, r0), (z1, r1) = curve.start, curve.end
            for a, b in _pieces([(level - r0) / (r1 - r0) for level in levels]):
                t = a + (b - a) * way
                z.append(z0 + (z1 - z0) * t)
                r.append(r0 + (r1 - r0) * t)
                dr.append((r1 - r0) * (b - a) * pace)
    if not z:
        return np.zeros(0), np.zeros(0), np.zeros(0)
    return np.concatenate(z), np.concatenate(r), np.concatenate(dr)


def _met(begin: float, sweep: float, sine: float) -> list[float]:
    """Find where along an arc, from 0 to 1, its angle has a given sine."""
    if abs(sine) >= 1:
        return []
    first = math.asin(sine)
    turn = math.copysign(1.0, sweep)
    return [((angle - begin) * turn % (2 * math.pi)) / abs(sweep) for angle in (first, math.pi - first)]


def _pieces(breaks: Sequence[float]) -> list[tuple[float, float]]:
    """Part the way from 0 to 1 at breaks."""
    inner = [0.0, *sorted(t for t in breaks if 0 < t < 1), 1.0]
    return [(a, b) for a, b in pairwise(inner) if b > a]


def body_moments(body: Body) -> Moments:
    """Integrate over a turned body, its threads included.

    Parameters
    ----------
    body : Body
        Plain region and threads, [mm]

    Returns
    -------
    Moments
        At density one

    Raises
    ------
    BadValue
        If the floor of a thread stands above its ceiling.

    Notes
    -----
    Exact to rounding at every length, run-in and run-out. A helix that is not of whole turns has its centroid
    a little off the axis; this is neglected: it is less than the share of one turn in the body's volume times
    the thread's depth.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> from turnmodel.geometry.body import Body, ThreadSpan
    >>> from turnmodel.geometry.region import ring
    >>> m9 = thread("M9x0.75")
    >>> span = ThreadSpan(
    ...     thread=m9,
    ...     external=True,
    ...     start=0,
    ...     end=5,
    ...     anchor=0,
    ...     floor=((0, 3), (5, 3)),
    ...     ceiling=((0, 4.5), (5, 4.5)),
    ... )
    >>> threaded = body_moments(Body(plain=ring(0, 5, 9), threads=(span,)))
    >>> round(threaded.volume / (math.pi * 5 * mean_square(m9, external=True)), 12)
    1.0
    """
    return combined(moments(body.plain), *(scaled(_taken(span), -1.0) for span in body.threads))


@lru_cache(maxsize=512)
def _taken(span: ThreadSpan) -> Moments:
    """Integrate over what a thread takes from the plain body; one thread stands on many bodies."""
    return shared_moments(span_region(span), *removed_share(span))
