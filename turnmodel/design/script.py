"""Where in a script a thing was written down."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from turnmodel.errors import Where

if TYPE_CHECKING:
    from types import FrameType

__all__ = ["script_place"]

_OURS = str(Path(__file__).resolve().parents[1])


def script_place() -> Where | None:
    """Find the line of the script that is being run: the nearest caller outside this package.

    Returns
    -------
    Where or None
        File and line; None where everything on the stack is our own
    """
    frame: FrameType | None = sys._getframe(1)  # noqa: SLF001 - the one documented way to a caller's line
    while frame is not None:
        file = frame.f_code.co_filename
        if not file.startswith((_OURS, "<string>")):
            return Where(file, frame.f_lineno)
        frame = frame.f_back
    return None
