"""One picture from the pieces to the finished page: placed, framed, lit, laid on paper, lettered."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from turnmodel.output.pictures.framing import Framing, framed
from turnmodel.output.pictures.lay import Lay
from turnmodel.output.pictures.lettering import Label, labels_spread, letter_size, lettered, scale_for
from turnmodel.output.pictures.ruler import beside_ruler, with_ruler
from turnmodel.output.pictures.scene import Piece, drawn_apart
from turnmodel.output.pictures.shadow import shaded
from turnmodel.output.pictures.stage import Model, Strokes
from turnmodel.shape.lathe import CUT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from turnmodel.output.pictures.appearance import Colour
    from turnmodel.output.pictures.closeup import CloseUp
    from turnmodel.output.pictures.stage import Take
    from turnmodel.output.pictures.studio import Settings

    Ints = NDArray[np.integer[Any]]

LYING: Final = ("whole", "cut", "ruler")
"""Views in which the object lies on the paper and not over it."""

__all__ = ["LYING", "cut_outline", "cut_tints", "laid_on", "models_of", "taken"]

_NEAR: Final = 0.75
"""Size of a close-up in sizes of a picture: there is one a joint (house choice)."""

_SECOND_PLANE: Final = 0.86
"""The lower cut plane is darker by this factor, so that the corner between the two reads (house choice)."""

_HOLLOW: Final = 0.55
"""Share of the light that a surface facing the axis gets: bores are dim (house choice)."""

_SPOTS: Final = np.array([0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.05, 0.95, 0.03, 0.97])
"""Where along a part a name may point to it, the best first (house choice)."""

_UNDER: Final = 0.005
"""Share of a knurl's radius [-] that the middle of a face on it may lie under it: of 48 facets, by 0.002."""

_NEIGHBOUR: Final = ((1.0, 0.0), (0.86, 0.0), (0.6, 0.4))
"""Shares of tint and of white for the first, second and third part of one material (house choice)."""


def taken(
    pieces: Sequence[Piece], view: str, settings: Settings, take: Take, focus: CloseUp | None = None
) -> NDArray[np.uint8]:
    """Take one picture with a function of `stage`; parameters and result as those of `views.Shot`."""
    pieces = [piece for piece in pieces if len(piece.mesh.faces)]
    if focus is not None:
        width, height = settings.size
        settings = replace(settings, size=(max(100, round(_NEAR * width)), max(100, round(_NEAR * height))))
    letters = letter_size(settings.size)
    shifts = np.zeros((len(pieces), 3))
    if view == "apart":
        shifts = drawn_apart(pieces)
    placed = [piece.mesh.vertices + shift for piece, shift in zip(pieces, shifts, strict=True)]
    every = np.concatenate(placed)
    above = (3.6 if view in ("apart", "close") else 1.0) * letters
    if view == "ruler":
        framing = beside_ruler(every, settings, above)
    else:
        corners = None if focus is None else focus.corners
        framing = framed(every, view, settings, above=above, below=2.8 * letters, focus=corners)

    tints = cut_tints(pieces)
    models: list[Model] = []
    outline: list[NDArray[np.float64]] = []
    for piece, points, tint in zip(pieces, placed, tints, strict=True):
        models += models_of(piece, points, tint, framing)
        outline.append(cut_outline(points, piece.mesh.faces[piece.mesh.tags == CUT]))
    thick = max(1.0, letters / 12)
    strokes = [_nearer(np.concatenate(outline), framing, thick, settings.ink)]
    labels: list[Label] = []
    if view == "apart":
        strokes.append(_nearer(_guides(pieces, placed, shifts), framing, max(1.0, thick / 2), settings.ink))
        names, faces = [piece.name for piece in pieces], [piece.mesh.faces for piece in pieces]
        labels = _labels(names, placed, faces, framing, letters)
    if focus is not None:
        labels = _pointed(pieces, placed, focus, framing)

    shot = take(models, strokes, framing.size, framing.scale)
    page = laid_on(shot, settings.background, lying=view in LYING)
    if view == "ruler":
        return with_ruler(page, every, framing, settings)
    scale = scale_for(framing.ruler, framing.size[0], letters)
    labels = labels_spread(labels, letters, framing.size[0])
    halo = settings.background if view == "close" else None
    return lettered(page, scale, labels, letters, settings.ink, halo)


