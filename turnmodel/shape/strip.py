"""The faces of a strip, its outline laid along its side view: triangles, and what the CAD kernel joins."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.errors import BadValue
from turnmodel.geometry.across import CrossCylinder
from turnmodel.geometry.curve import Arc, Curve
from turnmodel.geometry.moments import area
from turnmodel.geometry.strip import Strip, check_strip, edge, mid_line, stretches, strip_volume
from turnmodel.geometry.tolerance import CONTACT_MM, FACETS
from turnmodel.shape.lathe import SKIN, Mesh, arc_step, chords

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from turnmodel.geometry.across import Vector
    from turnmodel.geometry.strip import Stretch

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

__all__ = ["Edge", "hole_tools", "strip_bound", "strip_faces", "strip_mesh"]

Edge = tuple["Vector", ...]
"""An edge in space by its points [mm]: 2 on a line, 3 on an arc of a circle, more on a smooth curve."""

_ARC: Final = 3
"""Points of an arc's edge."""

_SPLINE_STEP: Final = 2.5
"""Angle [degree] between the points of a smooth curve: the volume of a bend that tapers to an eighth over 150
degrees then errs by 5e-8, as measured; a solid is allowed 1e-6."""

_ROUNDING: Final = 1e-9
"""What sums over a mesh and the kernel's merging of near vertices may lose, relative [-]: house choice, far
above the rounding that was met, 1e-15, and far below what the chords of a bend cost, 1e-4."""


def strip_mesh(strip: Strip, facets: int = FACETS) -> Mesh:
    """Mesh a strip in its own frame: x along it from its start, y across, z up from its under side.

    Parameters
    ----------
    strip : Strip
        The strip
    facets : int
        Facets round a full circle of a turned part, which set the chord of every arc; and round a hole, [-]

    Returns
    -------
    Mesh
        Closed, looking outwards

    Raises
    ------
    BadValue
        If the strip cannot be made.

    Notes
    -----
    Exact in straight stretches but for the chords of the outline's arcs. Bends and arcs keep within the
    sagitta of a 10 mm circle of so many facets, 1.5 micrometres at 128, and 15 degrees to a chord. Holes are
    round straight through, with the area of their circle. :func:`strip_bound` limits what this costs.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> from turnmodel.geometry.strip import Bent
    >>> bar = Strip(thickness=0.5, half=ring(0, 12, 5), holes=(), side=(Bent(length=12),))
    >>> strip_mesh(bar).faces.shape
    (12, 3)
    """
    check_strip(strip)
    mesh = _bent(strip, *_stations(strip, facets))
    if not strip.holes:
        return mesh
    # Only a hole needs the mesh kernel.
    from turnmodel.shape.mesh import cut, tool_mesh

    return cut(mesh, *(tool_mesh(tool, facets) for tool in hole_tools(strip)), name="strip")


def strip_bound(strip: Strip, facets: int = FACETS) -> float:
    r"""Tell how far, relative to a strip's volume, its mesh's may be from it.

    .. math::
        \frac{|V_m - V|}{V} \le \frac 1 V \left(
        t\,|A - A_\mathrm{chords}| + \sum_\mathrm{facets} t\,\frac{w_0 + w_1}{2}\,\Delta s\,
        \frac{\delta^2}{6} + \frac{t^2 \delta}{12}\,|w_1 - w_0| \right)

    Parameters
    ----------
    strip : Strip
        The strip
    facets : int
        Facets round a full circle, [-]

    Returns
    -------
    float
        Relative bound, [-]

    Notes
    -----
    The first term is the area between the outline and its chords. The second is what flat facets take from a
    bend: a sector of angle :math:`\delta` becomes a trapezium, whose area is less by
    :math:`1 - \sin\delta / \delta`. The third is for sides that taper in a bend: their facets are twisted,
    and two triangles stand for each.
    """
    s, half = _stations(strip, facets)
    t, ds, w = strip.thickness, np.diff(s), 2 * half
    delta = np.abs(_curvature(strip, s)) * ds
    flat = (w[1:] + w[:-1]) / 2 * ds
    outline = t * abs(2 * area(strip.half) - float(flat.sum()))
    bends = t * float((flat * delta**2).sum()) / 6
    twist = t**2 * float((delta * np.abs(np.diff(w))).sum()) / 12
    return _ROUNDING + (outline + bends + twist) / strip_volume(strip)


