"""The renderer: the only file that speaks to pyvista.

Everything here is already in the camera's frame: x right, y up, z toward the camera.
"""

from __future__ import annotations

import ctypes
import os
import sys
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final, Protocol

import numpy as np

from turnmodel.errors import OutputError
from turnmodel.output.pictures.lay import laid
from turnmodel.output.pictures.studio import environment
from turnmodel.shape.libraries import lacking

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from numpy.typing import NDArray

    from turnmodel.output.pictures.appearance import Appearance, Colour
    from turnmodel.output.pictures.lay import Lay
    from turnmodel.output.pictures.studio import Settings

__all__ = ["Model", "Strokes", "Take", "stage"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """Faces of one finish: lit, or flat in its own colour.

    ``vertices`` (n, 3) [mm]; ``faces`` (m, 3); ``colours`` (n, 3), sRGB [-]; ``finish`` None for flat;
    ``lay`` the lines on it.
    """

    vertices: NDArray[np.float64]
    faces: NDArray[np.integer[Any]]
    colours: NDArray[np.float64]
    finish: Appearance | None
    lay: Lay | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Strokes:
    """Straight strokes of one width [px] and colour: ``ends`` (k, 2, 3) [mm]."""

    ends: NDArray[np.float64]
    width: float
    colour: Colour


class Take(Protocol):
    """Takes a picture of this size [px] at this scale [px/mm]; colours come multiplied by opacity."""

    def __call__(
        self, models: Sequence[Model], strokes: Sequence[Strokes], size: tuple[int, int], scale: float
    ) -> NDArray[np.uint8]:
        """Give an array (h, w, 4)."""
        ...

    def reel(
        self,
        models: Sequence[Model],
        poses: Iterable[Sequence[NDArray[np.float64]]],
        size: tuple[int, int],
        scale: float,
    ) -> Iterator[NDArray[np.uint8]]:
        """Take a picture of this size [px] and scale [px/mm] for each list of poses.

        There is one (4, 4) a model, its shift in [mm], which moves the model from where it stands.
        """
        ...


_SMOOTH_BELOW: Final = 12.0
"""Faces that meet at less than this angle [deg] are one smooth surface: facets, 6 degrees apart, are;
chamfers and flats, which leave a round at 15 degrees and more, are not."""

_RIM: Final = 0.88
"""Share of a metal's colour that is left at grazing incidence (house choice)."""

_GAMMA: Final = 2.2
"""The renderer's exponent from sRGB to light."""

_FAR: Final = 2.5
"""Distance of the camera in lengths of the picture, from which reflections are seen (house choice)."""


def _undrawn(error: ImportError | OSError) -> OutputError:
    """Say why nothing can be drawn here."""
    return lacking("pictures", error) or OutputError(f"no pictures: the renderer cannot be loaded ({error})")


def _renderer(headless: bool) -> Any:
    """Import pyvista, choosing a window that needs no screen where there is none."""
    if headless:
        os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")
        try:
            ctypes.CDLL("libEGL.so.1")
        except OSError as error:
            raise _undrawn(error) from None
    try:
        import pyvista
    except ImportError as error:
        raise _undrawn(error) from None
    return pyvista


def _texture(pyvista: Any, radiance: NDArray[np.float32]) -> Any:
    """Hand a map of linear radiance to the renderer unrounded."""
    rows, columns, _ = radiance.shape
    grid = pyvista.ImageData(dimensions=(columns, rows, 1))
    grid.point_data["radiance"] = radiance[::-1].reshape(-1, 3).copy()
    grid.set_active_scalars("radiance")
    texture = pyvista.Texture()
    texture.SetInputDataObject(grid)
    texture.SetColorModeToDirectScalars()
    texture.MipmapOn()
    texture.InterpolateOn()
    return texture


@contextmanager
def stage(settings: Settings) -> Iterator[Take]:
    """Set up the room once and give the function that takes pictures in it.

    Parameters
    ----------
    settings : Settings
        What all pictures have in common.

    Yields
    ------
    Take
        Good until the room is left.

    Raises
    ------
    OutputError
        If the machine lacks a library of the renderer.
    """
    pyvista = _renderer(headless=sys.platform == "linux" and not os.environ.get("DISPLAY"))
    plotter = pyvista.Plotter(off_screen=True, lighting="none", window_size=[64, 64])
    plotter.enable_anti_aliasing("msaa", multi_samples=settings.samples)
    plotter.enable_parallel_projection()
    plotter.render_window.AlphaBitPlanesOn()
    renderer = plotter.renderer
    renderer.SetBackground(0, 0, 0)
    renderer.SetBackgroundAlpha(0)
    renderer.SetEnvironmentTexture(_texture(pyvista, environment(settings.rows)))
    renderer.UseImageBasedLightingOn()
    renderer.UseSphericalHarmonicsOn()
    renderer.GetEnvMapPrefiltered().SetPrefilterMaxSamples(settings.reflections)
    lookup = renderer.GetEnvMapLookupTable()
    lookup.SetLUTSize(256)
    lookup.SetLUTSamples(256)

    try:
        yield _Stage(pyvista, plotter)
    finally:
        plotter.close()


class _Stage:
    """The room with its camera; it is good until the room is left."""

    def __init__(self, pyvista: Any, plotter: Any) -> None:
        self._pyvista, self._plotter = pyvista, plotter

    def __call__(
        self, models: Sequence[Model], strokes: Sequence[Strokes], size: tuple[int, int], scale: float
    ) -> NDArray[np.uint8]:
        self._aimed(size, scale)
        for model in models:
            _add_model(self._pyvista, self._plotter, model, scale)
        for stroke in strokes:
            _add_strokes(self._pyvista, self._plotter, stroke)
        return self._shot()

    def reel(
        self,
        models: Sequence[Model],
        poses: Iterable[Sequence[NDArray[np.float64]]],
        size: tuple[int, int],
        scale: float,
    ) -> Iterator[NDArray[np.uint8]]:
        """Take a picture of this size [px] and scale [px/mm] for each list of poses [mm]."""
        self._aimed(size, scale)
        actors = [_add_model(self._pyvista, self._plotter, model, scale) for model in models]
        eye = np.array(self._plotter.camera.position)
        before: Sequence[NDArray[np.float64]] = ()
        for pose in poses:
            if len(before) != len(pose) or not np.array_equal(before, pose):
                for actor, model, matrix in zip(actors, models, pose, strict=True):
                    actor.user_matrix = matrix
                    if model.lay is not None:
                        laid(actor, _moved(model.lay, matrix, eye), scale)
                picture, before = self._shot(), pose
            yield picture

    def _aimed(self, size: tuple[int, int], scale: float) -> None:
        """Clear the room and aim the camera."""
        self._plotter.clear_actors()
        self._plotter.render_window.SetSize(*size)
        far = _FAR * max(size) / scale
        camera = self._plotter.camera
        camera.position, camera.focal_point, camera.up = (0, 0, far), (0, 0, 0), (0, 1, 0)
        camera.parallel_scale = size[1] / scale / 2
        camera.clipping_range = (0.2 * far, 1.8 * far)

    def _shot(self) -> NDArray[np.uint8]:
        self._plotter.render_window.Render()
        return _read(self._pyvista, self._plotter.render_window)


def _moved(lay: Lay, matrix: NDArray[np.float64], eye: NDArray[np.float64]) -> Lay:
    """Move a lay with its model; the renderer gives places as they lie before its eye."""
    turn = matrix[:3, :3]
    origin = turn @ lay.origin + matrix[:3, 3] - eye
    return replace(lay, origin=origin, axis=turn @ lay.axis, across=turn @ lay.across)


def _read(pyvista: Any, window: Any) -> NDArray[np.uint8]:
    """Read the window as it stands; the plotter's own screenshot would render again."""
    from vtkmodules.vtkRenderingCore import vtkWindowToImageFilter

    reader = vtkWindowToImageFilter()
    reader.SetInput(window)
    reader.SetInputBufferTypeToRGBA()
    reader.ShouldRerenderOff()
    reader.ReadFrontBufferOff()
    reader.Update()
    image = pyvista.wrap(reader.GetOutput())
    width, height, _ = image.dimensions
    pixels: NDArray[np.uint8] = image.active_scalars.reshape(height, width, 4)[::-1].copy()
    return pixels


def _add_model(pyvista: Any, plotter: Any, model: Model, scale: float) -> Any:
    """Put one model on the stage, and give it as the renderer knows it."""
    surface = pyvista.PolyData.from_regular_faces(model.vertices, model.faces)
    surface.point_data["colour"] = np.round(model.colours * 255).astype(np.uint8)
    if model.finish is None:
        return plotter.add_mesh(
            surface, scalars="colour", rgb=True, lighting=False, reset_camera=False, render=False
        )
    surface = surface.compute_normals(
        cell_normals=False,
        split_vertices=True,
        feature_angle=_SMOOTH_BELOW,
        consistent_normals=False,
        auto_orient_normals=False,
    )
    actor = plotter.add_mesh(
        surface,
        scalars="colour",
        rgb=True,
        pbr=True,
        metallic=model.finish.metallic,
        roughness=model.finish.roughness,
        reset_camera=False,
        render=False,
    )
    # A metal keeps some of its colour at grazing incidence; pure white there turns the rims of brass mauve.
    linear = np.array(model.finish.base) ** _GAMMA
    tint = 1 - model.finish.metallic * _RIM * (1 - linear)
    actor.prop.SetEdgeTint(*tint)
    if model.lay is not None:
        laid(actor, _moved(model.lay, np.eye(4), np.array(plotter.camera.position)), scale)
    return actor


def _add_strokes(pyvista: Any, plotter: Any, stroke: Strokes) -> None:
    """Put strokes on the stage."""
    count = len(stroke.ends)
    if not count:
        return
    lines = np.column_stack([np.full(count, 2), np.arange(0, 2 * count, 2), np.arange(1, 2 * count, 2)])
    drawn = pyvista.PolyData(stroke.ends.reshape(-1, 3), lines=lines.ravel())
    plotter.add_mesh(
        drawn, color=stroke.colour, line_width=stroke.width, lighting=False, reset_camera=False, render=False
    )
