"""The radius of a thread over one pitch: ridge and valley as lines and arcs.

The form is a periodic curve r(u), u being the distance along the axis [mm], greatest at u = 0. The pitch line
is where ridge and valley are equally wide; crest and root are cut off flat or rounded by an arc tangent to
both flanks, as the standard of the thread has it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.geometry.curve import Arc, Curve, Line

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from turnmodel.catalog.threads import Thread, Truncation
    from turnmodel.geometry.curve import Point

    Floats = NDArray[np.float64]

__all__ = [
    "ARC_STEP",
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


ARC_STEP: Final = 34.0
"""Angle of arc [degrees] under one chord of a rounded crest or root: four chords to each in standard forms
(house choice)."""


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


def form_points(
    thread: Thread, external: bool, widen: float = 0.0, arc_step: float = ARC_STEP
) -> tuple[Floats, Floats]:
    """Break one pitch of the profile into chords, for a mesh.

    Parameters
    ----------
    thread : Thread
        Size and form
    external : bool
        True for the screw, False for the tapped hole
    widen : float
        Radial shift of the whole form, outwards positive, [mm]
    arc_step : float
        Largest angle of arc under one chord, [degrees]

    Returns
    -------
    u : ndarray
        Distances from the middle of a ridge, rising, -P/2 <= u < P/2, shape (n,), [mm]
    r : ndarray
        Radii there, shape (n,), [mm]

    Notes
    -----
    The corners of an arc stand a little outside it, so that chords and arc enclose the same area, but for
    the middle one, which does not pass the arc's reach. The flanks carry the ends of the mating form's flanks
    as corners of their own, so that a screw and its hole share every facet on which they touch.
    """
    f = thread_form(thread, external, widen)
    mate = thread_form(thread, not external, widen)
    p, k = f.pitch, f.slope
    # Half a pitch, from the middle of ridge to that of valley: (u, distance from the pitch line).
    crest = _arc_corners(f.top, k, arc_step)
    root = [(p / 2 - u, -y) for u, y in _arc_corners(f.bottom, k, arc_step)]
    edges = {y for g in (f, mate) for y in (g.top.edge, -g.bottom.edge) if -f.bottom.edge <= y <= f.top.edge}
    flank = [(p / 4 - y * k, y) for y in edges]
    # Two corners nearer than a ten-millionth of the pitch are one, met from both forms.
    right: list[Point] = []
    for corner in sorted((*crest, *flank, *root)):
        if not right or corner[0] - right[-1][0] > 1e-7 * p:
            right.append(corner)
    left = [(-u, y) for u, y in reversed(right) if u > 0]
    corners = np.array([*left, *(c for c in right if c[0] < p / 2)])
    return corners[:, 0], f.middle + corners[:, 1]


def _arc_corners(end: FormEnd, slope: float, step: float) -> list[Point]:
    """Place corners along half an arc, from its middle to short of the flank, evenly by angle."""
    if not end.radius:
        return []
    sweep = math.pi / 2 - math.atan(slope)
    count = math.ceil(math.degrees(sweep) / step - 1e-9)
    turn, chords = sweep / count, 2 * count
    # Corners inside, at x radii, and the two ends on the arc: (k - 2) x^2 + 2 x = k t / sin t.
    needed = chords * turn / math.sin(turn)
    x = needed / 2 if chords == 2 else (math.sqrt(1 + (chords - 2) * needed) - 1) / (chords - 2)
    radius, center = end.radius * x, end.reach - end.radius
    corners = [(radius * math.sin(turn * i), center + radius * math.cos(turn * i)) for i in range(count)]
    return [(u, min(y, end.reach)) for u, y in corners]
