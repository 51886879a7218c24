"""The live page: its text, its script, which draws as the one-file page does, and its style."""

from __future__ import annotations

from importlib.resources import files

from turnmodel.output.page.html import asset

__all__ = ["live_page", "live_script", "live_style"]


def live_page() -> bytes:
    """Give the page's text."""
    return _own("live.html")


def live_script() -> bytes:
    """Give the page's script: what draws the object and takes hold of it, and what follows the news."""
    drawing = asset("matrix.js", "glb.js", "shaders.js", "viewer.js", "stage.js")
    return b"\n".join([drawing.encode(), _own("parameters.js"), _own("live.js")])


def live_style() -> bytes:
    """Give the page's style: that of the one-file page, and what is its own."""
    return b"\n".join([asset("page.css").encode(), _own("live.css")])


def _own(name: str) -> bytes:
    return (files("turnmodel.watch") / "assets" / name).read_bytes()
