"""The radius of a thread over one pitch: ridge and valley as lines and arcs.

The form is a periodic curve r(u), u being the distance along the axis [mm], greatest at u = 0. The pitch line
is where ridge and valley are equally wide; crest and root are cut off flat or rounded by an arc tangent to
both flanks, as the standard of the thread has it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from turnmodel.geometry.curve import Arc, Curve, Line

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from turnmodel.catalog.threads import Thread, Truncation

    Floats = NDArray[np.float64]

__all__ = [
    "Form",
    "FormEnd",
    "form_curves",
    "form_levels",
    "form_points",
    "form_radius",
    "half_width",
    "radii",
    "thread_form",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormEnd:
    """Where the flanks end, measured from the pitch line towards crest or root.

    ``reach`` is the farthest point, ``edge`` the end of the straight flank, ``radius`` that of the tangent
    arc, 0 for a flat; all in [mm].
    """

    reach: float
    edge: float
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One pitch of a thread.

    ``middle`` is the radius of the pitch line [mm], ``slope`` the tangent of half the thread's angle [-].
    """

    pitch: float
    middle: float
    slope: float
    top: FormEnd
    bottom: FormEnd

    @property
    def high(self) -> float:
        """Greatest radius, [mm]."""
        return self.middle + self.top.reach

    @property
    def low(self) -> float:
        """Least radius, [mm]."""
        return self.middle - self.bottom.reach


def _end(cut: Truncation, pitch: float, half_angle: float) -> FormEnd:
    """Turn fractions of the pitch into lengths, and find where a tangent arc leaves the flank."""
    if cut.radius is None:
        assert cut.flat is not None
        return FormEnd(reach=cut.flat * pitch, edge=cut.flat * pitch, radius=0.0)
    apex = pitch / (4 * math.tan(half_angle))
    radius = cut.radius * pitch
    center = apex - radius / math.sin(half_angle)
    return FormEnd(reach=center + radius, edge=center + radius * math.sin(half_angle), radius=radius)


def thread_form(thread: Thread, external: bool, widen: float = 0.0) -> Form:
    r"""Lay out one pitch of a thread's basic profile.

    .. math::
        \frac{H}{2} = \frac{P}{4 \tan(\alpha/2)}

    is the height of the sharp V above the pitch line.

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
    Form
        Lengths of the profile, [mm]
    """
    form = thread.form
    half_angle = math.radians(form.angle) / 2
    top = form.external_crest if external else form.internal_root
    bottom = form.external_root if external else form.internal_crest
    return Form(
        pitch=thread.pitch,
        middle=thread.pitch_d / 2 + widen,
        slope=math.tan(half_angle),
        top=_end(top, thread.pitch, half_angle),
        bottom=_end(bottom, thread.pitch, half_angle),
    )


def form_curves(thread: Thread, external: bool, widen: float = 0.0) -> tuple[Curve, ...]:
    """Draw one pitch of the profile, from the middle of one valley to the middle of the next.

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
    tuple of Curve
        Lines and arcs through (u, r), u from -P/2 to P/2, [mm]
    """
    f = thread_form(thread, external, widen)
    half = f.pitch / 2
    crest = f.pitch / 4 - f.top.edge * f.slope
    root = f.pitch / 4 + f.bottom.edge * f.slope
    top, bottom = f.middle + f.top.edge, f.middle - f.bottom.edge
    curves: list[Curve] = []
    if f.bottom.radius:
        at = (-half, f.low + f.bottom.radius)
        curves.append(Arc(start=(-half, f.low), end=(-root, bottom), center=at, turn=1))
    elif root < half:
        curves.append(Line(start=(-half, f.low), end=(-root, bottom)))
    curves.append(Line(start=(-root, bottom), end=(-crest, top)))
    if f.top.radius:
        at = (0.0, f.high - f.top.radius)
        curves.append(Arc(start=(-crest, top), end=(crest, top), center=at, turn=-1))
    elif crest > 0:
        curves.append(Line(start=(-crest, top), end=(crest, top)))
    curves.append(Line(start=(crest, top), end=(root, bottom)))
    if f.bottom.radius:
        at = (half, f.low + f.bottom.radius)
        curves.append(Arc(start=(root, bottom), end=(half, f.low), center=at, turn=1))
    elif root < half:
        curves.append(Line(start=(root, bottom), end=(half, f.low)))
    return tuple(curves)


