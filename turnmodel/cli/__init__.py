"""The command line: parse, call the workflow, print, exit."""

from __future__ import annotations

from turnmodel.cli.app import main

__all__ = ["main"]
