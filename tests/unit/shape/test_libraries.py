"""What is said where the system lacks a library."""

from __future__ import annotations

import pytest

from turnmodel.shape.libraries import lacking


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            "libGL.so.1: cannot open shared object file: No such file or directory",
            "no solids: this machine has no libGL.so.1; install the package libgl1 (Debian: apt install libgl1)",
        ),
        (
            "cannot load 'libX11.so.6': not found",
            "no solids: this machine has no libX11.so.6; install the package libx11-6 "
            "(Debian: apt install libx11-6)",
        ),
        ("libfar.so.3: not there", "no solids: this machine has no libfar.so.3; install it"),
    ],
)
def test_a_missing_library_names_its_package(words: str, says: str) -> None:
    """The library is read off the loader's message; its package is named where it is known."""
    assert str(lacking("solids", ImportError(words))) == says


def test_what_is_no_library_is_not_taken_for_one() -> None:
    """A module whose loading was interrupted is not a library to install."""
    assert lacking("solids", ImportError("initialization failed")) is None
