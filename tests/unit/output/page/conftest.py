"""A page of a demo design, as its tests open it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser import launched
from tests.unit.output.page.page_of import content_of
from turnmodel.output.page.html import page

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser

PEN = Path(__file__).parents[4] / "designs" / "pocket_pen.py"


@pytest.fixture(scope="module")  # its driver stands no second one beside it, which other pages' tests start
def browser() -> Iterator[Browser]:
    """Start the browser."""
    with launched() as started:
        yield started


@pytest.fixture(scope="session")
def pen_page(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Write the pocket pen's page to a folder and tell its address."""
    path = tmp_path_factory.mktemp("page") / "pen.html"
    path.write_text(page(content_of(PEN)), encoding="utf-8")
    return path.as_uri()