def cut_tints(pieces: Sequence[Piece]) -> list[Colour]:
    """Choose each piece's cut tint, sRGB [-]: its material's own, varied where one material comes again."""
    seen: dict[Colour, int] = {}
    tints: list[Colour] = []
    for piece in pieces:
        cut = piece.appearance.cut
        share, white = _NEIGHBOUR[seen.get(cut, 0) % len(_NEIGHBOUR)]
        if (piece.mesh.tags == CUT).any():
            seen[cut] = seen.get(cut, 0) + 1
        red, green, blue = (share * part + white for part in cut)
        tints.append((red, green, blue))
    return tints


def _normals(points: NDArray[np.float64], faces: Ints) -> NDArray[np.float64]:
    """Give each face's normal, twice its area long [mm2]."""
    a, b, c = (points[faces[:, k]] for k in range(3))
    normals: NDArray[np.float64] = np.cross(b - a, c - a)
    return normals


def models_of(piece: Piece, points: NDArray[np.float64], tint: Colour, framing: Framing) -> list[Model]:
    """Split a piece, its vertices at these points [mm], into its lit skin and its flat cut faces."""
    mesh, seen = piece.mesh, framing.seen(points)
    capped = mesh.tags == CUT
    skin = mesh.faces[~capped]
    normals = _normals(points, skin)
    summed = np.zeros_like(points)
    for k in range(3):
        np.add.at(summed, skin[:, k], normals)
    length = np.linalg.norm(summed, axis=1) * np.maximum(np.hypot(points[:, 0], points[:, 1]), 1e-9)
    inward = -(summed[:, :2] * points[:, :2]).sum(axis=1) / np.maximum(length, 1e-12)
    light = 1 - (1 - _HOLLOW) * np.clip(inward, 0, 1)
    colours = light[:, None] * np.array(piece.appearance.base)
    shift = points[0] - mesh.vertices[0]
    models = [
        Model(vertices=seen, faces=faces, colours=colours, finish=piece.appearance, lay=lay)
        for faces, lay in _lays(piece, skin, shift, framing)
    ]
    faces = mesh.faces[capped]
    facing = np.abs(_normals(points, faces))
    lower = facing[:, 1] > facing[:, 0]
    for plane, factor in ((~lower, 1.0), (lower, _SECOND_PLANE)):
        if plane.any():
            flat = np.broadcast_to(factor * np.array(tint), points.shape)
            models.append(Model(vertices=seen, faces=faces[plane], colours=flat, finish=None))
    return models


