"""What is said where the system lacks a library."""

from __future__ import annotations

import pytest

from turnmodel.shape.libraries import lacking


@pytest.mark.parametrize(
    ("words", "library", "package"),
    [
        ("libGL.so.1: cannot open shared object file: No such file or directory", "libGL.so.1", "libgl1"),
        ("cannot load 'libX11.so.6': not found", "libX11.so.6", "libx11-6"),
    ],
)
def test_a_missing_library_names_its_package(words: str, library: str, package: str) -> None:
    """The library is read off the loader's message; its package is named where it is known."""
    told = lacking("solids", ImportError(words))
    mend = f"install the package {package} (Debian: apt install {package})"
    assert str(told) == f"no solids: this machine has no {library}; {mend}"


def test_a_library_of_unknown_package_is_named() -> None:
    """Where the package is not known, the library alone is told."""
    told = lacking("solids", ImportError("libfar.so.3: not there"))
    assert str(told) == "no solids: this machine has no libfar.so.3; install it"


def test_what_is_no_library_is_not_taken_for_one() -> None:
    """A module whose loading was interrupted is not a library to install."""
    assert lacking("solids", ImportError("initialization failed")) is None
