"""What is wrong with a script as it is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from turnmodel.design.loading import load
from turnmodel.errors import OptionError, TurnmodelError
from turnmodel.watch.exchange import Trouble
from turnmodel.watch.troubles import troubles

if TYPE_CHECKING:
    from pathlib import Path

SCRIPT = """\
from turnmodel import *

def design():
    pin = Part.turned("pin", material="brass", stock="6 mm", outside=[
        cylinder(-5, 20),
        cylinder(5, 0),
    ])
    return Design("pin", parts=[pin])
"""


def test_every_fault_is_shown_with_the_lines_round_it(tmp_path: Path) -> None:
    """Each fault of a design is told with its file, its line and its neighbours, numbered from 1."""
    script = tmp_path / "pin.py"
    script.write_text(SCRIPT)
    with pytest.raises(TurnmodelError) as wrong:
        load(script)

    first, second = troubles(wrong.value)

    assert (first.file, first.line, second.line) == ("pin.py", 5, 6)
    assert first.text == "pin, cylinder (outside 1): diameter -5 mm: must be more than 0 mm"
    assert [number for number, _ in first.lines] == [3, 4, 5, 6, 7]
    assert first.lines[2] == (5, "        cylinder(-5, 20),")
    assert second.lines[-1] == (8, '    return Design("pin", parts=[pin])')


def test_an_error_without_a_place_is_its_words() -> None:
    """What has no place in a script is told in words alone."""
    assert troubles(OptionError("no such parameter")) == (Trouble(text="no such parameter"),)
