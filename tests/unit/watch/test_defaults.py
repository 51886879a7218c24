"""Values are written into a script's defaults, and nothing else of it moves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from turnmodel.errors import DesignFaults, ScriptError
from turnmodel.watch.defaults import unwritable, with_defaults, write_defaults

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.parametrize(
    ("before", "values", "after"),
    [
        ("def design(a=1.5): ...", {"a": 2.25}, "def design(a=2.25): ..."),
        ("def design(a: float = 9): ...", {"a": 8.0}, "def design(a: float = 8): ..."),
        ("def design(a: float = 9): ...", {"a": 8.5}, "def design(a: float = 8.5): ..."),
        ("def design(a=9.0): ...", {"a": 8.0}, "def design(a=8.0): ..."),
        ("def design(a=-1.5): ...", {"a": 2.0}, "def design(a=2.0): ..."),
        ("def design(a=2): ...", {"a": -3}, "def design(a=-3): ..."),
        ("def design(a=True): ...", {"a": False}, "def design(a=False): ..."),
        ('def design(a="brass"): ...', {"a": "303"}, 'def design(a="303"): ...'),
        ("def design(a='brass'): ...", {"a": "303"}, "def design(a='303'): ..."),
        ('def design(a="x"): ...', {"a": 'say "no"'}, "def design(a='say \"no\"'): ..."),
        ("def design(*, a=1.0, b=2.0): ...", {"b": 3.0}, "def design(*, a=1.0, b=3.0): ..."),
        ("def design(a=1.0, b=2.0): ...", {"b": 20.5, "a": 10.5}, "def design(a=10.5, b=20.5): ..."),
        ("def design(a=(1.0)): ...", {"a": 2.0}, "def design(a=(2.0)): ..."),
        ('def design(é="ä", a=1.0): ...', {"a": 2.0}, 'def design(é="ä", a=2.0): ...'),
        (
            "def design(a=1.0):\r\n\treturn a  # 1.0\r\n",
            {"a": 2.0},
            "def design(a=2.0):\r\n\treturn a  # 1.0\r\n",
        ),
        (
            "def design(\n    a=1.0,  # wall\n\n): ...\n",
            {"a": 2.0},
            "def design(\n    a=2.0,  # wall\n\n): ...\n",
        ),
        (
            "def design(a=1.0): ...\ndef design(a=2.0): ...",
            {"a": 3.0},
            "def design(a=1.0): ...\ndef design(a=3.0): ...",
        ),
        ("\ufeffdef design(a=1.0): ...", {"a": 2.0}, "\ufeffdef design(a=2.0): ..."),
        ("x = 1\n\f\ndef design(a=1.0): ...", {"a": 2.0}, "x = 1\n\f\ndef design(a=2.0): ..."),
    ],
)
def test_a_default_is_written_over_and_nothing_else(
    before: str, values: dict[str, float], after: str
) -> None:
    """Only the bytes of the default change, in the style that the script has."""
    assert with_defaults(before.encode(), values).decode() == after


def test_what_stands_there_already_is_not_written() -> None:
    """A value that is the default already leaves the script as it is, however it is spelled."""
    source = b"def design(a=1_0.50, b=1e1, c=0x10, d='''x'''): ..."

    assert with_defaults(source, {"a": 10.5, "b": 10.0, "c": 16, "d": "x"}) == source


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("T = 2\ndef design(a=2 * T): ...", "s.py:2: parameter a: 2 * T: is worked out; change it by hand"),
        ("def design(a=1 + 1): ...", "s.py:1: parameter a: 1 + 1: is worked out; change it by hand"),
        ("def design(a=f'{1}'): ...", "s.py:1: parameter a: f'{1}': is worked out; change it by hand"),
        (
            "from pen import design",
            (
                "parameter a: its default: does not stand in a plain def design(...) of this file; "
                "change it by hand"
            ),
        ),
    ],
)
def test_a_default_that_is_worked_out_is_left_alone(source: str, says: str) -> None:
    """A default that is no plain number, text or truth is refused with its words and its line."""
    with pytest.raises(DesignFaults) as refused:
        with_defaults(source.encode(), {"a": 5.0}, "s.py")

    assert str(refused.value) == says


def test_every_default_that_cannot_be_written_is_told() -> None:
    """One that cannot be written keeps all from being written, and each is told."""
    with pytest.raises(DesignFaults) as refused:
        with_defaults(b"def design(a=1.0, b=2 * 3, c=max(1, 2)): ...", {"a": 5.0, "b": 7, "c": 7})

    assert [fault.feature for fault in refused.value.faults] == ["parameter b", "parameter c"]


def test_a_script_with_a_mistake_is_left_alone() -> None:
    """A script that is no Python is refused with its line."""
    with pytest.raises(ScriptError, match=r"s\.py:2: def design\(a=1\.0: '\(' was never closed"):
        with_defaults(b"# pen\ndef design(a=1.0\n", {"a": 5.0}, "s.py")


def test_another_function_by_the_same_name_is_seen() -> None:
    """Where another function took the place of the one that is written, its default is not written over."""
    source = b"def design(a=1.0): ...\ndesign = other"

    assert unwritable(source, {"a": 1.0}) == {}
    assert unwritable(source, {"a": 2.0}) == {
        "a": "its default: does not stand in a plain def design(...) of this file"
    }


def test_a_file_keeps_its_mode_and_its_link(tmp_path: Path) -> None:
    """A script that is run by its name stays so; a link to it stays a link."""
    script, link = tmp_path / "pen.py", tmp_path / "link.py"
    script.write_bytes(b"#!/usr/bin/env python3\r\ndef design(a=1.0): ...\r\n")
    script.chmod(0o751)
    link.symlink_to(script)

    write_defaults(link, {"a": 2.0})

    assert script.read_bytes() == b"#!/usr/bin/env python3\r\ndef design(a=2.0): ...\r\n"
    assert script.stat().st_mode & 0o777 == 0o751
    assert link.is_symlink()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link.py", "pen.py"]


def test_a_refused_file_is_not_touched(tmp_path: Path) -> None:
    """A script whose default cannot be written over keeps its bytes and its time."""
    script = tmp_path / "pen.py"
    script.write_text("def design(a=1.0, b=2 * 3): ...")
    before = script.stat().st_mtime_ns

    with pytest.raises(DesignFaults):
        write_defaults(script, {"a": 2.0, "b": 7.0})

    assert script.read_text() == "def design(a=1.0, b=2 * 3): ..."
    assert script.stat().st_mtime_ns == before
