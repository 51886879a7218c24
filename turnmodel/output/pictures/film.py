"""Write films: GIF with one palette for all frames, and MP4."""

from __future__ import annotations

from contextlib import contextmanager
from fractions import Fraction
from typing import TYPE_CHECKING, Final

import numpy as np

from turnmodel.errors import OutputError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from numpy.typing import NDArray

__all__ = ["write_gif", "write_mp4"]

_SAMPLE: Final = 12
"""So many frames give the palette (house choice)."""

_QUALITY: Final = "20"
"""Constant rate factor of the encoder: smaller is finer; house choice, no blocks on plain metal."""

_CLEAR: Final = 255
"""Number of the palette's transparent entry."""


def write_gif(frames: NDArray[np.uint8], path: Path, rate: int) -> Path:
    """Write frames as an animated GIF that plays for ever.

    Parameters
    ----------
    frames : array of uint8, shape (n, h, w, 4)
        Red, green, blue and opacity; what is less than half opaque is left clear, [-]
    path : Path
        Where it goes; its folder stands already
    rate : int
        Frames a second, [-]

    Returns
    -------
    Path
        The same path

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    from PIL import Image

    few = frames[:: max(1, len(frames) // _SAMPLE), :, :, :3]
    strip = Image.fromarray(np.ascontiguousarray(few.reshape(-1, *few.shape[2:])))
    palette = strip.quantize(_CLEAR, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    clear = bool((frames[..., 3] < 128).any())
    pages = []
    for frame in frames:
        image = Image.fromarray(np.ascontiguousarray(frame[..., :3]))
        page = image.quantize(palette=palette, dither=Image.Dither.FLOYDSTEINBERG)
        if clear:
            numbers = np.where(frame[..., 3] < 128, _CLEAR, np.asarray(page)).astype(np.uint8)
            flat = Image.fromarray(numbers, mode="P")
            flat.putpalette(page.getpalette() or [])
            page = flat
        pages.append(page)
    # Hundredths of a second are the format's own unit.
    options = {
        "duration": 10 * round(100 / rate),
        "loop": 0,
        "optimize": False,
        "disposal": 2 if clear else 1,
    }
    if clear:
        options["transparency"] = _CLEAR
    with _beside(path) as draft:
        pages[0].save(draft, format="GIF", save_all=True, append_images=pages[1:], **options)
    return path


def write_mp4(frames: NDArray[np.uint8], path: Path, rate: int) -> Path:
    """Write frames as MP4, H.264, that any browser and telephone plays.

    Parameters
    ----------
    frames : array of uint8, shape (n, h, w, 4)
        Red, green, blue and opacity, which the format has not: they are written as they stand, width and
        height even, [-]
    path : Path
        Where it goes; its folder stands already
    rate : int
        Frames a second, [-]

    Returns
    -------
    Path
        The same path

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    import av

    _, height, width, _ = frames.shape
    with _beside(path) as draft, av.open(str(draft), "w", format="mp4") as file:
        stream = file.add_stream("libx264", rate=rate)
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        stream.time_base = Fraction(1, rate)
        context = stream.codec_context
        context.colorspace, context.color_primaries, context.color_trc = _BT709, _BT709, _BT709
        # One thread: the same frames always give the same file.
        stream.options = {"crf": _QUALITY, "preset": "medium", "threads": "1"}
        for frame in frames:
            file.mux(stream.encode(av.VideoFrame.from_ndarray(_planes(frame), format="yuv420p")))
        file.mux(stream.encode(None))
    return path


_BT709: Final = 1
"""The number of its colours in ITU-T H.273, tables 2, 3 and 4 (from memory)."""


def _planes(frame: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Turn a frame into luma and, under it, the two chromas at half its size.

    The weights and the range from 16 to 235 are those of ITU-R BT.709-6, items 3.2 and 3.4 (from memory).
    """
    rgb = frame[..., :3].astype(np.float64) / 255
    luma = rgb @ (0.2126, 0.7152, 0.0722)
    height, width = luma.shape
    planes = [16 + 219 * luma]
    for channel, range_ in ((2, 1.8556), (0, 1.5748)):
        chroma = 128 + 224 * (rgb[..., channel] - luma) / range_
        planes.append(chroma.reshape(height // 2, 2, width // 2, 2).mean(axis=(1, 3)))
    stacked = np.concatenate([plane.ravel() for plane in planes])
    rounded: NDArray[np.uint8] = np.round(stacked).astype(np.uint8).reshape(height * 3 // 2, width)
    return rounded


@contextmanager
def _beside(path: Path) -> Iterator[Path]:
    """Write beside a path and move what is whole into its place."""
    draft = path.with_name(f".{path.name}.part")
    try:
        yield draft
        draft.replace(path)
    except OSError as error:
        raise OutputError(f"cannot write {path}: {error.strerror or error}") from None
    finally:
        draft.unlink(missing_ok=True)