def hole_tools(strip: Strip) -> tuple[CrossCylinder, ...]:
    """Tell what the holes of a strip take away, a tenth of the thickness longer at both ends.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> from turnmodel.geometry.strip import Bent
    >>> tag = Strip(thickness=0.5, half=ring(0, 12, 5), holes=((4, 2.2),), side=(Bent(length=12),))
    >>> [round(v, 9) for v in hole_tools(tag)[0].at]
    [4.0, 0.0, -0.05]
    """
    t, tools = strip.thickness, []
    for along, d in strip.holes:
        x, z, heading = mid_line(strip, along)
        up = (-math.sin(heading), 0.0, math.cos(heading))
        at = (x - 0.6 * t * up[0], 0.0, z - 0.6 * t * up[2])
        tools.append(CrossCylinder(at=at, direction=up, diameter=d, length=1.2 * t))
    return tuple(tools)


def strip_faces(strip: Strip) -> tuple[tuple[Edge, ...], ...]:
    """Bound a strip without its holes by faces, for the CAD kernel.

    Parameters
    ----------
    strip : Strip
        The strip

    Returns
    -------
    tuple of faces
        Each by its edges: 2 edges, as many points each, are joined point by point by straight lines; 3 and
        more are the flat loop that they close, [mm]

    Raises
    ------
    BadValue
        If the strip cannot be made, or runs to a point in a bend.

    Notes
    -----
    Lines and circles are exact. Where the width changes in a bend the edges are smooth curves through points
    of the helix, or whatever curve the outline becomes there.

    Examples
    --------
    >>> from turnmodel.geometry.region import ring
    >>> from turnmodel.geometry.strip import Bent
    >>> bar = Strip(thickness=0.5, half=ring(0, 12, 5), holes=(), side=(Bent(length=12),))
    >>> len(strip_faces(bar))
    6
    """
    check_strip(strip)
    outline = edge(strip)
    faces: list[tuple[Edge, ...]] = []
    for end in (outline[0].start, outline[-1].end):
        if end[1] > CONTACT_MM:
            corners = [_point(strip, *end, side, up) for side, up in _ROUND]
            faces.append(tuple(zip(corners, [*corners[1:], corners[0]], strict=True)))
    for stretch in stretches(strip):
        curves = edge(strip, stretch.start, stretch.end)
        if stretch.turn and min(curves[0].start[1], curves[-1].end[1]) <= CONTACT_MM:
            rule = f"the strip runs to a point in the bend at {stretch.start:g} mm, which no solid can"
            raise BadValue("strip: width", 0.0, "mm", rule, "leave it a width, or end the bend before")
        rails = [[_rail(strip, stretch, curve, side, up) for curve in curves] for side, up in _ROUND]
        under_right, under_left, top_left, top_right = rails
        flanks = (*zip(under_right, top_right, strict=True), *zip(under_left, top_left, strict=True))
        for low, high in flanks:
            # An arc of a bend stays in the plane of the side view.
            flat = stretch.turn and len(low) == _ARC
            faces.append((low, high, (low[0], high[0]), (low[-1], high[-1])) if flat else (low, high))
        for right, left in ((under_right, under_left), (top_right, top_left)):
            if stretch.turn:
                faces += zip(right, left, strict=True)
            else:
                across = ((left[0][0], right[0][0]), (right[-1][-1], left[-1][-1]))
                square = [line for line in across if math.dist(*line) > CONTACT_MM]
                faces.append((*right, *left, *square))
    return tuple(faces)


_ROUND: Final = ((-1, -1), (1, -1), (1, 1), (-1, 1))
"""Side and level of the corners of a section: under right, under left, top left, top right."""


def _point(strip: Strip, along: float, across: float, side: int, up: int) -> Vector:
    """Put a point of the outline on a face."""
    x, z, heading = mid_line(strip, along)
    level = up * strip.thickness / 2
    return (x - level * math.sin(heading), side * across, z + level * math.cos(heading))