def radii(form: Form, u: ArrayLike) -> Floats:
    """Evaluate the form's radius [mm] at distances u along the axis [mm] from the middle of a ridge."""
    p, k = form.pitch, form.slope
    away = np.abs((np.asarray(u, float) + p / 2) % p - p / 2)
    y = _rounded((p / 4 - away) / k, away, form.top, p, k)
    return form.middle - _rounded(-y, p / 2 - away, form.bottom, p, k)


def _rounded(flank: Floats, away: Floats, end: FormEnd, pitch: float, slope: float) -> Floats:
    """Cut the flanks off flat, or by the tangent arc, at one end; ``away`` is from the middle of that end."""
    if not end.radius:
        return np.minimum(flank, end.reach)
    inside = away < pitch / 4 - end.edge * slope
    arc = end.reach - end.radius + np.sqrt(np.maximum(end.radius**2 - away**2, 0.0))
    return np.where(inside, arc, flank)


def form_radius(thread: Thread, external: bool, u: ArrayLike, widen: float = 0.0) -> Floats:
    """Give the radius of a thread's basic profile along the axis.

    Parameters
    ----------
    thread : Thread
        Size and form
    external : bool
        True for the screw, False for the tapped hole
    u : ndarray
        Distances along the axis from the middle of a ridge, any shape, [mm]
    widen : float
        Radial shift of the whole form, outwards positive, [mm]

    Returns
    -------
    ndarray
        Radius of the form, of the shape of ``u``, [mm]
    """
    return radii(thread_form(thread, external, widen), u)


def half_width(form: Form, r: ArrayLike) -> Floats:
    """Give half the width [mm] of the ridge at radius r [mm]: P/2 under the root, 0 above the crest."""
    y = np.asarray(r, float) - form.middle
    w = form.pitch / 4 - y * form.slope
    w = _narrowed(w, y, form.top)
    return form.pitch / 2 - _narrowed(form.pitch / 2 - w, -y, form.bottom)


def _narrowed(width: Floats, y: Floats, end: FormEnd) -> Floats:
    """Bring the half-width to zero beyond one end of the flanks."""
    if end.radius:
        chord = np.sqrt(np.maximum(end.radius**2 - (y - end.reach + end.radius) ** 2, 0.0))
        width = np.where(y > end.edge, chord, width)
    return np.where(y >= end.reach, 0.0, width)


def form_levels(form: Form) -> tuple[float, ...]:
    """List the radii [mm] between which the half-width is one smooth curve, rising."""
    y = {-form.bottom.reach, -form.bottom.edge, form.top.edge, form.top.reach}
    return tuple(form.middle + level for level in sorted(y))


def form_points(thread: Thread, external: bool, arc_step: float, widen: float = 0.0) -> tuple[Floats, Floats]:
    """Break one pitch of the profile into chords, for a mesh.

    Parameters
    ----------
    thread : Thread
        Size and form
    external : bool
        True for the screw, False for the tapped hole
    arc_step : float
        Largest angle of arc under one chord, [degree]
    widen : float
        Radial shift of the whole form, outwards positive, [mm]

    Returns
    -------
    u : ndarray
        Distances from the middle of a ridge, rising, -P/2 <= u < P/2, shape (n,), [mm]
    r : ndarray
        Radii there, shape (n,), [mm]

    Notes
    -----
    The flanks carry the ends of the mating form's flanks as points of their own, so that a screw and its hole
    share every facet on which they touch.
    """
    f = thread_form(thread, external, widen)
    mate = thread_form(thread, not external, widen)
    p, k = f.pitch, f.slope
    half = {0.0} if f.top.radius else set[float]()
    for g in (f, mate):
        half |= {p / 4 - g.top.edge * k, p / 4 + g.bottom.edge * k}
    if f.top.radius:
        half |= set(_arc_points(f.top.radius, p / 4 - f.top.edge * k, arc_step))
    if f.bottom.radius:
        half |= {p / 2 - v for v in (0.0, *_arc_points(f.bottom.radius, p / 4 - f.bottom.edge * k, arc_step))}
    right = sorted(v for v in half if v <= p / 2)
    # Two points nearer than a ten-millionth of the pitch are one corner met from both forms.
    right = [v for i, v in enumerate(right) if i == 0 or v - right[i - 1] > 1e-7 * p]
    u = np.array([-v for v in reversed(right) if v > 0] + [v for v in right if v < p / 2])
    return u, radii(f, u)


def _arc_points(radius: float, reach: float, step: float) -> list[float]:
    """Place points on half an arc, from its middle out to the flank, evenly by angle."""
    sweep = math.asin(min(1.0, reach / radius))
    count = math.ceil(math.degrees(sweep) / step)
    return [radius * math.sin(sweep * i / count) for i in range(1, count)]
