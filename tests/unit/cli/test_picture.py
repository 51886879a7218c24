"""The command that draws: what it refuses, each with one clear error."""

from __future__ import annotations

import pytest

from tests.commandline import run
from turnmodel.output.pictures.album import VIEWS

__all__ = ["test_wrong_options_are_mended"]


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (("--views", "hole"), "--views hole: there is no view 'hole'; did you mean whole?"),
        (
            ("--views", "cut,xx"),
            f"--views cut,xx: there is no view 'xx'; there is {', '.join(VIEWS)}",
        ),
        (("--size", "big"), "--size big: must be WIDTHxHEIGHT in pixels, such as 1600x1000"),
        (("--size", "10x10"), "--size 10x10: width of a picture 10 px: lies from 100 to 8000 px"),
    ],
)
def test_wrong_options_are_mended(tmp_path, options, message):
    """Status 2, one line, and no file."""
    assert run("start", "box.py", folder=tmp_path).status == 0
    ended = run("picture", "box.py", "--out", "out", *options, folder=tmp_path)
    assert ended.status == 2
    assert ended.err.strip() == message
    assert not (tmp_path / "out").exists()