def _rail(strip: Strip, stretch: Stretch, curve: Curve, side: int, up: int) -> Edge:
    """Lay a curve of the outline along a stretch."""
    (z0, r0), (z1, r1) = curve.start, curve.end
    turned = abs(stretch.curvature) * (z1 - z0)
    if not isinstance(curve, Arc):
        steps = max(math.ceil(math.degrees(turned) / _SPLINE_STEP), 4) if r0 != r1 else 2
        shares = np.linspace(0, 1, (steps if turned else 1) + 1).tolist()
        flat = [(z0 + (z1 - z0) * share, r0 + (r1 - r0) * share) for share in shares]
    else:
        (zc, rc), radius, sweep = curve.center, curve.radius, curve.sweep
        steps = max(math.ceil(math.degrees(max(turned, abs(sweep))) / _SPLINE_STEP), 4) if turned else 2
        if not turned and radius * (1 - math.cos(sweep / 2)) <= CONTACT_MM:
            steps = 1
        begin = math.atan2(r0 - rc, z0 - zc)
        angles = [begin + sweep * i / steps for i in range(1, steps)]
        flat = [(z0, r0), *((zc + radius * math.cos(a), rc + radius * math.sin(a)) for a in angles), (z1, r1)]
    return tuple(_point(strip, z, r, side, up) for z, r in flat)


def _stations(strip: Strip, facets: int) -> tuple[Floats, Floats]:
    """Place the corners of the outline: distances along, rising, and half the width there, both [mm]."""
    outline = edge(strip)
    corners = np.array([*(p for curve in outline for p in chords(curve, facets)), outline[-1].end])
    stops = [corners[:, 0]]
    for stretch in stretches(strip):
        steps = 1
        if stretch.turn:
            outer = 1 / abs(stretch.curvature) + strip.thickness / 2
            steps = math.ceil(math.degrees(abs(stretch.turn)) / arc_step(outer, facets) - 1e-9)
        stops.append(np.linspace(stretch.start, stretch.end, steps + 1))
    s = np.unique(np.concatenate(stops))
    # What falls within contact of the stop before it is that stop: no sliver of a facet remains.
    s = s[np.append(True, np.diff(s) > CONTACT_MM)]
    return s, np.interp(s, corners[:, 0], corners[:, 1])


def _curvature(strip: Strip, s: Floats) -> Floats:
    """Give the curvature between stations, in 1/mm."""
    laid = stretches(strip)
    middle = (s[1:] + s[:-1]) / 2
    index = np.searchsorted([stretch.end for stretch in laid[:-1]], middle)
    curvature: Floats = np.array([stretch.curvature for stretch in laid])[index]
    return curvature


def _bent(strip: Strip, s: Floats, half: Floats) -> Mesh:
    """Put a rectangle of four corners up at every station and skin them; an end without width is one edge."""
    x, z, heading = np.array([mid_line(strip, along) for along in s.tolist()]).T
    up = np.stack([-np.sin(heading), np.zeros_like(s), np.cos(heading)], axis=1) * (strip.thickness / 2)
    middle, across = np.stack([x, np.zeros_like(s), z], axis=1), half[:, None] * np.array([0.0, 1.0, 0.0])
    # Seen against x: under right, under left, top left, top right.
    low, high = middle - up, middle + up
    corners = np.stack([low - across, low + across, high + across, high - across])
    ids = np.arange(4 * len(s)).reshape(4, -1)
    for end in (0, -1):
        if half[end] <= CONTACT_MM:
            ids[[1, 2], end] = ids[[0, 3], end]
    after = np.roll(ids, -1, axis=0)
    # A quad between two stations for each of the four sides; on both flanks the diagonal runs alike.
    a, b, c, d = ids[:, :-1], after[:, :-1], after[:, 1:], ids[:, 1:]
    first, second = np.stack([a, b, c], axis=-1), np.stack([a, c, d], axis=-1)
    flank = np.array([False, True, False, False])[:, None, None]
    first = np.where(flank, np.stack([a, b, d], axis=-1), first)
    second = np.where(flank, np.stack([b, c, d], axis=-1), second)
    ends = [[ids[[0, 3, 2], 0], ids[[0, 2, 1], 0]], [ids[[0, 1, 2], -1], ids[[0, 2, 3], -1]]]
    faces = np.concatenate([first.reshape(-1, 3), second.reshape(-1, 3), np.array(ends).reshape(-1, 3)])
    p, q, r = faces.T
    faces = faces[(p != q) & (q != r) & (r != p)]
    used, faces = np.unique(faces, return_inverse=True)
    vertices = corners.reshape(-1, 3)[used]
    return Mesh(
        vertices=vertices,
        faces=faces.reshape(-1, 3).astype(np.int32),
        tags=np.full(len(faces), SKIN, np.int8),
    )