def _lays(piece: Piece, skin: Ints, shift: NDArray[np.float64], framing: Framing) -> list[tuple[Ints, Lay]]:
    """Split a skin into what bears the lines of its finish and what is knurled."""
    placed = np.array(piece.frame)
    own = (piece.mesh.vertices - placed[:3, 3]) @ placed[:3, :3]
    radius = np.hypot(own[:, 0], own[:, 1])
    lay = Lay(
        lines=piece.appearance.lines,
        origin=framing.seen(placed[None, :3, 3] + shift)[0],
        axis=framing.axes @ placed[:3, 2],
        across=framing.axes @ placed[:3, 0],
        radius=float(radius.max()),
        round=piece.round,
    )
    if not piece.round:
        # Of a strip the length lies where it is longest, not along the axis of anything.
        low, high = own.min(axis=0), own.max(axis=0)
        long, wide = np.argsort(low - high)[:2]
        middle = placed[:3, :3] @ ((low + high) / 2) + placed[:3, 3] + shift
        lay = replace(
            lay,
            origin=framing.seen(middle[None])[0],
            axis=framing.axes @ placed[:3, long],
            across=framing.axes @ placed[:3, wide],
            radius=float((high - low)[long] / 2),
        )
    middles = own[skin].mean(axis=1)
    # The corners of a flat lie on the round; its middle does not.
    outward = np.hypot(middles[:, 0], middles[:, 1])
    parts: list[tuple[Ints, Lay]] = []
    rest = np.ones(len(skin), bool)
    for knurl in piece.knurls:
        near = (middles[:, 2] > knurl.start) & (middles[:, 2] < knurl.end)
        if not near.any():
            continue
        most = float(radius[skin[near]].max())
        chosen = near & (outward > most * (1 - _UNDER))
        parts.append((skin[chosen], replace(lay, lines="knurl", radius=most, pitch=knurl.pitch)))
        rest &= ~chosen
    return [(skin[rest], lay), *parts]


def cut_outline(points: NDArray[np.float64], faces: Ints) -> NDArray[np.float64]:
    """Find the edges that bound plane cut faces, each plane by itself.

    Parameters
    ----------
    points : array, shape (n, 3)
        Vertices, [mm]
    faces : array of int, shape (m, 3)
        Cut faces only, [-]

    Returns
    -------
    array of float64, shape (k, 2, 3)
        Ends of each edge, [mm]
    """
    if not len(faces):
        return np.zeros((0, 2, 3))
    normals = _normals(points, faces)
    length = np.linalg.norm(normals, axis=1)
    keep = length > 0
    faces, normals = faces[keep], normals[keep] / length[keep, None]
    # The two planes of a quarter cut share the axis, which bounds both.
    _, plane = np.unique(np.round(normals, 3) + 0.0, axis=0, return_inverse=True)
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    keyed = np.column_stack([np.tile(plane.reshape(-1), 3), np.sort(edges, axis=1)])
    _, first, count = np.unique(keyed, axis=0, return_index=True, return_counts=True)
    ends: NDArray[np.float64] = points[edges[np.sort(first[count == 1])]]
    return ends


def _nearer(ends: NDArray[np.float64], framing: Framing, width: float, colour: Colour) -> Strokes:
    """Lift strokes a pixel toward the camera, so that the faces they bound do not swallow half of them."""
    seen = framing.seen(ends.reshape(-1, 3)) + np.array([0, 0, 1 / framing.scale])
    return Strokes(ends=seen.reshape(-1, 2, 3), width=width, colour=colour)


