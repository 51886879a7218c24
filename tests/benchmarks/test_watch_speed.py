"""How soon the live page shows what was saved or moved, for the pocket pen; bounds are the project's own."""

from __future__ import annotations

import os
import shutil
import time
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser import launched
from tests.watching import Follower
from turnmodel.watch.server import served
from turnmodel.watch.session import Session

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytest_benchmark.fixture import BenchmarkFixture

PEN = Path(__file__).parents[2] / "designs" / "pocket_pen.py"
BARREL = "barrel_length: float = 16.0"

SAVE_S, MOVE_S = 1.0, 0.3
"""From a save to its picture, and from a slider to shape, weight and findings, [s]."""

ROUNDS = 9
lengths = (f"{16 + step / 50:.2f}" for step in count(1))
"""Values that were not built before."""


@pytest.fixture(autouse=True)
def idle() -> None:
    """Skip where other work takes the time that is measured."""
    if os.getloadavg()[0] > (os.cpu_count() or 1):
        pytest.skip("the machine is busy with other work")


@pytest.fixture(scope="module")
def script(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a copy of the pen's script."""
    path = tmp_path_factory.mktemp("pen") / "pen.py"
    shutil.copy(PEN, path)
    return path


@pytest.fixture(scope="module")
def session(script: Path) -> Iterator[Session]:
    """Watch it."""
    with Session(script) as watched:
        yield watched


@pytest.fixture(scope="module")
def page(session: Session) -> Follower:
    """Read along."""
    follower = Follower(session)
    follower.built()
    return follower


def test_save_to_findings(benchmark: BenchmarkFixture, script: Path, page: Follower) -> None:
    """A save that moves every line and changes a length is built, findings and all."""
    text = script.read_text()

    def save() -> None:
        length = next(lengths)
        script.write_text(
            "#\n" * int(float(length) * 50) + text.replace(BARREL, f"barrel_length: float = {length}")
        )
        page.until(lambda _: page.value("barrel_length") == float(length))
        page.built()

    benchmark.pedantic(save, rounds=ROUNDS, warmup_rounds=1)

    assert benchmark.stats["min"] < SAVE_S


def test_slider_to_findings(benchmark: BenchmarkFixture, session: Session, page: Follower) -> None:
    """A parameter that is set shows in shape, weight and findings."""

    def move() -> None:
        length = next(lengths)
        session.set({"barrel_length": length})
        page.until(lambda _: page.value("barrel_length") == float(length))
        page.built()

    benchmark.pedantic(move, rounds=ROUNDS, warmup_rounds=1)

    assert benchmark.stats["min"] < MOVE_S


def test_save_to_picture(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    """A save is drawn in the browser, here without a graphics card."""
    script = tmp_path / "pen.py"
    text = PEN.read_text()
    script.write_text(text)
    with launched() as browser, Session(script) as session, served(session) as address:
        shown = browser.new_page(viewport={"width": 1280, "height": 800})
        shown.goto(address)

        def drawn(before: str) -> str:
            while (model := shown.evaluate("document.body.dataset.model || ''")) == before:
                time.sleep(0.005)
            shown.evaluate("viewer.draw()")
            return str(model)

        model = drawn("")

        def save() -> None:
            nonlocal model
            script.write_text(text.replace(BARREL, f"barrel_length: float = {next(lengths)}"))
            model = drawn(model)

        benchmark.pedantic(save, rounds=ROUNDS, warmup_rounds=1)
        shown.close()

    assert benchmark.stats["min"] < SAVE_S
