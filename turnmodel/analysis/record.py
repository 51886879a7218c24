"""A file of finished variants, a line each, from which interrupted work goes on."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from typing import TYPE_CHECKING

from turnmodel.errors import OutputError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

__all__ = ["Kept", "Record"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What is kept of a variant: its figures by name [-], or why it cannot be built."""

    figures: Mapping[str, float | None]
    broken: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A file of finished variants.

    Each line is one object of JSON, written at once and at the end, so that a stop at any moment spoils at
    most the last line; a spoilt line counts as not written.
    """

    path: Path

    def read(self, stamp: str) -> dict[tuple[tuple[str, str], ...], Kept]:
        """Give the variants that were finished under a stamp, by their settings.

        Raises
        ------
        OutputError
            If the file is there and cannot be read
        """
        try:
            lines = self.path.read_bytes().splitlines()
        except FileNotFoundError:
            return {}
        except OSError as error:
            raise OutputError(f"cannot read {self.path}: {error.strerror or error}") from error
        found = {}
        for line in lines:
            try:
                entry = json.loads(line)
                if entry["of"] == stamp:
                    kept = Kept(figures=entry["figures"], broken=entry["broken"])
                    found[tuple(sorted(entry["at"].items()))] = kept
            except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
                continue
        return found

    def add(self, stamp: str, variants: Sequence[tuple[Mapping[str, str], Kept]]) -> None:
        """Write finished variants at the end.

        Raises
        ------
        OutputError
            If they cannot be written
        """
        entries = (
            {"of": stamp, "at": dict(settings), "figures": dict(kept.figures), "broken": kept.broken}
            for settings, kept in variants
        )
        # Begun with an end of line too: what a stop left unfinished before is closed off.
        text = "\n" + "".join(json.dumps(entry) + "\n" for entry in entries)
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            handle = os.open(self.path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o666)
            try:
                os.write(handle, text.encode())
                os.fsync(handle)
            finally:
                os.close(handle)
        except OSError as error:
            raise OutputError(f"cannot write {self.path}: {error.strerror or error}") from error