def _guides(
    pieces: Sequence[Piece], placed: Sequence[NDArray[np.float64]], shifts: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Draw the axis, long and short strokes in turn, and a straight line back from each part moved across."""
    every = np.concatenate(placed)
    low, high = every[:, 2].min(), every[:, 2].max()
    # The long-dashed dotted centre line, ISO 128-2 type 04.1 (from memory); proportions are a house choice.
    step = (high - low) / 60
    start = np.arange(low - step, high + step, step)
    z = np.concatenate(
        [
            np.column_stack([start, start + 0.66 * step]),
            np.column_stack([start + 0.80 * step, start + 0.86 * step]),
        ]
    )
    axis = np.zeros((len(z), 2, 3))
    axis[:, :, 2] = z
    lines = [axis]
    for piece, points, shift in zip(pieces, placed, shifts, strict=True):
        if np.hypot(shift[0], shift[1]) > 0:
            middle = (points.min(axis=0) + points.max(axis=0)) / 2
            met = middle if piece.foot is None else shift + piece.foot
            lines.append(np.array([[met, met - (shift[0], shift[1], 0.0)]]))
    return np.concatenate(lines)


def _labels(
    names: Sequence[str],
    placed: Sequence[NDArray[np.float64]],
    faces: Sequence[Ints],
    framing: Framing,
    inset: float,
) -> list[Label]:
    """Point at each part where nothing stands above it, as near its middle as that allows."""
    flats = [framing.pixels(points) for points in placed]
    boxes = [(*flat.min(axis=0), *flat.max(axis=0)) for flat in flats]
    labels: list[Label] = []
    for i, name in enumerate(names):
        left, top, right, _ = boxes[i]
        over = [box for k, box in enumerate(boxes) if k != i and box[1] < top]
        spots = left + (right - left) * _SPOTS
        room = [min((max(box[0] - x, x - box[2]) for box in over), default=inset) for x in spots]
        x = float(spots[int(np.argmax(np.minimum(room, inset)))])
        y, foot = _upright(flats[i], faces[i], x)
        labels.append(Label(text=name, x=x, y=y + min(inset / 2, (foot - y) / 3)))
    return labels


def _pointed(
    pieces: Sequence[Piece], placed: Sequence[NDArray[np.float64]], focus: CloseUp, framing: Framing
) -> list[Label]:
    """Point at each part of a close-up where it is cut, near the middle of the picture."""
    size = np.array(framing.size)
    labels = []
    for piece, points in zip(pieces, placed, strict=True):
        if piece.name not in focus.parts:
            continue
        faces = piece.mesh.faces
        cut = faces[piece.mesh.tags == CUT]
        if len(cut):
            normals = np.abs(_normals(points, cut))
            facing = normals[:, 0] >= normals[:, 1]
            faces = cut[facing] if facing.any() else cut
        flat = framing.pixels(points)
        a, b, c = (flat[faces[:, k]] for k in range(3))
        (x0, y0), (x1, y1) = (b - a).T, (c - a).T
        middle, area = (a + b + c) / 3, np.abs(x0 * y1 - x1 * y0)
        inside = ((middle > 0.12 * size) & (middle < 0.88 * size)).all(axis=1)
        if inside.any():
            # The largest faces near the middle; far ones may be of something else that comes by.
            near = np.exp(-(((middle - size / 2) / (0.3 * size)) ** 2).sum(axis=1))
            best = int(np.argmax(np.where(inside, area * near, -1.0)))
            labels.append(Label(text=piece.name, x=float(middle[best, 0]), y=float(middle[best, 1])))
    return labels


def _upright(flat: NDArray[np.float64], faces: Ints, x: float) -> tuple[float, float]:
    """Find the highest and the lowest pixel of a part on the upright line at x."""
    a, b = (flat[faces[:, order].ravel()] for order in ([0, 1, 2], [1, 2, 0]))
    crossing = (a[:, 0] - x) * (b[:, 0] - x) < 0
    a, b = a[crossing], b[crossing]
    if not len(a):
        return float(flat[:, 1].min()), float(flat[:, 1].max())
    y = a[:, 1] + (b[:, 1] - a[:, 1]) * (x - a[:, 0]) / (b[:, 0] - a[:, 0])
    return float(y.min()), float(y.max())


def laid_on(shot: NDArray[np.uint8], background: Colour | None, *, lying: bool = False) -> NDArray[np.uint8]:
    """Lay a shot [-], its colours multiplied by opacity, on paper; without paper, undo the multiplication.

    One that lies on its paper casts a shadow there.
    """
    opacity = shot[..., 3:].astype(np.float64) / 255
    page = np.empty_like(shot)
    if background is None:
        full = shot[..., :3] / np.maximum(opacity, 1 / 255)
        page[..., :3] = np.clip(np.round(full), 0, 255)
        page[..., 3] = shot[..., 3]
        return page
    paper = np.broadcast_to(255 * np.array(background), page[..., :3].shape)
    if lying:
        paper = shaded(paper, shot[..., 3])
    page[..., :3] = np.clip(np.round(shot[..., :3] + (1 - opacity) * paper), 0, 255)
    page[..., 3] = 255
    return page
