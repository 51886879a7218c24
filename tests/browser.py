"""A browser without a screen, for the tests of pages; they are skipped where there is none."""

from __future__ import annotations

import io
import shutil
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

import numpy as np
import pytest
from PIL import Image

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray
    from playwright.sync_api import Browser, Locator, Page

__all__ = ["changed", "launched", "pixels", "said_by", "slid"]

_NAMES: Final = ("chromium", "chromium-browser", "google-chrome")

# Software drawing, so that WebGL is there without a graphics card; nothing of its own over the network.
_FLAGS: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)

SEEN: Final = 8
"""Levels of 255 by which a pixel must change to be counted: over what dithering and rounding do."""


@contextmanager
def launched() -> Iterator[Browser]:
    """Start a browser with a new empty profile, and end it."""
    path = next(filter(None, map(shutil.which, _NAMES)), None)
    if path is None:
        pytest.skip("no browser: install Debian's chromium to test pages")
    api = pytest.importorskip("playwright.sync_api", reason="no playwright: install the test extra")
    with api.sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=_FLAGS)
        yield browser
        browser.close()


def said_by(page: Page) -> list[str]:
    """Collect errors of a page, and every request that is neither for a file of this disk nor within it."""
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(f"error: {error}"))
    page.on("console", lambda line: said.append(f"console: {line.text}") if line.type == "error" else None)
    page.on(
        "request",
        lambda asked: None if asked.url.startswith(("file:", "data:")) else said.append(f"asked {asked.url}"),
    )
    return said


def pixels(shown: Locator) -> NDArray[np.uint8]:
    """Take a picture of an element once what was asked of it is drawn: red, green and blue."""
    shown.page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    return np.array(Image.open(io.BytesIO(shown.screenshot())).convert("RGB"))


def changed(before: NDArray[np.uint8], after: NDArray[np.uint8]) -> float:
    """Tell which share of the pixels changed visibly."""
    apart = np.abs(before.astype(int) - after.astype(int)).max(axis=2)
    return float((apart > SEEN).mean())


def slid(page: Page, name: str, value: float) -> None:
    """Move a slider as its reader does, the script told of it."""
    page.eval_on_selector(
        f'input[name="{name}"]',
        "(slider, value) => { slider.value = value; slider.dispatchEvent(new Event('input')); }",
        value,
    )
