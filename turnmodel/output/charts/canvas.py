"""The sheet a chart is drawn on, and how it is saved."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from turnmodel.errors import OptionError
from turnmodel.shape.files import written_whole

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from matplotlib.figure import Figure

__all__ = ["GRID", "INK", "PALETTE", "fill", "picture_kind", "sheet"]

INK: Final = "#26303a"
"""Lines and letters."""

GRID: Final = "#d9dee3"
"""What stands behind."""

PALETTE: Final = ("#c9a227", "#6c8ea4", "#b8684b", "#7d9d62", "#8b7aa8", "#4f6d7a", "#d08c60", "#9a9a8c")
"""Muted fills, told apart by lightness too."""

_UNDATED: Final[dict[str, dict[str, None]]] = {
    ".png": {},
    ".svg": {"Date": None},
    ".pdf": {"CreationDate": None},
}
"""The kinds of picture; the date is left out, so that the same figures give the same file."""

_STYLE: Final[Any] = {
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.spines.right": False,
    "axes.spines.top": False,
    "font.family": "sans-serif",
    "font.size": 9,
    "svg.fonttype": "none",
    "svg.hashsalt": "turnmodel",
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
}


def fill(index: int) -> str:
    """Fill of the part or line at a place in a list [-]."""
    return PALETTE[index % len(PALETTE)]


def picture_kind(path: Path) -> str:
    """Read the kind of picture off a file's name.

    Raises
    ------
    OptionError
        If there is no such kind

    Examples
    --------
    >>> from pathlib import Path
    >>> picture_kind(Path("weights.SVG"))
    '.svg'
    """
    kind = path.suffix.lower()
    if kind not in _UNDATED:
        kinds = ", ".join(_UNDATED)
        raise OptionError(f"{path}: a chart is written as {kinds}; name it {path.stem or 'chart'}.png")
    return kind


@contextmanager
def sheet(path: Path, wide: float, high: float) -> Iterator[Figure]:
    """Open a sheet to draw on, and save it when all went well, whole or not at all.

    Parameters
    ----------
    path : Path
        Where it is saved; its ending tells the kind of picture
    wide, high : float
        Size, [in]

    Yields
    ------
    Figure
        The sheet

    Raises
    ------
    OptionError
        If there is no such kind of picture
    OutputError
        If it cannot be written
    """
    kind = picture_kind(path)
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    with rc_context(_STYLE):
        figure = Figure(figsize=(wide, high), layout="constrained", facecolor="white")
        yield figure
        with written_whole(path) as draft:
            figure.savefig(draft, format=kind[1:], dpi=160, metadata=_UNDATED[kind])
