"""Libraries of the system that drawing and solids rest on: what to install where one is not there."""

from __future__ import annotations

from typing import Final

from turnmodel.errors import OutputError

__all__ = ["lacking"]

_PACKAGES: Final = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libGLX.so.0": "libglx0",
    "libX11.so.6": "libx11-6",
    "libXrender.so.1": "libxrender1",
    "libXcursor.so.1": "libxcursor1",
    "libXext.so.6": "libxext6",
}
"""Packages of Debian, by the library they bring."""


def lacking(what: str, error: ImportError | OSError) -> OutputError | None:
    """Say what cannot be made on this machine for want of a library, and which package would mend it.

    Parameters
    ----------
    what : str
        What cannot be made, such as "pictures"
    error : ImportError or OSError
        Why a library could not be loaded, in its loader's words

    Returns
    -------
    OutputError or None
        To be raised; None where the loader names no library, as where loading was interrupted

    Examples
    --------
    >>> print(lacking("pictures", OSError("libEGL.so.1: cannot open shared object file")))
    no pictures: this machine has no libEGL.so.1; install the package libegl1 (Debian: apt install libegl1)
    """
    library = next((word.strip(":,'\"") for word in str(error).split() if ".so" in word), None)
    if library is None:
        return None
    package = _PACKAGES.get(library)
    mend = f"install the package {package} (Debian: apt install {package})" if package else "install it"
    return OutputError(f"no {what}: this machine has no {library}; {mend}")
